//! Getting away, up, and down again without power.

use larkfield_recording::FlightStage;

use super::Progress;
use super::landing::MOTOR_SHUT;
use crate::Watch;

/// Off the ground is this far above where it stood: clear of grass and of a hop.
const CLEAR_OF_GROUND_M: f64 = 1.0;
/// Less thrust than this is no power: a windmilling propeller only brakes.
const PULLING_N: f64 = 0.05;

pub(super) fn fly_away(free_s: f64, for_s: f64) -> Progress {
    if free_s >= for_s {
        Progress::Done
    } else {
        Progress::Under(free_s / for_s)
    }
}

/// A way up or down from where the phase began.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Climb {
    start_m: Option<f64>,
}

impl Climb {
    pub fn lift_off(&mut self, seen: &Watch) -> Progress {
        let start_m = *self.start_m.get_or_insert(seen.height_m());
        let risen = (seen.height_m() - start_m) / CLEAR_OF_GROUND_M;
        if risen >= 1.0 && seen.stage == FlightStage::Free {
            Progress::Done
        } else {
            Progress::Under(risen)
        }
    }

    pub fn to(&mut self, seen: &Watch, height_m: f64) -> Progress {
        let start_m = *self.start_m.get_or_insert(seen.height_m());
        if seen.height_m() >= height_m {
            Progress::Done
        } else {
            Progress::Under((seen.height_m() - start_m) / (height_m - start_m))
        }
    }

    pub fn down_to(&mut self, seen: &Watch, to_m: f64) -> Progress {
        let start_m = *self.start_m.get_or_insert(seen.height_m());
        let powered = seen.thrust_n > PULLING_N && seen.stick_throttle > MOTOR_SHUT;
        if powered {
            // Power put back on begins the glide anew.
            self.start_m = None;
            return Progress::Under(0.0);
        }
        if seen.height_m() <= to_m && seen.stage == FlightStage::Free {
            Progress::Done
        } else {
            Progress::Under((start_m - seen.height_m()) / (start_m - to_m))
        }
    }
}
