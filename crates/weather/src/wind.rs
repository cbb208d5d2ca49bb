//! The wind a flight model asks for: mean, trees, gusts, thermals and turbulence
//! together.

use glam::{DVec2, DVec3};

use crate::WeatherError;
use crate::error::in_range;
use crate::gust::{Gust, PlacedGust};
use crate::mean::{MeanState, MeanWind, WindPoint};
use crate::profile::MeanProfile;
use crate::random::combine_seeds;
use crate::thermal::{PlacedThermal, Thermal};
use crate::tree_line::{TreeLine, Wake};
use crate::turbulence::low_altitude::WIND_HEIGHT_M;
use crate::turbulence::{Field, Phases};

/// Horizontal turbulence fades out over the lowest 0.2 m and vertical motion of
/// the air over the lowest 1 m: the ground lets no air through, and grass
/// holds it. Both heights are common practice, no source.
const HORIZONTAL_FADE_M: f64 = 0.2;
const VERTICAL_FADE_M: f64 = 1.0;

/// Places beyond this are taken as this, m, so that nothing overflows.
const PLACE_LIMIT_M: f64 = 1e7;

/// Keeps the eddies behind trees apart from the turbulence of the same seed.
const WAKE_SEED: u64 = 0x7472_6565_0000_0000;

/// The wind over a field, as a script states it.
///
/// Calm air is one point of speed 0 with nothing else.
#[derive(Debug, Clone, PartialEq)]
pub struct WindScript {
    /// The mean wind over time: at least one point, in order of time.
    pub points: Vec<WindPoint>,
    /// Height above the ground at which those speeds are meant, m.
    pub stated_height_m: f64,
    /// Roughness length of the ground, m; without one the mean wind is the
    /// same at every height.
    pub roughness_m: Option<f64>,
    /// Things that happen to the air at some time or place.
    pub features: Vec<Feature>,
    /// Rows of trees, which belong to the field and not to the day.
    pub tree_lines: Vec<TreeLine>,
    /// Turbulence; `None` for smooth air.
    pub turbulence: Option<TurbulenceScript>,
}

/// Something that happens to the air at some time or place.
///
/// Every kind is a function of time and place that is added to the mean wind
/// and lets no air through the ground. A new kind is a variant here, a module of its own for its formula, and a
/// placed form in this module's private list.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Feature {
    /// A single gust.
    Gust(Gust),
    /// A bubble of rising air.
    Thermal(Thermal),
}

/// Turbulence of a script.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurbulenceScript {
    /// Strength over that of the low-altitude formulas: 1 for a neutral day
    /// over open ground, 0 for none; 0 to 5.
    pub intensity: f64,
    /// Seed of the script; combined with the one given to [`Wind::new`].
    pub seed: u64,
}

impl WindScript {
    /// A steady wind, the same at every height, without gusts or turbulence.
    #[must_use]
    pub fn uniform(speed_m_s: f64, from_rad: f64) -> Self {
        Self {
            points: vec![WindPoint {
                time_s: 0.0,
                speed_m_s,
                from_rad,
            }],
            stated_height_m: WIND_HEIGHT_M,
            roughness_m: None,
            features: Vec::new(),
            tree_lines: Vec::new(),
            turbulence: None,
        }
    }

    /// No wind at all.
    #[must_use]
    pub fn calm() -> Self {
        Self::uniform(0.0, 0.0)
    }
}

/// A wind ready to be sampled: read-only, `Send` and `Sync`, one for any number
/// of aeroplanes.
#[derive(Debug, Clone)]
pub struct Wind {
    mean: MeanWind,
    profile: MeanProfile,
    /// Mean wind at 20 ft over the stated mean wind. The air's structures are
    /// carried at that speed at every height, or shear would tear them apart.
    carrying_factor: f64,
    features: Vec<Placed>,
    wakes: Vec<Wake>,
    turbulence: Option<Turbulence>,
}

