//! Values of a landing: flare, touch, roll.

use larkfield_pilot::attitude::wrap;
use larkfield_recording::{EventKind, FlightStage, Sample};

use super::flown::Flight;
use super::measure::{DEGREES, most, track_m};
use crate::{CALM_M_S, MarkKind, Watch};

/// The last metres are within this time of the touch.
const LOOK_BACK_S: f64 = 15.0;
/// The flare is looked for below this height above the touch...
const FLARE_BELOW_M: f64 = 4.0;
/// ...and the approach above this.
const APPROACH_ABOVE_M: f64 = 1.0;
/// Less sink than this share of the approach's is a flare.
const CHECKED: f64 = 0.6;
/// Float is the way flown over the last metre of height.
const FLOAT_M: f64 = 1.0;
/// Separated share of the wing area that makes a stall.
const STALLED_SHARE: f64 = 1.0 / 3.0;

/// The value of a mark of the touch; `None` when nothing touched.
pub(super) fn at_touch(kind: MarkKind, flight: &Flight, phase: usize) -> Option<f64> {
    let touch = flight.touch()?;
    let before = touch.before;
    let watch = Watch::from(before);
    // A flare may begin before the phase does; a stall counts within it.
    let air = || {
        flight
            .between(touch.time_s - LOOK_BACK_S, touch.time_s)
            .filter(|s| s.stage == FlightStage::Free)
    };
    match kind {
        MarkKind::SinkAtTouch => Some(touch.sink_m_s),
        MarkKind::DriftAtTouch => {
            let (sine, cosine) = libm::sincos(before.heading_rad);
            let right_m_s = -before.velocity_north_m_s * sine + before.velocity_east_m_s * cosine;
            Some(right_m_s.abs())
        }
        MarkKind::IntoWind => {
            let wind_m_s = flight.conditions.wind_m_s;
            if flight.conditions.wind_speed_m_s() < CALM_M_S {
                return Some(0.0);
            }
            let from_rad = libm::atan2(-wind_m_s.y, -wind_m_s.x);
            Some(wrap(before.heading_rad - from_rad).abs() * DEGREES)
        }
        MarkKind::DistanceFromAim => {
            let (along_m, across_m) = flight.frame?.place(watch.position_m);
            Some(libm::hypot(along_m, across_m))
        }
        MarkKind::CentreLine => Some(flight.frame?.place(watch.position_m).1.abs()),
        MarkKind::Alignment => {
            Some(wrap(before.heading_rad - flight.frame?.heading_rad).abs() * DEGREES)
        }
        MarkKind::PowerAtTouch => Some(before.stick_throttle * 100.0),
        MarkKind::HeldOff => Some((before.stall_margin_rad * DEGREES).max(0.0)),
        MarkKind::StallHeight => most(flight.samples(phase).map(|s| {
            let flying = s.stage == FlightStage::Free;
            if flying && Watch::from(s).stalled_share > STALLED_SHARE {
                (s.height_m - before.height_m).max(0.0)
            } else {
                0.0
            }
        })),
        MarkKind::Float => {
            let samples: Vec<&Sample> = air().collect();
            let from = samples
                .iter()
                .rposition(|s| s.height_m - before.height_m >= FLOAT_M)?;
            Some(track_m(samples.into_iter().skip(from)))
        }
        MarkKind::FlareHeight => {
            let samples: Vec<&Sample> = air().collect();
            flare_height_m(&samples, before.height_m)
        }
        _ => None,
    }
}

/// Height above the touch below which the sink stayed well under that of the
/// approach. 0 when it was never checked.
fn flare_height_m(samples: &[&Sample], touch_m: f64) -> Option<f64> {
    let above_m = |s: &Sample| s.height_m - touch_m;
    let approach = samples
        .iter()
        .filter(|s| above_m(s) >= APPROACH_ABOVE_M && above_m(s) <= FLARE_BELOW_M);
    let (mut sum_m_s, mut count) = (0.0, 0.0);
    for sample in approach {
        sum_m_s -= sample.climb_m_s;
        count += 1.0;
    }
    if count == 0.0 {
        return None;
    }
    let limit_m_s = CHECKED * sum_m_s / count;
    let last_fast = samples.iter().rposition(|s| -s.climb_m_s > limit_m_s)?;
    let checked = samples.get(last_fast + 1);
    Some(checked.map_or(0.0, |s| above_m(s).max(0.0)))
}

/// The value of a mark of the roll; `None` when it never began.
pub(super) fn on_ground(kind: MarkKind, flight: &Flight, phase: usize) -> Option<f64> {
    let stretch = flight.stretch(phase)?;
    match kind {
        MarkKind::RollOut => Some(track_m(flight.samples(phase))),
        MarkKind::Bounces => {
            let again = flight.recording.events.iter().filter(|event| {
                matches!(event.kind, EventKind::TouchedGround { .. })
                    && event.time_s > stretch.from_s + 1e-6
                    && event.time_s <= stretch.to_s + 1e-6
            });
            Some(again.count() as f64)
        }
        MarkKind::CentreLine => {
            let frame = flight.frame?;
            let beside = |s: &Sample| frame.place(Watch::from(s).position_m).1.abs();
            most(flight.samples(phase).map(beside))
        }
        MarkKind::Alignment => {
            let heading_rad = flight.frame?.heading_rad;
            let swing = |s: &Sample| wrap(s.heading_rad - heading_rad).abs() * DEGREES;
            most(flight.samples(phase).map(swing))
        }
        MarkKind::TimeToDisarm => Some(stretch.to_s - stretch.from_s),
        _ => None,
    }
}
