//! Counter-based random numbers for setting up a field.
//!
//! A hash of seed and counter instead of a generator crate: the stream is then
//! fixed by these few lines for as long as recordings are to be flown again.

use glam::DVec3;

/// The output mix of SplitMix64 (Steele, Lea and Flood, "Fast Splittable
/// Pseudorandom Number Generators", OOPSLA 2014; variant 13 of Stafford's
/// mixers). A bijection of 64-bit words.
fn mix(mut word: u64) -> u64 {
    word = (word ^ (word >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    word = (word ^ (word >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    word ^ (word >> 31)
}

/// Two seeds as one. Not symmetric: the order of the seeds matters.
pub(crate) fn combine_seeds(first: u64, second: u64) -> u64 {
    mix(mix(first.wrapping_add(GOLDEN)).wrapping_add(second))
}

/// 2^64 over the golden ratio, the Weyl step of SplitMix64.
const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

/// A stream of random numbers that depends on its seed alone.
pub(crate) struct Stream {
    state: u64,
}

impl Stream {
    pub(crate) fn new(seed: u64) -> Self {
        Self { state: mix(seed) }
    }

    /// Uniform in [0, 1), from the upper 53 bits.
    pub(crate) fn unit(&mut self) -> f64 {
        self.state = self.state.wrapping_add(GOLDEN);
        (mix(self.state) >> 11) as f64 * (1.0 / 9_007_199_254_740_992.0)
    }

    /// A point in the unit disc other than its centre, with its squared radius.
    fn in_disc(&mut self) -> (f64, f64, f64) {
        // The chance that 64 tries all miss is below 1e-42; the bound is there
        // so that termination needs no argument about the generator.
        for _ in 0..64 {
            let x = 2.0 * self.unit() - 1.0;
            let y = 2.0 * self.unit() - 1.0;
            let square = x * x + y * y;
            if square < 1.0 && square > 0.0 {
                return (x, y, square);
            }
        }
        (0.5, 0.0, 0.25)
    }

    /// Three orthogonal unit vectors, uniformly turned: the columns of the
    /// rotation by a quaternion picked evenly from the unit 3-sphere
    /// (Marsaglia, Ann. Math. Stat. 43(2), 1972).
    pub(crate) fn triad(&mut self) -> [DVec3; 3] {
        let (x, y, first) = self.in_disc();
        let (mut z, mut w, second) = self.in_disc();
        let stretch = ((1.0 - first) / second).sqrt();
        z *= stretch;
        w *= stretch;
        [
            DVec3::new(
                1.0 - 2.0 * (y * y + z * z),
                2.0 * (x * y + w * z),
                2.0 * (x * z - w * y),
            ),
            DVec3::new(
                2.0 * (x * y - w * z),
                1.0 - 2.0 * (x * x + z * z),
                2.0 * (y * z + w * x),
            ),
            DVec3::new(
                2.0 * (x * z + w * y),
                2.0 * (y * z - w * x),
                1.0 - 2.0 * (x * x + y * y),
            ),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn triads_are_orthonormal_and_evenly_turned() {
        let mut stream = Stream::new(3);
        let count = 20_000;
        let mut mean = DVec3::ZERO;
        let mut mean_fourth = DVec3::ZERO;
        for _ in 0..count {
            let [a, b, c] = stream.triad();
            assert!((a.cross(b) - c).length() < 1e-12);
            assert!((a.length() - 1.0).abs() < 1e-12 && a.dot(b).abs() < 1e-12);
            mean += a / f64::from(count);
            mean_fourth += a * a * a * a / f64::from(count);
        }
        // Moments of a uniform direction: mean 0, fourth moment 1/5.
        assert!(mean.abs().max_element() < 0.02, "{mean}");
        let off = (mean_fourth - DVec3::splat(0.2)).abs().max_element();
        assert!(off < 0.01, "{mean_fourth}");
    }

    #[test]
    fn seeds_differ_and_repeat() {
        let first = Stream::new(1).unit();
        assert_eq!(first.to_bits(), Stream::new(1).unit().to_bits());
        assert_ne!(first.to_bits(), Stream::new(2).unit().to_bits());
        assert_ne!(combine_seeds(1, 2), combine_seeds(2, 1));
    }
}
