//! The values behind the lines.

use larkfield_pilot::attitude::{PI, wrap};
use larkfield_recording::Sample;

use super::flown::Flight;
use super::{circuit, landing};
use crate::{Goal, MarkKind, Performance};

pub(super) const DEGREES: f64 = 180.0 / PI;
/// The stall margin is averaged over this time: a gust that separates a strip
/// for an instant is not a stall.
const STALL_WINDOW_S: f64 = 0.2;
/// A stick that moved less than this within [`HAND_WINDOW_S`] was not flown.
const HAND_MOVE: f64 = 0.02;
const HAND_WINDOW_S: f64 = 1.0;
/// Reversals smaller than this are a thumb at rest.
const REVERSAL_MOVE: f64 = 0.15;

/// The value of a line in its unit; `None` when there was nothing to measure.
pub(super) fn measure(
    kind: MarkKind,
    flight: &Flight,
    phase: usize,
    performance: &Performance,
) -> Option<f64> {
    match kind {
        MarkKind::LowestHeight => least(flight.samples(phase).map(|s| s.height_m)),
        MarkKind::SpeedMargin => least(
            flight
                .samples(phase)
                .map(|s| speed_margin_percent(s, performance)),
        ),
        MarkKind::BankHeld => most(flight.samples(phase).map(|s| s.bank_rad.abs() * DEGREES)),
        MarkKind::HeadingHeld => {
            let heading_rad = flight.lesson.departure_rad(flight.frame.as_ref());
            most(
                flight
                    .samples(phase)
                    .map(|s| wrap(s.heading_rad - heading_rad).abs() * DEGREES),
            )
        }
        MarkKind::ClimbAngle => climb_angle_deg(flight, phase),
        MarkKind::StallMargin => stall_margin_deg(flight, phase),
        MarkKind::GoalReached => goal_percent(flight, phase),
        MarkKind::InControl => in_control_share(flight, phase).map(|share| share * 100.0),
        MarkKind::StickReversals => reversals_per_s(flight, phase),
        MarkKind::Damage => flight
            .released_s
            .map(|_| flight.broken_parts().len() as f64),
        _ => match flight.goal(phase)? {
            Goal::Touch { .. } => landing::at_touch(kind, flight, phase),
            Goal::RollOut | Goal::Disarm { .. } => landing::on_ground(kind, flight, phase),
            _ => circuit::of_circuit(kind, flight, phase),
        },
    }
}

/// Way over the ground through samples.
pub(super) fn track_m<'a>(samples: impl Iterator<Item = &'a Sample>) -> f64 {
    let mut last: Option<&Sample> = None;
    let mut way_m = 0.0;
    for sample in samples {
        if let Some(before) = last {
            let north_m = sample.north_m - before.north_m;
            let east_m = sample.east_m - before.east_m;
            way_m += (north_m * north_m + east_m * east_m).sqrt();
        }
        last = Some(sample);
    }
    way_m
}

/// Smallest value; NaN when any is NaN, `None` when there are none.
fn least(values: impl Iterator<Item = f64>) -> Option<f64> {
    values.reduce(|a, b| if a.is_nan() || a < b { a } else { b })
}

/// Largest value; NaN when any is NaN, `None` when there are none.
pub(super) fn most(values: impl Iterator<Item = f64>) -> Option<f64> {
    values.reduce(|a, b| if a.is_nan() || a > b { a } else { b })
}

/// Airspeed over the lowest that holds height at the throttle of the moment.
/// A throttle that holds height at no speed has no margin at all.
fn speed_margin_percent(sample: &Sample, performance: &Performance) -> f64 {
    match performance.minimum_level_speed_m_s(sample.stick_throttle) {
        Some(needed_m_s) => (sample.airspeed_m_s / needed_m_s - 1.0) * 100.0,
        None => -100.0,
    }
}

/// Height gained over distance covered above the ground.
fn climb_angle_deg(flight: &Flight, phase: usize) -> Option<f64> {
    let first = flight.samples(phase).next()?;
    let last = flight.samples(phase).last()?;
    let distance_m = track_m(flight.samples(phase));
    if last.time_s <= first.time_s {
        return None;
    }
    Some(libm::atan2(last.height_m - first.height_m, distance_m) * DEGREES)
}

