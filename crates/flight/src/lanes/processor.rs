//! The operations on eight numbers and on sixteen of single precision, for each
//! kind of processor.
//!
//! All kinds do the same to the bit, see `same_bytes`.

use super::WIDTH;

/// A kind of processor: how eight numbers are kept and what is done with them.
pub(crate) trait Processor: Copy {
    /// Eight numbers.
    type Register: Copy;
    /// Sixteen numbers in single precision.
    type Singles: Copy;

    fn load(self, numbers: [f64; WIDTH]) -> Self::Register;
    fn store(self, register: Self::Register) -> [f64; WIDTH];
    /// Numbers that share each 64 bits: the first as they stand, the second
    /// the lower half of them, see [`super::PairLanes`].
    fn load_pairs(self, words: [u64; WIDTH]) -> [Self::Register; 2];
    fn splat(self, number: f64) -> Self::Register;
    fn add(self, a: Self::Register, b: Self::Register) -> Self::Register;
    fn sub(self, a: Self::Register, b: Self::Register) -> Self::Register;
    fn mul(self, a: Self::Register, b: Self::Register) -> Self::Register;
    fn div(self, a: Self::Register, b: Self::Register) -> Self::Register;
    /// Square roots in single precision.
    fn sqrt_single(self, a: Self::Register) -> Self::Register;
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
    /// The last of `a`, then all but the last of `b`.
    fn shift_in(self, a: Self::Register, b: Self::Register) -> Self::Register;
    /// All but the first of `a`, then the first of `b`.
    fn shift_out(self, a: Self::Register, b: Self::Register) -> Self::Register;

    fn load_singles(self, numbers: [f32; 2 * WIDTH]) -> Self::Singles;
    fn splat_single(self, number: f32) -> Self::Singles;
    fn add_singles(self, a: Self::Singles, b: Self::Singles) -> Self::Singles;
    fn mul_singles(self, a: Self::Singles, b: Self::Singles) -> Self::Singles;
    /// The first eight and the last eight in double precision.
    fn widen(self, singles: Self::Singles) -> [Self::Register; 2];
}

/// Any processor: eight numbers side by side.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Plain;

#[inline(always)]
fn each(a: [f64; WIDTH], b: [f64; WIDTH], f: impl Fn(f64, f64) -> f64) -> [f64; WIDTH] {
    core::array::from_fn(|lane| f(a[lane], b[lane]))
}

impl Processor for Plain {
    type Register = [f64; WIDTH];
    type Singles = [f32; 2 * WIDTH];

    #[inline(always)]
    fn load(self, numbers: [f64; WIDTH]) -> [f64; WIDTH] {
        numbers
    }
    #[inline(always)]
    fn store(self, register: [f64; WIDTH]) -> [f64; WIDTH] {
        register
    }
    #[inline(always)]
    fn load_pairs(self, words: [u64; WIDTH]) -> [[f64; WIDTH]; 2] {
        [
            words.map(f64::from_bits),
            words.map(|word| f64::from_bits(word << 32)),
        ]
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
    fn sqrt_single(self, a: [f64; WIDTH]) -> [f64; WIDTH] {
        a.map(|number| f64::from((number as f32).sqrt()))
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
        core::array::from_fn(|lane| {
            if a[lane] > b[lane] {
                yes[lane]
            } else {
                no[lane]
            }
        })
    }
    #[inline(always)]
    fn shift_in(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        core::array::from_fn(|lane| if lane == 0 { a[WIDTH - 1] } else { b[lane - 1] })
    }
    #[inline(always)]
    fn shift_out(self, a: [f64; WIDTH], b: [f64; WIDTH]) -> [f64; WIDTH] {
        core::array::from_fn(|lane| if lane + 1 == WIDTH { b[0] } else { a[lane + 1] })
    }
    #[inline(always)]
    fn load_singles(self, numbers: [f32; 2 * WIDTH]) -> [f32; 2 * WIDTH] {
        numbers
    }
    #[inline(always)]
    fn splat_single(self, number: f32) -> [f32; 2 * WIDTH] {
        [number; 2 * WIDTH]
    }
    #[inline(always)]
    fn add_singles(self, a: [f32; 2 * WIDTH], b: [f32; 2 * WIDTH]) -> [f32; 2 * WIDTH] {
        core::array::from_fn(|lane| a[lane] + b[lane])
    }
    #[inline(always)]
    fn mul_singles(self, a: [f32; 2 * WIDTH], b: [f32; 2 * WIDTH]) -> [f32; 2 * WIDTH] {
        core::array::from_fn(|lane| a[lane] * b[lane])
    }
    #[inline(always)]
    fn widen(self, singles: [f32; 2 * WIDTH]) -> [[f64; WIDTH]; 2] {
        [0, WIDTH].map(|from| core::array::from_fn(|lane| f64::from(singles[from + lane])))
    }
}

/// Operations on two numbers that an instruction does for half of the lanes.
#[cfg(target_arch = "x86_64")]
macro_rules! in_halves {
    ($($name:ident: $instruction:ident),*) => {$(
        #[inline(always)]
        fn $name(self, [a, c]: Self::Register, [b, d]: Self::Register) -> Self::Register {
            [self.avx.$instruction(a, b), self.avx.$instruction(c, d)]
        }
    )*};
}

/// The same for all of them at once.
#[cfg(target_arch = "x86_64")]
macro_rules! whole {
    ($($name:ident: $instruction:ident),*) => {$(
        #[inline(always)]
        fn $name(self, a: Self::Register, b: Self::Register) -> Self::Register {
            self.avx512f.$instruction(a, b)
        }
    )*};
}

/// Processors with AVX2, as far as `pulp` has found out that this is one: eight
/// numbers in two registers.
#[cfg(target_arch = "x86_64")]
impl Processor for pulp::x86::V3 {
    type Register = [core::arch::x86_64::__m256d; 2];
    type Singles = [core::arch::x86_64::__m256; 2];

