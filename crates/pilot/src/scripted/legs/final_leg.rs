//! The final: down toward the touch point, and the judgement whether it will do.

use super::Progress;
use super::circuit::{PowerHold, descend, short_of_box, way_to_go_m};
use crate::attitude::wrap;
use crate::scripted::aim::{Aim, Course, Line};
use crate::scripted::scene::Scene;

/// Nearer than this to the touch point, what is wrong will stay wrong.
const DECIDE_M: f64 = 30.0;
/// Below this height nobody changes the mind.
const COMMITTED_M: f64 = 1.3;
/// A track this far off the landing direction is not lined up.
const ASKEW_RAD: f64 = 0.5;

/// The final.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::scripted) struct Final {
    /// Height at which it is given up on purpose.
    give_up_m: Option<f64>,
    power: PowerHold,
}

impl Final {
    /// A final that ends in the flare.
    pub fn to_land() -> Self {
        Self {
            give_up_m: None,
            power: PowerHold::default(),
        }
    }

    /// A final that is given up at a height.
    pub fn to_go_round(at_height_m: f64) -> Self {
        Self {
            give_up_m: Some(at_height_m),
            power: PowerHold::default(),
        }
    }

    pub(super) fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        let mut aim = descend(scene, Course::Line(landing_line(scene)), &mut self.power);
        // The lower, the flatter the turns.
        let flat_rad = 0.14 + 0.08 * scene.clearance_m().max(0.0);
        aim.bank_limit_rad = aim.bank_limit_rad.min(flat_rad);
        let progress = match self.give_up_m {
            Some(height_m) if scene.sight.height_m < height_m.max(1.0) => Progress::GoRound,
            _ if scene.habits.goes_round && hopeless(scene) => Progress::GoRound,
            None if flares(scene) => Progress::Done,
            _ => Progress::Going,
        };
        (aim, progress)
    }
}

/// Low enough for the flare and near enough to the box, or simply low.
fn flares(scene: &Scene<'_>) -> bool {
    let clearance_m = scene.clearance_m();
    let low = clearance_m < scene.habits.flare_from_m + 0.3;
    low && (!short_of_box(scene) || clearance_m < 0.5)
}

/// The line of the landing, held more closely than others.
pub(super) fn landing_line(scene: &Scene<'_>) -> Line {
    Line {
        gain_rad_m: 0.4 / scene.feel().approach_speed_m_s,
        ..scene.line(0.0, 0.0)
    }
}

/// Too high, too low or beside the line, too near to mend it.
fn hopeless(scene: &Scene<'_>) -> bool {
    let feel = scene.feel();
    let clearance_m = scene.clearance_m();
    let to_touch_m = -scene.along_m();
    if to_touch_m > DECIDE_M || clearance_m < COMMITTED_M {
        return false;
    }
    let against = (1.0 - scene.headwind_m_s() / feel.glide_speed_m_s).clamp(0.4, 1.3);
    let steepest = feel.glide_slope_rad / against;
    // With the motor shut it would still touch beyond the far end of the box.
    let last_m = scene.circuit.box_half_length_m - 0.6 * scene.float_m();
    let too_high = clearance_m > steepest * (to_touch_m + last_m).max(0.0) + 0.5;
    let too_low = clearance_m < 0.25 * scene.approach_slope() * way_to_go_m(scene) - 0.3;
    let beside_m = scene.out_m().abs();
    let off_rad = wrap(scene.sight.track_rad - scene.circuit.landing_heading_rad).abs();
    let askew = beside_m > scene.circuit.box_half_width_m + 0.15 * to_touch_m.max(0.0)
        || off_rad > ASKEW_RAD;
    too_high || too_low || askew
}
