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

/// A point that can touch the ground.
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
    /// Coulomb friction sideways (and along x unless it is a wheel).
    pub friction: f64,
    /// Rolling resistance along x of a wheel.
    pub rolling_friction: f64,
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
