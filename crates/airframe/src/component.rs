//! Parts that are only mass, the grip, and whole-plane measurements.

use glam::DVec3;

/// What a component is; used to find "the battery" and to write the breakdown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ComponentKind {
    /// Electric motor.
    Motor,
    /// Propeller with its adapter.
    Propeller,
    /// Speed controller.
    Controller,
    /// Flight battery.
    Battery,
    /// Radio receiver.
    Receiver,
    /// Servo with linkage.
    Servo,
    /// Wheels, legs, skids.
    Gear,
    /// Glue and tape.
    GlueAndTape,
    /// Ballast.
    Ballast,
    /// Anything else.
    Other,
}

/// A mass at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Component {
    /// Unique name within the airframe.
    pub name: String,
    /// What it is.
    pub kind: ComponentKind,
    /// Mass.
    pub mass_kg: f64,
    /// Centre in airframe axes.
    pub position_m: DVec3,
    /// Full extent along x, y, z; zero for a point mass.
    pub size_m: DVec3,
}

/// Where the thrower's hand holds the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GripPoint {
    /// Position in airframe axes.
    pub position_m: DVec3,
}

/// Whole-plane measurements. Each one given overrides the corresponding sum.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// Flying weight on the scale.
    pub mass_kg: Option<f64>,
    /// Balance point in airframe axes along x (forward positive, so usually negative).
    pub balance_x_m: Option<f64>,
    /// Balance point to starboard.
    pub balance_y_m: Option<f64>,
    /// Static thrust on the scale at full throttle.
    pub static_thrust_n: Option<f64>,
    /// Battery current at full throttle, static.
    pub static_current_a: Option<f64>,
}
