//! What every quantity has in common: units, parsing, messages.

use std::fmt;

use crate::decimal::Decimal;
use crate::text::{closest, split, tidy_unit};

/// How the number in front of a unit becomes SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// `number * mantissa * 10^exponent`, rounded once.
    Decimal {
        /// Digits of the factor.
        mantissa: u64,
        /// Power of ten of the factor.
        exponent: i32,
    },
    /// As `Decimal`, then divided by a whole number; rounded once.
    Over {
        /// Digits of the numerator.
        mantissa: u64,
        /// Power of ten of the numerator.
        exponent: i32,
        /// Denominator.
        divisor: u64,
    },
    /// `number * factor` for factors with pi.
    Factor(f64),
    /// `(number + offset) * numerator / divisor`, rounded once; temperatures.
    Offset {
        /// Digits of the offset, in hundredths.
        offset_hundredths: u64,
        /// Numerator.
        numerator: u64,
        /// Denominator.
        divisor: u64,
    },
    /// `numerator / number`: a time for a given angle is a rate.
    Inverse(f64),
}

/// One unit of a quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Accepted spellings, preferred one first, without spaces.
    pub names: &'static [&'static str],
    /// Conversion to SI.
    pub scale: Scale,
}

/// A physical quantity that is read from text with its unit.
pub trait Quantity: Sized + Copy {
    /// With article, for messages: `a length`.
    const WHAT: &'static str;
    /// A right example, as it stands in a file.
    const EXAMPLE: &'static str;
    /// Units, in the order in which messages list them.
    const UNITS: &'static [Unit];
    /// Units worth writing, most preferred first; the SI unit is last.
    const WRITTEN_AS: &'static [&'static str];
    /// True when a bare number is a right value (pure ratios).
    const BARE_NUMBER: bool;
    /// From the value in SI units.
    fn from_si(value: f64) -> Self;
    /// Value in SI units.
    fn si(self) -> f64;
}

/// Why a text is not a quantity. [`fmt::Display`] says what is wrong and what
/// would be right; the two halves are also available on their own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuantityError {
    problem: String,
    remedy: String,
}

impl QuantityError {
    fn new(problem: String, remedy: String) -> Self {
        Self { problem, remedy }
    }

    /// What is wrong.
    #[must_use]
    pub fn problem(&self) -> &str {
        &self.problem
    }

    /// What would be right.
    #[must_use]
    pub fn remedy(&self) -> &str {
        &self.remedy
    }

    /// The error for a value that is not text at all.
    #[must_use]
    pub fn bare_number<Q: Quantity>(number: &str) -> Self {
        Self::new(
            format!("the number {number} has no unit"),
            format!(
                "write {} in quotes with its unit ({}), as in \"{}\"",
                Q::WHAT,
                unit_list::<Q>(),
                Q::EXAMPLE
            ),
        )
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.problem, self.remedy)
    }
}

impl std::error::Error for QuantityError {}

/// Reads a number and its unit.
///
/// # Errors
/// No number, no unit, a unit of something else, a number that is not finite
/// or longer than twenty digits.
pub fn parse<Q: Quantity>(text: &str) -> Result<Q, QuantityError> {
    let shown = shorten(text);
    let right = format!("write {} like \"{}\"", Q::WHAT, Q::EXAMPLE);
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(QuantityError::new("the text is empty".into(), right));
    }
    let (number, unit_text) = split(trimmed);
    let Ok(decimal) = Decimal::parse(number) else {
        return Err(number_error(&shown, number, trimmed, right));
    };
    let unit_name = tidy_unit(unit_text);
    if unit_name.is_empty() {
        if Q::BARE_NUMBER {
            return Ok(Q::from_si(decimal.to_f64()));
        }
        return Err(QuantityError::new(
            format!("\"{shown}\" has no unit"),
            format!(
                "add the unit ({}), as in \"{}\"",
                unit_list::<Q>(),
                Q::EXAMPLE
            ),
        ));
    }
    let found = Q::UNITS
        .iter()
        .find(|unit| unit.names.contains(&unit_name.as_str()));
    let Some(unit) = found else {
        return Err(unit_error::<Q>(&unit_name));
    };
    let value = apply(unit.scale, decimal);
    if !value.is_finite() {
        return Err(QuantityError::new(
            format!("\"{shown}\" is not a finite value"),
            right,
        ));
    }
    Ok(Q::from_si(value))
}

