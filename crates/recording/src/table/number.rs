//! Numbers as text and back, and units for people.

/// Writes the shortest decimal that reads back to the same bits. Very small
/// and very large numbers get an exponent; what is not finite is `NaN`, `inf`
/// or `-inf`.
pub(super) fn write_number(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && size.is_finite() && !(1e-5..1e15).contains(&size) {
        format!("{value:e}")
    } else {
        format!("{value}")
    }
}

/// Reads a number. Only what [`write_number`] could have meant: digits, sign,
/// point, exponent, or the three words for what is not finite.
pub(super) fn read_number(cell: &[u8]) -> Option<f64> {
    let text = std::str::from_utf8(cell).ok()?.trim();
    let words = ["NaN", "inf", "-inf"];
    let digits = text
        .bytes()
        .all(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'.' | b'e' | b'E'));
    if text.is_empty() || !(digits || words.contains(&text)) {
        return None;
    }
    // A number of a thousand digits is no number of ours, and "1e999" would
    // silently become infinite.
    let value: f64 = text.parse().ok()?;
    (value.is_finite() || words.contains(&text)).then_some(value)
}

/// The number whose product with `factor` is exactly `shown`, if there is one
/// among the neighbours of the quotient; the quotient itself otherwise.
///
/// A product of two doubles skips some doubles and meets others twice, so that
/// the plain quotient can miss the number that was written by one step.
pub(super) fn undo_factor(shown: f64, factor: f64) -> f64 {
    let quotient = shown / factor;
    if !quotient.is_finite() {
        return quotient;
    }
    // Two roundings of half a step each, in steps that may double in between,
    // leave the number at most two steps away.
    let up = libm::nextafter(quotient, f64::INFINITY);
    let down = libm::nextafter(quotient, f64::NEG_INFINITY);
    let up_twice = libm::nextafter(up, f64::INFINITY);
    let down_twice = libm::nextafter(down, f64::NEG_INFINITY);
    [quotient, up, down, up_twice, down_twice]
        .into_iter()
        .find(|x| (x * factor).to_bits() == shown.to_bits())
        .unwrap_or(quotient)
}