#[derive(Debug, Clone, Copy)]
enum Placed {
    Gust(PlacedGust),
    Thermal(PlacedThermal),
}

#[derive(Debug, Clone)]
struct Turbulence {
    field: Field,
    intensity: f64,
}

impl Wind {
    /// Prepares a script. The same script and seed give the same bytes.
    ///
    /// # Errors
    /// Whatever in the script is out of range or contradicts itself, by name.
    pub fn new(script: &WindScript, seed: u64) -> Result<Self, WeatherError> {
        let mean = MeanWind::new(&script.points)?;
        let profile = MeanProfile::new(script.roughness_m, script.stated_height_m)?;
        let carrying_factor = profile.factor(WIND_HEIGHT_M);
        let mut features = Vec::with_capacity(script.features.len());
        for (index, feature) in script.features.iter().enumerate() {
            features.push(match feature {
                Feature::Gust(gust) => {
                    let start = carrying(mean.at(gust.start_time_s), carrying_factor);
                    Placed::Gust(PlacedGust::new(gust, &start, index)?)
                }
                Feature::Thermal(thermal) => {
                    let start = carrying(mean.at(thermal.start_time_s), carrying_factor);
                    Placed::Thermal(PlacedThermal::new(thermal, &start)?)
                }
            });
        }
        let mut wakes = Vec::with_capacity(script.tree_lines.len());
        for (index, trees) in script.tree_lines.iter().enumerate() {
            let factor = profile.factor(trees.height_m);
            let own = combine_seeds(WAKE_SEED.wrapping_add(index as u64), seed);
            wakes.push(Wake::new(trees, factor, own)?);
        }
        let turbulence = match script.turbulence {
            None => None,
            Some(turbulence) => {
                let intensity = in_range("turbulence intensity", turbulence.intensity, 0.0, 5.0)?;
                (intensity > 0.0).then(|| Turbulence {
                    field: Field::new(combine_seeds(turbulence.seed, seed), mean.first_direction()),
                    intensity,
                })
            }
        };
        Ok(Self {
            mean,
            profile,
            carrying_factor,
            features,
            wakes,
            turbulence,
        })
    }

    /// The wind at one time, for all places. Make it once a tick and ask it for
    /// every strip of every aeroplane; making it costs about as much as one
    /// sample. A time that is not a number counts as 0.
    #[must_use]
    pub fn at(&self, time_s: f64) -> WindInstant<'_> {
        let time_s = if time_s.is_nan() { 0.0 } else { time_s };
        let mean = self.mean.at(time_s);
        let carrying = carrying(mean, self.carrying_factor);
        let turbulence = self.turbulence.as_ref().map(|turbulence| {
            let wind_m_s = carrying.velocity_m_s.length();
            CarriedTurbulence {
                field: &turbulence.field,
                phases: turbulence.field.phases(carrying.drift_m),
                strength_m_s: wind_m_s * turbulence.intensity,
            }
        });
        WindInstant {
            wind: self,
            time_s,
            velocity_m_s: mean.velocity_m_s,
            drift_m: carrying.drift_m,
            turbulence,
        }
    }

    /// Velocity of the air, m/s, world axes, at a place (m, world axes, z down)
    /// and a time (s). Always finite. The same as
    /// `self.at(time_s).velocity_m_s(position_m)`.
    #[must_use]
    pub fn sample(&self, position_m: DVec3, time_s: f64) -> DVec3 {
        self.at(time_s).velocity_m_s(position_m)
    }
}

/// The air at one time.
#[derive(Debug, Clone)]
pub struct WindInstant<'a> {
    wind: &'a Wind,
    time_s: f64,
    /// Mean wind at the stated height.
    velocity_m_s: DVec2,
    /// Drift of the air at 20 ft since the first script point.
    drift_m: DVec2,
    turbulence: Option<CarriedTurbulence<'a>>,
}

#[derive(Debug, Clone)]
struct CarriedTurbulence<'a> {
    field: &'a Field,
    phases: Phases,
    /// Mean wind at 20 ft times the intensity.
    strength_m_s: f64,
}

