//! The standard atmosphere below 11 km, and the air of one field on one day.
//!
//! Source of every constant and formula: ICAO Doc 7488/3 (1993), the same as
//! ISO 2533:1975 and the US Standard Atmosphere 1976 at these heights.

use crate::WeatherError;
use crate::error::in_range;

/// Standard gravity, m/s2.
const GRAVITY_M_S2: f64 = 9.806_65;
/// Gas constant of dry air, J/(kg K).
const GAS_CONSTANT_J_KG_K: f64 = 287.052_87;
/// Ratio of specific heats of air.
const HEAT_RATIO: f64 = 1.4;
/// Standard temperature at sea level, K.
const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;
/// Standard pressure at sea level, Pa.
const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// Change of temperature with geopotential height in the troposphere, K/m.
const LAPSE_K_M: f64 = -0.0065;
/// Nominal radius of the earth for geopotential height, m.
const EARTH_RADIUS_M: f64 = 6_356_766.0;
/// Sutherland's coefficient, kg/(m s sqrt(K)).
const SUTHERLAND_KG_M_S_SQRT_K: f64 = 1.458e-6;
/// Sutherland's temperature, K.
const SUTHERLAND_K: f64 = 110.4;

/// Lowest and highest elevation accepted, m above sea level.
const ELEVATION_RANGE_M: (f64, f64) = (-500.0, 9_000.0);
/// Temperatures accepted, K: colder and hotter than any flying field.
const TEMPERATURE_RANGE_K: (f64, f64) = (200.0, 330.0);
/// Pressures accepted at the field, Pa.
const PRESSURE_RANGE_PA: (f64, f64) = (25_000.0, 110_000.0);

/// Air at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Static pressure, Pa.
    pub pressure_pa: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Speed of sound, m/s.
    pub sound_m_s: f64,
}

impl Air {
    /// Dry air of a temperature and pressure.
    ///
    /// Density from the ideal gas law; viscosity from Sutherland's law with the
    /// coefficients of the standard atmosphere; speed of sound sqrt(gamma R T).
    fn dry(temperature_k: f64, pressure_pa: f64) -> Self {
        let viscosity_pa_s = SUTHERLAND_KG_M_S_SQRT_K * temperature_k * temperature_k.sqrt()
            / (temperature_k + SUTHERLAND_K);
        Self {
            temperature_k,
            pressure_pa,
            density_kg_m3: pressure_pa / (GAS_CONSTANT_J_KG_K * temperature_k),
            viscosity_pa_s,
            sound_m_s: (HEAT_RATIO * GAS_CONSTANT_J_KG_K * temperature_k).sqrt(),
        }
    }

    /// Kinematic viscosity, m2/s: what a Reynolds number divides by.
    #[must_use]
    pub fn kinematic_viscosity_m2_s(&self) -> f64 {
        self.viscosity_pa_s / self.density_kg_m3
    }

    /// Standard air at sea level.
    #[must_use]
    pub fn sea_level() -> Self {
        Self::dry(SEA_LEVEL_TEMPERATURE_K, SEA_LEVEL_PRESSURE_PA)
    }
}

/// The atmosphere over a field: standard, or shifted to a day's readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Atmosphere {
    elevation_m: f64,
    field_temperature_k: f64,
    field_pressure_pa: f64,
}

impl Atmosphere {
    /// The standard atmosphere over a field `elevation_m` above sea level.
    ///
    /// # Errors
    /// Elevation outside -500 to 9000 m.
    pub fn standard(elevation_m: f64) -> Result<Self, WeatherError> {
        let (least, most) = ELEVATION_RANGE_M;
        let elevation_m = in_range("field elevation in m", elevation_m, least, most)?;
        Ok(Self {
            elevation_m,
            field_temperature_k: standard_temperature_k(elevation_m),
            field_pressure_pa: standard_pressure_pa(elevation_m),
        })
    }

