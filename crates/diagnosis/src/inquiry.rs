//! A log, how the plane as designed would have flown it, and how it would have
//! been flown with each fault.

use larkfield_faults::{Fault, Injected, Scene, Unit};
use larkfield_flight::{FlightModel, FlightModelError};
use larkfield_pilot::{Launch, Mishaps};
use larkfield_weather::WindScript;

use crate::causes::{
    Cause, Evidence, LOOKED_AT_S, NAMED_FROM, NAMED_IN_A_PASS_FROM, NotDiagnosed, Plane,
};
use crate::fit::{Fit, Slopes, UNKNOWNS, USUAL, fit};
use crate::in_wind::InWind;
use crate::log::Log;
use crate::refly::{Candidate, MEASURES, Miss, Stretch, Unknown};

/// What gives way in flight is asked for at every such moment.
const MOMENTS_S: f64 = 0.5;
/// Of these so many are one step at first sight; a closer look goes over those
/// between the likeliest and its neighbours.
const AT_FIRST: usize = 2;
/// So many of the likeliest faults are looked at closely, and of the others so
/// many that give way in flight: a moment that is half a second off spoils much.
const CLOSELY: usize = 8;
const GIVE_WAY_CLOSELY: usize = 2;
/// Who went in sooner leaves little to take a wind from.
const WENT_IN_AT_ONCE_S: f64 = 5.0;

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

/// A fault of a size, flown or reckoned from flights with other sizes.
#[derive(Debug, Clone)]
pub(crate) struct Variant {
    /// Less than nothing: the other way round than the library describes it. `None`
    /// for a fault without sizes.
    pub size: Option<f64>,
    pub misses: Vec<Miss>,
    /// Logarithm of how likely it was before anybody looked, among its own kind.
    pub prior: f64,
}

/// A fault that was asked whether it explains the log.
pub(crate) struct Asked {
    pub fault: &'static Fault,
    pub variants: Vec<Variant>,
    /// Number of the likeliest of them.
    pub best: usize,
    pub fit: Fit,
    /// Flown in every size and around its likeliest moment; at first sight other
    /// sizes are reckoned from one.
    pub closely: bool,
}

impl Asked {
    fn of_size(&self, size: f64) -> Option<&Variant> {
        (self.variants.iter()).find(|variant| variant.size == Some(size))
    }
}

/// A log and how the plane as designed would have flown it.
pub(crate) struct Inquiry<'a> {
    log: &'a Log,
    stretches: &'a [Stretch],
    /// As designed.
    model: FlightModel,
    scene: Scene,
    pub base: [f64; UNKNOWNS],
    slopes: Slopes,
    pub misses: Vec<Miss>,
    pub designed: Fit,
    /// How much has to speak for a cause.
    pub named_from: f64,
}

impl<'a> Inquiry<'a> {
    pub fn of(
        plane: &Plane<'_>,
        log: &'a Log,
        stretches: &'a [Stretch],
    ) -> Result<Option<Self>, NotDiagnosed> {
        if stretches.is_empty() {
            return Ok(None);
        }
        let scene = designed(plane);
        let no_model = |error: FlightModelError| NotDiagnosed::NoModel(error.to_string());
        let model = FlightModel::new(plane.airframe, plane.air).map_err(no_model)?;
        let in_wind = InWind::of(&scene, &model, log, stretches, None).map_err(no_model)?;
        let InWind {
            base,
            slopes,
            misses,
            fit: designed,
        } = in_wind;
        Ok(Some(Self {
            log,
            stretches,
            model,
            scene,
            base,
            slopes,
            misses,
            designed,
            named_from: if plane.went_wrong {
                NAMED_FROM
            } else {
                NAMED_IN_A_PASS_FROM
            },
        }))
    }

    /// The wind may have little to do with what blew: it takes more of it than
    /// usual to explain the log with the plane as designed, or there is little log.
    pub fn wind_is_doubtful(&self) -> bool {
        let flown_s = self.log.ends_s() - self.log.released_s();
        flown_s < WENT_IN_AT_ONCE_S || libm::hypot(self.base[0], self.base[1]) > USUAL[0]
    }

    /// How a fault fits when its own wind is looked for, not that of the plane as
    /// designed: where those differ much, what was reckoned from one says little
    /// about the other.
    pub fn in_its_own_wind(&self, fault: &'static Fault, variant: &Variant) -> Option<Fit> {
        let scene = self.scene_with(&[(fault, variant.size)])?;
        let known = Some(&self.slopes);
        let mut fit = InWind::of(&scene, &self.model, self.log, self.stretches, known)
            .ok()?
            .fit;
        fit.log_likelihood += variant.prior;
        Some(fit)
    }

    /// How well a fault explains the log, at its likeliest size, at first sight;
    /// `None` when this plane cannot have it, or it is a matter of the throw.
    pub fn ask(&self, fault: &'static Fault) -> Option<Asked> {
        if !fault.origin.is_of_plane() {
            return None;
        }
        self.look(fault, None)
    }

