//! The aeroplane as a model: SI units, checked, nothing read from text.
//!
//! The file types live in `larkfield-files` and are turned into these types
//! once; everything downstream may rely on what the constructors there check.
//!
//! # Axes
//! Positions are in *airframe axes*: x forward, y to starboard, z down, origin
//! at the leading edge of the wing root on the plane of symmetry. A file says
//! "aft" and "up" because a ruler does; conversion flips those two signs.
//! The whole convention is in DEVELOPERS.md.

mod body;
mod component;
mod control;
mod geometry;
mod ground;
mod mass;
mod panel;
mod power;

pub use body::{Body, BodyStation};
pub use component::{Component, ComponentKind, GripPoint, Measured};
pub use control::{ControlMix, ControlSurface, Gap, Servo};
pub use geometry::{Geometry, PlanForm, plan_form};
pub use ground::{BreakLimit, BreakPart, ContactKind, ContactPoint, Leg};
pub use mass::{MassItem, MassProperties};
pub use panel::{
    Colour, EdgeShape, Fold, Panel, PolarRow, Section, Side, Station, SurfaceKind, chord_aft,
};
pub use power::{Battery, BladeStation, Controller, Motor, Power, Propeller, Rotation};

/// A builder's aeroplane, as measured with ruler, protractor and kitchen scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Airframe {
    /// Name given by the builder.
    pub name: String,
    /// What the builder says is wrong with this one; empty for a good build.
    pub build_note: String,
    /// Flat plates that make lift: wing, tailplane, fin, end plates.
    pub panels: Vec<Panel>,
    /// Hinged parts of the panels.
    pub controls: Vec<ControlSurface>,
    /// Fuselages and other boxes of sheet.
    pub bodies: Vec<Body>,
    /// Everything else that has mass.
    pub components: Vec<Component>,
    /// Motor, propeller, battery and controller; `None` for a glider.
    pub power: Option<Power>,
    /// Where the hand holds it.
    pub grip: GripPoint,
    /// Points that touch the ground.
    pub contacts: Vec<ContactPoint>,
    /// What impulse each part survives.
    pub break_limits: Vec<BreakLimit>,
    /// Whole-plane measurements that override the sums.
    pub measured: Measured,
    /// Values the builder left out and a default stands for.
    pub assumed: Vec<Assumed>,
}

/// A value the file did not give. Every output that depends on it says so.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumed {
    /// Path of the field in the file, such as `power.motor.resistance`.
    pub field: String,
    /// The value used, with its unit, as it would be written in the file.
    pub value: String,
    /// Where the default comes from ("common practice, no source", or a source).
    pub reason: String,
}
