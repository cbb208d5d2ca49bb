//! Keeping height: by hand, or with nobody touching the sticks.

use super::Progress;
use crate::Watch;

/// Thumbs resting on the sticks move them less than this.
const UNTOUCHED: f64 = 0.04;
/// A stick that moved less than this within [`HAND_S`] is not being flown.
const HAND_MOVE: f64 = 0.02;
const HAND_S: f64 = 1.0;
/// A plane that flies by itself neither dives into a turn nor rolls over.
const BY_ITSELF_BANK_RAD: f64 = 0.61;

/// A stretch of time within a band of height.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Steady {
    since_s: Option<f64>,
    lowest_m: f64,
    highest_m: f64,
    /// Where the sticks were when they last moved, and when.
    moved: Option<([f64; 3], f64)>,
}

fn sticks(seen: &Watch) -> [f64; 3] {
    [seen.stick_roll, seen.stick_pitch, seen.stick_yaw]
}

impl Steady {
    /// Flown by hand: a plane left alone may keep its height as well.
    pub fn level(&mut self, seen: &Watch, for_s: f64, band_m: f64) -> Progress {
        let now = sticks(seen);
        let (held, moved_s) = *self.moved.get_or_insert((now, f64::NEG_INFINITY));
        let moves = held
            .iter()
            .zip(now)
            .any(|(before, now)| (now - before).abs() > HAND_MOVE);
        if moves {
            self.moved = Some((now, seen.time_s));
        }
        let by_hand = moves || seen.time_s - moved_s <= HAND_S;
        self.watch(seen, by_hand, for_s, band_m)
    }

    pub fn untouched(&mut self, seen: &Watch, for_s: f64, band_m: f64) -> Progress {
        let untouched = sticks(seen).iter().all(|stick| stick.abs() <= UNTOUCHED);
        let by_itself = untouched && seen.bank_rad.abs() < BY_ITSELF_BANK_RAD;
        self.watch(seen, by_itself, for_s, band_m)
    }

    fn watch(&mut self, seen: &Watch, counts: bool, for_s: f64, band_m: f64) -> Progress {
        let height_m = seen.height_m();
        let (lowest_m, highest_m) = (self.lowest_m.min(height_m), self.highest_m.max(height_m));
        let within = self.since_s.is_some() && highest_m - lowest_m <= band_m;
        if !counts {
            self.since_s = None;
            return Progress::Under(0.0);
        }
        if within {
            (self.lowest_m, self.highest_m) = (lowest_m, highest_m);
        } else {
            // The stretch that counts begins here.
            self.since_s = Some(seen.time_s);
            (self.lowest_m, self.highest_m) = (height_m, height_m);
        }
        let lasted_s = self.since_s.map_or(0.0, |since_s| seen.time_s - since_s);
        if lasted_s >= for_s {
            Progress::Done
        } else {
            Progress::Under(lasted_s / for_s)
        }
    }
}
