//! Turbulence as a frozen field: a function of place that the wind carries by.
//!
//! # Construction
//! A sum of plane waves, every one a shear wave (velocity across its wave
//! vector), with directions spread evenly over the sphere and wave numbers
//! over fifteen octaves. In such a field with the energy spectrum
//! E(k) ~ (Lk)^4 / (1 + (Lk)^2)^3 the velocity along *any* straight path has
//! the longitudinal Dryden spectrum in its component along the path and the
//! lateral one in the components across it (Batchelor, The Theory of
//! Homogeneous Turbulence, 1953, ch. 3, relates them; checked in the tests
//! against the published Dryden forms). So wing tips, tail and nose each meet
//! their own air, correlated as the spectrum says.
//!
//! Near the ground the scales of horizontal and vertical gusts differ and both
//! grow with height. The waves stay where they are; only their amplitudes
//! depend on height, one set of them for the horizontal and one for the
//! vertical component. See [`low_altitude`] for scales and strengths.
//!
//! Waves were taken rather than noise tables: nothing is interpolated in
//! space, so no variance is lost and nothing aliases; the field never repeats;
//! and a seed takes a few kilobytes, all of them in the first-level cache.
//!
//! # Limits
//! - Waves shorter than 0.2 m are left out and their energy is spread over the
//!   others, in proportion: 5 % at 1 m height for the vertical component, 0.5 %
//!   at 10 m. One-dimensional spectra fall off early, by 3 % at a wavelength of
//!   1.6 m and 12 % at 0.8 m.
//! - Sixty waves make gusts near normal (kurtosis 2.87 for 3; three deviations
//!   are passed 0.18 % of the time for 0.27 %). One seed's spectrum is made of
//!   lines; the smooth spectrum appears when seeds are pooled.
//! - Horizontal and vertical gusts are uncorrelated, and the strength is the
//!   same in every part of the field; real gusts come in patches.
//! - Within 10 km of the origin places are resolved to better than a
//!   millimetre; beyond 100 km the field is that of the nearest place within.

pub mod low_altitude;
mod spectrum;
mod wave;

use glam::{DVec2, DVec3, Vec3, Vec4};

use crate::random::Stream;
pub(crate) use spectrum::energy_below;
use spectrum::{BAND_GROUPS, BANDS, LANES, Table, band_edge_rad_m, table};
pub(crate) use wave::{WAVE_MEAN_SQUARE, wrap_turns};
use wave::{wave_height, wrap_quarters};

/// Waves of each band: one along each of three orthogonal directions.
const WAVES_PER_BAND: usize = 3;
const WAVES: usize = BANDS * WAVES_PER_BAND;
const TURN_RAD: f64 = 2.0 * core::f64::consts::PI;
/// Places beyond this are taken as this, m.
const FIELD_LIMIT_M: f64 = 1e5;

/// Least cosine between a wave's direction and the wind's.
const LEAST_ALONG_WIND: f64 = 0.01;

/// Four waves of neighbouring bands, side by side.
#[derive(Debug, Clone, Copy)]
struct Waves {
    /// Wave vector, quarter turns per metre.
    quarters_per_m: [Vec4; 3],
    /// Unit velocity vector.
    velocity: [Vec4; 3],
}

impl Waves {
    /// Height of the waves at a place, m, with their phases in quarter turns.
    fn height(&self, place_m: [Vec4; 3], phase: Vec4) -> Vec4 {
        let [x, y, z] = place_m;
        let [north, east, down] = self.quarters_per_m;
        let quarters = phase + north * x + east * y + down * z;
        wave_height(wrap_quarters(quarters))
    }
}

/// One seed's field.
#[derive(Debug, Clone)]
pub(crate) struct Field {
    waves: [[Waves; WAVES_PER_BAND]; BAND_GROUPS],
    /// Horizontal wave vectors and phases again, in f64 and in the order group,
    /// wave, lane: the wind may carry the field for many kilometres.
    north_turns_per_m: [f64; WAVES],
    east_turns_per_m: [f64; WAVES],
    phase_turns: [f64; WAVES],
    table: &'static Table,
}

/// The phases of a field once the wind has carried it somewhere.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Phases([[Vec4; WAVES_PER_BAND]; BAND_GROUPS]);

