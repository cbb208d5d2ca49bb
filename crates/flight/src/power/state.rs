//! What of a power train changes, what drives it and what it gives.

use glam::DVec3;

use super::slipstream::Slipstream;

/// Everything of a power train that changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerState {
    /// Turning rate, positive in the sense the propeller is made for.
    pub omega_rad_s: f64,
    /// Duty of the controller, 0 to 1.
    pub duty: f64,
    /// Charge taken from the battery since the start.
    pub charge_used_c: f64,
    /// Averaged cell voltage that the controller watches.
    pub watched_cell_v: f64,
    /// Induced speed at the disk at the last step.
    pub induced_m_s: f64,
    /// Motor cut for low voltage; closing the throttle resets it once the
    /// battery has recovered.
    pub cut_off: bool,
}

/// What drives one step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerInputs {
    /// Throttle 0 to 1; anything else is brought into range, NaN is closed.
    pub throttle: f64,
    /// Step, 0 to 0.05 s.
    pub dt_s: f64,
    /// Velocity of the hub through the air, body axes.
    pub hub_velocity_m_s: DVec3,
    /// Turning rate of the airframe, body axes.
    pub body_rate_rad_s: DVec3,
}

/// What a step gives. Loads act at the hub and hold for the whole step;
/// electrical values are those at its start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerOutput {
    /// Force on the airframe, body axes.
    pub force_n: DVec3,
    /// Moment on the airframe about the hub, body axes: reaction to motor
    /// torque (aerodynamic torque and rotor acceleration), asymmetric blade
    /// loading, damping. Gyroscopic moment is not in it: add
    /// `-body_rate x angular_momentum`.
    pub moment_n_m: DVec3,
    /// Angular momentum of the turning parts about the shaft, body axes.
    pub angular_momentum_kg_m2_s: DVec3,
    /// Force along the shaft.
    pub thrust_n: f64,
    /// Reaction torque about the thrust direction, rotor acceleration in it.
    pub reaction_n_m: f64,
    /// Turning rate at the start of the step, as in [`PowerState`].
    pub omega_rad_s: f64,
    /// Current through the motor.
    pub motor_current_a: f64,
    /// Current out of the battery.
    pub battery_current_a: f64,
    /// Voltage at the battery terminals.
    pub voltage_v: f64,
    /// Power out of the battery terminals.
    pub electrical_w: f64,
    /// Power the motor gives to its shaft after bearing and iron drag.
    pub shaft_w: f64,
    /// Power the air takes from the shaft.
    pub aerodynamic_w: f64,
    /// Power of the propeller force on the moving hub.
    pub propulsive_w: f64,
    /// Heat in the windings.
    pub winding_loss_w: f64,
    /// Heat in bearings and iron.
    pub friction_loss_w: f64,
    /// Heat in the battery, not part of `electrical_w`.
    pub battery_loss_w: f64,
    /// Motor current over what the motor survives.
    pub motor_load: f64,
    /// Motor current over what the controller survives.
    pub controller_load: f64,
    /// Battery current over what the battery may deliver.
    pub battery_load: f64,
    /// Wake of the propeller.
    pub slipstream: Slipstream,
}
