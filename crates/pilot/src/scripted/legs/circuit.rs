//! Downwind and base.

use super::Progress;
use crate::attitude::{PI, wrap};
use crate::scripted::aim::{Aim, Course};
use crate::scripted::scene::Scene;

/// The downwind leg is joined at least this far past the touch point, so that
/// Nobody points the nose further down than this at a strip.
const STEEPEST_DIVE_RAD: f64 = 0.5;
/// it passes abeam of it.
const JOIN_PAST_M: f64 = 25.0;
/// The turn to base is never nearer than this.
const NEAREST_BASE_M: f64 = 22.0;
/// Nor farther: a plane of 1 m span is lost to the eye at about 100 m.
const FARTHEST_BASE_M: f64 = 85.0;
/// Room that the turn to base needs, in radii, and what is kept from the line.
const TURN_ROOM: f64 = 1.3;
const ROOM_M: f64 = 8.0;
/// Before the line the turn to base may come this near.
const LEAST_BASE_M: f64 = 5.0;
/// Whoever comes in too low flies level at this height to the box.
const DRAG_IN_M: f64 = 1.2;
/// The flare may begin this far before the box.
const FLARE_BEFORE_BOX_M: f64 = 14.0;
/// Throttle learned for each metre and second below the way down.
const POWER_PER_M_S: f64 = 0.02;
/// Throttle over that of level flight which an approach may use while high
/// enough to wait for it to work.
const SPARE_THROTTLE: f64 = 0.04;
const HURRY_BELOW_M: f64 = 3.0;
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
        let course = Course::Line(line);
        let base_m = base_at_m(scene);
        let on_leg = self.stage == Stage::Leg;
        // Where the turn has to come early the way down begins on this leg.
        let to_go_m = scene.along_m() + base_m + after_base_m(scene, base_m);
        let wanted_m = scene.approach_slope() * to_go_m;
        let aim = if on_leg && wanted_m < scene.circuit.height_m {
            descend_at(scene, course, wanted_m)
        } else {
            scene.level(course, scene.circuit.height_m)
        };
        let turn_now = on_leg && scene.along_m() < -base_m;
        let progress = if turn_now {
            Progress::Done
        } else {
            Progress::Going
        };
        (aim, progress)
    }
}

/// Way from the turn to base to the end of the approach: a quarter turn, the
/// base leg, a quarter turn, the final.
fn after_base_m(scene: &Scene<'_>, base_m: f64) -> f64 {
    base_m + scene.circuit.spacing_m + (PI - 2.0) * scene.turn_m() - scene.float_m()
}

/// How far before the touch point, along the landing direction, the turn to
/// base begins: so that the way down fits the height, and before the line.
fn base_at_m(scene: &Scene<'_>) -> f64 {
    let way_m = scene.circuit.height_m / scene.approach_slope();
    let before_m = way_m - after_base_m(scene, 0.0) + scene.habits.base_late_m;
    let mut before_m = before_m.clamp(NEAREST_BASE_M, FARTHEST_BASE_M);
    // Carried by a tail wind the turn reaches farther.
    let carried = 1.0 + scene.headwind_m_s().max(0.0) / scene.feel().level_speed_m_s;
    let turn_m = TURN_ROOM * scene.turn_m() * carried * carried;
    let inside = |before_m: f64| {
        let along_m = -(before_m + turn_m);
        scene
            .room_m(along_m, 0.0)
            .min(scene.room_m(along_m, scene.circuit.spacing_m))
            > ROOM_M
    };
    while scene.habits.minds_line && before_m > LEAST_BASE_M && !inside(before_m) {
        before_m -= 3.0;
    }
    before_m
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
pub(super) fn descend(scene: &Scene<'_>, course: Course, power: &mut PowerHold) -> Aim {
    let mut wanted_m = scene.approach_slope() * way_to_go_m(scene);
    if short_of_box(scene) {
        wanted_m = wanted_m.max(DRAG_IN_M);
    }
    power.learn(scene, wanted_m - scene.clearance_m());
    let mut aim = descend_at(scene, course, wanted_m);
    aim.throttle = (aim.throttle + power.hold).clamp(0.0, 1.0);
    aim
}

/// Still so far before the box that the flare has to wait.
pub(super) fn short_of_box(scene: &Scene<'_>) -> bool {
    scene.along_m() < -(scene.circuit.box_half_length_m + FLARE_BEFORE_BOX_M)
}

/// Power that an approach turned out to need besides the usual.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(in crate::scripted) struct PowerHold {
    hold: f64,
}

impl PowerHold {
    fn learn(&mut self, scene: &Scene<'_>, low_m: f64) {
        let step = POWER_PER_M_S * scene.habits.power_gain * low_m.clamp(-2.0, 2.0) * scene.step_s;
        self.hold = (self.hold + step).clamp(-0.12, 0.2);
    }
}

/// The same at a height on the way down.
fn descend_at(scene: &Scene<'_>, course: Course, height_m: f64) -> Aim {
    let (feel, sight) = (scene.feel(), scene.sight);
    let slope = scene.approach_slope();
    let wanted_m = height_m.clamp(0.0, scene.circuit.height_m);
    let low_m = (wanted_m - scene.clearance_m()).clamp(-4.0, 4.0);
    let below = wanted_m < scene.circuit.height_m - 0.01;
    let wanted_sink = if below {
        // Carried along by the wind nobody dives after the slope.
        slope * sight.ground_speed_m_s.min(1.15 * feel.approach_speed_m_s)
    } else {
        0.0
    };
    let climb_error = -wanted_sink - sight.climb_m_s;
    let load = 1.0 / libm::cos(sight.bank_rad.clamp(-1.0, 1.0)) - 1.0;
    let mut power = scene.habits.power_gain * (0.07 * low_m + 0.11 * climb_error);
    if scene.habits.dives_rad_m > 0.0 {
        power = power.max(0.0);
    }
    // More than it takes to hold height only where it is needed at once.
    let near = scene.clearance_m() < HURRY_BELOW_M;
    let most = if near {
        1.0
    } else {
        feel.level_throttle + SPARE_THROTTLE
    };
    // A little faster against the wind: half of it is usual (gliding.world,
    // "Landing in strong wind"). Faster is nose lower.
    let lower = 0.010 * scene.headwind_m_s().clamp(0.0, 6.0);
    let dive_rad = (scene.habits.dives_rad_m * (-low_m).max(0.0)).min(STEEPEST_DIVE_RAD);
    Aim {
        nose_rad: feel.approach_pitch_rad - lower - dive_rad
            + (0.012 * low_m).clamp(-0.04, 0.04)
            + 0.15 * load,
        throttle: (feel.approach_throttle * (1.0 + 0.8 * load) + power).clamp(0.0, most),
        pull: 0.6 * load,
        ..scene.plain(course)
    }
}

/// Across, and onto the final.
pub(super) fn base(scene: &Scene<'_>, power: &mut PowerHold) -> (Aim, Progress) {
    let aim = descend(scene, Course::Line(scene.line(0.0, 0.0)), power);
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
