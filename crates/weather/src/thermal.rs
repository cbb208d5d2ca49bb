//! A bubble of warm air that rises and drifts with the wind.
//!
//! # Flow
//! Around the axis of the bubble, with r the distance from it, R the outer
//! radius, q = r^2/R^2 and z the height, the stream function
//! psi = W r^2 (1 - q)^3 V(z) / 2 gives an upward wind of
//! W (1 - q)^2 (1 - 4 q) V(z) and a wind away from the axis of
//! -W r (1 - q)^3 V'(z) / 2. So air goes up in a core of half the outer radius,
//! comes down in a ring around it with at most a quarter of that speed,
//! flows out above and in below. Mass is conserved exactly, at every place;
//! nothing is moved beyond the outer radius.
//!
//! V(z) is (1 - s^2)^3 with s the height above the bubble's middle over half its
//! depth, faded to 0 at the ground over one core radius.
//!
//! # Rise
//! The bubble climbs at W/2.2: in thermals watched in a tank the fastest air
//! rose about 2.2 times as fast as the cap (Woodward, Quart. J. Roy. Met. Soc.
//! 85, 1959, from memory).
//!
//! # Limits
//! It neither grows nor mixes nor leans with the wind's gradient: it is carried
//! by the wind at 20 ft as gusts are. Real ones widen by about a quarter of
//! their climb (Scorer, J. Fluid Mech. 2, 1957, from memory), so take the size
//! that it has where it is flown through.

use glam::{DVec2, DVec3};

use crate::WeatherError;
use crate::error::in_range;
use crate::mean::MeanState;

/// Speed of the core over the climb of the bubble.
const CORE_OVER_RISE: f64 = 2.2;
/// Depth over core radius when none is given: as deep as it is wide.
const USUAL_DEPTH: f64 = 4.0;

/// One bubble.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thermal {
    /// When its top leaves the ground, s; may lie before the flight.
    pub start_time_s: f64,
    /// Where it leaves the ground, north of the world's origin, m.
    pub north_m: f64,
    /// Where it leaves the ground, east of the world's origin, m.
    pub east_m: f64,
    /// Radius inside which air goes up, m. Sink reaches to twice that.
    pub core_radius_m: f64,
    /// Upward speed at its middle, m/s.
    pub up_m_s: f64,
    /// From its bottom to its top, m; without one four core radii. A bubble
    /// much deeper than that is a column.
    pub depth_m: Option<f64>,
}

/// A bubble placed in a mean wind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlacedThermal {
    start_time_s: f64,
    start_m: DVec2,
    start_drift_m: DVec2,
    core_radius_m: f64,
    per_outer_square: f64,
    up_m_s: f64,
    half_depth_m: f64,
}

impl PlacedThermal {
    /// Places a bubble; `start` is the carrying wind at its start time.
    pub(crate) fn new(thermal: &Thermal, start: &MeanState) -> Result<Self, WeatherError> {
        in_range("start of a thermal in s", thermal.start_time_s, -1e6, 1e6)?;
        in_range(
            "place of a thermal, north, in m",
            thermal.north_m,
            -1e5,
            1e5,
        )?;
        in_range("place of a thermal, east, in m", thermal.east_m, -1e5, 1e5)?;
        let radius_m = in_range(
            "core radius of a thermal in m",
            thermal.core_radius_m,
            0.5,
            1e3,
        )?;
        let up_m_s = in_range("up-draught of a thermal in m/s", thermal.up_m_s, 0.0, 30.0)?;
        let depth_m = thermal.depth_m.unwrap_or(USUAL_DEPTH * radius_m);
        in_range("depth of a thermal in m", depth_m, 1.0, 1e4)?;
        Ok(Self {
            start_time_s: thermal.start_time_s,
            start_m: DVec2::new(thermal.north_m, thermal.east_m),
            start_drift_m: start.drift_m,
            core_radius_m: radius_m,
            per_outer_square: 0.25 / (radius_m * radius_m),
            up_m_s,
            half_depth_m: 0.5 * depth_m,
        })
    }

    /// Velocity of the air this bubble adds, m/s, world axes, at a place (north,
    /// east, m), a height (m, not negative) and a time for which the air's drift
    /// is given. It is zero at the ground as it stands: nothing else fades it.
    pub(crate) fn velocity_m_s(
        &self,
        place_m: DVec2,
        height_m: f64,
        time_s: f64,
        drift_m: DVec2,
    ) -> DVec3 {
        let from_axis_m = place_m - self.start_m - (drift_m - self.start_drift_m);
        let q = from_axis_m.length_squared() * self.per_outer_square;
        let climbed_m = (time_s - self.start_time_s) * (self.up_m_s / CORE_OVER_RISE);
        let s = (height_m - climbed_m + self.half_depth_m) / self.half_depth_m;
        // Also left when anything has overflowed to infinity or NaN.
        if !(q < 1.0 && s.abs() < 1.0) {
            return DVec3::ZERO;
        }
        let bell = 1.0 - s * s;
        let above = (height_m / self.core_radius_m).clamp(0.0, 1.0);
        let faded = above * above * (3.0 - 2.0 * above);
        let faded_slope = 6.0 * above * (1.0 - above) / self.core_radius_m;
        let part = bell * bell * bell * faded;
        let slope = bell * bell * (bell * faded_slope - 6.0 * s / self.half_depth_m * faded);
        let rest = 1.0 - q;
        let out = -0.5 * self.up_m_s * rest * rest * rest * slope;
        let up = self.up_m_s * rest * rest * (1.0 - 4.0 * q) * part;
        (from_axis_m * out).extend(-up)
    }
}
