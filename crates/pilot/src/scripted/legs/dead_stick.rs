//! The motor has stopped: nose down to the glide at once, then the box if it
//! can be reached with something to spare, otherwise straight ahead.

use super::Progress;
use super::circuit::way_to_go_m;
use super::final_leg::landing_line;
use super::land::{Landing, Where};
use crate::attitude::{PI, wrap};
use crate::scripted::aim::{Aim, Course};
use crate::scripted::scene::Scene;

/// Below this nobody turns any more.
const NO_TURN_BELOW_M: f64 = 3.5;
/// Height kept in hand when the turn is decided: stay slightly high.
const IN_HAND_M: f64 = 1.5;

/// A flight without a motor.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(in crate::scripted) struct DeadStick {
    stage: Stage,
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
enum Stage {
    #[default]
    Deciding,
    /// Toward the landing line and along it.
    Toward,
    Ahead,
    Landing(Landing),
}

impl DeadStick {
    pub(super) fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        let height_m = scene.clearance_m();
        let lined_up = wrap(scene.sight.track_rad - scene.circuit.landing_heading_rad).abs() < 0.5;
        self.stage = match self.stage {
            Stage::Deciding if reaches(scene) => Stage::Toward,
            Stage::Deciding => Stage::Ahead,
            Stage::Toward if height_m < NO_TURN_BELOW_M && !lined_up => Stage::Ahead,
            other => other,
        };
        let place = if self.stage == Stage::Ahead {
            Where::Ahead
        } else {
            Where::Line
        };
        if !matches!(self.stage, Stage::Landing(_)) && height_m < scene.habits.flare_from_m + 0.3 {
            self.stage = Stage::Landing(Landing::dead(place));
        }
        match &mut self.stage {
            Stage::Landing(landing) => landing.fly(scene),
            Stage::Toward => (
                glide(scene, Course::Line(landing_line(scene))),
                Progress::Going,
            ),
            Stage::Deciding | Stage::Ahead => (glide(scene, Course::WingsLevel), Progress::Going),
        }
    }
}

/// Nose at the glide, throttle shut.
fn glide(scene: &Scene<'_>, course: Course) -> Aim {
    let load = 1.0 / libm::cos(scene.sight.bank_rad.clamp(-1.0, 1.0)) - 1.0;
    Aim {
        nose_rad: scene.feel().glide_pitch_rad + scene.habits.glide_stretch_rad,
        throttle: 0.0,
        pull: 0.4 * load,
        ..scene.plain(course)
    }
}

/// Whether the glide reaches the near half of the box, turns included.
fn reaches(scene: &Scene<'_>) -> bool {
    let feel = scene.feel();
    let off_rad = wrap(scene.sight.track_rad - scene.circuit.landing_heading_rad).abs();
    // Turning costs height: the glide is steeper in a bank.
    let turns_m = 0.3 * scene.turn_m() * off_rad / (0.5 * PI);
    let against = (1.0 - 0.7 * scene.headwind_m_s() / feel.glide_speed_m_s).clamp(0.4, 1.2);
    let way_m = way_to_go_m(scene).max(0.0) + turns_m;
    let behind = scene.along_m() > 0.0 && off_rad < 1.0;
    let needed_m = way_m * 1.15 * feel.glide_slope_rad / against + IN_HAND_M;
    !behind && scene.clearance_m() > needed_m && scene.clearance_m() > NO_TURN_BELOW_M
}
