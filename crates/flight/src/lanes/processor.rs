//! The operations on four numbers, for each kind of processor.
//!
//! Both kinds do the same to the bit, see `same_bytes`.

use super::WIDTH;

/// A kind of processor: how four numbers are kept and what is done with them.
pub(crate) trait Processor: Copy {
    /// Four numbers.
    type Register: Copy;

    fn load(self, numbers: [f64; WIDTH]) -> Self::Register;
    fn store(self, register: Self::Register) -> [f64; WIDTH];
    fn splat(self, number: f64) -> Self::Register;
    fn add(self, a: Self::Register, b: Self::Register) -> Self::Register;
    fn sub(self, a: Self::Register, b: Self::Register) -> Self::Register;
    fn mul(self, a: Self::Register, b: Self::Register) -> Self::Register;
    fn div(self, a: Self::Register, b: Self::Register) -> Self::Register;
    fn sqrt(self, a: Self::Register) -> Self::Register;
    fn abs(self, a: Self::Register) -> Self::Register;
    /// The larger; `b` where one is not a number.
    fn max(self, a: Self::Register, b: Self::Register) -> Self::Register;
    /// The smaller; `b` where one is not a number.
    fn min(self, a: Self::Register, b: Self::Register) -> Self::Register;
    /// `yes` where `a > b`, `no` elsewhere.
    fn where_above(
        self,
        a: Self::Register,
        b: Self::Register,
        yes: Self::Register,
        no: Self::Register,
    ) -> Self::Register;
    /// Whether `a > b` anywhere.
    fn any_above(self, a: Self::Register, b: Self::Register) -> bool;
    /// The last of `a`, then all but the last of `b`.
    fn shift_in(self, a: Self::Register, b: Self::Register) -> Self::Register;
    /// All but the first of `a`, then the first of `b`.
    fn shift_out(self, a: Self::Register, b: Self::Register) -> Self::Register;
}

/// Any processor: four numbers side by side.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Plain;

#[inline(always)]
fn each(a: [f64; WIDTH], b: [f64; WIDTH], f: impl Fn(f64, f64) -> f64) -> [f64; WIDTH] {
    [f(a[0], b[0]), f(a[1], b[1]), f(a[2], b[2]), f(a[3], b[3])]
}

impl Processor for Plain {
    type Register = [f64; WIDTH];

    #[inline(always)]
    fn load(self, numbers: [f64; WIDTH]) -> [f64; WIDTH] {
        numbers
    }
    #[inline(always)]
    fn store(self, register: [f64; WIDTH]) -> [f64; WIDTH] {
        register
    }
    #[inline(always)]
    fn splat(self, number: f64) -> [f64; WIDTH] {
        [number; WIDTH]
    }
    #[inline(always)]
    fn add(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        each(a, b, |a, b| a + b)
    }
    #[inline(always)]
    fn sub(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        each(a, b, |a, b| a - b)
    }
    #[inline(always)]
    fn mul(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        each(a, b, |a, b| a * b)
    }
    #[inline(always)]
    fn div(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        each(a, b, |a, b| a / b)
    }
    #[inline(always)]
    fn sqrt(self, a: [f64; WIDTH]) -> [f64; WIDTH] {
        a.map(f64::sqrt)
    }
    #[inline(always)]
    fn abs(self, a: [f64; WIDTH]) -> [f64; WIDTH] {
        a.map(f64::abs)
    }
    #[inline(always)]
    fn max(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        each(a, b, |a, b| if a > b { a } else { b })
    }
    #[inline(always)]
    fn min(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        each(a, b, |a, b| if a < b { a } else { b })
    }
    #[inline(always)]
    fn where_above(
        self,
        a: [f64; WIDTH],
        b: [f64; WIDTH],
        yes: [f64; WIDTH],
        no: [f64; WIDTH],
    ) -> [f64; WIDTH] {
        let pick = |k: usize| if a[k] > b[k] { yes[k] } else { no[k] };
        [pick(0), pick(1), pick(2), pick(3)]
    }
    #[inline(always)]
    fn any_above(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> bool {
        a.iter().zip(&b).any(|(a, b)| a > b)
    }
    #[inline(always)]
    fn shift_in(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        [a[3], b[0], b[1], b[2]]
    }
    #[inline(always)]
    fn shift_out(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        [a[1], a[2], a[3], b[0]]
    }
}

/// Processors with AVX2, as far as `pulp` has found out that this is one.
#[cfg(target_arch = "x86_64")]
impl Processor for pulp::x86::V3 {
    type Register = core::arch::x86_64::__m256d;

    #[inline(always)]
    fn load(self, numbers: [f64; WIDTH]) -> Self::Register {
        pulp::cast(numbers)
    }
    #[inline(always)]
    fn store(self, register: Self::Register) -> [f64; WIDTH] {
        pulp::cast(register)
    }
    #[inline(always)]
    fn splat(self, number: f64) -> Self::Register {
        self.avx._mm256_set1_pd(number)
    }
    #[inline(always)]
    fn add(self, a: Self::Register, b: Self::Register) -> Self::Register {
        self.avx._mm256_add_pd(a, b)
    }
    #[inline(always)]
    fn sub(self, a: Self::Register, b: Self::Register) -> Self::Register {
        self.avx._mm256_sub_pd(a, b)
    }
    #[inline(always)]
    fn mul(self, a: Self::Register, b: Self::Register) -> Self::Register {
        self.avx._mm256_mul_pd(a, b)
    }
    #[inline(always)]
    fn div(self, a: Self::Register, b: Self::Register) -> Self::Register {
        self.avx._mm256_div_pd(a, b)
    }
    #[inline(always)]
    fn sqrt(self, a: Self::Register) -> Self::Register {
        self.avx._mm256_sqrt_pd(a)
    }
    #[inline(always)]
    fn abs(self, a: Self::Register) -> Self::Register {
        // Minus zero is the sign bit alone.
        self.avx._mm256_andnot_pd(self.avx._mm256_set1_pd(-0.0), a)
    }
    #[inline(always)]
    fn max(self, a: Self::Register, b: Self::Register) -> Self::Register {
        self.avx._mm256_max_pd(a, b)
    }
    #[inline(always)]
    fn min(self, a: Self::Register, b: Self::Register) -> Self::Register {
        self.avx._mm256_min_pd(a, b)
    }
    #[inline(always)]
    fn where_above(
        self,
        a: Self::Register,
        b: Self::Register,
        yes: Self::Register,
        no: Self::Register,
    ) -> Self::Register {
        let above = self
            .avx
            ._mm256_cmp_pd::<{ core::arch::x86_64::_CMP_GT_OQ }>(a, b);
        self.avx._mm256_blendv_pd(no, yes, above)
    }
    #[inline(always)]
    fn any_above(self, a: Self::Register, b: Self::Register) -> bool {
        let above = self
            .avx
            ._mm256_cmp_pd::<{ core::arch::x86_64::_CMP_GT_OQ }>(a, b);
        self.avx._mm256_movemask_pd(above) != 0
    }
    #[inline(always)]
    fn shift_in(self, a: Self::Register, b: Self::Register) -> Self::Register {
        // Upper half of a beside lower half of b.
        let middle = self.avx._mm256_permute2f128_pd::<0x21>(a, b);
        self.avx._mm256_shuffle_pd::<0b0101>(middle, b)
    }
    #[inline(always)]
    fn shift_out(self, a: Self::Register, b: Self::Register) -> Self::Register {
        let middle = self.avx._mm256_permute2f128_pd::<0x21>(a, b);
        self.avx._mm256_shuffle_pd::<0b0101>(a, middle)
    }
}
