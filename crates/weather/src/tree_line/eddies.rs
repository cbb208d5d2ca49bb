//! The big eddies behind trees: a small frozen field of one length scale.
//!
//! Built as [`crate::turbulence`] is, from shear waves in orthogonal threes, but
//! with fewer bands, one scale everywhere and the same strength in every
//! direction.

use glam::DVec3;

use crate::random::Stream;
use crate::turbulence::{WAVE_MEAN_SQUARE, energy_below, wrap_turns};

const BANDS: usize = 6;
const WAVES: usize = 3 * BANDS;
/// Length scale over the height of the trees. Own choice: the eddies that are
/// shed are about as large as the trees are high, and that is two scales.
const SCALE: f64 = 0.5;
/// Wave numbers times the scale, lowest and highest: waves of 6.3 h to 0.25 h.
const LEAST_SCALED_WAVE: f64 = 0.5;
const MOST_SCALED_WAVE: f64 = 12.6;

/// Waves side by side, so that the compiler can take several at once.
#[derive(Debug, Clone)]
pub(super) struct Eddies {
    turns_per_m: [[f64; WAVES]; 3],
    phase_turns: [f64; WAVES],
    velocity: [[f64; WAVES]; 3],
}

impl Eddies {
    /// The eddies of a seed behind trees of a height, m.
    pub(super) fn new(seed: u64, tree_height_m: f64) -> Self {
        let mut stream = Stream::new(seed);
        let scale_m = SCALE * tree_height_m;
        let least = libm::log(LEAST_SCALED_WAVE);
        let step = (libm::log(MOST_SCALED_WAVE) - least) / BANDS as f64;
        let edge = |band: usize| libm::exp(least + step * band as f64);
        let kept = energy_below(edge(BANDS)) - energy_below(edge(0));
        let mut eddies = Self {
            turns_per_m: [[0.0; WAVES]; 3],
            phase_turns: [0.0; WAVES],
            velocity: [[0.0; WAVES]; 3],
        };
        for band in 0..BANDS {
            let triad = stream.triad();
            let share = (energy_below(edge(band + 1)) - energy_below(edge(band))) / kept;
            let amplitude = (share / WAVE_MEAN_SQUARE).sqrt();
            for wave in 0..3 {
                let scaled = libm::exp(least + step * (band as f64 + stream.unit()));
                let turns_per_m = triad[wave] * (scaled / scale_m / (2.0 * core::f64::consts::PI));
                let velocity = triad[(wave + 1) % 3] * amplitude;
                let index = 3 * band + wave;
                for axis in 0..3 {
                    eddies.turns_per_m[axis][index] = turns_per_m.to_array()[axis];
                    eddies.velocity[axis][index] = velocity.to_array()[axis];
                }
                eddies.phase_turns[index] = stream.unit();
            }
        }
        eddies
    }

    /// Velocity at a place in the carried air, m; each component has a variance
    /// of 1.
    pub(super) fn unit(&self, carried_m: DVec3) -> DVec3 {
        let mut height = [0.0; WAVES];
        for (index, height) in height.iter_mut().enumerate() {
            let turns = self.phase_turns[index]
                + self.turns_per_m[0][index] * carried_m.x
                + self.turns_per_m[1][index] * carried_m.y
                + self.turns_per_m[2][index] * carried_m.z;
            // As `turbulence::wave`: level at both crests, nearly twice a cosine.
            let x = 1.0 - 4.0 * wrap_turns(turns).abs();
            *height = x * (3.0 - x * x);
        }
        let mut sum = [0.0; 3];
        for (total, velocity) in sum.iter_mut().zip(&self.velocity) {
            for (part, height) in velocity.iter().zip(&height) {
                *total += part * height;
            }
        }
        DVec3::from_array(sum)
    }
}