    #[inline(always)]
    fn load(self, numbers: [f64; WIDTH]) -> Self::Register {
        pulp::cast(numbers)
    }
    #[inline(always)]
    fn store(self, register: Self::Register) -> [f64; WIDTH] {
        pulp::cast(register)
    }
    #[inline(always)]
    fn load_pairs(self, words: [u64; WIDTH]) -> [Self::Register; 2] {
        let both: [core::arch::x86_64::__m256i; 2] = pulp::cast(words);
        let lower = both.map(|half| self.avx2._mm256_slli_epi64::<32>(half));
        [pulp::cast(both), pulp::cast(lower)]
    }
    #[inline(always)]
    fn splat(self, number: f64) -> Self::Register {
        [self.avx._mm256_set1_pd(number); 2]
    }
    in_halves! {
        add: _mm256_add_pd, sub: _mm256_sub_pd, mul: _mm256_mul_pd,
        div: _mm256_div_pd, max: _mm256_max_pd, min: _mm256_min_pd
    }
    #[inline(always)]
    fn sqrt_single(self, a: Self::Register) -> Self::Register {
        double(self, self.avx._mm256_sqrt_ps(eight(self, a)))
    }
    #[inline(always)]
    fn abs(self, a: Self::Register) -> Self::Register {
        // Minus zero is the sign bit alone.
        let sign = self.avx._mm256_set1_pd(-0.0);
        a.map(|half| self.avx._mm256_andnot_pd(sign, half))
    }
    #[inline(always)]
    fn where_above(
        self,
        a: Self::Register,
        b: Self::Register,
        yes: Self::Register,
        no: Self::Register,
    ) -> Self::Register {
        core::array::from_fn(|half| {
            let above = self
                .avx
                ._mm256_cmp_pd::<{ core::arch::x86_64::_CMP_GT_OQ }>(a[half], b[half]);
            self.avx._mm256_blendv_pd(no[half], yes[half], above)
        })
    }
    #[inline(always)]
    fn shift_in(self, a: Self::Register, b: Self::Register) -> Self::Register {
        [after(self, a[1], b[0]), after(self, b[0], b[1])]
    }
    #[inline(always)]
    fn shift_out(self, a: Self::Register, b: Self::Register) -> Self::Register {
        [before(self, a[0], a[1]), before(self, a[1], b[0])]
    }
    #[inline(always)]
    fn load_singles(self, numbers: [f32; 2 * WIDTH]) -> Self::Singles {
        pulp::cast(numbers)
    }
    #[inline(always)]
    fn splat_single(self, number: f32) -> Self::Singles {
        [self.avx._mm256_set1_ps(number); 2]
    }
    #[inline(always)]
    fn add_singles(self, [a, c]: Self::Singles, [b, d]: Self::Singles) -> Self::Singles {
        [self.avx._mm256_add_ps(a, b), self.avx._mm256_add_ps(c, d)]
    }
    #[inline(always)]
    fn mul_singles(self, [a, c]: Self::Singles, [b, d]: Self::Singles) -> Self::Singles {
        [self.avx._mm256_mul_ps(a, b), self.avx._mm256_mul_ps(c, d)]
    }
    #[inline(always)]
    fn widen(self, singles: Self::Singles) -> [Self::Register; 2] {
        singles.map(|eight| double(self, eight))
    }
}

/// Eight numbers in single precision.
#[cfg(target_arch = "x86_64")]
#[inline(always)]
fn eight(
    processor: pulp::x86::V3,
    numbers: [core::arch::x86_64::__m256d; 2],
) -> core::arch::x86_64::__m256 {
    let [low, high] = numbers.map(|half| processor.avx._mm256_cvtpd_ps(half));
    processor.avx._mm256_set_m128(high, low)
}

/// Eight numbers in double precision.
#[cfg(target_arch = "x86_64")]
#[inline(always)]
fn double(
    processor: pulp::x86::V3,
    numbers: core::arch::x86_64::__m256,
) -> [core::arch::x86_64::__m256d; 2] {
    let low = processor.avx._mm256_castps256_ps128(numbers);
    let high = processor.avx._mm256_extractf128_ps::<1>(numbers);
    [low, high].map(|half| processor.avx._mm256_cvtps_pd(half))
}

/// The last of `a`, then all but the last of `b`.
#[cfg(target_arch = "x86_64")]
#[inline(always)]
fn after(
    processor: pulp::x86::V3,
    a: core::arch::x86_64::__m256d,
    b: core::arch::x86_64::__m256d,
) -> core::arch::x86_64::__m256d {
    // Upper half of a beside lower half of b.
    let middle = processor.avx._mm256_permute2f128_pd::<0x21>(a, b);
    processor.avx._mm256_shuffle_pd::<0b0101>(middle, b)
}

/// All but the first of `a`, then the first of `b`.
#[cfg(target_arch = "x86_64")]
#[inline(always)]
fn before(
    processor: pulp::x86::V3,
    a: core::arch::x86_64::__m256d,
    b: core::arch::x86_64::__m256d,
) -> core::arch::x86_64::__m256d {
    let middle = processor.avx._mm256_permute2f128_pd::<0x21>(a, b);
    processor.avx._mm256_shuffle_pd::<0b0101>(a, middle)
}

/// Processors with AVX-512: eight numbers in one register.
#[cfg(target_arch = "x86_64")]
impl Processor for pulp::x86::V4 {
    type Register = core::arch::x86_64::__m512d;
    type Singles = core::arch::x86_64::__m512;