    /// The atmosphere over a field on a day of known temperature.
    ///
    /// `pressure_pa` is the pressure at the field itself, not reduced to sea
    /// level; without it the standard pressure of that elevation stands. Above
    /// the field temperature falls at the standard rate. The air is dry: at
    /// 30 degC and full humidity real density is 1.6 % lower.
    ///
    /// # Errors
    /// Elevation outside -500 to 9000 m, temperature outside 200 to 330 K, or
    /// pressure outside 25 to 110 kPa.
    pub fn of_day(
        elevation_m: f64,
        temperature_k: f64,
        pressure_pa: Option<f64>,
    ) -> Result<Self, WeatherError> {
        let standard = Self::standard(elevation_m)?;
        let (least, most) = TEMPERATURE_RANGE_K;
        let field_temperature_k = in_range("field temperature in K", temperature_k, least, most)?;
        let field_pressure_pa = match pressure_pa {
            None => standard.field_pressure_pa,
            Some(pressure_pa) => {
                let (least, most) = PRESSURE_RANGE_PA;
                in_range("field pressure in Pa", pressure_pa, least, most)?
            }
        };
        Ok(Self {
            elevation_m,
            field_temperature_k,
            field_pressure_pa,
        })
    }

    /// The standard atmosphere with every temperature shifted by `offset_k`
    /// and the pressures kept ("ISA + 15").
    ///
    /// # Errors
    /// As [`Atmosphere::of_day`].
    pub fn with_offset(elevation_m: f64, offset_k: f64) -> Result<Self, WeatherError> {
        let standard = Self::standard(elevation_m)?;
        Self::of_day(elevation_m, standard.field_temperature_k + offset_k, None)
    }

    /// Elevation of the field above sea level, m.
    #[must_use]
    pub fn elevation_m(&self) -> f64 {
        self.elevation_m
    }

    /// Temperature at the field less the standard temperature there, K.
    #[must_use]
    pub fn offset_k(&self) -> f64 {
        self.field_temperature_k - standard_temperature_k(self.elevation_m)
    }

    /// Air at the field.
    #[must_use]
    pub fn at_field(&self) -> Air {
        Air::dry(self.field_temperature_k, self.field_pressure_pa)
    }

    /// Air at a height above the field, m; heights beyond -500 to 2000 m, and
    /// anything that is not a number, give the air of the nearest end.
    ///
    /// Hydrostatic balance with a linear temperature from the field's reading.
    #[must_use]
    pub fn at_height(&self, height_m: f64) -> Air {
        let height_m = if height_m.is_nan() { 0.0 } else { height_m };
        let place_m = self.elevation_m + height_m.clamp(-500.0, 2_000.0);
        let rise_m = geopotential_m(place_m) - geopotential_m(self.elevation_m);
        let temperature_k = self.field_temperature_k + LAPSE_K_M * rise_m;
        let ratio = temperature_k / self.field_temperature_k;
        Air::dry(
            temperature_k,
            self.field_pressure_pa * pressure_ratio(ratio),
        )
    }
}

/// Geopotential height of a geometric height, m.
fn geopotential_m(height_m: f64) -> f64 {
    EARTH_RADIUS_M * height_m / (EARTH_RADIUS_M + height_m)
}

fn standard_temperature_k(height_m: f64) -> f64 {
    SEA_LEVEL_TEMPERATURE_K + LAPSE_K_M * geopotential_m(height_m)
}

fn standard_pressure_pa(height_m: f64) -> f64 {
    let ratio = standard_temperature_k(height_m) / SEA_LEVEL_TEMPERATURE_K;
    SEA_LEVEL_PRESSURE_PA * pressure_ratio(ratio)
}

/// Pressure ratio across a layer of constant lapse from its temperature ratio:
/// (T/T0)^(-g/(R lapse)).
fn pressure_ratio(temperature_ratio: f64) -> f64 {
    libm::pow(
        temperature_ratio,
        -GRAVITY_M_S2 / (GAS_CONSTANT_J_KG_K * LAPSE_K_M),
    )
}
