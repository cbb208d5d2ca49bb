//! Counts and middles of many flights: what page and JSON say alike.

use super::runs::{RepeatInput, RunSummary, TouchDown};
use super::share::Share;

/// Height above which a stall is a fault of flying, not the end of a flare.
/// Common practice, no source.
pub const HIGH_STALL_M: f64 = 2.0;
/// A stall this long before the touch or the end belongs to it.
const BEFORE_END_S: f64 = 6.0;

/// How many flights did a phase, and how many ended in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FunnelStep {
    /// Name of the phase.
    pub phase: String,
    /// Flights that did it and every phase before it.
    pub done: Share,
    /// Flights for which it was the first they did not do.
    pub ended_here: u64,
}

/// A way in which flights went wrong, and which did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cause {
    /// What happened.
    pub words: String,
    /// Seeds, in order.
    pub seeds: Vec<u64>,
}

/// Middle and ends of a measured value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Values that are known.
    pub count: usize,
    /// Nine of ten are above.
    pub p10: f64,
    /// Half of them are above.
    pub median: f64,
    /// One of ten is above.
    pub p90: f64,
    /// The largest.
    pub most: f64,
}

impl RepeatInput {
    /// Share of the flights for which something holds.
    pub fn share(&self, holds: impl Fn(&RunSummary) -> bool) -> Share {
        Share {
            hits: self.runs.iter().filter(|run| holds(run)).count() as u64,
            of: self.runs.len() as u64,
        }
    }

    /// Flights from the worst on: zeroed, then by score, then by seed.
    #[must_use]
    pub fn worst_first(&self) -> Vec<&RunSummary> {
        let mut runs: Vec<&RunSummary> = self.runs.iter().collect();
        // A score that is not a number is worse than any that is one.
        let rank = |run: &RunSummary| if run.score.is_nan() { -1.0 } else { run.score };
        runs.sort_by(|a, b| {
            let zeroed = b.zeroed_by.is_some().cmp(&a.zeroed_by.is_some());
            zeroed
                .then(rank(a).total_cmp(&rank(b)))
                .then(a.seed.cmp(&b.seed))
        });
        runs
    }

    /// Where flights ended, phase by phase.
    #[must_use]
    pub fn funnel(&self) -> Vec<FunnelStep> {
        self.phases
            .iter()
            .enumerate()
            .map(|(index, phase)| FunnelStep {
                phase: phase.clone(),
                done: self.share(|run| run.phases_done() > index),
                ended_here: self.share(|run| run.phases_done() == index).hits,
            })
            .collect()
    }

    /// What went wrong, the most frequent first.
    #[must_use]
    pub fn causes(&self) -> Vec<Cause> {
        let mut causes: Vec<Cause> = Vec::new();
        for run in &self.runs {
            let Some(words) = self.cause(run) else {
                continue;
            };
            match causes.iter_mut().find(|cause| cause.words == words) {
                Some(cause) => cause.seeds.push(run.seed),
                None => causes.push(Cause {
                    words,
                    seeds: vec![run.seed],
                }),
            }
        }
        // Stable: equal ones stay in the order of their first seed.
        causes.sort_by_key(|cause| core::cmp::Reverse(cause.seeds.len()));
        causes
    }

    /// Which part broke first in how many flights, the most frequent first.
    #[must_use]
    pub fn first_broken(&self) -> Vec<(&str, u64)> {
        let mut parts: Vec<(&str, u64)> = Vec::new();
        for part in self.runs.iter().filter_map(|run| run.broken_parts.first()) {
            match parts.iter_mut().find(|(name, _)| name == part) {
                Some((_, count)) => *count += 1,
                None => parts.push((part, 1)),
            }
        }
        parts.sort_by_key(|(_, count)| core::cmp::Reverse(*count));
        parts
    }

