//! Every fault of the library, asked whether it explains a log.

use larkfield_airframe::Airframe;
use larkfield_faults::{Fault, Injected, Scene, Unit, library};
use larkfield_flight::{AirProperties, FlightModel};
use larkfield_pilot::{Launch, Mishaps, RadioSetup, Throw, Trims};
use larkfield_recording::Sample;
use larkfield_weather::WindScript;

use crate::fit::{Fit, Slopes, UNKNOWNS, fit};
use crate::hands::Hands;
use crate::log::Log;
use crate::refly::{Candidate, MEASURES, Miss, Stretch, Unknown};
use crate::throw::thrown;

/// The first seconds of a flight are looked at: later the pilot has found out.
const LOOKED_AT_S: f64 = 10.0;
/// A fault is named when the log is likelier with it by a factor of e to this
/// power. Calibrated on flights without faults.
const NAMED_FROM: f64 = 10.0;
/// Causes whose likelihoods are nearer than this power of e are one answer: the
/// log cannot tell them apart.
const TOLD_APART: f64 = 3.0;

/// What gives way in flight is asked for at every such moment.
const MOMENTS_S: f64 = 0.5;

/// The wind is known when it moves by no more than this from round to round.
const SETTLED_M_S: f64 = 0.3;
const MOST_ROUNDS: u32 = 4;
/// Nobody flies such planes in more than this.
const STRONGEST_M_S: f64 = 12.0;

/// Faults that may as well be the other way round: to port, downward.
const TWO_SIDED: [&str; 10] = [
    "wing-heavy",
    "wing-warp",
    "wing-crooked",
    "tail-incidence",
    "skewed-fin",
    "thrust-line-high",
    "thrust-line-left",
    "pitch-trim-off",
    "roll-trim-off",
    "banked-throw",
];

/// The plane and the flight as they were meant.
#[derive(Debug, Clone)]
pub struct Plane<'a> {
    /// As designed: without any fault.
    pub airframe: &'a Airframe,
    /// Transmitter and link, as set up by the pilot.
    pub radio: RadioSetup,
    /// Linkages that the pilot knows to be out of trim.
    pub trim_error: Trims,
    /// The air of the day.
    pub air: AirProperties,
    /// The throw that was meant; `None` for a flight that begins otherwise.
    pub throw: Option<Throw>,
    /// It ended in damage, or went where it must not: then the pilot's hands and
    /// the air are asked as well.
    pub went_wrong: bool,
}

/// A cause, with what speaks for it.
#[derive(Debug, Clone)]
pub struct Cause {
    /// Entry of the library, with its words for builders.
    pub fault: &'static Fault,
    /// Most likely size in the fault's unit; `None` for one without sizes.
    pub size: Option<f64>,
    /// The other way round than the library describes it.
    pub mirrored: bool,
    /// Natural logarithm of how much likelier the log is with it than without.
    pub gain: f64,
    /// Where it shows most.
    pub evidence: Evidence,
}

/// A number in the log that the plane as designed does not explain.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// Time of the recording.
    pub time_s: f64,
    /// The same since the release.
    pub released_for_s: f64,
    /// What was measured.
    pub what: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// How far the log is from the plane as designed; of what the pilot or the air
    /// did, how much it was.
    pub off_as_designed: f64,
    /// How far it is from a plane with this fault; of what the pilot or the air
    /// did, the most that does no harm.
    pub off_with_fault: f64,
}

/// What a log says about its plane.
#[derive(Debug, Clone)]
pub struct Diagnosis {
    /// Causes, the likeliest first; none when nothing was found.
    pub causes: Vec<Cause>,
    /// So many of the first are one answer: they cannot be told apart.
    pub alike: usize,
    /// Wind toward north and east, 10 m above the ground, that explains the log
    /// best.
    pub wind_m_s: [f64; 2],
    /// Seconds of flight that were looked at.
    pub looked_at_s: f64,
}

