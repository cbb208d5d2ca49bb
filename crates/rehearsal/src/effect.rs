//! What the faults of a flight did to it: the same day without them tells.

use larkfield_lesson::Score;
use larkfield_pilot::PilotKind;

use crate::flown::fly;
use crate::inputs::Inputs;
use crate::performance::performance_of;
use crate::request::Request;

/// Faults that cost fewer points of a lesson than this, and do not cost the pass,
/// are too small to matter (own choice).
pub const MATTERS_FROM_POINTS: f64 = 5.0;

/// What the faults of a flight did to its score.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// The faults, with their sizes.
    pub faults: Vec<String>,
    /// With them.
    pub with: Outcome,
    /// The same day without them.
    pub without: Outcome,
}

/// How a flight came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Points of 100.
    pub points: f64,
    /// Whether it passed.
    pub passed: bool,
}

impl Outcome {
    fn of(score: &Score) -> Self {
        Self {
            points: score.total,
            passed: score.passed,
        }
    }
}

impl Effect {
    /// Flies the same day without the faults. Takes as long as the flight took.
    /// `None` without faults, and where nobody can fly the same day again: what a
    /// person's hands did answered the plane that they had, and files may have gone
    /// since, which must not cost the flight that was flown.
    pub fn of(request: &Request, inputs: &Inputs, seed: u64, score: &Score) -> Option<Self> {
        let is_scripted = match inputs.lesson.pilot {
            PilotKind::Competent
            | PilotKind::Beginner
            | PilotKind::Learner(_)
            | PilotKind::HandsOff => true,
            PilotKind::Playback | PilotKind::Person => false,
        };
        if inputs.faults.is_empty() || !is_scripted {
            return None;
        }
        let sound = Inputs::resolve_without_faults(request).ok()?;
        let flights = fly(&sound, &performance_of(&sound.model), &[seed], |_| true).ok()?;
        Some(Self {
            faults: inputs.faults.iter().map(ToString::to_string).collect(),
            with: Outcome::of(score),
            without: Outcome::of(&flights.first()?.score),
        })
    }

    /// Points that they cost.
    #[must_use]
    pub fn cost_points(&self) -> f64 {
        self.without.points - self.with.points
    }

    fn cost_the_pass(&self) -> bool {
        self.without.passed && !self.with.passed
    }

    /// They cost the pass, or points worth speaking of.
    #[must_use]
    pub fn matters(&self) -> bool {
        self.cost_the_pass() || self.cost_points() >= MATTERS_FROM_POINTS
    }

    /// In a sentence.
    #[must_use]
    pub fn in_words(&self) -> String {
        let faults = self.faults.join(" and ");
        let (with, without) = (self.with, self.without);
        let it = if self.faults.len() > 1 { "them" } else { "it" };
        let day = format!(
            "the same day without {it} gives {:.0} of 100 points",
            without.points
        );
        if self.cost_the_pass() {
            format!(
                "{faults} cost the pass: {day}, and this {:.0}.",
                with.points
            )
        } else if self.matters() {
            format!("{faults} cost {:.0} points: {day}.", self.cost_points())
        } else {
            format!(
                "{faults}: no effect that matters; {day}, and this {:.0}.",
                with.points
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn effect(with: (f64, bool), without: (f64, bool)) -> Effect {
        let outcome = |(points, passed)| Outcome { points, passed };
        Effect {
            faults: vec!["tail-heavy=1 mm".to_owned()],
            with: outcome(with),
            without: outcome(without),
        }
    }

    #[test]
    fn what_costs_neither_pass_nor_points_has_no_effect() {
        let small = effect((97.0, true), (99.0, true));
        assert!(!small.matters() && small.in_words().contains("no effect"));
        // Nor has what went with a better flight, or with one as bad.
        assert!(!effect((99.0, true), (80.0, true)).matters());
        assert!(!effect((0.0, false), (0.0, false)).matters());
        let dear = effect((80.0, true), (99.0, true));
        assert!(dear.matters() && dear.in_words().contains("cost 19 points"));
        let fatal = effect((59.0, false), (61.0, true));
        assert!(fatal.matters() && fatal.in_words().contains("cost the pass"));
    }
}
