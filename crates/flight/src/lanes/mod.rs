//! Eight numbers at once.
//!
//! Strips are reckoned eight at a time so that one instruction does for eight of
//! them where the processor can (AVX-512), for four where it has AVX2 and for two
//! where it has neither. Each lane
//! does the operations of IEEE 754 in the written order, never fused, and sums
//! over lanes have a fixed order of their own: results do not depend on the
//! processor.

use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

use glam::DVec3;

mod processor;
mod single;

pub(crate) use processor::{Plain, Processor};
pub(crate) use single::{Singles, WideSingles, single};

/// Number of lanes.
pub(crate) const WIDTH: usize = 8;

/// One number for each of eight strips, as stored.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[repr(align(64))]
pub(crate) struct Lanes(pub [f64; WIDTH]);

/// Two numbers for each of eight strips in the room of one, for constants that
/// are many: a tick then reads half as much. Each keeps 21 bits, so it is right
/// to half a millionth of itself; the arithmetic stays in double precision.
///
/// Of a number in the format of IEEE 754 the upper half alone is a good
/// approximation. The upper half of the first number stands above that of the
/// second: read as they stand, the 64 bits are the first number, and moved up
/// by 32 they are the second.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[repr(align(64))]
pub(crate) struct PairLanes([u64; WIDTH]);

/// A vector for each of eight strips, as stored.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Lanes3 {
    pub x: Lanes,
    pub y: Lanes,
    pub z: Lanes,
}

impl Lanes {
    pub const ZERO: Self = Self([0.0; WIDTH]);

    /// Ready to be reckoned with.
    #[inline(always)]
    pub fn on<P: Processor>(self, processor: P) -> Wide<P> {
        Wide(processor, processor.load(self.0))
    }
}

/// Two vectors for each of eight strips, likewise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct PairLanes3 {
    x: PairLanes,
    y: PairLanes,
    z: PairLanes,
}

impl PairLanes3 {
    /// Puts two vectors into one lane.
    pub fn set(&mut self, lane: usize, first: DVec3, second: DVec3) {
        self.x.set(lane, first.x, second.x);
        self.y.set(lane, first.y, second.y);
        self.z.set(lane, first.z, second.z);
    }

    /// Ready to be reckoned with.
    #[inline(always)]
    pub fn on<P: Processor>(&self, processor: P) -> [Wide3<P>; 2] {
        let [x, other_x] = self.x.on(processor);
        let [y, other_y] = self.y.on(processor);
        let [z, other_z] = self.z.on(processor);
        let other = Wide3 {
            x: other_x,
            y: other_y,
            z: other_z,
        };
        [Wide3 { x, y, z }, other]
    }
}

impl PairLanes {
    /// Puts two numbers into one lane.
    pub fn set(&mut self, lane: usize, first: f64, second: f64) {
        const HALF: u64 = 1 << 31;
        // Nothing beside something: far below what matters, but not so near to
        // nothing that a processor would stumble over it.
        let not_nil = |number: f64| if number == 0.0 { 1e-30 } else { number };
        self.0[lane] = if first == 0.0 && second == 0.0 {
            0
        } else {
            let lower = (not_nil(second).to_bits() + HALF) >> 32;
            let upper = (not_nil(first).to_bits() - lower + HALF) >> 32;
            upper << 32 | lower
        };
    }

    /// Ready to be reckoned with.
    #[inline(always)]
    pub fn on<P: Processor>(self, processor: P) -> [Wide<P>; 2] {
        processor
            .load_pairs(self.0)
            .map(|register| Wide(processor, register))
    }
}

impl Lanes3 {
    /// Puts a vector into one lane.
    pub fn set(&mut self, lane: usize, v: DVec3) {
        self.x.0[lane] = v.x;
        self.y.0[lane] = v.y;
        self.z.0[lane] = v.z;
    }

    /// Ready to be reckoned with.
    #[inline(always)]
    pub fn on<P: Processor>(&self, processor: P) -> Wide3<P> {
        Wide3 {
            x: self.x.on(processor),
            y: self.y.on(processor),
            z: self.z.on(processor),
        }
    }
}

/// Eight numbers in a processor's hands.
#[derive(Clone, Copy)]
pub(crate) struct Wide<P: Processor>(P, P::Register);

/// Eight vectors in a processor's hands.
#[derive(Clone, Copy)]
pub(crate) struct Wide3<P: Processor> {
    pub x: Wide<P>,
    pub y: Wide<P>,
    pub z: Wide<P>,
}

macro_rules! each_lane {
    ($trait:ident, $method:ident) => {
        impl<P: Processor> $trait for Wide<P> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                Self(self.0, self.0.$method(self.1, other.1))
            }
        }
        impl<P: Processor> $trait<f64> for Wide<P> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self {
                Self(self.0, self.0.$method(self.1, self.0.splat(other)))
            }
        }
        impl<P: Processor> $trait<Wide<P>> for f64 {
            type Output = Wide<P>;
            #[inline(always)]
            fn $method(self, other: Wide<P>) -> Wide<P> {
                Wide(other.0, other.0.$method(other.0.splat(self), other.1))
            }
        }
        impl<P: Processor> $trait<Lanes> for Wide<P> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Lanes) -> Self {
                Self(self.0, self.0.$method(self.1, self.0.load(other.0)))
            }
        }
        impl<P: Processor> $trait<Wide<P>> for Lanes {
            type Output = Wide<P>;
            #[inline(always)]
            fn $method(self, other: Wide<P>) -> Wide<P> {
                Wide(other.0, other.0.$method(other.0.load(self.0), other.1))
            }
        }
    };
}
each_lane!(Add, add);
each_lane!(Sub, sub);
each_lane!(Mul, mul);
each_lane!(Div, div);