/// Why nothing can be said.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotDiagnosed {
    /// It was never in the air by itself.
    #[error("the recording holds no flight; record from before the release to the landing")]
    NoFlight,
    /// The plane as designed cannot be reckoned with.
    #[error("the airframe cannot be flown: {0}")]
    NoModel(String),
    /// Whoever asked does not want to know any more.
    #[error("stopped")]
    Stopped,
}

/// Finds the faults that explain a recording. `go_on` is called now and then with
/// the share that is done; when it returns false, that is all.
///
/// # Errors
/// A recording without a flight, an airframe that cannot be flown, being stopped.
pub fn diagnose(
    plane: &Plane<'_>,
    samples: &[Sample],
    mut go_on: impl FnMut(f64) -> bool,
) -> Result<Diagnosis, NotDiagnosed> {
    let log = Log::of(samples, LOOKED_AT_S).ok_or(NotDiagnosed::NoFlight)?;
    let stretches = Stretch::all(&log);
    let mut causes = Vec::new();
    let mut wind_m_s = [0.0; 2];
    if let Some(inquiry) = Inquiry::of(plane, &log, &stretches)? {
        wind_m_s = [inquiry.base[0], inquiry.base[1]];
        let all = library().count() as f64;
        for (asked, fault) in library().enumerate() {
            if !go_on(asked as f64 / all) {
                return Err(NotDiagnosed::Stopped);
            }
            causes.extend(inquiry.ask(fault));
        }
    }
    if let (Some(throw), true) = (&plane.throw, log.thrown()) {
        causes.extend(thrown(&log, throw).into_iter().map(|thrown| Cause {
            fault: thrown.fault,
            size: thrown.size,
            mirrored: thrown.mirrored,
            gain: thrown.gain,
            evidence: Evidence {
                time_s: log.released_s(),
                released_for_s: 0.0,
                what: thrown.what,
                unit: thrown.unit,
                off_as_designed: thrown.was - thrown.meant,
                off_with_fault: 0.0,
            },
        }));
    }
    let mut hands = if plane.went_wrong {
        by_hand(plane, wind_m_s, samples)
    } else {
        Vec::new()
    };
    for causes in [&mut causes, &mut hands] {
        causes.retain(|cause| cause.gain >= NAMED_FROM);
        causes.sort_by(|a, b| b.gain.total_cmp(&a.gain));
    }
    // Likelihoods of flights and rules over sticks have no common scale; a rule
    // that is broken is broken.
    let alike = match causes.first() {
        Some(best) => (causes.iter())
            .filter(|cause| cause.gain > best.gain - TOLD_APART)
            .count(),
        None => hands.len().min(1),
    };
    causes.extend(hands);
    Ok(Diagnosis {
        alike,
        causes,
        wind_m_s,
        looked_at_s: stretches
            .last()
            .map_or(0.0, |last| last.ends_s() - log.released_s()),
    })
}

/// What the pilot and the air had to do with it.
fn by_hand(plane: &Plane<'_>, wind_m_s: [f64; 2], samples: &[Sample]) -> Vec<Cause> {
    let density_kg_m3 = plane.air.density_kg_m3;
    let steering = plane.radio.steering;
    let hands = Hands::of(plane.airframe, density_kg_m3, steering, wind_m_s, samples);
    let Some(hands) = hands else {
        return Vec::new();
    };
    (hands.broken().into_iter())
        .map(|rule| Cause {
            fault: rule.fault,
            size: None,
            mirrored: false,
            gain: rule.gain,
            evidence: Evidence {
                time_s: rule.at_s,
                released_for_s: rule.at_s - hands.released_s,
                what: rule.what,
                unit: rule.unit,
                off_as_designed: rule.was,
                off_with_fault: rule.limit,
            },
        })
        .collect()
}

/// A log and how the plane as designed would have flown it.
struct Inquiry<'a> {
    log: &'a Log,
    stretches: &'a [Stretch],
    /// As designed.
    model: FlightModel,
    scene: Scene,
    base: [f64; UNKNOWNS],
    slopes: Slopes,
    misses: Vec<Miss>,
    designed: Fit,
}

