//! The legs of the circuit, by the track over the ground.
//!
//! A leg is flown when the plane has gone its way for long enough to be said to
//! be on it, and over when it has passed the place where the next one begins.

use super::Progress;
use crate::{CircuitFrame, Watch};

/// Within this of its direction a plane is on a leg: half a right angle.
const ON_LEG_RAD: f64 = std::f64::consts::FRAC_PI_4;
/// It is on the leg after this time.
const ESTABLISHED_S: f64 = 0.5;
/// Beside the landing line by at least this share of the spacing.
const BESIDE: f64 = 0.3;
/// Farther out than this share of the spacing is not this circuit.
const FAR_OUT: f64 = 3.0;
/// Within this of the landing direction the final may end.
const ALIGNED_RAD: f64 = 0.52;

/// Time spent on a leg without leaving it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct OnLeg {
    since_s: Option<f64>,
    established: bool,
}

impl OnLeg {
    fn watch(&mut self, time_s: f64, on: bool) {
        if on {
            let since_s = *self.since_s.get_or_insert(time_s);
            self.established |= time_s - since_s >= ESTABLISHED_S;
        } else {
            self.since_s = None;
        }
    }
}

/// Against the landing direction, past the touch point.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Downwind {
    leg: OnLeg,
    /// Was before the touch point, seen in the direction of this leg.
    from_ahead: bool,
}

impl Downwind {
    pub fn watch(&mut self, seen: &Watch, frame: &CircuitFrame) -> Progress {
        let (along_m, across_m) = frame.place(seen.position_m);
        let beside = across_m >= BESIDE * frame.spacing_m && across_m <= FAR_OUT * frame.spacing_m;
        let off_rad = frame.track_off(seen.velocity_m_s, std::f64::consts::PI);
        let on = beside && off_rad < ON_LEG_RAD;
        self.leg.watch(seen.time_s, on);
        self.from_ahead |= on && along_m > 0.0;
        if self.leg.established && on && along_m <= 0.0 {
            // Joining behind the touch point is not flying past it.
            if self.from_ahead {
                return Progress::Done;
            }
            return Progress::Under(0.5);
        }
        Progress::Under(if self.leg.established { 0.5 } else { 0.0 })
    }
}

/// Across, from the downwind leg to the landing line.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Base {
    leg: OnLeg,
}

impl Base {
    pub fn watch(&mut self, seen: &Watch, frame: &CircuitFrame) -> Progress {
        let (along_m, across_m) = frame.place(seen.position_m);
        // The leg goes toward the landing line.
        let toward_line_rad = -frame.side * std::f64::consts::FRAC_PI_2;
        let on = frame.track_off(seen.velocity_m_s, toward_line_rad) < ON_LEG_RAD;
        self.leg.watch(seen.time_s, on && along_m < 0.0);
        let turned_in = frame.track_off(seen.velocity_m_s, 0.0) < ON_LEG_RAD;
        if self.leg.established && turned_in && along_m < 0.0 && across_m < frame.spacing_m {
            Progress::Done
        } else {
            Progress::Under(if self.leg.established { 0.5 } else { 0.0 })
        }
    }
}

/// Down the landing line.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Final {
    start_m: Option<f64>,
}

impl Final {
    pub fn watch(&mut self, seen: &Watch, frame: &CircuitFrame, to_m: f64) -> Progress {
        let height_m = seen.height_m();
        let start_m = *self.start_m.get_or_insert(height_m);
        let (along_m, across_m) = frame.place(seen.position_m);
        let aligned = frame.track_off(seen.velocity_m_s, 0.0) < ALIGNED_RAD;
        let before_the_end = along_m < frame.box_half_length_m;
        let near_line = across_m.abs() < 0.5 * frame.spacing_m;
        if height_m <= to_m && aligned && before_the_end && near_line {
            Progress::Done
        } else if start_m > to_m {
            Progress::Under((start_m - height_m) / (start_m - to_m))
        } else {
            Progress::Under(0.0)
        }
    }
}