    /// Looks at the likeliest closely.
    pub fn ask_likeliest_closely(&self, asked: &mut [Asked]) {
        asked.sort_by(|a, b| b.fit.log_likelihood.total_cmp(&a.fit.log_likelihood));
        let (likeliest, others) = asked.split_at_mut(CLOSELY.min(asked.len()));
        let give_way = (others.iter_mut())
            .filter(|of| gives_way(of.fault))
            .take(GIVE_WAY_CLOSELY);
        for of in likeliest.iter_mut().chain(give_way) {
            self.ask_closely(of);
        }
        self.ask_of_the_same_moment(asked);
    }

    /// Whatever gave way, it was when the log changed: the moment that suits one
    /// fault best is asked of the others, which may have been looked at around
    /// another one.
    fn ask_of_the_same_moment(&self, asked: &mut [Asked]) {
        let give_way = || asked.iter().filter(|of| gives_way(of.fault));
        let likelihood = |of: &&Asked| of.fit.log_likelihood;
        let likeliest = give_way().max_by(|a, b| likelihood(a).total_cmp(&likelihood(b)));
        let Some(moment_s) = likeliest.and_then(|of| of.variants[of.best].size) else {
            return;
        };
        for of in asked.iter_mut().filter(|of| gives_way(of.fault)) {
            let prior = of.variants[of.best].prior;
            if of.of_size(moment_s).is_none()
                && let Some(misses) = self.gave_way(of.fault, moment_s)
            {
                let variant = Variant {
                    size: Some(moment_s),
                    misses,
                    prior,
                };
                let fit = self.explained(&variant);
                if fit.log_likelihood > of.fit.log_likelihood {
                    (of.best, of.fit) = (of.variants.len(), fit);
                }
                of.variants.push(variant);
            }
        }
    }

    /// Looks at one closely, if that has not been done.
    pub fn ask_closely(&self, asked: &mut Asked) {
        if !asked.closely
            && let Some(close) = self.look(asked.fault, Some(asked))
        {
            *asked = close;
        }
        asked.closely = true;
    }

    /// `seen`: what the first look saw.
    fn look(&self, fault: &'static Fault, seen: Option<&Asked>) -> Option<Asked> {
        let variants = match fault.sizes {
            None => vec![self.variant(fault, None)?],
            Some(_) if gives_way(fault) => self.moments(fault, seen)?,
            Some(sizes) => self.sizes(fault, [sizes.small, sizes.medium, sizes.large], seen)?,
        };
        let (best, fit) = likeliest(variants.iter().map(|variant| self.explained(variant)))?;
        Some(Asked {
            fault,
            variants,
            best,
            fit,
            closely: seen.is_some() || fault.sizes.is_none(),
        })
    }

    /// A fault in sizes from the first to the last of three, and the other way
    /// round where it may be.
    fn sizes(
        &self,
        fault: &'static Fault,
        [small, medium, large]: [f64; 3],
        seen: Option<&Asked>,
    ) -> Option<Vec<Variant>> {
        let fly = |size| self.fly(&[(fault, Some(size))]);
        let mut nodes = vec![(0.0, self.misses.clone())];
        match seen {
            None => {
                let misses = fly(medium)?;
                // To first order it goes on like that.
                let further = between(&self.misses, &misses, large / medium);
                nodes.extend([(medium, misses), (large, further)]);
            }
            Some(seen) => {
                let flown = seen.of_size(medium)?.misses.clone();
                nodes.extend([(small, fly(small)?), (medium, flown), (large, fly(large)?)]);
            }
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
        let mut variants = Vec::new();
        for pair in nodes.windows(2) {
            for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
                let size = pair[0].0 + (pair[1].0 - pair[0].0) * share;
                let is_new = |last: &Variant| last.size != Some(size);
                if size != 0.0 && variants.last().is_none_or(is_new) {
                    variants.push(Variant {
                        size: Some(size),
                        misses: between(&pair[0].1, &pair[1].1, share),
                        prior: 0.0,
                    });
                }
            }
        }
        Some(variants)
    }

    /// Something that gives way at a moment: between two moments nothing can be
    /// told from the flights for both.
    fn moments(&self, fault: &'static Fault, seen: Option<&Asked>) -> Option<Vec<Variant>> {
        let flown_s = LOOKED_AT_S.min(self.log.ends_s() - self.log.released_s());
        let after_s = |number: usize| MOMENTS_S * number as f64;
        let all: Vec<usize> = (1..).take_while(|n| after_s(*n) < flown_s).collect();
        // Each moment was as likely before anybody looked.
        let prior = -(all.len().max(1) as f64).ln();
        let likeliest_s = seen.and_then(|seen| seen.variants[seen.best].size);
        let is_near = |number: usize| {
            let reach_s = MOMENTS_S * AT_FIRST as f64;
            likeliest_s.is_some_and(|likeliest_s| (after_s(number) - likeliest_s).abs() < reach_s)
        };
        let mut variants = Vec::new();
        for (index, number) in all.into_iter().enumerate() {
            let size = after_s(number);
            let misses = match seen.and_then(|seen| seen.of_size(size)) {
                Some(flown) => flown.misses.clone(),
                None if index % AT_FIRST == 0 || is_near(number) => self.gave_way(fault, size)?,
                None => continue,
            };
            variants.push(Variant {
                size: Some(size),
                misses,
                prior,
            });
        }
        Some(variants)
    }