impl<'a> Inquiry<'a> {
    fn of(
        plane: &Plane<'_>,
        log: &'a Log,
        stretches: &'a [Stretch],
    ) -> Result<Option<Self>, NotDiagnosed> {
        if stretches.is_empty() {
            return Ok(None);
        }
        let scene = Scene {
            airframe: plane.airframe.clone(),
            radio: plane.radio,
            launch: Launch::Throw(plane.throw.unwrap_or_default()),
            trim_error: plane.trim_error,
            mishaps: Mishaps::default(),
            wind: WindScript::calm(),
            person: None,
        };
        let model = FlightModel::new(plane.airframe, plane.air)
            .map_err(|error| NotDiagnosed::NoModel(error.to_string()))?;
        let fly = |unknown: &Unknown| {
            Candidate::new(&scene, unknown, &model)
                .map(|candidate| candidate.misses(log, stretches, unknown))
                .map_err(|error| NotDiagnosed::NoModel(error.to_string()))
        };
        let mut base = [0.0; UNKNOWNS];
        let mut rounds = 0;
        loop {
            let misses = fly(&Unknown::from_array(base))?;
            let mut with: [Vec<Miss>; UNKNOWNS] = core::array::from_fn(|_| Vec::new());
            for (with, unknown) in with.iter_mut().zip(Slopes::steps(base)) {
                *with = fly(&unknown)?;
            }
            let slopes = Slopes::new(&misses, &with);
            let designed = fit(stretches, &misses, &slopes, base);
            let moved = (0..2).any(|u| (designed.unknown[u] - base[u]).abs() > SETTLED_M_S);
            rounds += 1;
            if !moved || rounds == MOST_ROUNDS {
                return Ok(Some(Self {
                    log,
                    stretches,
                    model,
                    scene,
                    base,
                    slopes,
                    misses,
                    designed,
                }));
            }
            // Loads go with the square of the speed, so the wind is closed in on.
            for (base, found) in base.iter_mut().zip(designed.unknown).take(2) {
                *base = found.clamp(-STRONGEST_M_S, STRONGEST_M_S);
            }
        }
    }

