//! The quantities and their units.

use std::f64::consts::PI;
use std::fmt;

use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::quantity::{Quantity, QuantityError, Scale, Unit, parse, to_text};

/// Digits of one ounce in kilograms times 10^12, exact (a sixteenth of a pound).
const OUNCE: u64 = 28_349_523_125;
/// Digits of one pound in kilograms times 10^8, exact.
const POUND: u64 = 45_359_237;
/// Digits of standard gravity in m/s2 times 10^5, exact.
const GRAVITY: u64 = 980_665;
/// Digits of a square foot in square metres times 10^8, exact.
const SQUARE_FOOT: u64 = 9_290_304;
/// Digits of a square yard in square metres times 10^8, exact.
const SQUARE_YARD: u64 = 83_612_736;

const fn decimal(names: &'static [&'static str], mantissa: u64, exponent: i32) -> Unit {
    Unit {
        names,
        scale: Scale::Decimal { mantissa, exponent },
    }
}

const fn over(names: &'static [&'static str], mantissa: u64, exponent: i32, divisor: u64) -> Unit {
    Unit {
        names,
        scale: Scale::Over {
            mantissa,
            exponent,
            divisor,
        },
    }
}

const fn factor(names: &'static [&'static str], value: f64) -> Unit {
    Unit {
        names,
        scale: Scale::Factor(value),
    }
}

const fn inverse(names: &'static [&'static str], value: f64) -> Unit {
    Unit {
        names,
        scale: Scale::Inverse(value),
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $get:ident, $make:ident, $si:literal, $what:literal,
     $example:literal, written $written:expr, bare $bare:literal, $units:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From a value in ", $si, ".")]
            #[must_use]
            pub const fn $make(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("Value in ", $si, ".")]
            #[must_use]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }

        impl Quantity for $name {
            const WHAT: &'static str = $what;
            const EXAMPLE: &'static str = $example;
            const UNITS: &'static [Unit] = $units;
            const WRITTEN_AS: &'static [&'static str] = $written;
            const BARE_NUMBER: bool = $bare;
            fn from_si(value: f64) -> Self {
                Self(value)
            }
            fn si(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&to_text(*self))
            }
        }

        impl std::str::FromStr for $name {
            type Err = QuantityError;
            fn from_str(text: &str) -> Result<Self, QuantityError> {
                parse(text)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(&to_text(*self))
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_any(TextVisitor(std::marker::PhantomData))
            }
        }
    };
}

/// Reads the text, and answers a bare number with the missing unit.
struct TextVisitor<Q>(std::marker::PhantomData<Q>);

impl<Q: Quantity> TextVisitor<Q> {
    fn bare<E: de::Error>(text: &str) -> Result<Q, E> {
        if Q::BARE_NUMBER {
            return parse(text).map_err(E::custom);
        }
        Err(E::custom(QuantityError::bare_number::<Q>(text)))
    }
}

