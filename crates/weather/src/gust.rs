//! Single gusts of the 1-cosine shape.
//!
//! A gust is air that moves, so it travels: it is a band of disturbed air
//! across the mean wind, carried along by it, and a place downwind meets it
//! later. Only in a calm, where nothing carries it, does it rise and fall
//! everywhere at once.

use glam::{DVec2, DVec3};

use crate::WeatherError;
use crate::error::in_range;
use crate::mean::MeanState;

/// Below this mean wind a gust is not carried along, m/s (own choice: slower
/// bands would take minutes to cross a field).
pub const LEAST_CARRYING_WIND_M_S: f64 = 0.5;

/// How long a gust is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GustExtent {
    /// Time it takes to pass a fixed place, s. Its length along the wind is
    /// this times the mean wind at its start.
    DurationS(f64),
    /// Length along the wind, m. Needs a mean wind of at least
    /// [`LEAST_CARRYING_WIND_M_S`] at its start.
    LengthM(f64),
}

/// One gust: U(s) = U/2 (1 - cos(2 pi s / length)), the shape of 14 CFR 23.333
/// and 25.341; `s` is the distance from the gust's leading edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gust {
    /// When its leading edge passes the world's origin, s.
    pub start_time_s: f64,
    /// Velocity of the air added at its middle, m/s, world axes (z down).
    pub amplitude_m_s: DVec3,
    /// Duration or length from leading to trailing edge.
    pub extent: GustExtent,
}

/// A gust placed in a mean wind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlacedGust {
    amplitude_m_s: DVec3,
    path: Path,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Path {
    Carried {
        /// Unit vector of the mean wind at the start, north and east.
        along: DVec2,
        /// Drift of the air at the start, along that vector, m.
        start_drift_m: f64,
        per_length: f64,
    },
    EverywhereAtOnce {
        start_time_s: f64,
        per_duration: f64,
    },
}

impl PlacedGust {
    /// Places a gust; `start` is the carrying wind at its start time.
    pub(crate) fn new(gust: &Gust, start: &MeanState, index: usize) -> Result<Self, WeatherError> {
        in_range("start of a gust in s", gust.start_time_s, -1e6, 1e6)?;
        for component in gust.amplitude_m_s.to_array() {
            in_range("amplitude of a gust in m/s", component, -60.0, 60.0)?;
        }
        let wind_m_s = start.velocity_m_s.length();
        let carried = wind_m_s >= LEAST_CARRYING_WIND_M_S;
        let along = start.velocity_m_s / wind_m_s;
        let path = match gust.extent {
            GustExtent::DurationS(duration_s) => {
                in_range("duration of a gust in s", duration_s, 0.01, 1e5)?;
                if carried {
                    Path::Carried {
                        along,
                        start_drift_m: start.drift_m.dot(along),
                        per_length: 1.0 / (duration_s * wind_m_s),
                    }
                } else {
                    Path::EverywhereAtOnce {
                        start_time_s: gust.start_time_s,
                        per_duration: 1.0 / duration_s,
                    }
                }
            }
            GustExtent::LengthM(length_m) => {
                in_range("length of a gust in m", length_m, 0.1, 1e5)?;
                if !carried {
                    return Err(WeatherError::GustNotCarried { index, wind_m_s });
                }
                Path::Carried {
                    along,
                    start_drift_m: start.drift_m.dot(along),
                    per_length: 1.0 / length_m,
                }
            }
        };
        Ok(Self {
            amplitude_m_s: gust.amplitude_m_s,
            path,
        })
    }

    /// Velocity of the air this gust adds, m/s, at a place (north, east, m)
    /// and a time for which the air's drift is given.
    pub(crate) fn velocity_m_s(&self, place_m: DVec2, time_s: f64, drift_m: DVec2) -> DVec3 {
        let part = match self.path {
            Path::Carried {
                along,
                start_drift_m,
                per_length,
            } => (drift_m.dot(along) - start_drift_m - place_m.dot(along)) * per_length,
            Path::EverywhereAtOnce {
                start_time_s,
                per_duration,
            } => (time_s - start_time_s) * per_duration,
        };
        one_minus_cosine_m_s(self.amplitude_m_s, part)
    }
}

/// Velocity of the air in a gust at a part of its length: none at both ends and
/// beyond, `middle_m_s` halfway (the shape of 14 CFR 23.333 and 25.341).
pub fn one_minus_cosine_m_s(middle_m_s: DVec3, part: f64) -> DVec3 {
    if part > 0.0 && part < 1.0 {
        let turn_rad = 2.0 * core::f64::consts::PI * part;
        middle_m_s * (0.5 * (1.0 - libm::cos(turn_rad)))
    } else {
        DVec3::ZERO
    }
}
