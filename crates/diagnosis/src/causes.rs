//! Every fault of the library, asked whether it explains a log.

use larkfield_airframe::Airframe;
use larkfield_faults::{Fault, library};
use larkfield_flight::AirProperties;
use larkfield_pilot::{RadioSetup, Throw, Trims};
use larkfield_recording::Sample;

use crate::besides::{Answers, gain, rank};
use crate::hands::{Hands, OF_ROUGH_AIR};
use crate::in_hand::RanShut;
use crate::inquiry::{Inquiry, designed};
use crate::log::Log;
use crate::refly::Stretch;
use crate::throw::thrown;

/// The first seconds of a flight are looked at: later the pilot has found out.
pub(crate) const LOOKED_AT_S: f64 = 10.0;
/// A fault is named when the log is likelier with it by a factor of e to this
/// power.
pub(crate) const NAMED_FROM: f64 = 10.0;
/// The same of a flight that passed: it has less to explain. Calibrated on 180
/// flights without faults, of which 5 left 10 and more, and 1 left 13.
pub(crate) const NAMED_IN_A_PASS_FROM: f64 = 13.0;
/// What pilot or air did to a flight that went wrong is named from here on when
/// nothing else is (own choice).
const HINTED_FROM: f64 = 4.0;
/// What cannot be by chance.
const CERTAIN: f64 = 100.0;
/// Causes whose likelihoods are nearer than this power of e are one answer: the
/// log cannot tell them apart.
pub(crate) const TOLD_APART: f64 = 3.0;

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
    /// It did not pass, by what the lesson asks or by what whoever flew it says: then
    /// the pilot's hands and the air are asked as well.
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
    /// Causes, the likeliest first; none when nothing was found. First those of each
    /// answer, then what is less likely in place of the first.
    pub causes: Vec<Cause>,
    /// How many of the causes are the first answer, the second and so on. Causes of
    /// one answer cannot be told apart; an answer after the first stands for what
    /// that leaves unexplained.
    pub answers: Vec<usize>,
    /// Wind toward north and east, 10 m above the ground, that explains the log
    /// best.
    pub wind_m_s: [f64; 2],
    /// Seconds of flight that were looked at.
    pub looked_at_s: f64,
    /// The flight did not pass; whatever was found in one that did had no effect on
    /// that, though it may have cost points.
    pub went_wrong: bool,
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
    let mut of_plane = Answers::none();
    let mut wind_m_s = [0.0; 2];
    if let Some(inquiry) = Inquiry::of(plane, &log, &stretches)? {
        wind_m_s = [inquiry.base[0], inquiry.base[1]];
        let all = library().count() as f64;
        let mut asked = Vec::new();
        for (number, fault) in library().enumerate() {
            if !go_on(number as f64 / all) {
                return Err(NotDiagnosed::Stopped);
            }
            asked.extend(inquiry.ask(fault));
        }
        of_plane = inquiry.answers(&mut asked);
    }
    let Answers {
        mut answers,
        others,
    } = of_plane;
    // Too short a flight says nothing of the plane; the hand before it may.
    if answers.is_empty() {
        answers.extend(ran_in_hand(&log, plane));
    }
    // A throw is measured by itself, whatever else is wrong.
    if let (Some(throw), true) = (&plane.throw, log.thrown()) {
        answers.extend(by_throw(&log, throw).map(|cause| vec![cause]));
    }
    answers.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
    let mut hands = if plane.went_wrong {
        by_hand(plane, wind_m_s, samples)
    } else {
        Vec::new()
    };
    rank(&mut hands, HINTED_FROM);
    let sure = hands.partition_point(|cause| cause.gain >= NAMED_FROM);
    // In place of nothing, what it was nearest to.
    hands.truncate(sure.max(usize::from(answers.is_empty())));
    // Likelihoods of flights and rules over sticks have no common scale; a rule
    // that is broken is broken.
    let mut counts: Vec<usize> = answers.iter().map(Vec::len).collect();
    if counts.is_empty() && !hands.is_empty() {
        let of_air = |cause: &&Cause| OF_ROUGH_AIR.contains(&cause.fault.name);
        counts.push(hands.iter().take_while(of_air).count().max(1));
    }
    let causes = (answers.into_iter().flatten()).chain(others).chain(hands);
    Ok(Diagnosis {
        answers: counts,
        causes: causes.collect(),
        wind_m_s,
        looked_at_s: stretches
            .last()
            .map_or(0.0, |last| last.ends_s() - log.released_s()),
        went_wrong: plane.went_wrong,
    })
}

/// Why the motor ran in the hand, if it did.
fn ran_in_hand(log: &Log, plane: &Plane<'_>) -> Option<Vec<Cause>> {
    const RPM: f64 = 30.0 / core::f64::consts::PI;
    let ran = RanShut::of(log, &designed(plane))?;
    let causes = ran.faults.iter().map(|fault| Cause {
        fault,
        size: None,
        mirrored: false,
        // A motor does not start by itself.
        gain: CERTAIN,
        evidence: Evidence {
            time_s: ran.at_s,
            released_for_s: ran.at_s - log.released_s(),
            what: "propeller in the hand, its stick shut",
            unit: "rpm",
            off_as_designed: ran.fastest_rad_s * RPM,
            off_with_fault: 0.0,
        },
    });
    Some(causes.collect()).filter(|causes: &Vec<Cause>| !causes.is_empty())
}

/// What was wrong with the throw.
fn by_throw(log: &Log, meant: &Throw) -> impl Iterator<Item = Cause> {
    let causes = thrown(log, meant).into_iter().map(|thrown| Cause {
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
    });
    causes.filter(|cause| cause.gain >= NAMED_FROM)
}

/// What the pilot and the air had to do with it.
fn by_hand(plane: &Plane<'_>, wind_m_s: [f64; 2], samples: &[Sample]) -> Vec<Cause> {
    let Some(hands) = Hands::of(plane, wind_m_s, samples) else {
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
