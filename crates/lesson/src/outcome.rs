//! How a flight went in a few numbers, for the table of many flights.

use larkfield_pilot::attitude::{PI, wrap};
use larkfield_recording::{Event, EventKind, FlightStage, Recording, Sample};

use crate::{Conditions, Field, Goal, Lesson, Watch};

const DEGREES: f64 = 180.0 / PI;
/// The first seconds of a flight, in which a bad start shows.
pub const FIRST_S: f64 = 3.0;
/// Event times and sample times are both sums of ticks.
const SLACK_S: f64 = 1e-6;

/// The first touch of the ground after the take-off, a moment before the ground
/// changed anything. Along, right and heading are against the landing direction
/// of the day and the middle of the box; without a landing in the lesson,
/// against the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstTouch {
    /// Time since the start of the run.
    pub time_s: f64,
    /// Beyond the middle.
    pub along_m: f64,
    /// To the right of the landing line.
    pub right_m: f64,
    /// Inside the box, or on the strip.
    pub in_area: bool,
    /// Rate of descent.
    pub sink_m_s: f64,
    /// Speed over the ground.
    pub ground_speed_m_s: f64,
    /// Part of it across the nose, to the right positive.
    pub drift_m_s: f64,
    /// Bank, right wing low positive.
    pub bank_deg: f64,
    /// Nose against the landing direction, to the right positive.
    pub heading_error_deg: f64,
    /// Throttle stick, 0 to 1.
    pub throttle_fraction: f64,
    /// Part that touched.
    pub part: String,
}

/// What happened in a flight, from its recording alone.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// When the hand let go, or the start of a run without a hand.
    pub released_s: Option<f64>,
    /// When each phase of the lesson was done.
    pub phases_done_s: Vec<Option<f64>>,
    /// Lowest height of the balance point in the first [`FIRST_S`]; `None` for
    /// a plane that was never let go, or that starts on the ground.
    pub lowest_in_first_m: Option<f64>,
    /// Still in the air and unbroken after [`FIRST_S`]; `None` for a plane that
    /// starts on the ground.
    pub flying_after_first: Option<bool>,
    /// Time and height of the first stall in the air.
    pub first_stall: Option<(f64, f64)>,
    /// First touch after the take-off.
    pub touch: Option<FirstTouch>,
    /// The phase that could not be done any more, and why; empty when there was
    /// none.
    pub failed: String,
    /// Why the run was over.
    pub ended_by: String,
}

/// Looks through a recording of a lesson flown on a day.
pub fn outcome(
    lesson: &Lesson,
    field: &Field,
    recording: &Recording,
    conditions: &Conditions,
) -> Outcome {
    let events = &recording.events;
    let released_s = released_s(recording);
    let phases_done_s: Vec<Option<f64>> = lesson
        .phases
        .iter()
        .map(|phase| {
            time_of(
                events,
                |kind| matches!(kind, EventKind::PhaseDone { phase: done } if *done == phase.name),
            )
        })
        .collect();
    let lifts_off = lesson.phases.first().map(|phase| phase.goal) == Some(Goal::LiftOff);
    let airborne_s = if lifts_off {
        phases_done_s.first().copied().flatten()
    } else {
        released_s
    };
    let touch = airborne_s.and_then(|from_s| first_touch(recording, from_s));
    let over_s = touch.map_or(f64::INFINITY, |(time_s, ..)| time_s);
    let thrown_s = released_s.filter(|_| !lifts_off);
    Outcome {
        released_s,
        phases_done_s,
        lowest_in_first_m: thrown_s.and_then(|from_s| lowest_m(recording, from_s)),
        flying_after_first: (!lifts_off)
            .then(|| thrown_s.is_some_and(|from_s| flies_on(events, from_s))),
        first_stall: airborne_s.and_then(|from_s| first_stall(recording, from_s, over_s)),
        touch: touch.map(|(time_s, sink_m_s, part, before)| FirstTouch {
            sink_m_s,
            part: part.to_owned(),
            ..touch_of(lesson, field, conditions, time_s, before)
        }),
        failed: words(events, |kind| match kind {
            EventKind::PhaseFailed { why } => Some(why),
            _ => None,
        }),
        ended_by: words(events, |kind| match kind {
            EventKind::Ended { reason } => Some(reason),
            _ => None,
        }),
    }
}

