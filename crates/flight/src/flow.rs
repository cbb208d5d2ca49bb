//! How the air moves past the plane as a whole.

use glam::{DMat3, DVec3};

/// Moving air around the plane, body axes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flow {
    /// Velocity of the centre of gravity through the air at the wing centre.
    pub velocity_m_s: DVec3,
    pub rates_rad_s: DVec3,
    /// Extra wind at starboard tip less port tip, halved.
    pub lateral_m_s: DVec3,
    /// Extra wind at both tips over the centre.
    pub tips_m_s: DVec3,
    /// Extra wind at the tail over the centre.
    pub tail_m_s: DVec3,
    /// World's down direction in body axes.
    pub down: DVec3,
    /// Height of the centre of gravity over the ground.
    pub height_m: f64,
}

/// World's down direction in body axes.
pub(crate) fn down_in_body(body_to_world: &DMat3) -> DVec3 {
    DVec3::new(
        body_to_world.x_axis.z,
        body_to_world.y_axis.z,
        body_to_world.z_axis.z,
    )
}