fn stall_margin_deg(flight: &Flight, phase: usize) -> Option<f64> {
    let samples: Vec<&Sample> = flight.samples(phase).collect();
    let mut lowest: Option<f64> = None;
    let (mut sum, mut start) = (0.0, 0);
    for (end, sample) in samples.iter().enumerate() {
        sum += sample.stall_margin_rad;
        while let Some(oldest) = samples.get(start)
            && sample.time_s - oldest.time_s > STALL_WINDOW_S
        {
            sum -= oldest.stall_margin_rad;
            start += 1;
        }
        let mean = sum / (end - start + 1) as f64;
        let full = sample.time_s - samples[0].time_s >= STALL_WINDOW_S - 1e-6;
        if full || end + 1 == samples.len() && lowest.is_none() {
            lowest = least([lowest.unwrap_or(mean), mean].into_iter());
        }
    }
    lowest.map(|margin_rad| margin_rad * DEGREES)
}

fn goal_percent(flight: &Flight, phase: usize) -> Option<f64> {
    let stretch = flight.stretch(phase)?;
    // A touch either counts or does not, however far the flight came.
    if matches!(flight.goal(phase), Some(Goal::Touch { .. })) && !stretch.done {
        return Some(0.0);
    }
    Some(stretch.progress * 100.0)
}

/// Share of the time, since a hand could be on the stick, in which the roll,
/// pitch or yaw stick had moved within the last second. `None` when no hand
/// could fly in this phase.
pub(super) fn in_control_share(flight: &Flight, phase: usize) -> Option<f64> {
    let stretch = flight.stretch(phase)?;
    let from_s = stretch.from_s.max(flight.hand_back_s);
    let moved = |a: &Sample, b: &Sample| {
        (a.stick_roll - b.stick_roll).abs() > HAND_MOVE
            || (a.stick_pitch - b.stick_pitch).abs() > HAND_MOVE
            || (a.stick_yaw - b.stick_yaw).abs() > HAND_MOVE
    };
    let (mut flown, mut all) = (0.0, 0.0);
    // The anchor is where the sticks were when they last moved. A hand that
    // has just come back gets its second.
    let mut anchor: Option<&Sample> = None;
    let mut moved_s = flight.hand_back_s;
    for sample in flight.between(flight.hand_back_s, stretch.to_s) {
        let held = *anchor.get_or_insert(sample);
        if moved(held, sample) {
            moved_s = sample.time_s;
            anchor = Some(sample);
        }
        if sample.time_s >= from_s {
            all += 1.0;
            if sample.time_s - moved_s <= HAND_WINDOW_S {
                flown += 1.0;
            }
        }
    }
    if all > 0.0 { Some(flown / all) } else { None }
}

/// Changes of direction of the roll and pitch sticks by more than
/// [`REVERSAL_MOVE`], per second: the busier of the two sticks.
fn reversals_per_s(flight: &Flight, phase: usize) -> Option<f64> {
    let stretch = flight.stretch(phase)?;
    let from_s = stretch.from_s.max(flight.hand_back_s);
    let length_s = stretch.to_s - from_s;
    if length_s.is_nan() || length_s <= 0.0 {
        return None;
    }
    let of_stick = |position: fn(&Sample) -> f64| {
        let mut count = 0.0;
        let mut extreme: Option<f64> = None;
        let mut way = 0.0;
        for sample in flight.between(from_s, stretch.to_s) {
            let stick = position(sample);
            let turned_at = *extreme.get_or_insert(stick);
            let moved = stick - turned_at;
            if moved * way > 0.0 || way == 0.0 && moved.abs() > REVERSAL_MOVE {
                if way == 0.0 {
                    way = moved.signum();
                }
                extreme = Some(stick);
            } else if moved * way < 0.0 && moved.abs() > REVERSAL_MOVE {
                count += 1.0;
                way = -way;
                extreme = Some(stick);
            }
        }
        count
    };
    let busier = f64::max(of_stick(|s| s.stick_roll), of_stick(|s| s.stick_pitch));
    Some(busier / length_s)
}

/// True when a climb's goal is a height (and not a time).
pub(super) fn is_climb(flight: &Flight, phase: usize) -> bool {
    matches!(flight.goal(phase), Some(Goal::ClimbTo { .. }))
}