impl<Q: Quantity> Visitor<'_> for TextVisitor<Q> {
    type Value = Q;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} in quotes, as in \"{}\"", Q::WHAT, Q::EXAMPLE)
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Q, E> {
        parse(text).map_err(E::custom)
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Q, E> {
        Self::bare(&number.to_string())
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Q, E> {
        Self::bare(&number.to_string())
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Q, E> {
        Self::bare(&number.to_string())
    }
}

quantity!(
    /// Length, in metres.
    Length, m, from_m, "metres", "a length", "1150 mm",
    written &["mm", "m"], bare false,
    &[
        decimal(&["mm"], 1, -3),
        decimal(&["cm"], 1, -2),
        decimal(&["m"], 1, 0),
        decimal(&["in", "inch", "inches"], 254, -4),
        decimal(&["ft", "feet", "foot"], 3048, -4),
    ]
);

quantity!(
    /// Mass, in kilograms.
    Mass, kg, from_kg, "kilograms", "a mass", "28 g",
    written &["g", "kg"], bare false,
    &[
        decimal(&["g"], 1, -3),
        decimal(&["kg"], 1, 0),
        decimal(&["oz"], OUNCE, -12),
        decimal(&["lb", "lbs"], POUND, -8),
    ]
);

quantity!(
    /// Plane angle, in radians.
    Angle, rad, from_rad, "radians", "an angle", "3.5 deg",
    written &["deg", "rad"], bare false,
    &[
        factor(&["deg", "degree", "degrees"], PI / 180.0),
        decimal(&["rad"], 1, 0),
    ]
);

quantity!(
    /// Mass of sheet for its area, in kilograms a square metre.
    ArealDensity, kg_m2, from_kg_m2, "kilograms a square metre", "a mass of sheet for its area",
    "180 g/m2", written &["g/m2", "kg/m2"], bare false,
    &[
        decimal(&["g/m2"], 1, -3),
        decimal(&["g/dm2"], 1, -1),
        decimal(&["kg/m2"], 1, 0),
        over(&["oz/ft2"], OUNCE, -4, SQUARE_FOOT),
        over(&["oz/yd2"], OUNCE, -4, SQUARE_YARD),
    ]
);

quantity!(
    /// Speed, in metres a second.
    Speed, m_s, from_m_s, "metres a second", "a speed", "2 m/s",
    written &["m/s"], bare false,
    &[
        decimal(&["m/s"], 1, 0),
        over(&["km/h", "kph", "kmh"], 1000, 0, 3600),
        over(&["kt", "kn", "kts", "knots"], 1852, 0, 3600),
        decimal(&["mph"], 44704, -5),
        decimal(&["ft/s"], 3048, -4),
        over(&["ft/min"], 3048, -4, 60),
    ]
);

quantity!(
    /// Motor speed constant, in radians a second for each volt.
    SpeedConstant, rad_s_v, from_rad_s_v, "radians a second for each volt",
    "a motor speed constant", "1000 rpm/V", written &["rpm/V", "rad/s/V"], bare false,
    &[
        factor(&["rpm/V", "kV", "KV", "Kv"], PI / 30.0),
        decimal(&["rad/s/V"], 1, 0),
    ]
);

quantity!(
    /// Electrical resistance, in ohms.
    Resistance, ohm, from_ohm, "ohms", "a resistance", "40 mohm",
    written &["mohm", "ohm"], bare false,
    &[decimal(&["mohm"], 1, -3), decimal(&["ohm", "ohms"], 1, 0)]
);

quantity!(
    /// Voltage, in volts.
    Voltage, v, from_v, "volts", "a voltage", "11.1 V",
    written &["V"], bare false,
    &[decimal(&["V"], 1, 0), decimal(&["mV"], 1, -3)]
);

quantity!(
    /// Electric current, in amperes.
    Current, a, from_a, "amperes", "a current", "20 A",
    written &["A"], bare false,
    &[decimal(&["A"], 1, 0), decimal(&["mA"], 1, -3)]
);

quantity!(
    /// Electric charge, in coulombs.
    Charge, c, from_c, "coulombs", "a battery capacity", "1300 mAh",
    written &["mAh", "As"], bare false,
    &[
        decimal(&["mAh"], 36, -1),
        decimal(&["Ah"], 3600, 0),
        decimal(&["As"], 1, 0),
    ]
);

quantity!(
    /// Multiple of the capacity that a battery gives each hour, in 1/s.
    DischargeRate, per_s, from_per_s, "1/s", "a discharge rate", "20 C",
    written &["C", "1/s"], bare false,
    &[over(&["C"], 1, 0, 3600), decimal(&["1/s"], 1, 0)]
);

quantity!(
    /// Time, in seconds.
    Time, s, from_s, "seconds", "a time", "0.7 s",
    written &["s"], bare false,
    &[
        decimal(&["s"], 1, 0),
        decimal(&["ms"], 1, -3),
        decimal(&["min"], 60, 0),
        decimal(&["h"], 3600, 0),
    ]
);

quantity!(
    /// Turning rate of a servo, in radians a second. Servo data give the time
    /// for 60 degrees, so a smaller number is a faster servo.
    SurfaceRate, rad_s, from_rad_s, "radians a second", "a servo speed", "0.12 s/60deg",
    written &["s/60deg", "rad/s"], bare false,
    &[
        inverse(&["s/60deg", "sec/60deg"], PI / 3.0),
        factor(&["deg/s"], PI / 180.0),
        decimal(&["rad/s"], 1, 0),
    ]
);

quantity!(
    /// Turning rate, in radians a second.
    AngularSpeed, rad_s, from_rad_s, "radians a second", "a turning rate", "20 deg/s",
    written &["deg/s", "rad/s"], bare false,
    &[
        factor(&["deg/s"], PI / 180.0),
        factor(&["rpm"], PI / 30.0),
        decimal(&["rad/s"], 1, 0),
    ]
);

quantity!(
    /// Force, in newtons. Grams and ounces are what a kitchen scale shows for a
    /// force; they stand for that mass under standard gravity.
    Force, n, from_n, "newtons", "a force", "4.5 N",
    written &["N"], bare false,
    &[
        decimal(&["N"], 1, 0),
        decimal(&["gf", "g"], GRAVITY, -8),
        decimal(&["kgf", "kg"], GRAVITY, -5),
        decimal(&["ozf", "oz"], OUNCE * GRAVITY, -17),
        decimal(&["lbf", "lb"], POUND * GRAVITY, -13),
    ]
);

quantity!(
    /// Impulse, in newton seconds.
    Impulse, n_s, from_n_s, "newton seconds", "an impulse", "1.2 N s",
    written &["Ns"], bare false,
    &[decimal(&["Ns", "kgm/s"], 1, 0)]
);

quantity!(
    /// Temperature, in kelvins.
    Temperature, k, from_k, "kelvins", "a temperature", "15 C",
    written &["C", "K"], bare false,
    &[
        Unit {
            names: &["C", "degC"],
            scale: Scale::Offset { offset_hundredths: 27_315, numerator: 2, divisor: 2 },
        },
        Unit {
            names: &["F", "degF"],
            scale: Scale::Offset { offset_hundredths: 45_967, numerator: 5, divisor: 9 },
        },
        decimal(&["K"], 1, 0),
    ]
);

quantity!(
    /// Pure number; a percentage or a bare fraction.
    Ratio, fraction, from_fraction, "parts of one", "a share", "60 %",
    written &["%", "1"], bare true,
    &[decimal(&["%"], 1, -2), decimal(&["1"], 1, 0)]
);

quantity!(
    /// Frequency, in hertz.
    Frequency, hz, from_hz, "hertz", "a frequency", "50 Hz",
    written &["Hz"], bare false,
    &[decimal(&["Hz", "/s"], 1, 0), decimal(&["kHz"], 1, 3)]
);

quantity!(
    /// Pressure, in pascals.
    Pressure, pa, from_pa, "pascals", "a pressure", "1013.25 hPa",
    written &["hPa", "Pa"], bare false,
    &[
        decimal(&["hPa", "mbar"], 1, 2),
        decimal(&["kPa"], 1, 3),
        decimal(&["Pa"], 1, 0),
    ]
);

quantity!(
    /// Moment of inertia, in kilogram square metres.
    MomentOfInertia, kg_m2, from_kg_m2, "kilogram square metres", "a moment of inertia",
    "30 g cm2", written &["gcm2", "kgm2"], bare false,
    &[decimal(&["gcm2"], 1, -7), decimal(&["kgm2"], 1, 0)]
);
