//! A full turn one way, then a full turn the other way.

use larkfield_pilot::attitude::{PI, wrap};

use super::Progress;
use crate::Watch;

/// A turn counts as full when the nose has come round by this much: the last
/// sixth belongs to rolling over to the other side.
const FULL_RAD: f64 = 300.0 / 180.0 * PI;

/// Turning, added up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Eight {
    heading_rad: Option<f64>,
    /// Nose since the phase began, unwrapped.
    turned_rad: f64,
    /// Farthest it went to the right and to the left.
    right_rad: f64,
    left_rad: f64,
    /// Way of the first full turn, 1 right, -1 left.
    first: Option<f64>,
    /// Farthest it went that way.
    peak_rad: f64,
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
        if self.highest_m - self.lowest_m > band_m {
            // Out of the band: it begins again from here.
            *self = Self::default();
            self.begin(seen);
            return Progress::Under(0.0);
        }
        let Some(way) = self.first else {
            return self.first_turn();
        };
        let along_rad = self.turned_rad * way;
        self.peak_rad = self.peak_rad.max(along_rad);
        let back_rad = self.peak_rad - along_rad;
        if back_rad >= FULL_RAD {
            Progress::Done
        } else {
            Progress::Under(0.5 + 0.5 * back_rad / FULL_RAD)
        }
    }

    fn begin(&mut self, seen: &Watch) {
        self.heading_rad = Some(seen.heading_rad);
        (self.lowest_m, self.highest_m) = (seen.height_m(), seen.height_m());
    }

    fn first_turn(&mut self) -> Progress {
        self.right_rad = self.right_rad.max(self.turned_rad);
        self.left_rad = self.left_rad.min(self.turned_rad);
        let to_right_rad = self.turned_rad - self.left_rad;
        let to_left_rad = self.right_rad - self.turned_rad;
        let most_rad = to_right_rad.max(to_left_rad);
        if most_rad >= FULL_RAD {
            let way = if to_right_rad >= to_left_rad {
                1.0
            } else {
                -1.0
            };
            self.first = Some(way);
            self.peak_rad = self.turned_rad * way;
        }
        Progress::Under(0.5 * (most_rad / FULL_RAD).min(1.0))
    }
}
