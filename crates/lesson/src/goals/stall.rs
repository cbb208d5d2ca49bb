//! A stall that somebody wants, high up, and out of it again.

use larkfield_pilot::attitude::PI;
use larkfield_recording::FlightStage;

use super::Progress;
use crate::Watch;

/// Separated share of the wing area that makes a stall, and below which it is
/// over.
const STALLED_SHARE: f64 = 0.25;
const ATTACHED_SHARE: f64 = 0.1;
/// A straight stall begins with less bank than this.
const STRAIGHT_RAD: f64 = 25.0 / 180.0 * PI;
/// It flies again when for a second it has banked less than this, and sunk no
/// faster than this.
const LEVEL_RAD: f64 = 35.0 / 180.0 * PI;
const SINK_M_S: f64 = 1.0;
const FLIES_S: f64 = 1.0;
/// Beyond this bank it has turned over: no recovery, whatever comes after.
const OVER_RAD: f64 = 0.5 * PI;

/// Into the stall and out of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Stall {
    stalled: Option<Stalled>,
    /// Turned over or came down too far: it has to fly first.
    spoilt: bool,
    flies_since_s: Option<f64>,
}

/// What is remembered of a stall.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stalled {
    at_m: f64,
    lowest_m: f64,
}

impl Stall {
    pub fn watch(&mut self, seen: &Watch, bank_rad: f64, lost_m: f64) -> Progress {
        let flies = seen.stage == FlightStage::Free
            && seen.stalled_share < ATTACHED_SHARE
            && seen.bank_rad.abs() < LEVEL_RAD
            && seen.velocity_m_s.z < SINK_M_S;
        self.flies_since_s = match (flies, self.flies_since_s) {
            (true, None) => Some(seen.time_s),
            (true, since_s) => since_s,
            (false, _) => None,
        };
        let flies_long = (self.flies_since_s).is_some_and(|s| seen.time_s - s >= FLIES_S);
        if self.spoilt {
            self.spoilt = !flies_long;
            return Progress::Under(0.0);
        }
        let height_m = seen.height_m();
        let Some(stalled) = &mut self.stalled else {
            if seen.stalled_share > STALLED_SHARE && seen.stage == FlightStage::Free {
                self.begin(seen, bank_rad);
            }
            return Progress::Under(if self.stalled.is_some() { 0.5 } else { 0.0 });
        };
        stalled.lowest_m = stalled.lowest_m.min(height_m);
        let over = seen.bank_rad.abs() > OVER_RAD;
        if over || stalled.at_m - stalled.lowest_m > lost_m {
            *self = Self {
                spoilt: true,
                ..Self::default()
            };
            return Progress::Under(0.5);
        }
        if flies_long {
            Progress::Done
        } else {
            Progress::Under(0.5)
        }
    }

    /// A stall counts when it begins as asked.
    fn begin(&mut self, seen: &Watch, bank_rad: f64) {
        let as_asked = if bank_rad > 0.0 {
            seen.bank_rad.abs() >= bank_rad
        } else {
            seen.bank_rad.abs() <= STRAIGHT_RAD
        };
        if as_asked {
            let height_m = seen.height_m();
            self.flies_since_s = None;
            self.stalled = Some(Stalled {
                at_m: height_m,
                lowest_m: height_m,
            });
        } else {
            self.spoilt = true;
        }
    }
}
