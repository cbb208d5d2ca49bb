//! Downwind and base.

use super::Progress;
use crate::attitude::{PI, wrap};
use crate::scripted::aim::{Aim, Course};
use crate::scripted::scene::Scene;

/// The downwind leg is joined at least this far past the touch point, so that
/// it passes abeam of it.
const JOIN_PAST_M: f64 = 25.0;
/// The turn to base is never nearer than this.
const NEAREST_BASE_M: f64 = 22.0;
/// Nor farther: a plane of 1 m span is lost to the eye at about 100 m.
const FARTHEST_BASE_M: f64 = 85.0;
/// The final begins when the nose is this close to the landing direction.
const LINED_UP_RAD: f64 = 0.9;

/// Join and fly the leg against the landing direction.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(in crate::scripted) struct Downwind {
    stage: Stage,
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
enum Stage {
    /// Not looked yet.
    #[default]
    Arriving,
    /// With the landing direction until far enough past the touch point.
    Upwind { out_m: f64 },
    /// Toward the leg and along it.
    Leg,
}

impl Downwind {
    pub(super) fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        let far = scene.along_m() > JOIN_PAST_M;
        self.stage = match self.stage {
            Stage::Arriving if far => Stage::Leg,
            Stage::Arriving => {
                // Room for the half turn onto the leg.
                let room_m = scene.circuit.spacing_m - 2.0 * scene.line_turn_m();
                Stage::Upwind {
                    out_m: scene.out_m().min(room_m).max(0.0),
                }
            }
            Stage::Upwind { .. } if far => Stage::Leg,
            other => other,
        };
        let line = match self.stage {
            Stage::Upwind { out_m } => scene.line(out_m, 0.0),
            Stage::Arriving | Stage::Leg => scene.line(scene.circuit.spacing_m, PI),
        };
        let aim = scene.level(Course::Line(line), scene.circuit.height_m);
        let turn_now = self.stage == Stage::Leg && scene.along_m() < -base_at_m(scene);
        (
            aim,
            if turn_now {
                Progress::Done
            } else {
                Progress::Going
            },
        )
    }
}

/// How far before the touch point, along the landing direction, the turn to
/// base begins: so that the way down fits the height.
fn base_at_m(scene: &Scene<'_>) -> f64 {
    let way_m = scene.circuit.height_m / scene.approach_slope() + scene.float_m();
    // A quarter turn, the base leg, a quarter turn, the final.
    let turns_m = (PI - 2.0) * scene.turn_m();
    let before_m = way_m - scene.circuit.spacing_m - turns_m + scene.habits.base_late_m;
    // The turn is begun early by what the tail wind carries it.
    before_m.clamp(NEAREST_BASE_M, FARTHEST_BASE_M)
}

/// Way left to the point at which the path of the approach meets the ground.
pub(super) fn way_to_go_m(scene: &Scene<'_>) -> f64 {
    let turn_m = scene.turn_m();
    let turned = wrap(scene.sight.track_rad - scene.circuit.landing_heading_rad).abs();
    let quarter = 0.5 * PI;
    // Corners are rounded: a quarter turn is 0.43 radii shorter than its corner,
    // and one that has not begun lies a radius farther out.
    let corners = if turned > quarter {
        -0.43 + 1.57 * (turned - quarter) / quarter
    } else {
        -0.43 * turned / quarter
    };
    scene.out_m().abs() - scene.along_m() + corners * turn_m - scene.float_m()
}

/// Nose and throttle that bring the plane down the approach: the throttle for
/// the height, the attitude for the speed.
pub(super) fn descend(scene: &Scene<'_>, course: Course) -> Aim {
    let (feel, sight) = (scene.feel(), scene.sight);
    let slope = scene.approach_slope();
    let wanted_m = (slope * way_to_go_m(scene)).clamp(0.0, scene.circuit.height_m);
    let low_m = (wanted_m - scene.clearance_m()).clamp(-4.0, 4.0);
    let below = wanted_m < scene.circuit.height_m - 0.01;
    let wanted_sink = if below {
        slope * sight.ground_speed_m_s
    } else {
        0.0
    };
    let climb_error = -wanted_sink - sight.climb_m_s;
    let load = 1.0 / libm::cos(sight.bank_rad.clamp(-1.0, 1.0)) - 1.0;
    let power = scene.habits.power_gain * (0.045 * low_m + 0.09 * climb_error);
    // A little faster against the wind: half of it is usual (gliding.world,
    // "Landing in strong wind"). Faster is nose lower.
    let lower = 0.010 * scene.headwind_m_s.clamp(0.0, 6.0);
    Aim {
        nose_rad: feel.approach_pitch_rad - lower
            + (0.012 * low_m).clamp(-0.04, 0.04)
            + 0.15 * load,
        throttle: (feel.approach_throttle * (1.0 + 0.8 * load) + power).clamp(0.0, 1.0),
        pull: 0.6 * load,
        ..scene.plain(course)
    }
}

/// Across, and onto the final.
pub(super) fn base(scene: &Scene<'_>) -> (Aim, Progress) {
    let aim = descend(scene, Course::Line(scene.line(0.0, 0.0)));
    let off_rad = wrap(scene.sight.track_rad - scene.circuit.landing_heading_rad).abs();
    let done = off_rad < LINED_UP_RAD;
    (
        aim,
        if done {
            Progress::Done
        } else {
            Progress::Going
        },
    )
}
