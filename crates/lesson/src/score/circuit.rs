//! Values of the circuit, of figure-eights and of trimming out.

use larkfield_pilot::attitude::wrap;
use larkfield_recording::Sample;

use super::flown::Flight;
use super::measure::{DEGREES, most};
use crate::{Goal, GoalWatch, MarkKind, Watch};

/// The value of a mark of the circuit; `None` when there was nothing to measure.
pub(super) fn of_circuit(kind: MarkKind, flight: &Flight, phase: usize) -> Option<f64> {
    match kind {
        MarkKind::HeightBand => {
            let stretch = flight.stretch(phase)?;
            // Of a figure-eight only the turns that count.
            let from_s = turns_s(flight, phase).map_or(stretch.from_s, |(began_s, _)| began_s);
            height_band_m(flight, from_s, stretch.to_s)
        }
        MarkKind::CircuitHeight => {
            let height_m = flight.frame?.height_m;
            most(flight.samples(phase).map(|s| (s.height_m - height_m).abs()))
        }
        MarkKind::Spacing => {
            let abeam = flight.samples(phase).last()?;
            Some(flight.frame?.place(Watch::from(abeam).position_m).1)
        }
        MarkKind::Alignment => {
            let end = flight.samples(phase).last()?;
            let off_rad = flight.frame?.track_off(Watch::from(end).velocity_m_s, 0.0);
            Some(off_rad * DEGREES)
        }
        MarkKind::CentreLine => {
            let end = flight.samples(phase).last()?;
            Some(flight.frame?.place(Watch::from(end).position_m).1.abs())
        }
        MarkKind::Steadiness => deviation(flight.samples(phase).map(|s| s.climb_m_s)),
        MarkKind::Symmetry => symmetry_percent(flight, phase),
        MarkKind::TrimDrift | MarkKind::TrimTurn => trim_rate(kind, flight, phase),
        _ => None,
    }
}

fn height_band_m(flight: &Flight, from_s: f64, to_s: f64) -> Option<f64> {
    let lowest_m = most(flight.between(from_s, to_s).map(|s| -s.height_m))?;
    let highest_m = most(flight.between(from_s, to_s).map(|s| s.height_m))?;
    Some(highest_m + lowest_m)
}

/// Standard deviation of the values.
fn deviation(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (mut sum, mut squares, mut count) = (0.0, 0.0, 0.0);
    for value in values {
        sum += value;
        squares += value * value;
        count += 1.0;
    }
    if count < 2.0 {
        return None;
    }
    let mean = sum / count;
    Some((squares / count - mean * mean).max(0.0).sqrt())
}

/// Heading over time without jumps.
fn unwrapped(samples: &[&Sample]) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::with_capacity(samples.len());
    for (index, sample) in samples.iter().enumerate() {
        let next = match (
            index.checked_sub(1).and_then(|i| samples.get(i)),
            out.last(),
        ) {
            (Some(before), Some(so_far)) => so_far + wrap(sample.heading_rad - before.heading_rad),
            _ => sample.heading_rad,
        };
        out.push(next);
    }
    out
}

/// When the two turns of a figure-eight began, by its own watch.
fn turns_s(flight: &Flight, phase: usize) -> Option<(f64, f64)> {
    let goal = flight.goal(phase)?;
    let mut watch = GoalWatch::new(*goal, flight.frame);
    for sample in flight.samples(phase) {
        watch.watch(&Watch::from(sample), sample.time_s);
    }
    watch.turns_s()
}

/// Rate of one turn against that of the other, the slower over the faster.
fn symmetry_percent(flight: &Flight, phase: usize) -> Option<f64> {
    let stretch = flight.stretch(phase).filter(|s| s.done)?;
    let (began_s, over_s) = turns_s(flight, phase)?;
    let counted = |from_s: f64, to_s: f64| {
        let samples: Vec<&Sample> = flight.between(from_s, to_s).collect();
        let turned = unwrapped(&samples);
        let rad = (turned.last()? - turned.first()?).abs();
        Some(rad / (to_s - from_s))
    };
    let (first, second) = (counted(began_s, over_s)?, counted(over_s, stretch.to_s)?);
    Some(first.min(second) / first.max(second) * 100.0)
}

/// How fast height or heading change over the last stretch of trimming out, the
/// one with nobody on the sticks.
fn trim_rate(kind: MarkKind, flight: &Flight, phase: usize) -> Option<f64> {
    let Some(Goal::TrimOut { for_s, .. }) = flight.goal(phase) else {
        return None;
    };
    let stretch = flight.stretch(phase)?;
    let from_s = (stretch.to_s - for_s).max(stretch.from_s);
    let samples: Vec<&Sample> = flight.between(from_s, stretch.to_s).collect();
    let (first, last) = (samples.first()?, samples.last()?);
    let length_s = last.time_s - first.time_s;
    // Written so that NaN gives nothing.
    if !(length_s > 0.0) {
        return None;
    }
    let change = if kind == MarkKind::TrimDrift {
        last.height_m - first.height_m
    } else {
        let turned = unwrapped(&samples);
        (turned.last()? - turned.first()?) * DEGREES
    };
    Some(change.abs() / length_s)
}