    /// Why a flight was not a good one, in words that hold no numbers, so that
    /// flights that failed alike are counted together.
    fn cause(&self, run: &RunSummary) -> Option<String> {
        let broke = run.broken_parts.first();
        let zeroed = run.zeroed_by.as_deref().map(without_numbers);
        if run.completed {
            let but = zeroed.or_else(|| broke.map(|_| "something broke".to_owned()));
            return but.map(|but| format!("Completed, but {but}"));
        }
        let done = run.phases_done();
        let phase = self.phases.get(done).map_or("the lesson", String::as_str);
        let touched_outside = self.landing.as_ref().filter(|area| {
            area.required
                && area.phase == done
                && run.touch.as_ref().is_some_and(|touch| !touch.in_area)
        });
        if let Some(reason) = zeroed {
            return Some(format!("{}: {reason}", capital(phase)));
        }
        let how = match (broke, touched_outside) {
            (Some(_), _) => "it hit the ground and broke".to_owned(),
            // It names its phase already.
            (None, _) if !run.failed.is_empty() => return Some(capital(&run.failed)),
            (None, Some(area)) => format!("it touched outside {}", area.name),
            (None, None) if run.ended_by.is_empty() => "it was not done".to_owned(),
            (None, None) => run.ended_by.clone(),
        };
        let stalled = if stalled_before_end(run) {
            ", after a stall"
        } else {
            ""
        };
        Some(format!("{}: {how}{stalled}", capital(phase)))
    }

    /// Touches by planes that had done every phase before the touch: landings,
    /// not crashes on the way.
    #[must_use]
    pub fn landings(&self) -> Vec<(&RunSummary, &TouchDown)> {
        let Some(area) = &self.landing else {
            return Vec::new();
        };
        self.runs
            .iter()
            .filter(|run| run.phases_done() >= area.phase)
            .filter_map(|run| Some((run, run.touch.as_ref()?)))
            .collect()
    }
}

/// A stall, well above the ground, that the flight did not outlive for long.
fn stalled_before_end(run: &RunSummary) -> bool {
    let end_s = run
        .touch
        .as_ref()
        .map_or(run.released_s + run.airborne_s, |touch| touch.time_s);
    run.first_stall
        .is_some_and(|stall| stall.height_m > HIGH_STALL_M && end_s - stall.time_s < BEFORE_END_S)
}

/// The phase in which a flight ended.
pub(super) fn ended_in<'a>(input: &'a RepeatInput, run: &RunSummary) -> &'a str {
    let phase = input.phases.get(run.phases_done());
    phase.map_or("none: all done", String::as_str)
}

/// A reason without what differs from flight to flight: "the plane passed
/// 4.2 m from the pilot; 10 m is the least" passed too near to the pilot.
fn without_numbers(reason: &str) -> String {
    let first = reason.split(';').next().unwrap_or(reason);
    let mut words = Vec::new();
    let mut rest = first.split_whitespace();
    while let Some(word) = rest.next() {
        if word.starts_with(|c: char| c.is_ascii_digit()) || word == "NaN" {
            // The unit and "from".
            rest.nth(1);
            words.push("too near to");
        } else {
            words.push(word);
        }
    }
    words.join(" ")
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

/// The middle of numbers in order; the mean of two when there is no middle
/// one. NaN when there are none.
#[must_use]
pub fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    quantile(&sorted, 0.5)
}

/// The value below which `share` of sorted numbers lie, on straight lines
/// between the ranks: definition 7 of R. J. Hyndman and Y. Fan, "Sample
/// quantiles in statistical packages", The American Statistician 50 (1996) 361.
#[must_use]
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return f64::NAN;
    };
    let rank = share.clamp(0.0, 1.0) * last as f64;
    let below = (rank.floor() as usize).min(last);
    let above = (below + 1).min(last);
    let between = rank - below as f64;
    if between == 0.0 {
        sorted[below]
    } else {
        sorted[below] + between * (sorted[above] - sorted[below])
    }
}

/// Middle and ends; all NaN when nothing is known.
#[must_use]
pub fn spread(values: impl Iterator<Item = f64>) -> Spread {
    let mut sorted: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    Spread {
        count: sorted.len(),
        p10: quantile(&sorted, 0.1),
        median: quantile(&sorted, 0.5),
        p90: quantile(&sorted, 0.9),
        most: sorted.last().copied().unwrap_or(f64::NAN),
    }
}
