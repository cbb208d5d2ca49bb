//! The air that is put around a log: a steady wind, weaker near the ground.

use glam::DVec3;
use larkfield_flight::{LocalWind, Surroundings};
use larkfield_weather::MeanProfile;

/// Standard gravity (ISO 80000-3).
pub(crate) const GRAVITY_M_S2: f64 = 9.80665;

/// A steady wind over a field of which nothing is known.
pub(crate) struct Air {
    wind_10_m_s: DVec3,
    profile: MeanProfile,
}

impl Air {
    /// `wind_m_s`: toward north and east, 10 m above the ground.
    pub fn of(wind_m_s: [f64; 2]) -> Self {
        Self {
            wind_10_m_s: DVec3::new(wind_m_s[0], wind_m_s[1], 0.0),
            // What is not known of the field is open grass; it is in range.
            profile: MeanProfile::new(Some(0.03), 10.0).unwrap_or(MeanProfile::Uniform),
        }
    }

    /// At a height, world axes.
    pub fn wind_m_s(&self, height_m: f64) -> DVec3 {
        self.wind_10_m_s * self.profile.factor(height_m)
    }

    /// The same as a flight model meets it.
    pub fn around(&self, height_m: f64) -> Surroundings {
        Surroundings {
            wind: LocalWind::uniform(self.wind_m_s(height_m)),
            ground_z_m: 0.0,
            gravity_m_s2: GRAVITY_M_S2,
        }
    }
}
