//! The air of the field: standard atmosphere, scripted wind, gusts, thermals,
//! the lee of trees, turbulence.
//!
//! Everything here is a function of time and place and nothing else. No filter
//! is driven by an aeroplane, so a flight flown again with other sticks meets
//! the same air, and any number of aeroplanes may share one [`Wind`].
//!
//! # Axes and signs
//! Positions are world axes in metres: x north, y east, z *down*, the ground at
//! z = 0, so a height is `-z`. A wind vector is the velocity of the air, where
//! it blows *to*; a script states where it comes *from*.
//!
//! # Parts
//! - [`atmosphere`]: density, pressure, viscosity and speed of sound;
//! - [`mean`]: the mean wind of a script over time, and how far it has carried
//!   the air;
//! - [`profile`]: how the mean wind falls off towards the ground;
//! - [`gust`]: single 1-cosine gusts;
//! - [`thermal`]: bubbles of rising air with the sink around them;
//! - [`tree_line`]: shelter, sink and eddies behind trees;
//! - [`turbulence`]: a seeded frozen field with the Dryden spectra;
//! - [`wind`]: the sum of them, which is what a flight model asks.
//!
//! # Determinism
//! The same script and seed give the same bytes on every x86-64 and in every
//! build: only `libm`, the four operations and square roots are used, and every
//! sum has a fixed order.

pub mod atmosphere;
mod error;
pub mod gust;
pub mod mean;
pub mod profile;
mod random;
pub mod thermal;
pub mod tree_line;
pub mod turbulence;
pub mod wind;

pub use atmosphere::{Air, Atmosphere};
pub use error::WeatherError;
pub use gust::{Gust, GustExtent};
pub use mean::WindPoint;
pub use profile::MeanProfile;
pub use thermal::Thermal;
pub use tree_line::TreeLine;
pub use turbulence::low_altitude::{LowAltitude, low_altitude};
pub use wind::{Feature, TurbulenceScript, Wind, WindInstant, WindScript};