fn time_of(events: &[Event], wanted: impl Fn(&EventKind) -> bool) -> Option<f64> {
    let found = events.iter().find(|event| wanted(&event.kind));
    found.map(|event| event.time_s)
}

/// The words of the first event that has them.
fn words(events: &[Event], of: impl Fn(&EventKind) -> Option<&String>) -> String {
    let found = events.iter().find_map(|event| of(&event.kind));
    found.cloned().unwrap_or_default()
}

fn released_s(recording: &Recording) -> Option<f64> {
    let let_go = time_of(&recording.events, |kind| *kind == EventKind::Released);
    let_go.or_else(|| {
        let first = recording.samples.first()?;
        (first.stage != FlightStage::InHand).then_some(first.time_s)
    })
}

fn lowest_m(recording: &Recording, from_s: f64) -> Option<f64> {
    let to_s = from_s + FIRST_S + SLACK_S;
    recording
        .samples
        .iter()
        .filter(|s| s.time_s >= from_s - SLACK_S && s.time_s <= to_s)
        .map(|s| s.height_m)
        .reduce(f64::min)
}

/// Nothing touched, broke or ended in the first seconds.
fn flies_on(events: &[Event], from_s: f64) -> bool {
    !events.iter().any(|event| {
        event.time_s < from_s + FIRST_S
            && matches!(
                event.kind,
                EventKind::TouchedGround { .. }
                    | EventKind::Broke { .. }
                    | EventKind::NotFinite { .. }
                    | EventKind::Ended { .. }
            )
    })
}

fn first_stall(recording: &Recording, from_s: f64, to_s: f64) -> Option<(f64, f64)> {
    let stalled = recording.events.iter().find(|event| {
        event.kind == EventKind::Stalled && event.time_s >= from_s && event.time_s < to_s
    })?;
    let before = |s: &&Sample| s.time_s <= stalled.time_s + SLACK_S;
    let at = recording.samples.iter().rfind(before)?;
    Some((stalled.time_s, at.height_m))
}

/// Time, sink, part, and the last sample in the air before.
fn first_touch(recording: &Recording, from_s: f64) -> Option<(f64, f64, &str, &Sample)> {
    let (time_s, sink_m_s, part) = recording
        .events
        .iter()
        .find_map(|event| match &event.kind {
            EventKind::TouchedGround { sink_m_s, part } if event.time_s >= from_s => {
                Some((event.time_s, *sink_m_s, part.as_str()))
            }
            _ => None,
        })?;
    let before = recording
        .samples
        .iter()
        .rfind(|s| s.time_s < time_s - SLACK_S && s.stage == FlightStage::Free)?;
    Some((time_s, sink_m_s, part, before))
}

/// Everything but sink and part.
fn touch_of(
    lesson: &Lesson,
    field: &Field,
    conditions: &Conditions,
    time_s: f64,
    before: &Sample,
) -> FirstTouch {
    let seen = Watch::from(before);
    let (along_m, right_m, heading_rad, in_area) = match lesson.frame(field, conditions) {
        Some(frame) => {
            let (along_m, across_m) = frame.place(seen.position_m);
            let in_box = frame.in_box(seen.position_m);
            (along_m, across_m * frame.side, frame.heading_rad, in_box)
        }
        None => {
            let strip = &field.strip;
            let (sine, cosine) = libm::sincos(strip.heading_rad);
            let (north_m, east_m) = (before.north_m - strip.north_m, before.east_m - strip.east_m);
            let along_m = north_m * cosine + east_m * sine;
            let right_m = east_m * cosine - north_m * sine;
            let on_strip =
                along_m.abs() <= 0.5 * strip.length_m && right_m.abs() <= 0.5 * strip.width_m;
            (along_m, right_m, strip.heading_rad, on_strip)
        }
    };
    let (sine, cosine) = libm::sincos(before.heading_rad);
    let (north_m_s, east_m_s) = (before.velocity_north_m_s, before.velocity_east_m_s);
    FirstTouch {
        time_s,
        along_m,
        right_m,
        in_area,
        sink_m_s: f64::NAN,
        ground_speed_m_s: libm::hypot(north_m_s, east_m_s),
        drift_m_s: east_m_s * cosine - north_m_s * sine,
        bank_deg: before.bank_rad * DEGREES,
        heading_error_deg: wrap(before.heading_rad - heading_rad) * DEGREES,
        throttle_fraction: before.stick_throttle,
        part: String::new(),
    }
}
