//! What touches the ground, and what breaks.

use glam::DVec3;

/// How a contact point meets the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ContactKind {
    /// Rolls along x.
    Wheel,
    /// Slides.
    Skid,
    /// Corner of the airframe.
    HardPoint,
}

/// A springy leg between the airframe and what touches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Force for each metre that it gives way upward.
    pub stiffness_n_m: f64,
    /// Force for each metre a second at which it gives way.
    pub damping_n_s_m: f64,
    /// How far it gives way before it is hard.
    pub travel_m: f64,
}

/// A point that can touch the ground. Frictions are those on mown grass.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactPoint {
    /// Unique name within the airframe.
    pub name: String,
    /// How it touches.
    pub kind: ContactKind,
    /// Position in airframe axes.
    pub position_m: DVec3,
    /// Radius of the wheel or of the rounded corner.
    pub radius_m: f64,
    /// Coulomb friction across x.
    pub friction: f64,
    /// The same along x: rolling resistance of a wheel.
    pub friction_along: f64,
    /// Angle to starboard by which the yaw command turns it at full right.
    pub steering_rad: f64,
    /// What it is held by, when that gives way.
    pub leg: Option<Leg>,
    /// Part that takes the blow.
    pub part: BreakPart,
}

/// Parts that can break on their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum BreakPart {
    /// Propeller blades.
    Propeller,
    /// Nose and motor mount.
    Nose,
    /// Port wing.
    WingLeft,
    /// Starboard wing.
    WingRight,
    /// Tail surfaces and boom.
    Tail,
    /// Gear or skid.
    Gear,
    /// Middle of the body; takes blows without a limit of its own.
    Belly,
}

/// Impulse over 20 ms that a part survives.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakLimit {
    /// The part.
    pub part: BreakPart,
    /// Largest impulse within 20 ms.
    pub impulse_n_s: f64,
    /// Material data or sum behind the number.
    pub reason: String,
}