    /// How well a fault explains the log, at its likeliest size; `None` when this
    /// plane cannot have it, or it is a matter of the throw.
    fn ask(&self, fault: &'static Fault) -> Option<Cause> {
        if !fault.origin.is_of_plane() {
            return None;
        }
        let Some(sizes) = fault.sizes else {
            let misses = self.fly(fault.name)?;
            return Some(self.cause(fault, None, false, &self.explained(&misses)));
        };
        if sizes.unit == Unit::Second {
            return self.ask_when(fault);
        }
        let mut nodes = vec![(0.0, self.misses.clone())];
        for size in [sizes.small, sizes.medium, sizes.large] {
            let misses = self.fly(&in_words(fault.name, size, sizes.unit))?;
            nodes.push((size, misses));
        }
        if TWO_SIDED.contains(&fault.name) {
            let other_way: Vec<_> = nodes
                .iter()
                .skip(1)
                .map(|node| self.mirrored(node))
                .collect();
            nodes.extend(other_way);
        }
        nodes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut best: Option<(f64, Fit)> = None;
        for pair in nodes.windows(2) {
            for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
                let size = pair[0].0 + (pair[1].0 - pair[0].0) * share;
                let misses: Vec<Miss> = (pair[0].1.iter().zip(&pair[1].1))
                    .map(|(a, b)| core::array::from_fn(|k| a[k] + (b[k] - a[k]) * share))
                    .collect();
                let fit = self.explained(&misses);
                if size != 0.0
                    && best
                        .as_ref()
                        .is_none_or(|(_, best)| fit.log_likelihood > best.log_likelihood)
                {
                    best = Some((size, fit));
                }
            }
        }
        let (size, fit) = best?;
        Some(self.cause(fault, Some(size.abs()), size < 0.0, &fit))
    }

    /// The same for something that gives way at a moment: between two moments
    /// nothing can be told from the flights for both.
    fn ask_when(&self, fault: &'static Fault) -> Option<Cause> {
        let mut best: Option<(f64, Fit)> = None;
        let mut after_s = MOMENTS_S;
        let mut asked = 0.0_f64;
        while after_s < LOOKED_AT_S.min(self.log.ends_s() - self.log.released_s()) {
            let misses = self.fly(&in_words(fault.name, after_s, Unit::Second))?;
            let fit = self.explained(&misses);
            if best
                .as_ref()
                .is_none_or(|(_, best)| fit.log_likelihood > best.log_likelihood)
            {
                best = Some((after_s, fit));
            }
            after_s += MOMENTS_S;
            asked += 1.0;
        }
        let (after_s, mut fit) = best?;
        // Each moment was as likely before anybody looked.
        fit.log_likelihood -= asked.max(1.0).ln();
        Some(self.cause(fault, Some(after_s), false, &fit))
    }

    /// To first order a fault the other way round does the opposite.
    fn mirrored(&self, node: &(f64, Vec<Miss>)) -> (f64, Vec<Miss>) {
        let misses = (self.misses.iter().zip(&node.1))
            .map(|(none, with)| core::array::from_fn(|k| 2.0 * none[k] - with[k]))
            .collect();
        (-node.0, misses)
    }

    fn fly(&self, fault: &str) -> Option<Vec<Miss>> {
        let mut scene = self.scene.clone();
        Injected::parse(fault).ok()?.apply(&mut scene).ok()?;
        let unknown = Unknown::from_array(self.base);
        let candidate = Candidate::new(&scene, &unknown, &self.model).ok()?;
        Some(candidate.misses(self.log, self.stretches, &unknown))
    }

    fn explained(&self, misses: &[Miss]) -> Fit {
        fit(self.stretches, misses, &self.slopes, self.base)
    }

    fn cause(&self, fault: &'static Fault, size: Option<f64>, mirrored: bool, fit: &Fit) -> Cause {
        Cause {
            fault,
            size,
            mirrored,
            gain: fit.log_likelihood - self.designed.log_likelihood,
            evidence: self.evidence(fit),
        }
    }

    /// The one number that the fault explains best.
    fn evidence(&self, fit: &Fit) -> Evidence {
        const DEGREES: f64 = 180.0 / core::f64::consts::PI;
        const NAMES: [(&str, &str, f64, f64); MEASURES] = [
            ("roll rate, right positive", "deg/s", DEGREES, 0.05),
            ("pitch rate, nose up positive", "deg/s", DEGREES, 0.05),
            ("yaw rate, nose right positive", "deg/s", DEGREES, 0.05),
            ("speed ahead after half a second", "m/s", 1.0, 0.1),
            ("speed to the right after half a second", "m/s", 1.0, 0.1),
            ("sink after half a second", "m/s", 1.0, 0.1),
            ("propeller speed", "%", 100.0, 0.03),
            ("battery voltage", "V", 1.0, 0.1),
        ];
        let mut best = (f64::NEG_INFINITY, 0, 0);
        for (n, (without, with)) in self.designed.left.iter().zip(&fit.left).enumerate() {
            for k in 0..MEASURES {
                let usual = NAMES[k].3;
                let explained = (without[k] * without[k] - with[k] * with[k]) / (usual * usual);
                if explained > best.0 {
                    best = (explained, n, k);
                }
            }
        }
        let (_, n, k) = best;
        let (what, unit, per_si, _) = NAMES[k];
        Evidence {
            time_s: self.stretches[n].from_s,
            released_for_s: self.stretches[n].from_s - self.log.released_s(),
            what,
            unit,
            off_as_designed: self.designed.left[n][k] * per_si,
            off_with_fault: fit.left[n][k] * per_si,
        }
    }
}

fn in_words(name: &str, size: f64, unit: Unit) -> String {
    format!("{name}={size} {}", unit.symbol())
}