impl WindInstant<'_> {
    /// Velocity of the air at a place, m/s, world axes. Always finite: what is
    /// not a number counts as 0, and places beyond 10 000 km as the nearest
    /// place within. Below the ground the wind is that at the ground.
    #[must_use]
    pub fn velocity_m_s(&self, position_m: DVec3) -> DVec3 {
        let place_m = bounded(position_m);
        let height_m = (-place_m.z).max(0.0);
        let wind = self.wind;
        let undisturbed =
            wind.features.is_empty() && wind.wakes.is_empty() && self.turbulence.is_none();
        if undisturbed && wind.profile == MeanProfile::Uniform {
            return self.velocity_m_s.extend(0.0);
        }
        let factor = wind.profile.factor(height_m);
        let mut velocity_m_s = (self.velocity_m_s * factor).extend(0.0);
        if undisturbed {
            return velocity_m_s;
        }
        let over_m = place_m.truncate();
        let vertical = fade(height_m / VERTICAL_FADE_M);
        let horizontal = fade(height_m / HORIZONTAL_FADE_M);
        let fades = DVec3::new(horizontal, horizontal, vertical);
        for feature in &wind.features {
            velocity_m_s += match feature {
                Placed::Gust(gust) => {
                    gust.velocity_m_s(over_m, self.time_s, self.drift_m)
                        * DVec3::new(1.0, 1.0, vertical)
                }
                Placed::Thermal(thermal) => {
                    thermal.velocity_m_s(over_m, height_m, self.time_s, self.drift_m)
                }
            };
        }
        for wake in &wind.wakes {
            velocity_m_s +=
                wake.velocity_m_s(over_m, height_m, self.velocity_m_s, self.drift_m, fades);
        }
        if let Some(turbulence) = &self.turbulence {
            let place_m = DVec3::new(place_m.x, place_m.y, -height_m);
            let shape = turbulence
                .field
                .velocity_per_wind(&turbulence.phases, place_m, height_m);
            velocity_m_s += shape * fades * turbulence.strength_m_s;
        }
        velocity_m_s
    }

    /// The mean wind at a place, m/s, world axes: with the gradient and what
    /// trees do to it on average, without gusts, thermals and turbulence.
    #[must_use]
    pub fn mean_at_m_s(&self, position_m: DVec3) -> DVec3 {
        let place_m = bounded(position_m);
        let height_m = (-place_m.z).max(0.0);
        let mut mean_m_s = self.mean_m_s(height_m);
        for wake in &self.wind.wakes {
            mean_m_s += wake.mean_m_s(place_m.truncate(), height_m, self.velocity_m_s);
        }
        mean_m_s
    }

    /// The mean wind of the open field at a height above the ground, m: what a
    /// wind sock on a mast would show on average where no trees are near. World
    /// axes, m/s.
    #[must_use]
    pub fn mean_m_s(&self, height_m: f64) -> DVec3 {
        (self.velocity_m_s * self.wind.profile.factor(height_m)).extend(0.0)
    }
}

/// The mean wind at the height whose speed carries the air's structures.
fn carrying(mean: MeanState, factor: f64) -> MeanState {
    MeanState {
        velocity_m_s: mean.velocity_m_s * factor,
        drift_m: mean.drift_m * factor,
    }
}

/// 0 at 0, 1 from 1 on, and level at both ends.
fn fade(part: f64) -> f64 {
    let part = part.clamp(0.0, 1.0);
    part * part * (3.0 - 2.0 * part)
}

/// A place with everything finite.
fn bounded(place_m: DVec3) -> DVec3 {
    let finite = |value: f64| {
        if value.is_nan() {
            0.0
        } else {
            value.clamp(-PLACE_LIMIT_M, PLACE_LIMIT_M)
        }
    };
    DVec3::new(finite(place_m.x), finite(place_m.y), finite(place_m.z))
}
