//! Quantities as they stand in a file, right or wrong.

use std::fmt;
use std::marker::PhantomData;

use larkfield_units::{Angle, Length, Quantity, QuantityError, Ratio, parse};
use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer};

/// A value that was read from text, or the reason why it could not be. Reading
/// goes on after a wrong one, so that all mistakes come out in one pass.
#[derive(Debug, Clone, PartialEq)]
pub struct Given<Q> {
    /// The value or what is wrong with the text.
    pub value: Result<Q, QuantityError>,
    /// The text as written.
    pub text: String,
}

/// What can be read from the text of one field.
pub trait FromText: Sized {
    /// For messages when the field holds a list or a group instead.
    const EXPECTED: &'static str;
    /// Reads text in quotes.
    fn from_text(text: &str) -> Result<Self, QuantityError>;
    /// Reads a number without quotes.
    fn from_bare(number: &str) -> Result<Self, QuantityError>;
}

impl<Q: Quantity> FromText for Q {
    const EXPECTED: &'static str = Q::WHAT;
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        parse(text)
    }
    fn from_bare(number: &str) -> Result<Self, QuantityError> {
        if Q::BARE_NUMBER {
            parse(number)
        } else {
            Err(QuantityError::bare_number::<Q>(number))
        }
    }
}

/// A place along something: with a ruler or as a share of the whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LengthOrShare {
    /// Measured.
    Length(Length),
    /// Share of the whole.
    Share(Ratio),
}

impl FromText for LengthOrShare {
    const EXPECTED: &'static str = "a length or a share";
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        match parse(text) {
            Ok(share) => Ok(Self::Share(share)),
            Err(_) => parse(text).map(Self::Length),
        }
    }
    fn from_bare(number: &str) -> Result<Self, QuantityError> {
        parse(number).map(Self::Share)
    }
}

/// A deflection: with a protractor, or with a ruler at the trailing edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LengthOrAngle {
    /// Distance the trailing edge moves.
    Length(Length),
    /// Angle the surface turns.
    Angle(Angle),
}

impl FromText for LengthOrAngle {
    const EXPECTED: &'static str = "an angle, or a length at the trailing edge";
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        match parse(text) {
            Ok(length) => Ok(Self::Length(length)),
            Err(_) => parse(text).map(Self::Angle),
        }
    }
    fn from_bare(number: &str) -> Result<Self, QuantityError> {
        Err(QuantityError::bare_number::<Angle>(number))
    }
}

/// A text whose kind of quantity another field decides.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AnyText(pub String);

impl FromText for AnyText {
    const EXPECTED: &'static str = "a value with its unit";
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        Ok(Self(text.to_owned()))
    }
    fn from_bare(number: &str) -> Result<Self, QuantityError> {
        Ok(Self(number.to_owned()))
    }
}

impl<'de, Q: FromText> Deserialize<'de> for Given<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(GivenVisitor(PhantomData))
    }
}

struct GivenVisitor<Q>(PhantomData<Q>);

impl<Q: FromText> GivenVisitor<Q> {
    fn bare(text: String) -> Given<Q> {
        Given {
            value: Q::from_bare(&text),
            text,
        }
    }
}

impl<Q: FromText> Visitor<'_> for GivenVisitor<Q> {
    type Value = Given<Q>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} in quotes", Q::EXPECTED)
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Given<Q>, E> {
        Ok(Given {
            value: Q::from_text(text),
            text: text.to_owned(),
        })
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Given<Q>, E> {
        Ok(Self::bare(number.to_string()))
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Given<Q>, E> {
        Ok(Self::bare(number.to_string()))
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Given<Q>, E> {
        Ok(Self::bare(number.to_string()))
    }
}
