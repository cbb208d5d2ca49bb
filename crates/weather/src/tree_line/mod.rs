//! What a row of trees does to the wind: shelter and sink behind it, a cushion
//! of slower, rising air in front of it, and big eddies in its lee.
//!
//! # Mean flow
//! With n the distance downwind of the trees square to the row, z the height,
//! both over the height of the trees, and U the mean wind at tree height, air
//! is taken out of the wind by the stream function
//! psi = U h P D(n) Z(z): the wind is slower by U P D(n) Z'(z), and air rises
//! with U P D'(n) Z(z). Whatever the functions are, such a flow conserves mass
//! exactly, and so it does with the ends of the row, whose fading is constant
//! along the wind. What is held back below goes over the trees as a faster wind
//! above 1.25 h (at most 0.2 of what is held back, near 2 h); where the wind
//! recovers, air comes down. That is the sink behind trees.
//!
//! - P, the deepest deficit, is 1.05 (1 - porosity)^(3/4). Behind a wall the air
//!   runs backwards near the ground; from about 30 % porosity on it no longer
//!   does (Perera, J. Wind Eng. Ind. Aerodyn. 8, 1981, from memory).
//! - D rises from 5 h in front to 4 h behind, then falls as a bell of 8.5 h half
//!   width and ends at 35 h. The wind left at 5, 10, 15, 20 h is that of the
//!   tables for farm windbreaks; the tests name them.
//! - Z rises from the ground as z^1.5, so that the deficit near the ground
//!   falls off about as the wind itself does; the deficit is deepest at 0.34 h.
//!
//! # Eddies
//! Isotropic frozen waves with the Dryden spectrum and a scale of 0.5 h, carried
//! by the mean wind, as strong as 0.2 U P where they are strongest. They grow
//! from the row to 3 h behind it, are more than half as strong to 15 h, end at
//! 23 h, and reach up to 2 h: the common rule of thumb for flying behind trees
//! is "strong to 10 to 15 heights downwind, 2 heights high". They add to the
//! turbulence of the open field.
//!
//! # Limits
//! - The wind of the moment counts, everywhere at once: a real wake takes some
//!   ten seconds to follow a change. Gusts do not change it.
//! - The turbulence of the open field is not less in the quiet corner right
//!   behind the foot of the trees, where it really is.
//! - Rows in each other's lee add up; really the second one finds less wind.
//! - The strength of the eddies varies in space, so they conserve mass only
//!   nearly, as the other turbulence does.
//! - No end vortices, and nothing inside the crowns but the same formula.

mod eddies;

use glam::{DVec2, DVec3};

use crate::WeatherError;
use crate::error::in_range;
use eddies::Eddies;

/// Where the wind begins to feel the trees ahead, and where it has forgotten
/// them, in tree heights.
const FIRST: f64 = -5.0;
const DEEPEST: f64 = 4.0;
const LAST: f64 = 35.0;
/// Half width of the bell behind the deepest place, tree heights.
const BELL: f64 = 8.5;
/// Where the far end starts to be faded out, tree heights.
const FADE_FROM: f64 = 15.0;
/// Height at which held-back wind turns into added wind, tree heights.
const TURNING_HEIGHT: f64 = 1.25;
/// Makes the greatest value of Z' one: Z' = 1.5 K sqrt(s) (1 - s^2) /
/// (1 + s^2)^2.5 with s = z over the turning height is greatest where
/// s^2 = (12 - sqrt(129)) / 10 or s = 0.270: 1.5 K 0.40403 = 1.
const SHAPE: f64 = 1.650_04;
/// Deepest deficit behind a wall, over the wind at tree height.
const WALL_DEFICIT: f64 = 1.05;
/// Standard deviation of each component of the eddies where they are strongest,
/// over the wind at tree height times the deepest deficit. Behind windbreaks
/// the whole is about 0.25 to 0.3 U along the wind and 0.15 to 0.2 U upward,
/// of which the open field brings 0.15 and 0.07 (from memory).
const EDDY_SHARE: f64 = 0.2;
/// Cosines of the angle between the wind and square to the row: below the first
/// there is no wake, above the second all of it. Own choice: a wind within 6
/// degrees of the row blows along it.
const CROSSING: (f64, f64) = (0.1, 0.5);
/// Winds slower than this leave no wake, m/s; it only keeps a division clean.
const LEAST_WIND_M_S: f64 = 1e-9;

