//! Strength and length scales of turbulence near the ground.
//!
//! MIL-F-8785C (1980), 3.7.3.4, with the same formulas in MIL-HDBK-1797; valid
//! from the ground to 1000 ft by the text, though 10 ft (3 m) is the lowest
//! height at which they are meant to be worked. **Below 3 m everything here
//! is extrapolated**: the same formulas down to 1 m, constant below that.

/// Metres in a foot, exact.
const FOOT_M: f64 = 0.3048;

/// The height at which turbulence takes its strength from the mean wind, m:
/// 20 ft.
pub const WIND_HEIGHT_M: f64 = 20.0 * FOOT_M;

/// Lowest height the formulas are worked for, m. Own choice: below it the
/// vertical length scale would shrink to less than a model's wing.
pub const LEAST_HEIGHT_M: f64 = 1.0;

/// Highest height the low-altitude formulas hold for, m: 1000 ft.
pub const MOST_HEIGHT_M: f64 = 1000.0 * FOOT_M;

/// Turbulence at one height in a wind of 1 m/s at 20 ft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LowAltitude {
    /// Standard deviation of each horizontal component over the wind at 20 ft.
    pub horizontal_per_wind: f64,
    /// Standard deviation of the vertical component over the wind at 20 ft.
    pub vertical_per_wind: f64,
    /// Length scale of both horizontal components, m.
    pub horizontal_length_m: f64,
    /// Length scale of the vertical component, m.
    pub vertical_length_m: f64,
}

/// Strength and scales at a height above the ground, m. Heights outside 1 m to
/// 1000 ft, and what is not a number, count as the nearest end (1 m).
///
/// With h in feet: sigma_w = 0.1 W20,
/// sigma_u = sigma_v = sigma_w / (0.177 + 0.000823 h)^0.4,
/// L_w = h, L_u = L_v = h / (0.177 + 0.000823 h)^1.2.
#[must_use]
pub fn low_altitude(height_m: f64) -> LowAltitude {
    let height_m = if height_m.is_nan() {
        LEAST_HEIGHT_M
    } else {
        height_m.clamp(LEAST_HEIGHT_M, MOST_HEIGHT_M)
    };
    let base = 0.177 + 0.000_823 * (height_m / FOOT_M);
    let vertical_per_wind = 0.1;
    LowAltitude {
        horizontal_per_wind: vertical_per_wind / libm::pow(base, 0.4),
        vertical_per_wind,
        horizontal_length_m: height_m / libm::pow(base, 1.2),
        vertical_length_m: height_m,
    }
}
