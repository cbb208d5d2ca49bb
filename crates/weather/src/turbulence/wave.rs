//! Many waves at once, the same bits everywhere.
//!
//! Angles are counted in turns, where reducing an angle is a subtraction of
//! whole numbers and exact.

use glam::Vec4;

/// 1.5 * 2^52: adding and subtracting it rounds to a whole number in the
/// default rounding mode. `f64::round` is a function call on plain x86-64.
const WHOLE: f64 = 6_755_399_441_055_744.0;
/// The same for f32: 1.5 * 2^23.
const WHOLE_F32: f32 = 12_582_912.0;

/// The angle less whole turns, -1/2 to 1/2. For angles below 2^51.
pub(super) fn wrap_turns(turns: f64) -> f64 {
    turns - ((turns + WHOLE) - WHOLE)
}

/// The angle less whole turns, -1/2 to 1/2. For angles below 2^22.
pub(super) fn wrap_turns_f32(turns: Vec4) -> Vec4 {
    let whole = Vec4::splat(WHOLE_F32);
    turns - ((turns + whole) - whole)
}

/// A wave of period 1 and height 1, for angles from -1/2 to 1/2: a cosine but
/// for 1.2 % of third harmonic, at half the cost.
///
/// With x = 1 - 4 |t| it is (3 x - x^3) / 2, the cubic that is level at both
/// crests; joined over the turns its slope and curvature are continuous. Its
/// Fourier terms fall as 1/n^4 over odd n, so the third harmonic has 1/6561 of
/// the energy where the turbulence itself has about 1/9.
pub(super) fn wave_turns(turns: Vec4) -> Vec4 {
    let x = Vec4::splat(1.0) - turns.abs() * Vec4::splat(4.0);
    x * (Vec4::splat(1.5) - x * x * Vec4::splat(0.5))
}

/// Mean square of [`wave_turns`] over a turn: the integral of (3x - x^3)^2 / 4
/// over x from 0 to 1, (9/3 - 6/5 + 1/7) / 4.
pub(super) const WAVE_MEAN_SQUARE: f64 = 17.0 / 35.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// Reference: a cosine, and its mean square by summation.
    #[test]
    fn a_wave_is_nearly_a_cosine() {
        let steps = 80_000;
        let (mut square, mut harmonic) = (0.0, 0.0);
        for i in 0..steps {
            let turns = (f64::from(i) + 0.5) / f64::from(steps) - 0.5;
            let ours = f64::from(wave_turns(Vec4::splat(turns as f32)).x);
            let cosine = libm::cos(2.0 * core::f64::consts::PI * turns);
            assert!((ours - cosine).abs() < 0.021, "{ours} for {cosine}");
            square += ours * ours / f64::from(steps);
            harmonic +=
                2.0 * ours * libm::cos(6.0 * core::f64::consts::PI * turns) / f64::from(steps);
        }
        assert!((square - WAVE_MEAN_SQUARE).abs() < 1e-6, "{square}");
        assert!(harmonic.abs() < 0.0125, "{harmonic}");
    }

    #[test]
    fn wrapping_takes_off_whole_turns_only() {
        for turns in [0.0, 0.3, 0.7, -0.6, 12.25, -1e6 + 0.125, 4e9 + 0.25] {
            let wrapped = wrap_turns(turns);
            assert!(wrapped.abs() <= 0.5);
            assert_eq!((turns - wrapped).fract(), 0.0);
        }
        for turns in [0.3_f32, -0.6, 12.25, -40_000.25] {
            let wrapped = wrap_turns_f32(Vec4::splat(turns)).w;
            assert!(wrapped.abs() <= 0.5);
            assert_eq!((turns - wrapped).fract(), 0.0);
        }
    }
}