/// A straight row of trees, a hedge or a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TreeLine {
    /// Its middle, north of the world's origin, m.
    pub north_m: f64,
    /// Its middle, east of the world's origin, m.
    pub east_m: f64,
    /// Direction in which it runs, rad, clockwise from north; either way round.
    pub direction_rad: f64,
    /// From end to end, m.
    pub length_m: f64,
    /// Height of the trees, m.
    pub height_m: f64,
    /// Share of gaps, seen from the side: 0 for a wall, below 1.
    pub porosity: f64,
}

impl TreeLine {
    /// Unit vector along the row, north and east.
    #[must_use]
    pub fn along(&self) -> DVec2 {
        let (sine, cosine) = libm::sincos(self.direction_rad);
        DVec2::new(cosine, sine)
    }

    /// Both ends, north and east, m.
    #[must_use]
    pub fn ends_m(&self) -> [DVec2; 2] {
        let middle = DVec2::new(self.north_m, self.east_m);
        let half = self.along() * (0.5 * self.length_m);
        [middle - half, middle + half]
    }

    /// Distance of a place from the nearest point of the row, m.
    #[must_use]
    pub fn distance_m(&self, north_m: f64, east_m: f64) -> f64 {
        let from_middle = DVec2::new(north_m - self.north_m, east_m - self.east_m);
        let along = self.along();
        let half_m = 0.5 * self.length_m;
        let nearest = from_middle.dot(along).max(-half_m).min(half_m);
        (from_middle - along * nearest).length()
    }
}

/// A row of trees in the wind of a field.
#[derive(Debug, Clone)]
pub(crate) struct Wake {
    middle_m: DVec2,
    along: DVec2,
    /// Square to the row, to its right.
    across: DVec2,
    half_length_m: f64,
    per_height: f64,
    /// Wind at tree height over the stated wind, times the deepest deficit.
    deficit: f64,
    eddies: Eddies,
}

/// Where a place is in a wake, and how strong the wake is there.
struct InWake {
    /// Tree heights downwind of the row, square to it.
    behind: f64,
    /// Deficit scale, m/s: a vector along the wind.
    scale_m_s: DVec2,
    /// Its length.
    scale_length_m_s: f64,
    /// Cosine of the angle between the wind and square to the row.
    crossing: f64,
}

impl Wake {
    /// Places a row in a wind that has `factor` times its stated speed at the
    /// height of the trees.
    pub(crate) fn new(trees: &TreeLine, factor: f64, seed: u64) -> Result<Self, WeatherError> {
        in_range(
            "middle of a tree line, north, in m",
            trees.north_m,
            -1e5,
            1e5,
        )?;
        in_range("middle of a tree line, east, in m", trees.east_m, -1e5, 1e5)?;
        in_range(
            "direction of a tree line in rad",
            trees.direction_rad,
            -100.0,
            100.0,
        )?;
        in_range("length of a tree line in m", trees.length_m, 1.0, 1e5)?;
        in_range("height of a tree line in m", trees.height_m, 0.5, 100.0)?;
        in_range("porosity of a tree line", trees.porosity, 0.0, 1.0)?;
        let along = trees.along();
        // x^(3/4) from square roots, which are exact everywhere.
        let half = (1.0 - trees.porosity).sqrt();
        let dense = half * half.sqrt();
        Ok(Self {
            middle_m: DVec2::new(trees.north_m, trees.east_m),
            along,
            across: DVec2::new(-along.y, along.x),
            half_length_m: 0.5 * trees.length_m,
            per_height: 1.0 / trees.height_m,
            deficit: factor * WALL_DEFICIT * dense,
            eddies: Eddies::new(seed, trees.height_m),
        })
    }

    /// Velocity this wake adds to the mean wind, m/s, world axes; `wind_m_s` is
    /// the mean wind at its stated height.
    pub(crate) fn mean_m_s(&self, place_m: DVec2, height_m: f64, wind_m_s: DVec2) -> DVec3 {
        self.find(place_m, wind_m_s)
            .map_or(DVec3::ZERO, |found| self.mean_of(&found, height_m))
    }

    /// The same with the eddies, which the air's drift, m, has carried along.
    /// `fades` are those of horizontal and vertical turbulence at the ground.
    pub(crate) fn velocity_m_s(
        &self,
        place_m: DVec2,
        height_m: f64,
        wind_m_s: DVec2,
        drift_m: DVec2,
        fades: DVec3,
    ) -> DVec3 {
        let Some(found) = self.find(place_m, wind_m_s) else {
            return DVec3::ZERO;
        };
        let mean = self.mean_of(&found, height_m);
        let share = eddy_envelope(found.behind, height_m * self.per_height);
        if share <= 0.0 {
            return mean;
        }
        let carried_m = (place_m - drift_m).extend(-height_m);
        let deviation_m_s = EDDY_SHARE * found.scale_length_m_s * share;
        mean + self.eddies.unit(carried_m) * fades * deviation_m_s
    }

