//! How the mean wind falls off towards the ground.

use crate::WeatherError;
use crate::error::in_range;

/// Above this height the profile stops growing, m: the surface layer, in which
/// the logarithmic law holds, is of this order of depth.
const SURFACE_LAYER_M: f64 = 1_000.0;

/// Mean wind against height, relative to the height at which it is stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeanProfile {
    /// The same wind at every height.
    Uniform,
    /// The neutral logarithmic law over ground of one roughness.
    Logarithmic(LogarithmicProfile),
}

/// The neutral logarithmic law U(z) / U(z_s) = ln(z/z0) / ln(z_s/z0), z0 the
/// roughness length (surface-layer similarity; Troen and Petersen, European
/// Wind Atlas, 1989, from memory).
///
/// Below z0 the air is still. The bare law meets that with a kink; from z0 to
/// 2 z0 a cubic replaces it, so that the slope is continuous as well. With
/// short grass those are the lowest 6 cm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogarithmicProfile {
    roughness_m: f64,
    /// ln(z0 / 1 m).
    ln_roughness: f64,
    /// 1 / ln(z_s/z0).
    per_ln_stated: f64,
}

impl MeanProfile {
    /// A profile over ground of roughness length `roughness_m`, or the same
    /// wind at every height without one. Typical lengths: 0.01 m mown grass,
    /// 0.03 m open grass, 0.1 m farmland with few hedges (European Wind Atlas
    /// classes, from memory).
    ///
    /// # Errors
    /// Roughness outside 1e-5 to 2 m; stated height not within 4 roughness
    /// lengths to 1000 m.
    pub fn new(roughness_m: Option<f64>, stated_height_m: f64) -> Result<Self, WeatherError> {
        let quantity = "height of the stated wind in m";
        let Some(roughness_m) = roughness_m else {
            in_range(quantity, stated_height_m, 0.0, SURFACE_LAYER_M)?;
            return Ok(Self::Uniform);
        };
        let roughness_m = in_range("roughness length in m", roughness_m, 1e-5, 2.0)?;
        in_range(
            quantity,
            stated_height_m,
            4.0 * roughness_m,
            SURFACE_LAYER_M,
        )?;
        Ok(Self::Logarithmic(LogarithmicProfile {
            roughness_m,
            ln_roughness: libm::log(roughness_m),
            per_ln_stated: 1.0 / libm::log(stated_height_m / roughness_m),
        }))
    }

    /// Mean wind at a height over the stated mean wind. Never negative, never
    /// falling with height, 0 where the height is not a number.
    #[must_use]
    pub fn factor(&self, height_m: f64) -> f64 {
        match self {
            Self::Uniform => 1.0,
            Self::Logarithmic(law) => law.factor(height_m),
        }
    }
}

impl LogarithmicProfile {
    fn factor(&self, height_m: f64) -> f64 {
        let ln_ratio = if height_m >= 2.0 * self.roughness_m {
            libm::log(height_m.min(SURFACE_LAYER_M)) - self.ln_roughness
        } else if height_m > self.roughness_m {
            // Cubic Hermite from (z0, 0, slope 0) to (2 z0, ln 2, slope 1/2 per
            // z0). Both end slopes are below three chords, so it is monotone
            // (Fritsch and Carlson, SIAM J. Numer. Anal. 17(2), 1980).
            let s = height_m / self.roughness_m - 1.0;
            let s_squared = s * s;
            s_squared * (3.0 - 2.0 * s) * core::f64::consts::LN_2 + s_squared * (s - 1.0) * 0.5
        } else {
            0.0
        };
        ln_ratio * self.per_ln_stated
    }
}
