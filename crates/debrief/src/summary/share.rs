//! A share and how well it is known.

/// Quantile of the normal distribution for an interval of 95 %; 1.959964 in
/// any table.
pub const Z_95: f64 = 1.959_963_984_540_054;

/// So many of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    /// Cases that count.
    pub hits: u64,
    /// All cases.
    pub of: u64,
}

impl Share {
    /// The share itself; NaN of no cases.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.hits as f64 / self.of as f64
    }

    /// Score interval of E. B. Wilson, "Probable inference, the law of
    /// succession, and statistical inference", J. Am. Stat. Assoc. 22 (1927)
    /// 209: the shares p for which the observed one lies within `z` standard
    /// deviations sqrt(p (1 - p) / n). It stays inside 0 to 1 and makes sense
    /// for all of few, where the usual plus-or-minus has no width.
    ///
    /// Nothing is known from no cases: 0 to 1.
    #[must_use]
    pub fn interval(&self, z: f64) -> [f64; 2] {
        if self.of == 0 {
            return [0.0, 1.0];
        }
        let n = self.of as f64;
        let p = self.value();
        let z2_n = z * z / n;
        let middle = (p + z2_n / 2.0) / (1.0 + z2_n);
        let half = z / (1.0 + z2_n) * ((p * (1.0 - p) + z2_n / 4.0) / n).sqrt();
        // At the ends the sums cancel but for rounding.
        let low = if self.hits == 0 { 0.0 } else { middle - half };
        let high = if self.hits == self.of {
            1.0
        } else {
            middle + half
        };
        [low.max(0.0), high.min(1.0)]
    }
}
