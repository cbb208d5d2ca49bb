//! Away from the hand or the ground, the climb, and the climb after an approach
//! that was given up.

use super::Progress;
use crate::Sight;
use crate::scripted::aim::{Aim, Course, Line};
use crate::scripted::scene::Scene;
use crate::scripted::{Departure, Habits};

/// Climb until the eye says the goal has been passed by this share: the eye
/// misjudges height, and higher is safer.
const PASS_GOAL_BY: f64 = 1.15;
/// Below this sink nobody says the plane sinks.
const SINK_NOTICED_M_S: f64 = 0.4;
/// Nose this far above the path looks like mushing.
const MUSH_RAD: f64 = 0.24;
/// Height and sink at which the ground cannot be avoided any more.
const LOST_HEIGHT_M: f64 = 0.8;
const LOST_SINK_M_S: f64 = 1.5;
/// After this long in the air the launch is over.
const AWAY_S: f64 = 2.0;
/// Off the ground by this much, the wheels are no longer of interest.
const AIRBORNE_M: f64 = 0.35;
/// Share of the usual circuit speed at which the nose is raised on the ground.
const ROTATE_SHARE: f64 = 0.72;

/// Straight ahead from the launch.
fn launch_course(scene: &Scene<'_>) -> Course {
    Course::Line(Line {
        meet_rad: 0.5,
        gain_rad_m: scene.habits.track_gain_rad_m,
        ..Line::through(0.0, 0.0, scene.task.heading_rad, 1e3)
    })
}

/// From the hand or the ground until the plane flies by itself.
pub(super) fn away(scene: &Scene<'_>) -> (Aim, Progress) {
    let off_ground = scene.clearance_m() > AIRBORNE_M;
    if matches!(scene.task.departure, Departure::RiseOffGround { .. }) && !off_ground {
        return (take_off(scene), Progress::Going);
    }
    let done = match scene.task.departure {
        Departure::Thrown { .. } => scene.free_s.is_some_and(|free_s| free_s > AWAY_S),
        Departure::RiseOffGround { .. } => scene.clearance_m() > 1.0,
        Departure::InFlight => true,
    };
    let progress = if done {
        Progress::Done
    } else {
        Progress::Going
    };
    (climbing(scene, Climbing::of(scene)), progress)
}

/// On the wheels: throttle up steadily, straight by rudder, nose up gently once
/// it runs fast enough.
fn take_off(scene: &Scene<'_>) -> Aim {
    let feel = scene.feel();
    let rotate_m_s = ROTATE_SHARE * feel.level_speed_m_s - scene.headwind_m_s();
    let fast = scene.sight.ground_speed_m_s > rotate_m_s;
    Aim {
        throttle: scene.task.launch_throttle(scene.free_s),
        nose_rad: if fast {
            scene.feel().climb_pitch_rad.min(0.16)
        } else {
            // Left alone: the plane stands as it stands.
            scene.sight.pitch_rad
        },
        on_ground: true,
        align_rad: Some(scene.task.heading_rad),
        ..scene.plain(Course::WingsLevel)
    }
}

/// What a climb straight ahead holds.
#[derive(Clone, Copy)]
struct Climbing {
    course: Course,
    throttle: f64,
}

impl Climbing {
    /// Out over the launch, the throttle where it was for that.
    fn from_launch(scene: &Scene<'_>) -> Self {
        Self {
            course: launch_course(scene),
            throttle: scene.task.launch_throttle(scene.free_s),
        }
    }

    /// From wherever it is: a flight that began in the air has neither a launch
    /// to fly out from nor power for a climb set.
    fn from_level(scene: &Scene<'_>) -> Self {
        Self {
            course: Course::Toward {
                track_rad: scene.task.heading_rad,
            },
            throttle: scene.feel().climb_throttle,
        }
    }

    fn of(scene: &Scene<'_>) -> Self {
        match scene.task.departure {
            Departure::InFlight => Self::from_level(scene),
            _ => Self::from_launch(scene),
        }
    }
}

/// The climb straight ahead.
fn climbing(scene: &Scene<'_>, climbing: Climbing) -> Aim {
    let (sight, habits) = (scene.sight, scene.habits);
    let sink_m_s = -sight.climb_m_s;
    let mut aim = Aim {
        bank_limit_rad: scene.ability.bank_limit_rad,
        eagerness: 1.0,
        nose_rad: habits
            .climb_pitch_rad
            .min(scene.feel().climb_pitch_rad.max(0.1) * habits.climb_share),
        throttle: climbing.throttle,
        ..scene.plain(climbing.course)
    };
    // Far away, only what is plain to see counts.
    let plain = 1.0 + sight.distance_m / scene.ability.acuity.doubling_m;
    let plain_sink_m_s = sink_m_s - SINK_NOTICED_M_S * plain;
    if habits.eases_forward {
        ease(sight, plain, plain_sink_m_s, &mut aim);
    }
    if habits.lands_ahead && sight.height_m < LOST_HEIGHT_M && sink_m_s > LOST_SINK_M_S {
        aim.throttle = 0.0;
        aim.nose_rad = 0.05;
    }
    aim.pull = pull(habits, plain_sink_m_s);
    aim
}

/// Nose eased down and full power while the plane sinks or mushes.
fn ease(sight: &Sight, plain: f64, plain_sink_m_s: f64, aim: &mut Aim) {
    if plain_sink_m_s > 0.0 {
        aim.nose_rad = (aim.nose_rad - 0.15 * plain_sink_m_s).max(0.0);
        aim.throttle = 1.0_f64.min(aim.throttle * 2.0);
    }
    let path_rad = libm::atan2(sight.climb_m_s, sight.ground_speed_m_s.max(1.0));
    let mush_rad = sight.pitch_rad - path_rad - MUSH_RAD * plain;
    if mush_rad > 0.0 {
        aim.nose_rad = (aim.nose_rad - 1.5 * mush_rad).max(0.0);
    }
}

/// What somebody pulls who believes that pulling stops a sink.
pub(super) fn pull(habits: &Habits, plain_sink_m_s: f64) -> f64 {
    habits.pull_per_m_s * plain_sink_m_s.max(0.0)
}

/// Straight ahead to a height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::scripted) struct Climb {
    /// The height.
    pub height_m: f64,
}

impl Climb {
    pub(super) fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        let climb = Climbing::of(scene);
        if scene.sight.height_m > self.height_m * PASS_GOAL_BY {
            let level = scene.level(climb.course, self.height_m * PASS_GOAL_BY);
            return (level, Progress::Done);
        }
        (climbing(scene, climb), Progress::Going)
    }
}

/// Power on, away along the landing line, up to circuit height.
pub(super) fn go_around(scene: &Scene<'_>) -> (Aim, Progress) {
    let feel = scene.feel();
    let mut aim = Aim {
        nose_rad: feel.climb_pitch_rad.min(scene.habits.climb_pitch_rad),
        throttle: feel.climb_throttle,
        bank_limit_rad: scene.ability.bank_limit_rad,
        ..scene.plain(Course::Line(scene.line(0.0, 0.0)))
    };
    let plain = 1.0 + scene.sight.distance_m / scene.ability.acuity.doubling_m;
    if scene.habits.eases_forward {
        let sink_m_s = -scene.sight.climb_m_s - SINK_NOTICED_M_S * plain - 0.6;
        ease(scene.sight, plain, sink_m_s, &mut aim);
    }
    let high = scene.sight.height_m > 0.9 * scene.circuit.height_m;
    (
        aim,
        if high {
            Progress::Done
        } else {
            Progress::Going
        },
    )
}
