//! How large a fault is.

use larkfield_units::{Angle, Length, Quantity, QuantityError, Ratio, Speed, Time, parse};

/// The unit in which people state a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// A length, in mm.
    Millimetre,
    /// An angle, in deg.
    Degree,
    /// A share, in %.
    Percent,
    /// A time, in s.
    Second,
    /// A speed, in m/s.
    MetrePerSecond,
}

impl Unit {
    /// Its symbol.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Degree => "deg",
            Self::Percent => "%",
            Self::Second => "s",
            Self::MetrePerSecond => "m/s",
        }
    }

    /// How many of it make one SI unit.
    #[must_use]
    pub fn per_si(self) -> f64 {
        match self {
            Self::Millimetre => 1000.0,
            Self::Degree => 180.0 / core::f64::consts::PI,
            Self::Percent => 100.0,
            Self::Second | Self::MetrePerSecond => 1.0,
        }
    }

    /// Reads a size; the value comes in this unit.
    pub(crate) fn read(self, text: &str) -> Result<f64, QuantityError> {
        fn si<Q: Quantity>(text: &str) -> Result<f64, QuantityError> {
            parse::<Q>(text).map(Quantity::si)
        }
        let value_si = match self {
            Self::Millimetre => si::<Length>(text),
            Self::Degree => si::<Angle>(text),
            Self::Percent => si::<Ratio>(text),
            Self::Second => si::<Time>(text),
            Self::MetrePerSecond => si::<Speed>(text),
        }?;
        // Through SI and back 3 mm would be 2.9999999999999996 mm.
        Ok((value_si * self.per_si() * 1e9).round() / 1e9)
    }
}

/// The sizes of a fault, in its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// Unit of all of them.
    pub unit: Unit,
    /// Hard to notice.
    pub small: f64,
    /// Usual, and what a bare name stands for.
    pub medium: f64,
    /// Nobody misses it.
    pub large: f64,
    /// The least that is taken.
    pub least: f64,
    /// The most that is taken.
    pub most: f64,
}

impl Sizes {
    /// Three sizes and a range, in a unit.
    pub(crate) const fn new(unit: Unit, three: [f64; 3], range: [f64; 2]) -> Self {
        Self {
            unit,
            small: three[0],
            medium: three[1],
            large: three[2],
            least: range[0],
            most: range[1],
        }
    }
}