    /// Something that gives way that long after the release.
    fn gave_way(&self, fault: &'static Fault, after_s: f64) -> Option<Vec<Miss>> {
        // Until then it is the plane as designed.
        let gives_way_s = self.log.released_s() + after_s;
        let sound = (self.stretches.iter())
            .take_while(|stretch| stretch.ends_s() < gives_way_s)
            .count();
        let mut misses = self.misses[..sound].to_vec();
        misses.extend(self.fly_from(sound, &[(fault, Some(after_s))])?);
        Some(misses)
    }

    /// To first order a fault the other way round does the opposite.
    fn mirrored(&self, node: &(f64, Vec<Miss>)) -> (f64, Vec<Miss>) {
        (-node.0, between(&self.misses, &node.1, -1.0))
    }

    fn variant(&self, fault: &'static Fault, size: Option<f64>) -> Option<Variant> {
        Some(Variant {
            size,
            misses: self.fly(&[(fault, size)])?,
            prior: 0.0,
        })
    }

    /// Flies the log with all of these faults; `None` when this plane cannot have
    /// one of them.
    pub fn fly(&self, faults: &[(&'static Fault, Option<f64>)]) -> Option<Vec<Miss>> {
        self.fly_from(0, faults)
    }

    /// The same, but for the first stretches.
    fn fly_from(
        &self,
        first: usize,
        faults: &[(&'static Fault, Option<f64>)],
    ) -> Option<Vec<Miss>> {
        let scene = self.scene_with(faults)?;
        let unknown = Unknown::from_array(self.base);
        let candidate = Candidate::new(&scene, &unknown, &self.model).ok()?;
        Some(candidate.misses(self.log, &self.stretches[first..], &unknown))
    }

    fn scene_with(&self, faults: &[(&'static Fault, Option<f64>)]) -> Option<Scene> {
        let mut scene = self.scene.clone();
        for (fault, size) in faults {
            let injected = Injected::of_size(fault, size.unwrap_or(1.0));
            injected.apply(&mut scene).ok()?;
        }
        Some(scene)
    }

    pub fn explained(&self, variant: &Variant) -> Fit {
        let mut fit = fit(self.stretches, &variant.misses, &self.slopes, self.base);
        fit.log_likelihood += variant.prior;
        fit
    }

    /// A fault as a cause: how the log fits without it and with it.
    pub fn cause(
        &self,
        fault: &'static Fault,
        size: Option<f64>,
        without: &Fit,
        with: &Fit,
    ) -> Cause {
        Cause {
            fault,
            size: size.map(f64::abs),
            mirrored: size.is_some_and(|size| size < 0.0),
            gain: with.log_likelihood - without.log_likelihood,
            evidence: self.evidence(without, with),
        }
    }

    /// The one number that the fault explains best.
    fn evidence(&self, without: &Fit, with: &Fit) -> Evidence {
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
        for (n, (without, with)) in without.left.iter().zip(&with.left).enumerate() {
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
            off_as_designed: without.left[n][k] * per_si,
            off_with_fault: with.left[n][k] * per_si,
        }
    }
}

/// Its size is the moment at which it shows.
fn gives_way(fault: &Fault) -> bool {
    (fault.sizes).is_some_and(|sizes| sizes.unit == Unit::Second)
}

/// A flight of the plane as designed.
pub(crate) fn designed(plane: &Plane<'_>) -> Scene {
    Scene {
        airframe: plane.airframe.clone(),
        radio: plane.radio,
        launch: Launch::Throw(plane.throw.unwrap_or_default()),
        trim_error: plane.trim_error,
        mishaps: Mishaps::default(),
        wind: WindScript::calm(),
        person: None,
    }
}

/// The likeliest of some fits, and which it is.
pub(crate) fn likeliest(fits: impl Iterator<Item = Fit>) -> Option<(usize, Fit)> {
    let mut best: Option<(usize, Fit)> = None;
    for (index, fit) in fits.enumerate() {
        let is_best = |(_, best): &(usize, Fit)| fit.log_likelihood > best.log_likelihood;
        if best.as_ref().is_none_or(is_best) {
            best = Some((index, fit));
        }
    }
    best
}

/// Part of the way from some misses to others.
fn between(from: &[Miss], to: &[Miss], share: f64) -> Vec<Miss> {
    (from.iter().zip(to))
        .map(|(a, b)| core::array::from_fn(|k| a[k] + (b[k] - a[k]) * share))
        .collect()
}
