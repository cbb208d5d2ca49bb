//! From a recording to points and advice.
//!
//! Every line is a physical margin on a [`crate::Scale`]. A line counts for
//! the share of its phase that was flown: half a climb with level wings earns
//! half. What a plane can do by itself (climb, keep its heading) counts while a
//! hand was flying it. Endangering anybody makes the total zero, whatever the
//! lines say.

mod advice;
mod advice_circuit;
mod circuit;
mod danger;
mod flown;
mod landing;
mod measure;
mod summary;

use larkfield_recording::Recording;
use serde::Serialize;

use crate::{Conditions, Field, Lesson, Performance};

/// Points from which a lesson that was completed undamaged is passed (common
/// practice, no source).
pub const PASS_POINTS: f64 = 60.0;

/// One line of the score.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mark {
    /// Phase it belongs to.
    pub phase: String,
    /// What was judged.
    pub name: String,
    /// What was measured, in `unit`; `None` when there was nothing to measure.
    pub value: Option<f64>,
    /// Unit of `value`.
    pub unit: String,
    /// What was asked, in words and with its unit.
    pub limit: String,
    /// Points given.
    pub points: f64,
    /// Points to be had.
    pub of: f64,
    /// One sentence in cues that a pilot has: attitude, sound, sink.
    pub advice: String,
}

impl Mark {
    /// The value with its unit, rounded for reading.
    pub fn value_in_words(&self) -> String {
        match self.value {
            Some(value) if self.unit == "parts" => format!("{value:.0} {}", self.unit),
            Some(value) => format!("{value:.1} {}", self.unit),
            None => "not reached".to_owned(),
        }
    }
}

/// A phase as it was flown.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PhaseFlown {
    /// Its name.
    pub name: String,
    /// When it began, since the start of the run; `None` when it never did.
    pub from_s: Option<f64>,
    /// When it was done or the flight was over.
    pub to_s: Option<f64>,
    /// Share of its goal that was reached, 0 to 1.
    pub share: f64,
    /// The goal was reached.
    pub done: bool,
}

/// The score of a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Score {
    /// 0 to 100.
    pub total: f64,
    /// Why the total is zero whatever the lines say.
    pub zeroed_by: Option<String>,
    /// What happened, in one sentence.
    pub headline: String,
    /// What to do next, the most useful first.
    pub next: Vec<String>,
    /// Completed, nothing broken, nobody endangered, [`PASS_POINTS`] or more.
    pub passed: bool,
    /// All phases were completed.
    pub goal_reached: bool,
    /// Parts that broke.
    pub broken_parts: Vec<String>,
    /// From release to the first touch of the ground or the end.
    pub flown_s: f64,
    /// Highest height of the balance point.
    pub highest_m: f64,
    /// Phases in order.
    pub phases: Vec<PhaseFlown>,
    /// The lines.
    pub marks: Vec<Mark>,
}

/// Scores a run of a lesson on a field with a plane of this performance in the
/// wind of the day. Reads nothing but its arguments; an empty recording scores zero.
pub fn score(
    lesson: &Lesson,
    field: &Field,
    recording: &Recording,
    performance: &Performance,
    conditions: &Conditions,
) -> Score {
    let flight = flown::Flight::new(lesson, field, recording, conditions);
    let mut marks = Vec::new();
    let mut losses = Vec::new();
    for (index, phase) in lesson.phases.iter().enumerate() {
        let counts = phase.marks.iter();
        for rule in counts.filter(|rule| rule.counts_for(conditions.undercarriage)) {
            let value = measure::measure(rule.kind, &flight, index, performance);
            let earned = value.map_or(0.0, |value| rule.scale.share(value));
            let points = rule.points * earned * flight.share_counted(rule.kind, index);
            let advice = advice::advice(rule, value, &flight, index);
            losses.push((rule.points - points, advice.clone()));
            marks.push(Mark {
                phase: phase.name.clone(),
                name: rule.kind.name().to_owned(),
                value: value.filter(|value| value.is_finite()),
                unit: rule.kind.unit().to_owned(),
                limit: rule.scale.in_words(rule.kind.unit()),
                points,
                of: rule.points,
                advice,
            });
        }
    }
    let zeroed_by = danger::zeroed_by(field, recording);
    let sum: f64 = marks.iter().map(|mark| mark.points).sum();
    let total = if zeroed_by.is_some() || !sum.is_finite() {
        0.0
    } else {
        sum.clamp(0.0, 100.0)
    };
    let broken_parts = flight.broken_parts();
    Score {
        total,
        headline: summary::headline(&flight, total, zeroed_by.as_deref()),
        next: summary::next(losses, total, zeroed_by.is_some()),
        passed: flight.goal_reached()
            && zeroed_by.is_none()
            && broken_parts.is_empty()
            && total >= PASS_POINTS,
        zeroed_by,
        goal_reached: flight.goal_reached(),
        broken_parts,
        flown_s: flight.flown_s(),
        highest_m: flight.highest_m(),
        phases: phases(lesson, &flight),
        marks,
    }
}

fn phases(lesson: &Lesson, flight: &flown::Flight) -> Vec<PhaseFlown> {
    let of = |(index, phase): (usize, &crate::Phase)| {
        let stretch = flight.stretch(index);
        PhaseFlown {
            name: phase.name.clone(),
            from_s: stretch.map(|s| s.from_s),
            to_s: stretch.map(|s| s.to_s),
            share: stretch.map_or(0.0, |s| s.progress),
            done: stretch.is_some_and(|s| s.done),
        }
    };
    lesson.phases.iter().enumerate().map(of).collect()
}
