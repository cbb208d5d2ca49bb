//! Flare, touch, roll, stop.

use super::Progress;
use super::final_leg::landing_line;
use crate::scripted::aim::{Aim, Course};
use crate::scripted::scene::Scene;
use crate::scripted::{LandingTechnique, Undercarriage};
use crate::{Steering, attitude::wrap};

/// Low and steady for this long: it is down.
const DOWN_AFTER_S: f64 = 0.25;
/// Slower than this over the ground it stands.
const STANDS_M_S: f64 = 0.25;
/// Standing for this long, the landing is over.
const STOOD_S: f64 = 0.8;
/// Eyes and elevator lag by about this.
const LOOK_AHEAD_S: f64 = 0.4;
/// Share of the stick of the whole flare that is given by heart.
const FLARE_PULL: f64 = 0.6;
/// Below this the rudder brings the nose round, on wheels.
const ALIGN_BELOW_M: f64 = 0.45;

/// Where the landing goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Where {
    /// Along the landing line.
    Line,
    /// Straight ahead.
    Ahead,
}

/// A landing from the flare on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::scripted) struct Landing {
    technique: LandingTechnique,
    place: Where,
    stage: Stage,
    /// How long it has seemed to be down, or to stand.
    steady_s: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    Flare,
    Rolling,
}

impl Landing {
    pub fn new(technique: LandingTechnique) -> Self {
        Self {
            technique,
            place: Where::Line,
            stage: Stage::Flare,
            steady_s: 0.0,
        }
    }

    /// Straight ahead or along the line, motor dead.
    pub(super) fn dead(place: Where) -> Self {
        Self {
            place,
            ..Self::new(LandingTechnique::StallLimit)
        }
    }

    pub(super) fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        match self.stage {
            Stage::Flare => {
                let aim = self.flare(scene);
                if self.seems_down(scene) {
                    (self.stage, self.steady_s) = (Stage::Rolling, 0.0);
                }
                let climbs_away = self.technique == LandingTechnique::Usual
                    && scene.habits.goes_round
                    && scene.clearance_m() > scene.habits.flare_from_m + 1.3;
                let progress = if climbs_away {
                    Progress::GoRound
                } else {
                    Progress::Going
                };
                (aim, progress)
            }
            Stage::Rolling => {
                let stands = scene.sight.ground_speed_m_s < STANDS_M_S;
                self.steady_s = if stands {
                    self.steady_s + scene.step_s
                } else {
                    0.0
                };
                let progress = if self.steady_s > STOOD_S {
                    Progress::Done
                } else {
                    Progress::Going
                };
                (self.roll(scene), progress)
            }
        }
    }

    /// Nose from that of the approach to that of the touch as the ground comes
    /// nearer; less when it balloons, more when it sinks too fast.
    fn flare(&self, scene: &Scene<'_>) -> Aim {
        let (feel, habits, sight) = (scene.feel(), scene.habits, scene.sight);
        // Eyes and elevator are late: what counts is where it will be in a moment.
        let soon_m = scene.clearance_m() + LOOK_AHEAD_S * sight.climb_m_s.min(0.0);
        let seen_m = soon_m + habits.flare_misjudged_m;
        // Without a motor it comes down more steeply: begun a little higher.
        let stall_limit = self.technique == LandingTechnique::StallLimit;
        let from_m = habits.flare_from_m * if stall_limit { 1.25 } else { 1.0 };
        let level_m = 0.15;
        let share = ((from_m - seen_m) / (from_m - level_m)).clamp(0.0, 1.0);
        let start_rad = feel.approach_pitch_rad;
        let calm_sink = 0.25 + 0.7 * seen_m.max(0.0);
        let faster = (-sight.climb_m_s - calm_sink).clamp(0.0, 2.0);
        let balloon = sight.climb_m_s.clamp(0.0, 2.0);
        let nose = start_rad + (feel.touch_pitch_rad - start_rad) * share + (0.06 * faster * share)
            - 0.08 * balloon;
        // Held off to the end: the nose never goes lower than level here.
        let lowest = if share > 0.6 {
            0.3 * feel.touch_pitch_rad
        } else {
            start_rad - 0.03
        };
        let highest_rad = feel.touch_pitch_rad + if stall_limit { 0.10 } else { 0.06 };
        let shut = (seen_m - habits.shut_below_m) / 0.6;
        let throttle = match self.technique {
            LandingTechnique::Usual => feel.approach_throttle * shut.clamp(0.0, 1.0),
            LandingTechnique::StallLimit => 0.0,
        };
        let low = scene.clearance_m() < ALIGN_BELOW_M;
        let wheels = feel.undercarriage == Undercarriage::Wheels;
        let align = low && wheels && scene.task.steering == Steering::Ailerons && habits.aligns;
        let heading = scene.circuit.landing_heading_rad;
        let level_off = (scene.clearance_m() / 2.0).clamp(0.0, 1.0);
        Aim {
            firmness: 1.0 + share,
            // The stick that goes with the rising nose; eyes and hands add the rest.
            pull: FLARE_PULL * share * (feel.touch_pitch_rad - start_rad) / feel.nose_per_stick_rad,
            nose_rad: nose.max(lowest).min(highest_rad),
            throttle,
            align_rad: (align && self.place == Where::Line).then_some(heading),
            bank_limit_rad: if wheels { 0.16 } else { 0.08 } + 0.35 * level_off,
            ..scene.plain(self.course(scene))
        }
    }

    fn course(&self, scene: &Scene<'_>) -> Course {
        match self.place {
            Where::Line => Course::Line(landing_line(scene)),
            Where::Ahead => Course::WingsLevel,
        }
    }

    fn seems_down(&mut self, scene: &Scene<'_>) -> bool {
        let sight = scene.sight;
        let low = scene.clearance_m() < 0.12 + 0.1 * scene.feel().standing_height_m;
        let steady = low && sight.climb_m_s.abs() < 0.35;
        let slow = sight.ground_speed_m_s + scene.headwind_m_s().max(0.0)
            < 0.5 * scene.feel().approach_speed_m_s
            && scene.clearance_m() < 0.6;
        self.steady_s = if steady || slow {
            self.steady_s + scene.step_s
        } else {
            0.0
        };
        self.steady_s > DOWN_AFTER_S
    }

    /// Down: throttle shut, straight with the rudder, tail held down gently.
    fn roll(&self, scene: &Scene<'_>) -> Aim {
        let sight = scene.sight;
        let line = landing_line(scene);
        let back_rad = match self.place {
            Where::Line => (-0.03 * line.beside_m(sight)).clamp(-0.15, 0.15),
            Where::Ahead => 0.0,
        };
        let straight = match self.place {
            Where::Line => wrap(scene.circuit.landing_heading_rad + back_rad),
            Where::Ahead => sight.track_rad,
        };
        Aim {
            throttle: 0.0,
            pull: 0.15,
            nose_rad: sight.pitch_rad,
            align_rad: Some(straight),
            on_ground: true,
            ..scene.plain(Course::WingsLevel)
        }
    }
}

/// Standing: everything off.
pub(super) fn stopped(scene: &Scene<'_>) -> Aim {
    Aim {
        throttle: 0.0,
        nose_rad: scene.sight.pitch_rad,
        on_ground: true,
        thumbs_off: true,
        cut: true,
        ..scene.plain(Course::WingsLevel)
    }
}
