//! From values to places, and round numbers for axes.

use super::svg::fixed;

/// A straight map from values to coordinates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Values at both ends; they differ.
    pub values: [f64; 2],
    /// Coordinates at both ends.
    pub places: [f64; 2],
}

impl Scale {
    /// The coordinate of a value.
    #[must_use]
    pub fn place(&self, value: f64) -> f64 {
        let share = (value - self.values[0]) / (self.values[1] - self.values[0]);
        self.places[0] + share * (self.places[1] - self.places[0])
    }

    /// Units of the picture for one unit of the value, never negative.
    #[must_use]
    pub fn size(&self) -> f64 {
        ((self.places[1] - self.places[0]) / (self.values[1] - self.values[0])).abs()
    }
}

/// Round values along an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Ticks {
    /// The values, rising.
    pub values: Vec<f64>,
    /// Distance between them: 1, 2 or 5 times a power of ten.
    pub step: f64,
    /// Decimals that tell them apart.
    pub decimals: usize,
}

impl Ticks {
    /// Ticks inside `lo..=hi`, as many as fit with at most `most` steps.
    ///
    /// A range that is empty, reversed or not finite has no ticks.
    #[must_use]
    pub fn new(lo: f64, hi: f64, most: usize) -> Self {
        let none = Self {
            values: Vec::new(),
            step: 0.0,
            decimals: 0,
        };
        let wanted = (hi - lo) / most.max(1) as f64;
        if !(wanted > 0.0 && wanted.is_finite()) {
            return none;
        }
        // Powers of ten by repeated products stay the same on every machine.
        let mut power = 1.0f64;
        let mut exponent = 0i32;
        while power * 10.0 <= wanted && exponent < 300 {
            power *= 10.0;
            exponent += 1;
        }
        while power > wanted && exponent > -300 {
            power /= 10.0;
            exponent -= 1;
        }
        // The last of these is always large enough, by the loops above.
        let (step, carried) = [(1.0, 0), (2.0, 0), (5.0, 0), (10.0, 1)]
            .into_iter()
            .map(|(factor, carried)| (factor * power, carried))
            .find(|(step, _)| *step >= wanted * (1.0 - 1e-9))
            .unwrap_or((10.0 * power, 1));
        let decimals = usize::try_from(-(exponent + carried)).unwrap_or(0);
        Self {
            step,
            decimals,
            ..none
        }
        .over(lo, hi)
    }

    /// The same ticks, none of them between whole numbers.
    #[must_use]
    pub(super) fn whole(self, lo: f64, hi: f64) -> Self {
        if self.step >= 1.0 {
            return self;
        }
        Self {
            step: 1.0,
            decimals: 0,
            ..self
        }
        .over(lo, hi)
    }

    /// Ticks with the same step inside other ends.
    #[must_use]
    pub(super) fn over(mut self, lo: f64, hi: f64) -> Self {
        let slack = 1e-6;
        let first = (lo / self.step - slack).ceil();
        let last = (hi / self.step + slack).floor();
        self.values.clear();
        if (last - first).is_finite() && last - first < 1000.0 {
            let count = (last - first).max(-1.0) as i64 + 1;
            let step = self.step;
            self.values = (0..count).map(|i| (first + i as f64) * step).collect();
        }
        self
    }

    /// A value written as the ticks are.
    #[must_use]
    pub fn label(&self, value: f64) -> String {
        fixed(value, self.decimals)
    }
}

/// Ends of an axis that hold every finite value of `values`, never empty.
pub(super) fn tight_ends(values: impl Iterator<Item = f64>) -> [f64; 2] {
    let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
    for value in values.filter(|v| v.is_finite()) {
        lo = lo.min(value);
        hi = hi.max(value);
    }
    if lo > hi {
        return [0.0, 1.0];
    }
    // A flat line gets room around it instead of a division by zero.
    let room = (hi.abs().max(lo.abs()) * 1e-3).max(1e-6);
    if hi - lo < room {
        let half = (hi.abs() * 0.1).max(0.5);
        (lo, hi) = (lo - half, hi + half);
    }
    [lo, hi]
}

/// The same moved out to whole ticks, and those ticks.
pub(super) fn round_ends(values: impl Iterator<Item = f64>, most: usize) -> ([f64; 2], Ticks) {
    let [mut lo, mut hi] = tight_ends(values);
    let ticks = Ticks::new(lo, hi, most);
    if ticks.step > 0.0 {
        lo = (lo / ticks.step + 1e-9).floor() * ticks.step;
        hi = (hi / ticks.step - 1e-9).ceil() * ticks.step;
    }
    ([lo, hi], ticks.over(lo, hi))
}
