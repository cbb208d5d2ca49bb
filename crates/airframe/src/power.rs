//! Motor, propeller, battery, controller.

use glam::DVec3;

/// Three-constant brushless motor, rotor inertia added.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    /// Speed constant in radians a second for each volt.
    pub speed_constant_rad_s_v: f64,
    /// Winding resistance.
    pub resistance_ohm: f64,
    /// Current that turns it without load.
    pub no_load_current_a: f64,
    /// Current it survives.
    pub current_limit_a: f64,
    /// Inertia of the rotor about its axis.
    pub rotor_inertia_kg_m2: f64,
}

/// Sense of rotation seen from behind the propeller looking forward.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rotation {
    /// Clockwise from behind: the usual tractor.
    Clockwise,
    /// Anticlockwise from behind.
    Anticlockwise,
}

/// One radial station of a blade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BladeStation {
    /// Radius over tip radius.
    pub radius_fraction: f64,
    /// Chord over tip radius.
    pub chord_fraction: f64,
    /// Angle between chord and plane of rotation.
    pub twist_rad: f64,
    /// Zero-lift angle of the section; usually negative. `None`: not known.
    pub zero_lift_rad: Option<f64>,
}

/// Propeller.
#[derive(Debug, Clone, PartialEq)]
pub struct Propeller {
    /// Diameter.
    pub diameter_m: f64,
    /// Nominal pitch.
    pub pitch_m: f64,
    /// Number of blades.
    pub blades: u32,
    /// Blade geometry from root to tip; empty when only diameter and pitch are known.
    pub geometry: Vec<BladeStation>,
    /// Whether the controller brakes it when the throttle is shut.
    pub brake: bool,
    /// Sense of rotation.
    pub rotation: Rotation,
    /// Mounted back to front.
    pub mounted_backward: bool,
    /// Mass, for its inertia about the shaft.
    pub mass_kg: f64,
}

/// Battery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// Cells in series.
    pub cells: u32,
    /// Capacity.
    pub capacity_c: f64,
    /// Resistance of one cell.
    pub cell_resistance_ohm: f64,
    /// Current it may deliver.
    pub current_limit_a: f64,
    /// Charge at the start, 0 to 1.
    pub charge: f64,
}

/// Electronic speed controller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Controller {
    /// Current it survives.
    pub current_limit_a: f64,
    /// Time constant from throttle command to duty.
    pub response_s: f64,
    /// Cell voltage under load at which it cuts the motor.
    pub cutoff_cell_v: f64,
}

/// One power train.
#[derive(Debug, Clone, PartialEq)]
pub struct Power {
    /// Motor.
    pub motor: Motor,
    /// Propeller.
    pub propeller: Propeller,
    /// Battery.
    pub battery: Battery,
    /// Controller.
    pub controller: Controller,
    /// Centre of the propeller disk in airframe axes.
    pub hub_m: DVec3,
    /// Unit vector of the thrust line, forward along +x when not tilted;
    /// downthrust tilts it toward +z, right thrust toward +y.
    pub thrust_direction: DVec3,
    /// Propeller behind the motor, pushing.
    pub pusher: bool,
}
