//! An approach given up in time.

use super::Progress;
use crate::{CircuitFrame, Watch};

/// Within this of the landing direction it is an approach.
const ALIGNED_RAD: f64 = 0.79;

/// First down, then up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct GoRound {
    lowest_m: Option<f64>,
}

impl GoRound {
    pub fn watch(
        &mut self,
        seen: &Watch,
        frame: &CircuitFrame,
        below_m: f64,
        climb_to_m: f64,
    ) -> Progress {
        let height_m = seen.height_m();
        let aligned = frame.track_off(seen.velocity_m_s, 0.0) < ALIGNED_RAD;
        match self.lowest_m {
            None if height_m <= below_m && aligned => {
                self.lowest_m = Some(height_m);
                Progress::Under(0.5)
            }
            None => Progress::Under(0.0),
            Some(lowest_m) => {
                let lowest_m = lowest_m.min(height_m);
                self.lowest_m = Some(lowest_m);
                if height_m >= climb_to_m {
                    Progress::Done
                } else {
                    Progress::Under(0.5 + 0.5 * (height_m - lowest_m) / (climb_to_m - lowest_m))
                }
            }
        }
    }
}