    #[inline(always)]
    fn load(self, numbers: [f64; WIDTH]) -> Self::Register {
        pulp::cast(numbers)
    }
    #[inline(always)]
    fn store(self, register: Self::Register) -> [f64; WIDTH] {
        pulp::cast(register)
    }
    #[inline(always)]
    fn load_pairs(self, words: [u64; WIDTH]) -> [Self::Register; 2] {
        let both: core::arch::x86_64::__m512i = pulp::cast(words);
        let lower = self.avx512f._mm512_slli_epi64::<32>(both);
        [both, lower].map(|words| self.avx512f._mm512_castsi512_pd(words))
    }
    #[inline(always)]
    fn splat(self, number: f64) -> Self::Register {
        self.avx512f._mm512_set1_pd(number)
    }
    whole! {
        add: _mm512_add_pd, sub: _mm512_sub_pd, mul: _mm512_mul_pd,
        div: _mm512_div_pd, max: _mm512_max_pd, min: _mm512_min_pd
    }
    #[inline(always)]
    fn sqrt_single(self, a: Self::Register) -> Self::Register {
        let root = self.avx._mm256_sqrt_ps(self.avx512f._mm512_cvtpd_ps(a));
        self.avx512f._mm512_cvtps_pd(root)
    }
    #[inline(always)]
    fn abs(self, a: Self::Register) -> Self::Register {
        self.avx512f._mm512_abs_pd(a)
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
            .avx512f
            ._mm512_cmp_pd_mask::<{ core::arch::x86_64::_CMP_GT_OQ }>(a, b);
        self.avx512f._mm512_mask_blend_pd(above, no, yes)
    }
    #[inline(always)]
    fn shift_in(self, a: Self::Register, b: Self::Register) -> Self::Register {
        let [a, b] = [a, b].map(|register| self.avx512f._mm512_castpd_si512(register));
        // Both side by side, b above, moved down by seven.
        let moved = self.avx512f._mm512_alignr_epi64::<7>(b, a);
        self.avx512f._mm512_castsi512_pd(moved)
    }
    #[inline(always)]
    fn shift_out(self, a: Self::Register, b: Self::Register) -> Self::Register {
        let [a, b] = [a, b].map(|register| self.avx512f._mm512_castpd_si512(register));
        let moved = self.avx512f._mm512_alignr_epi64::<1>(b, a);
        self.avx512f._mm512_castsi512_pd(moved)
    }
    #[inline(always)]
    fn load_singles(self, numbers: [f32; 2 * WIDTH]) -> Self::Singles {
        pulp::cast(numbers)
    }
    #[inline(always)]
    fn splat_single(self, number: f32) -> Self::Singles {
        self.avx512f._mm512_set1_ps(number)
    }
    #[inline(always)]
    fn add_singles(self, a: Self::Singles, b: Self::Singles) -> Self::Singles {
        self.avx512f._mm512_add_ps(a, b)
    }
    #[inline(always)]
    fn mul_singles(self, a: Self::Singles, b: Self::Singles) -> Self::Singles {
        self.avx512f._mm512_mul_ps(a, b)
    }
    #[inline(always)]
    fn widen(self, singles: Self::Singles) -> [Self::Register; 2] {
        let first = self.avx512f._mm512_castps512_ps256(singles);
        let second = self.avx512dq._mm512_extractf32x8_ps::<1>(singles);
        [first, second].map(|eight| self.avx512f._mm512_cvtps_pd(eight))
    }
}
