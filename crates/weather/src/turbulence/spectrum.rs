//! How much of the energy each band of waves carries, by height.

use std::sync::OnceLock;

use glam::Vec4;

use super::low_altitude::{LEAST_HEIGHT_M, MOST_HEIGHT_M, low_altitude};
use super::wave::WAVE_MEAN_SQUARE;

/// Bands side by side in one vector.
pub(super) const LANES: usize = 4;
/// Vectors of bands.
pub(super) const BAND_GROUPS: usize = 5;
/// Bands of wave numbers, evenly spaced in their logarithm: four in three
/// octaves.
pub(super) const BANDS: usize = LANES * BAND_GROUPS;

/// Shortest wave, m: a strip of wing averages over shorter ones anyway.
const SHORTEST_WAVE_M: f64 = 0.2;
/// Smallest wave number times the longest length scale. Longer waves would
/// carry 0.2 % of the energy.
const LEAST_SCALED_WAVE: f64 = 0.35;

/// Heights at which amplitudes are tabulated, evenly spaced in their fourth
/// root: nearly as good as the logarithm and quicker to look up. The error of
/// interpolating between them is below 0.3 % of a variance.
const LEVELS: usize = 64;

/// Amplitudes of the bands at one height, in a wind of 1 m/s at 20 ft.
#[derive(Debug, Clone, Copy)]
pub(super) struct Level {
    pub(super) horizontal: [Vec4; BAND_GROUPS],
    pub(super) vertical: [Vec4; BAND_GROUPS],
}

/// Amplitudes by height; the same for every seed.
#[derive(Debug)]
pub(super) struct Table {
    levels: [Level; LEVELS],
    levels_per_root: f64,
    least_root: f64,
}

/// The one table. Made on first use; the same numbers whenever that is.
pub(super) fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(Table::new)
}

impl Table {
    fn new() -> Self {
        let (least, most) = (fourth_root(LEAST_HEIGHT_M), fourth_root(MOST_HEIGHT_M));
        let last = (LEVELS - 1) as f64;
        let levels = core::array::from_fn(|level| {
            let root = least + (most - least) * level as f64 / last;
            let height_m = root * root * root * root;
            let here = low_altitude(height_m);
            Level {
                horizontal: amplitudes(here.horizontal_per_wind, here.horizontal_length_m),
                vertical: amplitudes(here.vertical_per_wind, here.vertical_length_m),
            }
        });
        Self {
            levels,
            levels_per_root: last / (most - least),
            least_root: least,
        }
    }

    /// The levels below and above a height, m, and how far it lies between
    /// them. Heights beyond the table count as its ends.
    pub(super) fn levels(&self, height_m: f64) -> (&Level, &Level, f32) {
        let place = (fourth_root(height_m) - self.least_root) * self.levels_per_root;
        let place = place.clamp(0.0, (LEVELS - 1) as f64);
        let below = (place as usize).min(LEVELS - 2);
        let part = (place - below as f64) as f32;
        (&self.levels[below], &self.levels[below + 1], part)
    }
}

fn fourth_root(value: f64) -> f64 {
    value.sqrt().sqrt()
}

/// Lower edge of a band of wave numbers, rad/m; the upper one for `band + 1`.
pub(super) fn band_edge_rad_m(band: usize) -> f64 {
    let longest_scale_m = low_altitude(MOST_HEIGHT_M).horizontal_length_m;
    let least = libm::log(LEAST_SCALED_WAVE / longest_scale_m);
    let most = libm::log(2.0 * core::f64::consts::PI / SHORTEST_WAVE_M);
    libm::exp(least + (most - least) * band as f64 / BANDS as f64)
}

/// Amplitude of the waves of each band for one component.
///
/// The three waves of a band have orthogonal unit velocity vectors, so together
/// they give each component a variance of amplitude^2 times a wave's mean square.
fn amplitudes(deviation: f64, length_m: f64) -> [Vec4; BAND_GROUPS] {
    let part = |edge: usize| energy_below(length_m * band_edge_rad_m(edge));
    let kept = part(BANDS) - part(0);
    core::array::from_fn(|group| {
        Vec4::from_array(core::array::from_fn(|lane| {
            let band = group * LANES + lane;
            let share = (part(band + 1) - part(band)) / kept;
            (deviation * (share / WAVE_MEAN_SQUARE).sqrt()) as f32
        }))
    })
}

/// Part of the energy of isotropic Dryden turbulence below the wave number
/// x = L k, times 3 pi/16: the integral from 0 to x of t^4 / (1 + t^2)^3.
///
/// That spectrum follows from the longitudinal correlation exp(-r/L), whose
/// transform is the Dryden form, by E = k^3 d/dk (1/k dF/dk) / 2 (Batchelor,
/// 1953, eq. 3.4.16, from memory), F the longitudinal spectrum.
pub(crate) fn energy_below(x: f64) -> f64 {
    // The closed form cancels its leading terms for small x; use the series.
    if x < 0.05 {
        let square = x * x;
        return x * square * square * (0.2 - square * (3.0 / 7.0));
    }
    let square = x * x;
    let sum = 1.0 + square;
    0.375 * libm::atan(x) - x * (3.0 + 5.0 * square) / (8.0 * sum * sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reference: the integrand itself, summed by Simpson's rule.
    #[test]
    fn closed_form_is_the_integral() {
        let integrand = |t: f64| t.powi(4) / (1.0 + t * t).powi(3);
        for end in [0.01, 0.049, 0.051, 0.3, 1.0, 4.0, 60.0] {
            let steps = 40_000;
            let step = end / f64::from(steps);
            let mut sum = 0.0;
            for i in 0..steps {
                let from = f64::from(i) * step;
                sum +=
                    integrand(from) + 4.0 * integrand(from + step / 2.0) + integrand(from + step);
            }
            let reference = sum * step / 6.0;
            let ours = energy_below(end);
            let off = (ours / reference - 1.0).abs();
            assert!(off < 1e-4, "to {end}: {ours} for {reference}");
        }
        // All of it: 3 pi / 16.
        let whole = 3.0 * core::f64::consts::PI / 16.0;
        assert!((energy_below(1e6) / whole - 1.0).abs() < 1e-5);
    }

    #[test]
    fn bands_add_up_to_the_variance_at_and_between_levels() {
        let table = table();
        for i in 0..=200 {
            let height_m = libm::exp(f64::from(i) / 200.0 * libm::log(MOST_HEIGHT_M));
            let (below, above, part) = table.levels(height_m);
            let here = low_altitude(height_m);
            let cases = [
                (below.horizontal, above.horizontal, here.horizontal_per_wind),
                (below.vertical, above.vertical, here.vertical_per_wind),
            ];
            for (low, high, deviation) in cases {
                let mut variance = 0.0;
                for group in 0..BAND_GROUPS {
                    let amplitude = low[group] + part * (high[group] - low[group]);
                    variance += f64::from(amplitude.length_squared()) * WAVE_MEAN_SQUARE;
                }
                let off = (variance / (deviation * deviation) - 1.0).abs();
                assert!(off < 0.003, "at {height_m} m: {off}");
            }
        }
    }
}
