//! Quantities as a builder writes them, in SI for everybody else.
//!
//! A text such as `"45 in"` carries a number and a unit. [`parse`] turns it
//! into a newtype that holds the value in SI units. Decimal conversion factors
//! (inch, pound, ounce, foot, milli, kilo, ...) are applied to the decimal
//! digits before the one rounding to `f64`, so `"45 in"` and `"1.143 m"` give
//! the same bits.
//!
//! # Exact factors
//! - 1 in = 0.0254 m, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg, 1 oz = 1/16 lb
//!   (international yard and pound agreement of 1959; NIST SP 811, 2008,
//!   appendix B.8)
//! - standard gravity 9.80665 m/s2, for gram-force and pound-force (NIST SP 811)
//! - 1 kt = 1852 m / 3600 s, 1 mph = 0.44704 m/s (NIST SP 811)
//!
//! Quotients (knots, ounces a square foot) are rounded once as well. Degrees, revolutions a minute and other factors with pi are rounded twice:
//! once for the digits, once for the factor.

mod decimal;
mod kinds;
mod problem;
mod quantity;
mod text;

pub use kinds::{
    Angle, AngularSpeed, ArealDensity, Charge, Current, DischargeRate, Force, Frequency, Impulse,
    Length, Mass, MomentOfInertia, Pressure, Ratio, Resistance, Speed, SpeedConstant, SurfaceRate,
    Temperature, Time, Voltage,
};
pub use problem::Problem;
pub use quantity::{Quantity, QuantityError, Scale, Unit, parse, to_text};
pub use text::closest;
