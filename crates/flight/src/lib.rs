//! The flight model: plain Rust in `f64`, no Bevy, no files, no clock.
//!
//! Data flows one way: an [`larkfield_airframe::Airframe`] becomes strips
//! (`strips`), their mutual influence (`influence`), section data (`section`)
//! and a power train ([`power`]); `air_loads` sums forces over the strips each
//! tick and `model` turns forces into motion.
//!
//! Axes, signs and rotation order are those of DEVELOPERS.md: body axes x
//! forward, y starboard, z down at the centre of gravity; world axes north,
//! east, down.

mod air_loads;
mod airborne;
mod circulation;
mod flow;
mod fuselage;
mod induced;
mod inertia;
mod influence;
mod lanes;
mod model;
pub mod power;
#[cfg(test)]
mod same_bytes;
pub mod section;
mod separation;
mod servo;
#[cfg(test)]
mod shipped;
mod state;
mod strip_flow;
mod strips;
mod swirl;

pub use inertia::InverseInertia;
pub use model::{AirProperties, FlightModel, FlightModelError, Loads};
pub use servo::{commanded_share, step as step_surface, travel_rad};
pub use state::{
    CarriedMotion, Controls, FlightState, LocalWind, LostParts, StepReport, SurfaceState,
    Surroundings,
};