impl<P: Processor> AddAssign for Wide<P> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<P: Processor> Neg for Wide<P> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self * -1.0
    }
}

impl<P: Processor> Wide<P> {
    /// The same number in every lane.
    #[inline(always)]
    pub fn all(processor: P, number: f64) -> Self {
        Self(processor, processor.splat(number))
    }

    /// Zero in every lane.
    #[inline(always)]
    pub fn nil(self) -> Self {
        Self::all(self.0, 0.0)
    }

    /// As stored.
    #[inline(always)]
    pub fn lanes(self) -> Lanes {
        Lanes(self.0.store(self.1))
    }

    /// Square root, right to a ten-millionth of itself: in single precision it
    /// takes a third of the time.
    #[inline(always)]
    pub fn sqrt(self) -> Self {
        Self(self.0, self.0.sqrt_single(self.1))
    }

    #[inline(always)]
    pub fn abs(self) -> Self {
        Self(self.0, self.0.abs(self.1))
    }

    /// The larger; `least` where this is not a number.
    #[inline(always)]
    pub fn at_least(self, least: f64) -> Self {
        Self(self.0, self.0.max(self.1, self.0.splat(least)))
    }

    /// The smaller; `most` where this is not a number.
    #[inline(always)]
    pub fn at_most(self, most: f64) -> Self {
        Self(self.0, self.0.min(self.1, self.0.splat(most)))
    }

    /// The smaller of two; `other` where one is not a number.
    #[inline(always)]
    pub fn min(self, other: Self) -> Self {
        Self(self.0, self.0.min(self.1, other.1))
    }

    /// `yes` in lanes above `limit`, `no` in the others.
    #[inline(always)]
    pub fn where_above(self, limit: f64, yes: Self, no: Self) -> Self {
        let limit = self.0.splat(limit);
        Self(self.0, self.0.where_above(self.1, limit, yes.1, no.1))
    }

    /// Lanes moved up by one, the last lane of `below` into the first.
    #[inline(always)]
    pub fn after(self, below: Self) -> Self {
        Self(self.0, self.0.shift_in(below.1, self.1))
    }

    /// Lanes moved down by one, the first lane of `above` into the last.
    #[inline(always)]
    pub fn before(self, above: Self) -> Self {
        Self(self.0, self.0.shift_out(self.1, above.1))
    }

    /// Sum over lanes, always in the same order.
    #[inline(always)]
    pub fn sum(self) -> f64 {
        let a = self.lanes().0;
        ((a[0] + a[1]) + (a[2] + a[3])) + ((a[4] + a[5]) + (a[6] + a[7]))
    }

    /// Smallest lane.
    #[inline(always)]
    pub fn least(self) -> f64 {
        let a = self.lanes().0;
        a.into_iter().fold(f64::MAX, f64::min)
    }
}

impl<P: Processor> Wide3<P> {
    /// The same vector in every lane.
    #[inline(always)]
    pub fn all(processor: P, v: DVec3) -> Self {
        Self {
            x: Wide::all(processor, v.x),
            y: Wide::all(processor, v.y),
            z: Wide::all(processor, v.z),
        }
    }

    #[inline(always)]
    pub fn dot(self, other: Self) -> Wide<P> {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    #[inline(always)]
    pub fn cross(self, other: Self) -> Self {
        Self {
            x: self.y * other.z - self.z * other.y,
            y: self.z * other.x - self.x * other.z,
            z: self.x * other.y - self.y * other.x,
        }
    }

    /// As stored.
    #[inline(always)]
    pub fn lanes(self) -> Lanes3 {
        Lanes3 {
            x: self.x.lanes(),
            y: self.y.lanes(),
            z: self.z.lanes(),
        }
    }

    /// Sum over lanes.
    #[inline(always)]
    pub fn sum(self) -> DVec3 {
        DVec3::new(self.x.sum(), self.y.sum(), self.z.sum())
    }
}

impl<P: Processor> Add for Wide3<P> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self {
            x: self.x + other.x,
            y: self.y + other.y,
            z: self.z + other.z,
        }
    }
}

impl<P: Processor> Sub for Wide3<P> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self {
            x: self.x - other.x,
            y: self.y - other.y,
            z: self.z - other.z,
        }
    }
}

impl<P: Processor> AddAssign for Wide3<P> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<P: Processor> Mul<Wide<P>> for Wide3<P> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, by: Wide<P>) -> Self {
        Self {
            x: self.x * by,
            y: self.y * by,
            z: self.z * by,
        }
    }
}

impl<P: Processor> Mul<Lanes> for Wide3<P> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, by: Lanes) -> Self {
        self * by.on(self.x.0)
    }
}
