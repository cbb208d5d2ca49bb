//! Seeded noise that depends on the seed and on the time, never on how often
//! somebody asked.

/// A source of seeded numbers. Copies give the same numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Noise {
    seed: u64,
}

/// Root mean square of uniform knots in -1..1 joined by the quintic blend:
/// sqrt(1/3 * 2 * integral of w^2) with integral w^2 = 181/462.
const UNSCALED_RMS: f64 = 0.511_060_9;

impl Noise {
    /// Noise of a seed; streams of different names are independent.
    pub fn new(seed: u64, stream: &str) -> Self {
        let mut hash = mix(seed);
        for byte in stream.bytes() {
            hash = mix(hash ^ u64::from(byte));
        }
        Self { seed: hash }
    }

    /// Smooth noise with mean 0 and root mean square 1 that varies over about
    /// `period_s`; values stay within +-2. `channel` picks one of many.
    pub fn at(&self, channel: u32, time_s: f64, period_s: f64) -> f64 {
        let cells = time_s / period_s;
        let cell = cells.floor();
        let u = cells - cell;
        let blend = u * u * u * (10.0 + u * (6.0 * u - 15.0));
        // Saturating casts; a time that is not finite lands on cell 0.
        let index = cell as i64;
        let from = self.knot(channel, index);
        let to = self.knot(channel, index.wrapping_add(1));
        let value = (from + (to - from) * blend) / UNSCALED_RMS;
        if value.is_finite() { value } else { 0.0 }
    }

    /// One number, uniform between 0 and 1.
    pub fn uniform(&self, channel: u32) -> f64 {
        0.5 + 0.5 * self.knot(channel, i64::MIN)
    }

    /// One number with mean 0 and standard deviation 1, bell-shaped and never
    /// beyond 3.5: the sum of four uniform numbers, whose variance is 4/12.
    pub fn bell(&self, channel: u32) -> f64 {
        let sum: f64 = (0..4)
            .map(|part| 0.5 * self.knot(channel, i64::MIN + 1 + part))
            .sum();
        sum * 3.0_f64.sqrt()
    }

    fn knot(&self, channel: u32, index: i64) -> f64 {
        let bits = mix(self.seed ^ mix(u64::from(channel) ^ mix(index as u64)));
        // 53 random bits to -1..1.
        (bits >> 11) as f64 * (2.0 / 9_007_199_254_740_992.0) - 1.0
    }
}

/// Finaliser that spreads every bit over the word (Steele, Lea and Flood,
/// "Fast splittable pseudorandom number generators", 2014; constants from memory).
fn mix(value: u64) -> u64 {
    let mut z = value.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn smooth_noise_has_mean_zero_and_unit_mean_square() {
        // Closed form beside UNSCALED_RMS; 200 000 independent knots give a
        // sampling error of about 0.2 %.
        let noise = Noise::new(7, "test");
        let count = 2_000_000;
        let (mut sum, mut squares, mut largest) = (0.0, 0.0, 0.0_f64);
        for k in 0..count {
            let value = noise.at(3, f64::from(k) * 0.1, 1.0);
            sum += value;
            squares += value * value;
            largest = largest.max(value.abs());
        }
        let n = f64::from(count);
        assert!((sum / n).abs() < 0.01, "mean {}", sum / n);
        let rms = (squares / n).sqrt();
        assert!((rms - 1.0).abs() < 0.01, "rms {rms}");
        assert!(largest < 2.0);
    }

    #[test]
    fn noise_is_continuous_and_repeats_and_differs_by_channel_and_seed() {
        let noise = Noise::new(7, "test");
        for k in 0..1000 {
            let t = f64::from(k) * 0.013;
            let jump = (noise.at(0, t + 1e-6, 0.2) - noise.at(0, t, 0.2)).abs();
            assert!(jump < 1e-4, "{jump}");
        }
        assert_eq!(noise.at(0, 3.3, 0.2), Noise::new(7, "test").at(0, 3.3, 0.2));
        assert_ne!(noise.at(0, 3.3, 0.2), noise.at(1, 3.3, 0.2));
        assert_ne!(noise.at(0, 3.3, 0.2), Noise::new(8, "test").at(0, 3.3, 0.2));
        assert_ne!(noise.at(0, 3.3, 0.2), Noise::new(7, "text").at(0, 3.3, 0.2));
        assert_eq!(noise.at(0, f64::NAN, 0.2), 0.0);
    }

    #[test]
    fn bell_numbers_have_mean_zero_and_unit_deviation() {
        let noise = Noise::new(1, "bell");
        let n = 100_000;
        let values: Vec<f64> = (0..n).map(|k| noise.bell(k)).collect();
        let mean = values.iter().sum::<f64>() / f64::from(n);
        let variance = values.iter().map(|v| v * v).sum::<f64>() / f64::from(n);
        assert!(
            mean.abs() < 0.02 && (variance - 1.0).abs() < 0.02,
            "{mean} {variance}"
        );
        assert!(values.iter().all(|v| v.abs() <= 3.5));
    }
}
