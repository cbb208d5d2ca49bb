//! Values of the circuit, of figure-eights and of trimming out.

use larkfield_pilot::attitude::{PI, wrap};
use larkfield_recording::Sample;

use super::flown::Flight;
use super::measure::{DEGREES, most};
use crate::{Goal, MarkKind, Watch};

/// A full turn of a figure-eight, as its goal counts it.
const FULL_RAD: f64 = 300.0 / 180.0 * PI;

/// The value of a mark of the circuit; `None` when there was nothing to measure.
pub(super) fn of_circuit(kind: MarkKind, flight: &Flight, phase: usize) -> Option<f64> {
    match kind {
        MarkKind::HeightBand => height_band_m(flight, phase),
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

fn height_band_m(flight: &Flight, phase: usize) -> Option<f64> {
    let lowest_m = most(flight.samples(phase).map(|s| -s.height_m))?;
    let highest_m = most(flight.samples(phase).map(|s| s.height_m))?;
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

/// Time of the second full turn against that of the first, the shorter over the
/// longer.
fn symmetry_percent(flight: &Flight, phase: usize) -> Option<f64> {
    if !flight.stretch(phase)?.done {
        return None;
    }
    let samples: Vec<&Sample> = flight.samples(phase).collect();
    let turned = unwrapped(&samples);
    let end = *turned.last()?;
    let highest = turned.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let lowest = turned.iter().copied().fold(f64::INFINITY, f64::min);
    let way = if highest - end >= end - lowest {
        1.0
    } else {
        -1.0
    };
    // The peak between the turns: the farthest that the first one went.
    let peak = turned
        .iter()
        .map(|t| t * way)
        .fold(f64::NEG_INFINITY, f64::max);
    let at_peak = turned.iter().position(|t| *t * way >= peak)?;
    let begins = turned
        .get(..at_peak)?
        .iter()
        .rposition(|t| *t * way <= peak - FULL_RAD)
        .unwrap_or(0);
    let time_s = |index: usize| samples.get(index).map(|s| s.time_s);
    let first_s = time_s(at_peak)? - time_s(begins)?;
    let second_s = samples.last()?.time_s - time_s(at_peak)?;
    Some(first_s.min(second_s) / first_s.max(second_s) * 100.0)
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
