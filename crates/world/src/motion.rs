//! Motion of one rigid body, in f64.

use bevy::prelude::Component;
use glam::{DQuat, DVec3};

/// Where a body is and how it moves. World axes are north, east, down.
#[derive(Component, Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// Centre of gravity.
    pub position_m: DVec3,
    /// Velocity of the centre of gravity over the ground.
    pub velocity_m_s: DVec3,
    /// Rotation from body axes to world axes.
    pub attitude: DQuat,
    /// Body rates: roll, pitch, yaw.
    pub rates_rad_s: DVec3,
}

impl Motion {
    /// A body at rest, level, heading north.
    pub fn at_rest(position_m: DVec3) -> Self {
        Self {
            position_m,
            velocity_m_s: DVec3::ZERO,
            attitude: DQuat::IDENTITY,
            rates_rad_s: DVec3::ZERO,
        }
    }

    /// Position in world axes of a point given in body axes.
    pub fn point_m(&self, body_m: DVec3) -> DVec3 {
        self.position_m + self.attitude * body_m
    }

    /// Velocity over the ground, world axes, of a point given in body axes.
    pub fn point_velocity_m_s(&self, body_m: DVec3) -> DVec3 {
        self.velocity_m_s + self.attitude * self.rates_rad_s.cross(body_m)
    }

    /// True when every number is finite.
    pub fn is_finite(&self) -> bool {
        self.position_m.is_finite()
            && self.velocity_m_s.is_finite()
            && self.attitude.is_finite()
            && self.rates_rad_s.is_finite()
    }
}

/// Motion at the start and at the end of a tick, before contacts: what the
/// integrator of a body hands to the contact solver.
#[derive(Component, Debug, Clone, Copy, PartialEq)]
pub struct TickMotion {
    /// At the start of the tick.
    pub start: Motion,
    /// At the end of the tick, as if there were no ground.
    pub end: Motion,
}

impl TickMotion {
    /// A body that has not moved yet.
    pub fn still(motion: Motion) -> Self {
        Self {
            start: motion,
            end: motion,
        }
    }
}
