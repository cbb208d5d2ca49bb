//! Sixteen numbers at once in single precision, two for each of eight strips.
//!
//! For long sums of products alone: the flow that all circulations induce. There
//! one instruction does twice as many of them as in double precision, and half
//! a ten-millionth of that flow is far below what a theory of wings is worth. What
//! follows from the sums is reckoned in double precision again.

use core::ops::{AddAssign, Mul};

use super::{Processor, WIDTH, Wide};

/// Two numbers for each of eight strips, as stored: the first of all, then the
/// second.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(align(64))]
pub(crate) struct Singles([f32; 2 * WIDTH]);

/// Products of numbers below this are so small that a processor may take a
/// hundred times as long for them; so these count as nothing.
const NOTHING: f64 = 1e-18;

/// In single precision, nothing where it is next to nothing.
#[inline(always)]
pub(crate) fn single(number: f64) -> f32 {
    if number.abs() < NOTHING {
        0.0
    } else {
        number as f32
    }
}

impl Singles {
    pub const ZERO: Self = Self([0.0; 2 * WIDTH]);

    /// Puts two numbers into one lane.
    pub fn set(&mut self, lane: usize, first: f64, second: f64) {
        self.0[lane] = single(first);
        self.0[WIDTH + lane] = single(second);
    }

    /// Ready to be reckoned with.
    #[inline(always)]
    pub fn on<P: Processor>(self, processor: P) -> WideSingles<P> {
        WideSingles(processor, processor.load_singles(self.0))
    }
}

/// Sixteen numbers in a processor's hands.
#[derive(Clone, Copy)]
pub(crate) struct WideSingles<P: Processor>(P, P::Singles);

impl<P: Processor> WideSingles<P> {
    /// The same number in every lane.
    #[inline(always)]
    pub fn all(processor: P, number: f32) -> Self {
        Self(processor, processor.splat_single(number))
    }

    /// The first and the second numbers, in double precision.
    #[inline(always)]
    pub fn doubled(self) -> [Wide<P>; 2] {
        self.0.widen(self.1).map(|register| Wide(self.0, register))
    }
}

impl<P: Processor> Mul for WideSingles<P> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        Self(self.0, self.0.mul_singles(self.1, other.1))
    }
}

impl<P: Processor> AddAssign for WideSingles<P> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = Self(self.0, self.0.add_singles(self.1, other.1));
    }
}
