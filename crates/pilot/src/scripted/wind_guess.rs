//! What the pilot thinks the wind is: the windsock before the flight, then how
//! the plane is carried.

use glam::DVec3;

use crate::Sight;

/// Aloft the wind is stronger than at the windsock: 1.2 to 1.4 times from 2 m
/// to 12 m over grass by the logarithmic law with roughness lengths of 10 to
/// 30 mm.
const ALOFT: f64 = 1.25;
/// The guess follows what is seen over about this time.
const FOLLOWS_S: f64 = 6.0;
/// More wind than this nobody flies in.
const STRONGEST_M_S: f64 = 8.0;

/// A guess of the wind in the circuit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct WindGuess {
    /// Velocity of the air to the north.
    pub north_m_s: f64,
    /// Velocity of the air to the east.
    pub east_m_s: f64,
}

impl WindGuess {
    /// From the windsock, read with an error that is a share of it.
    pub fn from_windsock(air_m_s: DVec3, misread_share: f64) -> Self {
        let share = ALOFT * (1.0 + misread_share);
        Self {
            north_m_s: share * air_m_s.x,
            east_m_s: share * air_m_s.y,
        }
    }

    /// Watches a plane in level flight that would cover the ground at this speed
    /// on a calm day. Somebody who sees no drift learns nothing of it.
    pub fn watch(&mut self, sight: &Sight, calm_speed_m_s: f64, sees_drift: f64, step_s: f64) {
        let (st, ct) = libm::sincos(sight.track_rad);
        let (sh, ch) = libm::sincos(sight.heading_rad);
        let north = sight.ground_speed_m_s * ct - calm_speed_m_s * ch;
        let east = sight.ground_speed_m_s * st - calm_speed_m_s * sh;
        let step = sees_drift * (step_s / FOLLOWS_S).min(1.0);
        let within = |x: f64| x.clamp(-STRONGEST_M_S, STRONGEST_M_S);
        self.north_m_s += (within(north) - self.north_m_s) * step;
        self.east_m_s += (within(east) - self.east_m_s) * step;
    }

    /// The part of it that blows against a direction.
    pub fn against_m_s(&self, direction_rad: f64) -> f64 {
        let (sine, cosine) = libm::sincos(direction_rad);
        -(self.north_m_s * cosine + self.east_m_s * sine)
    }
}