impl Field {
    /// The field of a seed, to be carried along `carried` (north and east, a
    /// unit vector or zero), at least at first.
    pub(crate) fn new(seed: u64, carried: DVec2) -> Self {
        let mut stream = Stream::new(seed);
        let still = Waves {
            quarters_per_m: [Vec4::ZERO; 3],
            velocity: [Vec4::ZERO; 3],
        };
        let mut field = Self {
            waves: [[still; WAVES_PER_BAND]; BAND_GROUPS],
            north_turns_per_m: [0.0; WAVES],
            east_turns_per_m: [0.0; WAVES],
            phase_turns: [0.0; WAVES],
            table: table(),
        };
        for band in 0..BANDS {
            let (group, lane) = (band / LANES, band % LANES);
            let triad = crossing_triad(&mut stream, carried);
            let low = libm::log(band_edge_rad_m(band));
            let high = libm::log(band_edge_rad_m(band + 1));
            for wave in 0..WAVES_PER_BAND {
                // Any place within the band will do, and a different one for
                // every wave keeps steps out of the pooled spectrum.
                let wave_rad_m = libm::exp(low + (high - low) * stream.unit());
                // Rounded to f32 first, so that place and drift use the same.
                let turns_per_m = (triad[wave] * (wave_rad_m / TURN_RAD)).as_vec3();
                // The three velocity vectors are orthogonal as well, so a band
                // has the same energy in every component, whatever the seed.
                let velocity = triad[(wave + 1) % WAVES_PER_BAND].as_vec3();
                let waves = &mut field.waves[group][wave];
                put(&mut waves.quarters_per_m, lane, 4.0 * turns_per_m);
                put(&mut waves.velocity, lane, velocity);
                let index = (group * WAVES_PER_BAND + wave) * LANES + lane;
                field.north_turns_per_m[index] = f64::from(turns_per_m.x);
                field.east_turns_per_m[index] = f64::from(turns_per_m.y);
                field.phase_turns[index] = stream.unit();
            }
        }
        field
    }

    /// The phases once the air has drifted by this much (Taylor's hypothesis:
    /// the field is carried along unchanged).
    pub(crate) fn phases(&self, drift_m: DVec2) -> Phases {
        let mut quarters = [0.0_f32; WAVES];
        for (index, quarter) in quarters.iter_mut().enumerate() {
            let carried = self.north_turns_per_m[index] * drift_m.x
                + self.east_turns_per_m[index] * drift_m.y;
            *quarter = 4.0 * wrap_turns(self.phase_turns[index] - carried) as f32;
        }
        let mut phases = Phases([[Vec4::ZERO; WAVES_PER_BAND]; BAND_GROUPS]);
        for (phase, lanes) in phases
            .0
            .iter_mut()
            .flatten()
            .zip(quarters.chunks_exact(LANES))
        {
            *phase = Vec4::from_slice(lanes);
        }
        phases
    }

    /// Velocity of the turbulence at a place in a wind of 1 m/s at 20 ft, with
    /// its height above the ground, m. All arguments finite.
    pub(crate) fn velocity_per_wind(
        &self,
        phases: &Phases,
        place_m: DVec3,
        height_m: f64,
    ) -> DVec3 {
        let limit = DVec3::splat(FIELD_LIMIT_M);
        let place = place_m.clamp(-limit, limit).as_vec3();
        let (x, y, z) = (
            Vec4::splat(place.x),
            Vec4::splat(place.y),
            Vec4::splat(place.z),
        );
        let (below, above, part) = self.table.levels(height_m);
        let part = Vec4::splat(part);
        let mut sum = [Vec4::ZERO; 3];
        for group in 0..BAND_GROUPS {
            let [first, second, third] = &self.waves[group];
            let [first_phase, second_phase, third_phase] = &phases.0[group];
            let first_height = first.height([x, y, z], *first_phase);
            let second_height = second.height([x, y, z], *second_phase);
            let third_height = third.height([x, y, z], *third_phase);
            let shape = |axis: usize| {
                first.velocity[axis] * first_height
                    + second.velocity[axis] * second_height
                    + third.velocity[axis] * third_height
            };
            let between = |low: Vec4, high: Vec4| low + part * (high - low);
            let horizontal = between(below.horizontal[group], above.horizontal[group]);
            let vertical = between(below.vertical[group], above.vertical[group]);
            sum[0] += horizontal * shape(0);
            sum[1] += horizontal * shape(1);
            sum[2] += vertical * shape(2);
        }
        // Spelled out, so that the order of the last additions is fixed too.
        let total = sum.map(|lanes| (lanes.x + lanes.y) + (lanes.z + lanes.w));
        Vec3::from_array(total).as_dvec3()
    }
}

/// Three orthogonal directions, none quite square to the wind's.
///
/// A wave whose crests lie along the wind would stand still over a mast: the
/// mean of an hour, and not turbulence. Leaving out 1 % of the sphere
/// changes the spectrum only below a hundredth of the wave's own number.
fn crossing_triad(stream: &mut Stream, carried: DVec2) -> [DVec3; 3] {
    let mut triad = stream.triad();
    // Bounded like every loop here; 3 % of triads fail, so 64 never all do.
    for _ in 0..64 {
        let square = |wave: &DVec3| wave.truncate().dot(carried).abs() < LEAST_ALONG_WIND;
        if carried == DVec2::ZERO || !triad.iter().any(square) {
            break;
        }
        triad = stream.triad();
    }
    triad
}

/// Writes a vector into one lane of three.
fn put(lanes: &mut [Vec4; 3], lane: usize, vector: Vec3) {
    for (axis, value) in lanes.iter_mut().zip(vector.to_array()) {
        axis[lane] = value;
    }
}