    /// The place in the wake; `None` outside and where the wind does not cross.
    fn find(&self, place_m: DVec2, wind_m_s: DVec2) -> Option<InWake> {
        let speed_m_s = wind_m_s.length();
        if speed_m_s < LEAST_WIND_M_S {
            return None;
        }
        let across_m_s = wind_m_s.dot(self.across);
        let crossing = across_m_s.abs() / speed_m_s;
        let strength = rise((crossing - CROSSING.0) / (CROSSING.1 - CROSSING.0));
        if strength <= 0.0 {
            return None;
        }
        let from_middle_m = place_m - self.middle_m;
        let behind_m = from_middle_m.dot(self.across) * across_m_s.signum();
        let behind = behind_m * self.per_height;
        if behind <= FIRST || behind >= LAST {
            return None;
        }
        // Back along the wind to where this air met the row.
        let met_m =
            from_middle_m.dot(self.along) - behind_m * wind_m_s.dot(self.along) / across_m_s.abs();
        let per_taper = 0.5 * self.per_height;
        let ends = rise((self.half_length_m + met_m) * per_taper + 0.5)
            * rise((self.half_length_m - met_m) * per_taper + 0.5);
        if ends <= 0.0 {
            return None;
        }
        let scale = self.deficit * crossing * strength * ends;
        Some(InWake {
            behind,
            scale_m_s: wind_m_s * scale,
            scale_length_m_s: speed_m_s * scale,
            crossing,
        })
    }

    fn mean_of(&self, found: &InWake, height_m: f64) -> DVec3 {
        let (part, per_height) = depth(found.behind);
        let (held, lift) = layer(height_m * self.per_height);
        let up_m_s = found.scale_length_m_s * found.crossing * per_height * lift;
        (found.scale_m_s * (-part * held)).extend(-up_m_s)
    }
}

/// D and its slope at a distance behind the row in tree heights, -5 to 35. Two
/// derivatives are continuous.
fn depth(behind: f64) -> (f64, f64) {
    if behind < DEEPEST {
        let span = DEEPEST - FIRST;
        let s = (behind - FIRST) / span;
        let rest = 1.0 - s;
        // The second term gives the curve the curvature of the bell at s = 1.
        let curvature = (span / BELL) * (span / BELL);
        let cube = s * s * s;
        let value = rise(s) - curvature * cube * rest * rest;
        let slope = rise_slope(s) - curvature * s * s * rest * (3.0 * rest - 2.0 * s);
        return (value, slope / span);
    }
    let s = (behind - DEEPEST) / BELL;
    let bell = 1.0 / (1.0 + s * s);
    let bell_slope = -2.0 * s * bell * bell / BELL;
    let far = (behind - FADE_FROM) / (LAST - FADE_FROM);
    let kept = 1.0 - rise(far);
    let kept_slope = -rise_slope(far) / (LAST - FADE_FROM);
    (bell * kept, bell_slope * kept + bell * kept_slope)
}

/// Z' and Z at a height over the trees' height.
fn layer(height: f64) -> (f64, f64) {
    let s = height / TURNING_HEIGHT;
    let square = s * s;
    let base = 1.0 + square;
    let root = base.sqrt();
    let steep = SHAPE * s.sqrt() / (base * root);
    let held = 1.5 * steep * (1.0 - square) / base;
    (held, TURNING_HEIGHT * steep * s)
}

/// Strength of the eddies, 0 to 1, at a place behind the row and a height, both
/// in tree heights.
fn eddy_envelope(behind: f64, height: f64) -> f64 {
    rise(behind / 3.0) * (1.0 - rise((behind - 7.0) / 16.0)) * (1.0 - rise(height - 1.0))
}

/// 0 up to 0, 1 from 1 on; two derivatives are continuous.
fn rise(s: f64) -> f64 {
    let s = s.clamp(0.0, 1.0);
    s * s * s * (10.0 + s * (6.0 * s - 15.0))
}

/// Slope of [`rise`].
fn rise_slope(s: f64) -> f64 {
    let s = s.clamp(0.0, 1.0);
    let rest = 1.0 - s;
    30.0 * s * s * rest * rest
}

#[cfg(test)]
mod tests;
