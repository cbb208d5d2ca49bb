//! What is refused when weather is set up.

use core::fmt;

/// A weather value that cannot be used, with what would be accepted.
#[derive(Debug, Clone, PartialEq)]
pub enum WeatherError {
    /// A number is missing from its range, or not a number.
    OutOfRange {
        /// What the number is, with its unit.
        quantity: &'static str,
        /// The value given.
        value: f64,
        /// Smallest value accepted.
        least: f64,
        /// Largest value accepted.
        most: f64,
    },
    /// A wind script has no point, so there is no wind to state.
    NoPoints,
    /// The times of a wind script do not rise from point to point.
    TimesNotRising {
        /// Index, from 0, of the point that is not later than the one before.
        index: usize,
    },
    /// A gust is given by its length, but hardly any wind carries it along.
    GustNotCarried {
        /// Index, from 0, of the feature.
        index: usize,
        /// Mean wind that would carry it, m/s.
        wind_m_s: f64,
    },
}

impl fmt::Display for WeatherError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange {
                quantity,
                value,
                least,
                most,
            } => write!(
                f,
                "{quantity} is {value}; it must lie between {least} and {most}"
            ),
            Self::NoPoints => write!(
                f,
                "the wind has no points; give at least one (speed 0 for calm air)"
            ),
            Self::TimesNotRising { index } => write!(
                f,
                "wind point {} is not later than the one before it; times must rise",
                index + 1
            ),
            Self::GustNotCarried { index, wind_m_s } => write!(
                f,
                "gust {} is given by its length, but the mean wind at its start is only \
                 {wind_m_s:.2} m/s and carries it nowhere; give its duration instead",
                index + 1
            ),
        }
    }
}

impl std::error::Error for WeatherError {}

/// Passes `value` when it lies in the range; NaN never does.
pub(crate) fn in_range(
    quantity: &'static str,
    value: f64,
    least: f64,
    most: f64,
) -> Result<f64, WeatherError> {
    if value >= least && value <= most {
        Ok(value)
    } else {
        Err(WeatherError::OutOfRange {
            quantity,
            value,
            least,
            most,
        })
    }
}