/// Writes a value so that [`parse`] gives the same bits back.
#[must_use]
pub fn to_text<Q: Quantity>(quantity: Q) -> String {
    let si = quantity.si();
    for name in Q::WRITTEN_AS {
        let Some(unit) = Q::UNITS.iter().find(|u| u.names.contains(name)) else {
            continue;
        };
        for digits in [6, 9, 12, 15, 17] {
            let number = unapply(unit.scale, si);
            let rounded: f64 = format!("{number:.*e}", digits - 1)
                .parse()
                .unwrap_or(number);
            let text = if *name == "1" {
                format!("{rounded}")
            } else {
                format!("{rounded} {name}")
            };
            if parse::<Q>(&text).is_ok_and(|back| back.si().to_bits() == si.to_bits()) {
                return text;
            }
        }
    }
    // The SI unit is last in every list and its shortest digits round-trip,
    // so only a value that is not finite comes here.
    format!("{si} {}", Q::WRITTEN_AS.last().copied().unwrap_or(""))
}

fn apply(scale: Scale, number: Decimal) -> f64 {
    match scale {
        Scale::Decimal { mantissa, exponent } => {
            number.times(Decimal::new(mantissa, exponent)).to_f64()
        }
        Scale::Over {
            mantissa,
            exponent,
            divisor,
        } => number
            .times(Decimal::new(mantissa, exponent))
            .over(divisor)
            .to_f64(),
        Scale::Factor(factor) => number.to_f64() * factor,
        Scale::Offset {
            offset_hundredths,
            numerator,
            divisor,
        } => number
            .plus(Decimal::new(offset_hundredths, -2))
            .map_or(f64::NAN, |sum| {
                sum.times(Decimal::new(numerator, 0)).over(divisor).to_f64()
            }),
        Scale::Inverse(numerator) => numerator / number.to_f64(),
    }
}

fn unapply(scale: Scale, si: f64) -> f64 {
    match scale {
        Scale::Decimal { mantissa, exponent } => si / Decimal::new(mantissa, exponent).to_f64(),
        Scale::Over {
            mantissa,
            exponent,
            divisor,
        } => si * divisor as f64 / Decimal::new(mantissa, exponent).to_f64(),
        Scale::Factor(factor) => si / factor,
        Scale::Offset {
            offset_hundredths,
            numerator,
            divisor,
        } => {
            si * divisor as f64 / Decimal::new(numerator, 0).to_f64()
                - Decimal::new(offset_hundredths, -2).to_f64()
        }
        Scale::Inverse(numerator) => numerator / si,
    }
}

fn number_error(shown: &str, number: &str, whole: &str, right: String) -> QuantityError {
    let lower = whole.to_ascii_lowercase();
    let problem =
        if lower.starts_with("nan") || lower.trim_start_matches(['-', '+']).starts_with("inf") {
            format!("\"{shown}\" is not a finite number")
        } else if number.contains(',') {
            format!("\"{shown}\" has a comma in its number; use a point for decimals")
        } else if number.bytes().filter(u8::is_ascii_digit).count() > 20 {
            format!("\"{shown}\" has too many digits")
        } else {
            format!("\"{shown}\" does not start with a number")
        };
    QuantityError::new(problem, right)
}

fn unit_error<Q: Quantity>(unit: &str) -> QuantityError {
    let names = Q::UNITS.iter().flat_map(|u| u.names.iter().copied());
    let unit = shorten(unit);
    let hint =
        closest(&unit, names).map_or(String::new(), |name| format!("did you mean `{name}`? "));
    QuantityError::new(
        format!("`{unit}` is not a unit of {}", kind_of::<Q>()),
        format!("{hint}use {}, as in \"{}\"", unit_list::<Q>(), Q::EXAMPLE),
    )
}

/// The quantity without its article.
fn kind_of<Q: Quantity>() -> &'static str {
    Q::WHAT
        .strip_prefix("a ")
        .or_else(|| Q::WHAT.strip_prefix("an "))
        .unwrap_or(Q::WHAT)
}

fn unit_list<Q: Quantity>() -> String {
    let names: Vec<&str> = Q::UNITS
        .iter()
        .filter_map(|u| u.names.first().copied())
        .filter(|name| *name != "1")
        .collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        Some((last, _)) => (*last).to_owned(),
        None => String::new(),
    }
}

/// Keeps messages readable when the text is a whole paragraph or garbage.
fn shorten(text: &str) -> String {
    let clean: String = text
        .chars()
        .map(|c| if c.is_control() { '?' } else { c })
        .take(40)
        .collect();
    if text.chars().count() > 40 {
        format!("{clean}...")
    } else {
        clean
    }
}
