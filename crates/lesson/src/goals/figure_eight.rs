//! A full turn one way, then a full turn the other way.

use larkfield_pilot::attitude::{PI, wrap};

use super::Progress;
use crate::Watch;

/// A turn counts as full when the nose has come round by this much: the last
/// sixth belongs to rolling over to the other side.
const FULL_RAD: f64 = 300.0 / 180.0 * PI;
/// On its back, or with more than half of its wing stalled, a plane is not turned
/// by anybody: a tumble brings the nose round as well.
const ON_ITS_BACK_RAD: f64 = 0.5 * PI;
const STALLED_SHARE: f64 = 0.5;

/// Turning, added up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Eight {
    heading_rad: Option<f64>,
    /// Nose since the phase began, unwrapped.
    turned_rad: f64,
    /// Farthest it went to the right and to the left, and when.
    right: (f64, f64),
    left: (f64, f64),
    /// Way of the first full turn, 1 right, -1 left.
    first: Option<f64>,
    /// When that turn began.
    began_s: f64,
    /// Farthest it went that way, and when.
    peak: (f64, f64),
    lowest_m: f64,
    highest_m: f64,
}

impl Eight {
    pub fn watch(&mut self, seen: &Watch, band_m: f64) -> Progress {
        let height_m = seen.height_m();
        let Some(before_rad) = self.heading_rad else {
            self.begin(seen);
            return Progress::Under(0.0);
        };
        self.heading_rad = Some(seen.heading_rad);
        self.turned_rad += wrap(seen.heading_rad - before_rad);
        self.lowest_m = self.lowest_m.min(height_m);
        self.highest_m = self.highest_m.max(height_m);
        let tumbles = seen.bank_rad.abs() > ON_ITS_BACK_RAD || seen.stalled_share > STALLED_SHARE;
        if self.highest_m - self.lowest_m > band_m || tumbles {
            // Out of the band or out of hand: it begins again from here.
            *self = Self::default();
            self.begin(seen);
            return Progress::Under(0.0);
        }
        let Some(way) = self.first else {
            return self.first_turn(seen.time_s);
        };
        let along_rad = self.turned_rad * way;
        if along_rad > self.peak.0 {
            self.peak = (along_rad, seen.time_s);
        }
        let back_rad = self.peak.0 - along_rad;
        if back_rad >= FULL_RAD {
            Progress::Done
        } else {
            Progress::Under(0.5 + 0.5 * back_rad / FULL_RAD)
        }
    }

    /// When the first of the two turns began and when it went over into the
    /// second; `None` before the first is complete.
    pub fn turns_s(&self) -> Option<(f64, f64)> {
        self.first.map(|_| (self.began_s, self.peak.1))
    }

    fn begin(&mut self, seen: &Watch) {
        self.heading_rad = Some(seen.heading_rad);
        (self.lowest_m, self.highest_m) = (seen.height_m(), seen.height_m());
        (self.right, self.left) = ((0.0, seen.time_s), (0.0, seen.time_s));
    }

    fn first_turn(&mut self, time_s: f64) -> Progress {
        if self.turned_rad >= self.right.0 {
            self.right = (self.turned_rad, time_s);
        }
        if self.turned_rad <= self.left.0 {
            self.left = (self.turned_rad, time_s);
        }
        let to_right_rad = self.turned_rad - self.left.0;
        let to_left_rad = self.right.0 - self.turned_rad;
        let most_rad = to_right_rad.max(to_left_rad);
        if most_rad >= FULL_RAD {
            // A turn begins where the one before it, or the straight, ended.
            let (way, began_s) = if to_right_rad >= to_left_rad {
                (1.0, self.left.1)
            } else {
                (-1.0, self.right.1)
            };
            self.first = Some(way);
            self.began_s = began_s;
            self.peak = (self.turned_rad * way, time_s);
        }
        Progress::Under(0.5 * (most_rad / FULL_RAD).min(1.0))
    }
}
