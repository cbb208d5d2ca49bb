//! Where the plane is during a drill, and where the eyes are.

use bevy::prelude::*;
use glam::{DQuat, DVec3};

use crate::seen::{Pose, place};
use crate::session::Session;

/// A plane on a stand is looked at from so far that its whole span fills about
/// two fifths of the picture, with room for words on both sides.
const SPANS_AWAY: f64 = 2.7;
/// The height of the stand, and of eyes that look down at it a little.
const STAND_M: f64 = 1.0;
const EYES_ABOVE_M: f64 = 0.9;
/// A plane out there: far enough to be small, near enough to be seen by a
/// beginner, and as low as where a mistake is the last one (common practice, no
/// source).
const OUT_THERE_M: f64 = 24.0;
const HIGH_M: f64 = 5.0;
const EYES_M: f64 = 1.6;

/// The place of a drill.
#[derive(Resource, Debug, Clone, Copy)]
pub struct Stage {
    /// Eyes, where the renderer has them.
    pub eyes_m: Vec3,
    /// The way they look.
    pub ahead: Vec3,
    /// The plane's balance point; north, east, down.
    plane_m: DVec3,
    heading_rad: f64,
}

impl Stage {
    /// At a stand on the field, tail toward the eyes.
    pub fn at_stand(session: &Session) -> Self {
        let airframe = session.inputs().model.airframe();
        let half_m = (airframe.panels.iter())
            .flat_map(|panel| &panel.stations)
            .map(|station| station.leading_edge_m.y.abs())
            .fold(0.2, f64::max);
        let back_m = 2.0 * half_m * SPANS_AWAY;
        Self::before(session, back_m, STAND_M, STAND_M + EYES_ABOVE_M)
    }

    /// Out there, seen from the ground.
    pub fn out_there(session: &Session) -> Self {
        Self::before(session, OUT_THERE_M, HIGH_M, EYES_M)
    }

    fn before(session: &Session, away_m: f64, plane_up_m: f64, eyes_up_m: f64) -> Self {
        let heading_rad = session.inputs().lesson.launch.heading_rad();
        let ahead = DVec3::new(heading_rad.cos(), heading_rad.sin(), 0.0);
        let feet_m = session.thrower_feet_m();
        let up = |up_m: f64| DVec3::new(feet_m.x, feet_m.y, -up_m);
        Self {
            eyes_m: place(up(eyes_up_m)),
            ahead: place(ahead),
            plane_m: up(plane_up_m) + ahead * away_m,
            heading_rad,
        }
    }

    /// The plane turned to the right of straight away, and banked.
    pub fn pose(&self, right_rad: f64, bank_rad: f64) -> Pose {
        let turn =
            DQuat::from_rotation_z(self.heading_rad + right_rad) * DQuat::from_rotation_x(bank_rad);
        Pose::of(self.plane_m, turn)
    }
}
