//! Power spectra of records taken along a path.

use rustfft::{FftPlanner, num_complex::Complex};
use std::f64::consts::PI;

/// Length of a segment, samples.
const SEGMENT: usize = 16_384;

/// Welch's estimate: half-overlapping Hann-windowed segments, averaged (Welch,
/// IEEE Trans. Audio Electroacoust. 15(2), 1967).
pub struct Spectrum {
    density: Vec<f64>,
    segments: f64,
    step_rad_m: f64,
}

impl Spectrum {
    pub const fn new() -> Self {
        Self {
            density: Vec::new(),
            segments: 0.0,
            step_rad_m: 0.0,
        }
    }

    /// Adds a record sampled every `step_m`.
    pub fn add(&mut self, values: &[f64], step_m: f64) {
        let fft = FftPlanner::new().plan_fft_forward(SEGMENT);
        let window: Vec<f64> = (0..SEGMENT)
            .map(|i| 0.5 - 0.5 * (2.0 * PI * i as f64 / SEGMENT as f64).cos())
            .collect();
        let power: f64 = window.iter().map(|w| w * w).sum();
        self.density.resize(SEGMENT / 2, 0.0);
        self.step_rad_m = 2.0 * PI / (SEGMENT as f64 * step_m);
        for start in (0..=values.len() - SEGMENT).step_by(SEGMENT / 2) {
            let mut bins: Vec<Complex<f64>> = values[start..start + SEGMENT]
                .iter()
                .zip(&window)
                .map(|(value, weight)| Complex::new(value * weight, 0.0))
                .collect();
            fft.process(&mut bins);
            for (density, bin) in self.density.iter_mut().zip(&bins) {
                // One-sided, per rad/m: the sum over k times dk is the variance.
                *density += 2.0 * bin.norm_sqr() * step_m / (power * 2.0 * PI);
            }
            self.segments += 1.0;
        }
    }

    /// Mean density in half-octave bands, with the band's middle (rad/m).
    pub fn bands(&self, from_rad_m: f64, to_rad_m: f64) -> Vec<(f64, f64)> {
        let mut bands = Vec::new();
        let mut low = from_rad_m.max(4.0 * self.step_rad_m);
        while low * 2.0_f64.sqrt() <= to_rad_m {
            let high = low * 2.0_f64.sqrt();
            let first = (low / self.step_rad_m).ceil() as usize;
            let last = (high / self.step_rad_m).floor() as usize;
            let bins = &self.density[first..=last];
            let mean = bins.iter().sum::<f64>() / (bins.len() as f64 * self.segments);
            // Where a slope of -2 has its band mean: the geometric middle.
            bands.push(((low * high).sqrt(), mean));
            low = high;
        }
        bands
    }
}

/// Least-squares slope of log density over log wave number.
pub fn slope(bands: &[(f64, f64)]) -> f64 {
    assert!(bands.len() >= 4, "{} bands are too few", bands.len());
    let count = bands.len() as f64;
    let points: Vec<(f64, f64)> = bands.iter().map(|(k, d)| (k.ln(), d.ln())).collect();
    let mean_x = points.iter().map(|p| p.0).sum::<f64>() / count;
    let mean_y = points.iter().map(|p| p.1).sum::<f64>() / count;
    let over: f64 = points.iter().map(|p| (p.0 - mean_x) * (p.1 - mean_y)).sum();
    over / points.iter().map(|p| (p.0 - mean_x).powi(2)).sum::<f64>()
}
