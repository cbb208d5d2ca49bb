//! What a pilot checks on the ground and has to know without thinking, as plain
//! data: no devices, no files, no clock, no screen.
//!
//! - [`decision`]: a field and a day; go or no-go?
//! - [`control`]: sticks go in, surfaces follow, and one thing may be wrong.
//! - [`power`]: in which order a plane comes to life without hurting anybody.
//! - [`orientation`]: one wing is low; which way goes the stick?
//! - [`briefing`]: a helper throws; what is agreed, which word comes when?
//! - [`script`]: the words that all of them understand, typed or from a file.
//!
//! Hands that sit at a device, in a window or in a script drive the same drills.

pub mod briefing;
pub mod control;
pub mod decision;
pub mod orientation;
pub mod power;
pub mod script;

/// The drills as people name them.
pub const NAMES: [&str; 5] = [
    "go-or-no-go",
    "control-check",
    "before-power",
    "orientation",
    "helper-briefing",
];
