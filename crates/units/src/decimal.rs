//! Decimal numbers kept exact until their single rounding to `f64`.

/// Most significant digits accepted in a text. Twenty digits times the longest
/// factor (nine digits) stay far inside `u128`.
const MOST_DIGITS: usize = 20;

/// Largest power of ten accepted in a text; far outside anything that flies.
const MOST_EXPONENT: i32 = 60;

/// `sign * mantissa * 10^exponent`, exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Decimal {
    negative: bool,
    mantissa: u128,
    exponent: i32,
}

/// Why digits could not be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DecimalError {
    NotANumber,
    TooLong,
}

impl Decimal {
    /// `mantissa * 10^exponent`, for conversion factors.
    pub(crate) const fn new(mantissa: u64, exponent: i32) -> Self {
        Self {
            negative: false,
            mantissa: mantissa as u128,
            exponent,
        }
    }

    /// Reads `-12.50`, `.5`, `3.`, `1e3`.
    pub(crate) fn parse(text: &str) -> Result<Self, DecimalError> {
        let (negative, unsigned) = match text.as_bytes().first() {
            Some(b'-') => (true, &text[1..]),
            Some(b'+') => (false, &text[1..]),
            _ => (false, text),
        };
        let (digits, power) = match unsigned.find(['e', 'E']) {
            Some(at) => (&unsigned[..at], parse_exponent(&unsigned[at + 1..])?),
            None => (unsigned, 0),
        };
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        if whole.is_empty() && fraction.is_empty() {
            return Err(DecimalError::NotANumber);
        }
        let mut mantissa: u128 = 0;
        let mut significant = 0_usize;
        for byte in whole.bytes().chain(fraction.bytes()) {
            if !byte.is_ascii_digit() {
                return Err(DecimalError::NotANumber);
            }
            if significant > 0 || byte != b'0' {
                significant += 1;
            }
            if significant > MOST_DIGITS {
                return Err(DecimalError::TooLong);
            }
            mantissa = mantissa * 10 + u128::from(byte - b'0');
        }
        let fraction_len = i32::try_from(fraction.len()).map_err(|_| DecimalError::TooLong)?;
        let exponent = power - fraction_len;
        if exponent.abs() > MOST_EXPONENT {
            return Err(DecimalError::TooLong);
        }
        Ok(Self {
            negative,
            mantissa,
            exponent,
        })
    }

    /// Exact product.
    pub(crate) fn times(self, factor: Self) -> Self {
        Self {
            negative: self.negative != factor.negative,
            mantissa: self.mantissa.saturating_mul(factor.mantissa),
            exponent: self.exponent + factor.exponent,
        }
    }

    /// Quotient by a positive whole number, with digits to spare and a sticky
    /// last one, so that the later rounding to `f64` is the only one.
    pub(crate) fn over(self, divisor: u64) -> Self {
        let (mut mantissa, mut exponent) = (self.mantissa, self.exponent);
        while mantissa != 0 && mantissa < u128::MAX / 10 {
            mantissa *= 10;
            exponent -= 1;
        }
        let divisor = u128::from(divisor.max(1));
        let sticky = u128::from(mantissa % divisor != 0);
        Self {
            negative: self.negative,
            // A remainder needs a divisor of two or more, which frees a bit.
            mantissa: (mantissa / divisor) | sticky,
            exponent,
        }
    }

    /// Sum; exact as long as the digits fit, which temperatures do.
    pub(crate) fn plus(self, other: Self) -> Option<Self> {
        let exponent = self.exponent.min(other.exponent);
        let aligned = |d: Self| -> Option<i128> {
            let shift = u32::try_from(d.exponent - exponent).ok()?;
            let mantissa = d.mantissa.checked_mul(10_u128.checked_pow(shift)?)?;
            let signed = i128::try_from(mantissa).ok()?;
            Some(if d.negative { -signed } else { signed })
        };
        let sum = aligned(self)?.checked_add(aligned(other)?)?;
        Some(Self {
            negative: sum < 0,
            mantissa: sum.unsigned_abs(),
            exponent,
        })
    }

    /// Nearest `f64`: the standard library rounds decimal text correctly.
    pub(crate) fn to_f64(self) -> f64 {
        let sign = if self.negative { "-" } else { "" };
        format!("{sign}{}e{}", self.mantissa, self.exponent)
            .parse()
            .unwrap_or(f64::NAN)
    }
}

fn parse_exponent(text: &str) -> Result<i32, DecimalError> {
    let power: i32 = text.parse().map_err(|_| DecimalError::NotANumber)?;
    if power.abs() > MOST_EXPONENT {
        return Err(DecimalError::TooLong);
    }
    Ok(power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_exact_until_rounded() {
        // Shortest decimal of an f64 parses back to it (IEEE 754), so literals
        // of the language are an outside check of the whole path.
        for (text, expected) in [
            ("1", 1.0),
            ("-0.1", -0.1),
            (".5", 0.5),
            ("3.", 3.0),
            ("1e3", 1000.0),
            ("2.5E-2", 0.025),
            ("+0.3", 0.3),
        ] {
            let got = Decimal::parse(text).map(Decimal::to_f64);
            assert_eq!(got, Ok(expected), "{text}");
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for text in [
            "", "-", ".", "1.2.3", "1,5", "e5", "1e", "0x10", "--1", "1e999",
        ] {
            assert!(Decimal::parse(text).is_err(), "{text}");
        }
        assert_eq!(
            Decimal::parse("123456789012345678901"),
            Err(DecimalError::TooLong)
        );
    }
}
