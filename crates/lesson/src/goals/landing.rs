//! Touch, roll, stop, disarm.

use larkfield_pilot::LandingTechnique;
use larkfield_recording::FlightStage;

use super::Progress;
use crate::{CircuitFrame, Watch};

/// More bank or pitch than this at the touch or at rest is no landing: a wing
/// tip or the nose came first, or it turned over.
const UPRIGHT_RAD: f64 = 0.7;
/// A throttle stick lower than this has shut the motor.
pub(super) const MOTOR_SHUT: f64 = 0.05;
/// The motor has to be shut for this long before a stall-limit touch.
const SHUT_BEFORE_S: f64 = 0.5;
/// A stall higher than this above the touch fails a stall-limit landing: a fall
/// from there breaks planes (common practice, no source).
const STALL_LIMIT_FAILS_ABOVE_M: f64 = 0.5;
/// Fastest sink at the touch of a stall-limit landing.
const STALL_LIMIT_SINK_M_S: f64 = 1.0;
/// Held off long enough: the wing came this close to its stall before the touch.
const HELD_OFF_RAD: f64 = 0.07;
/// Separated share of the wing area that makes a stall.
const STALLED_SHARE: f64 = 1.0 / 3.0;
/// Slower than this is lying still, and for this long.
const STILL_M_S: f64 = 0.2;
const STILL_S: f64 = 0.3;

/// Where a touch counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TouchArea {
    /// In the box of the lesson's landing.
    #[default]
    Box,
    /// Anywhere: the motor has stopped, and any ground ahead is better than a
    /// stretched glide.
    Field,
}

/// From the start of the flare to the touch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Touch {
    last: Option<Moment>,
    /// Highest place at which the wing was stalled.
    stalled_m: Option<f64>,
    shut_since_s: Option<f64>,
}

/// The moment before; the ground changes speeds at the touch.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Moment {
    sink_m_s: f64,
    stall_margin_rad: f64,
}

impl Touch {
    pub fn watch(
        &mut self,
        seen: &Watch,
        frame: Option<&CircuitFrame>,
        area: TouchArea,
        technique: LandingTechnique,
    ) -> Progress {
        if seen.stage != FlightStage::Ground {
            self.in_the_air(seen);
            return Progress::Under(0.0);
        }
        if seen.broken {
            return Progress::Failed("it broke at the touch");
        }
        if !upright(seen) {
            return Progress::Failed("it did not touch upright");
        }
        let in_box = frame.is_some_and(|frame| frame.in_box(seen.position_m));
        if area == TouchArea::Box && !in_box {
            return Progress::Failed("it touched outside the box");
        }
        match technique {
            LandingTechnique::Usual => Progress::Done,
            LandingTechnique::StallLimit => self.stall_limit(seen),
        }
    }

    fn in_the_air(&mut self, seen: &Watch) {
        self.last = Some(Moment {
            sink_m_s: seen.velocity_m_s.z,
            stall_margin_rad: seen.stall_margin_rad,
        });
        if seen.stalled_share > STALLED_SHARE {
            let height_m = seen.height_m();
            self.stalled_m = Some(self.stalled_m.map_or(height_m, |m| m.max(height_m)));
        }
        let shut = seen.throttle_cut || seen.stick_throttle <= MOTOR_SHUT;
        self.shut_since_s = match (shut, self.shut_since_s) {
            (true, Some(since_s)) => Some(since_s),
            (true, None) => Some(seen.time_s),
            (false, _) => None,
        };
    }

    fn stall_limit(&self, seen: &Watch) -> Progress {
        let shut = self
            .shut_since_s
            .is_some_and(|since_s| seen.time_s - since_s >= SHUT_BEFORE_S);
        if !shut {
            return Progress::Failed("the motor was not stopped first");
        }
        // Heights above the touch: where the balance point is now.
        let stalled_m = self.stalled_m.map(|m| m - seen.height_m());
        if stalled_m.is_some_and(|m| m > STALL_LIMIT_FAILS_ABOVE_M) {
            return Progress::Failed("it stalled too high above the ground");
        }
        let Some(last) = self.last else {
            return Progress::Failed("it was not flown to the touch");
        };
        // Written so that NaN fails.
        if last.sink_m_s <= STALL_LIMIT_SINK_M_S {
            let held_off = stalled_m.is_some() || last.stall_margin_rad <= HELD_OFF_RAD;
            if held_off {
                Progress::Done
            } else {
                Progress::Failed("it was put down while it still flew")
            }
        } else {
            Progress::Failed("it came down too hard")
        }
    }
}

fn upright(seen: &Watch) -> bool {
    seen.bank_rad.abs() < UPRIGHT_RAD && seen.pitch_rad.abs() < UPRIGHT_RAD
}

/// From the touch to rest.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct RollOut {
    still_since_s: Option<f64>,
}

impl RollOut {
    pub fn watch(&mut self, seen: &Watch) -> Progress {
        if seen.broken {
            return Progress::Failed("it broke on the ground");
        }
        if !(seen.stage == FlightStage::Ground && seen.velocity_m_s.length() < STILL_M_S) {
            self.still_since_s = None;
            return Progress::Under(0.5);
        }
        let since_s = *self.still_since_s.get_or_insert(seen.time_s);
        if seen.time_s - since_s < STILL_S {
            Progress::Under(0.9)
        } else if upright(seen) {
            Progress::Done
        } else {
            Progress::Failed("it came to rest on its nose, a wing or its back")
        }
    }
}

/// From rest to a motor that cannot start.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Disarm {
    since_s: Option<f64>,
}

impl Disarm {
    pub fn watch(&mut self, seen: &Watch, within_s: f64) -> Progress {
        let since_s = *self.since_s.get_or_insert(seen.time_s);
        let waited_s = seen.time_s - since_s;
        if waited_s > within_s {
            Progress::Failed("it was not disarmed in time")
        } else if seen.throttle_cut && seen.stick_throttle <= MOTOR_SHUT {
            Progress::Done
        } else {
            Progress::Under(0.5 * waited_s / within_s)
        }
    }
}
