//! What a pilot checks on the ground and has to know without thinking, as plain
//! data: no devices, no files, no clock, no screen.
//!
//! - [`control`]: sticks go in, surfaces follow, and one thing may be wrong.
//! - [`power`]: in which order a plane comes to life without hurting anybody.
//! - [`orientation`]: one wing is low; which way goes the stick?
//! - [`script`]: the words that all three understand, typed or from a file.
//!
//! Hands that sit at a device, in a window or in a script drive the same drills.

pub mod control;
pub mod orientation;
pub mod power;
pub mod script;

/// The drills as people name them.
pub const NAMES: [&str; 3] = ["control-check", "before-power", "orientation"];
