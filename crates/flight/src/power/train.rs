//! Battery, controller, motor and propeller, stepped together.
//!
//! Motor: three constants (Drela, First-Order DC Electric Motor Model, MIT,
//! 2007; from memory). With speed constant `Kv` in rad/s/V:
//! `I = (V - omega/Kv) / R`, shaft torque `(I - I0) / Kv`.
//!
//! Controller: duty follows the throttle with a first-order lag; the motor
//! sees duty times battery voltage and the battery duty times motor current
//! (an ideal chopper). It does not limit current, as ordinary ones do not:
//! [`PowerOutput`] says how far each part is loaded. It freewheels when the
//! motor turns faster than its duty asks, and shorts the windings when the
//! throttle is shut and the brake is set.

use std::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::{Battery, Controller, Motor, Power};

use super::battery::{resistance_ohm, resting_v};
use super::motor::MotorPoint;
use super::propeller::{DiskFlow, DiskLoads, PropellerModel};
use super::slipstream::Slipstream;

/// Throttle below this counts as closed (common practice, no source).
pub const CLOSED_THROTTLE: f64 = 0.03;
/// Time over which the controller averages the voltage it watches, so that
/// the start of the motor does not trip it (common practice, no source).
const CUTOFF_AVERAGE_S: f64 = 0.2;
/// Voltage above the cut-off that a cell must come back to before the motor
/// may start again (common practice, no source).
const CUTOFF_RETURN_V: f64 = 0.1;
/// Longest step of the rotor against its own time constant.
const ROTOR_STEP: f64 = 0.5;
/// Most parts a tick is cut into.
const ROTOR_STEPS: u32 = 8;

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

/// A power train in air of one density.
#[derive(Debug, Clone)]
pub struct PowerModel {
    pub(super) motor: Motor,
    pub(super) battery: Battery,
    controller: Controller,
    pub(super) propeller: PropellerModel,
    hub_m: DVec3,
    direction: DVec3,
    pub(super) brake: bool,
    pub(super) inertia_kg_m2: f64,
    /// 1 when the motor turns the propeller as it is made to turn.
    pub(super) motor_sense: f64,
}

impl PowerModel {
    /// Makes the propeller table; tens of milliseconds.
    ///
    /// Values out of range are replaced by the nearest usable ones.
    #[must_use]
    pub fn new(power: &Power, density_kg_m3: f64, viscosity_pa_s: f64) -> Self {
        let propeller = PropellerModel::new(&power.propeller, density_kg_m3, viscosity_pa_s);
        let mut motor = power.motor;
        motor.speed_constant_rad_s_v = positive_or(motor.speed_constant_rad_s_v, 100.0);
        motor.resistance_ohm = positive_or(motor.resistance_ohm, 1.0e-3).max(1.0e-4);
        motor.no_load_current_a = positive_or(motor.no_load_current_a, 0.0);
        let inertia = propeller.inertia_kg_m2() + positive_or(motor.rotor_inertia_kg_m2, 0.0);
        Self {
            motor,
            battery: power.battery,
            controller: power.controller,
            hub_m: power.hub_m,
            direction: power.thrust_direction.try_normalize().unwrap_or(DVec3::X),
            brake: power.propeller.brake,
            inertia_kg_m2: inertia.max(1.0e-8),
            propeller,
            motor_sense: 1.0,
        }
    }

    /// The same with two motor wires swapped: it turns the propeller
    /// backward.
    #[must_use]
    pub fn with_motor_reversed(mut self, reversed: bool) -> Self {
        self.motor_sense = if reversed { -1.0 } else { 1.0 };
        self
    }

    /// Propeller in use.
    #[must_use]
    pub fn propeller(&self) -> &PropellerModel {
        &self.propeller
    }

    /// Centre of the disk, axes of the airframe.
    #[must_use]
    pub fn hub_m(&self) -> DVec3 {
        self.hub_m
    }

    /// Unit vector of the thrust line.
    #[must_use]
    pub fn direction(&self) -> DVec3 {
        self.direction
    }

    /// Inertia of rotor and propeller about the shaft.
    #[must_use]
    pub fn inertia_kg_m2(&self) -> f64 {
        self.inertia_kg_m2
    }

    /// The same train with the hub given from another origin, such as the
    /// centre of gravity.
    #[must_use]
    pub fn with_hub_m(mut self, hub_m: DVec3) -> Self {
        self.hub_m = hub_m;
        self
    }

    /// Everything at rest, battery as charged.
    #[must_use]
    pub fn initial_state(&self) -> PowerState {
        PowerState {
            omega_rad_s: 0.0,
            duty: 0.0,
            charge_used_c: 0.0,
            watched_cell_v: resting_v(&self.battery, 0.0) / f64::from(self.battery.cells.max(1)),
            cut_off: false,
        }
    }

    /// One tick: changes `state`, gives the loads of the tick.
    ///
    /// The rotor equation is stepped with an exponential method of second
    /// order whose slope is exact (Rosenbrock-Euler), in several parts when
    /// the rotor is quick: stable for any inertia.
    #[must_use]
    pub fn step(&self, state: &mut PowerState, inputs: &PowerInputs) -> PowerOutput {
        let dt_s = if inputs.dt_s > 0.0 {
            inputs.dt_s.min(0.05)
        } else {
            0.0
        };
        let throttle = if inputs.throttle > 0.0 {
            inputs.throttle.min(1.0)
        } else {
            0.0
        };

        // Controller.
        let cells = f64::from(self.battery.cells.max(1));
        if state.cut_off
            && throttle <= CLOSED_THROTTLE
            && state.watched_cell_v > self.controller.cutoff_cell_v + CUTOFF_RETURN_V
        {
            state.cut_off = false;
        }
        let target = if state.cut_off || throttle <= CLOSED_THROTTLE {
            0.0
        } else {
            throttle
        };
        let lag = decay(dt_s / positive_or(self.controller.response_s, 0.0).max(1.0e-4));
        let duty_end = target + (state.duty - target) * lag;
        let duty = 0.5 * (state.duty + duty_end);
        let braking = self.brake && target == 0.0;

        // Flow at the disk.
        let axial = inputs.hub_velocity_m_s.dot(self.direction);
        let drift = self.direction * axial - inputs.hub_velocity_m_s;
        let cross = drift.length();
        let resting = resting_v(&self.battery, state.charge_used_c);
        let mut flow = DiskFlow {
            axial_m_s: axial,
            cross_m_s: cross,
            omega_rad_s: state.omega_rad_s,
        };

        let omega_start = state.omega_rad_s;
        let loads = self.propeller.loads(flow);
        let motor = self.motor_point(duty, resting, self.motor_sense * state.omega_rad_s, braking);
        let rate = |loads: &DiskLoads, motor: &MotorPoint| {
            (
                (self.motor_sense * motor.torque_n_m - loads.torque_n_m) / self.inertia_kg_m2,
                (motor.slope_n_m_s - loads.torque_slope_n_m_s) / self.inertia_kg_m2,
            )
        };
        let (mut change, mut slope) = rate(&loads, &motor);
        let parts = ((slope.abs() * dt_s / ROTOR_STEP) as u32).clamp(1, ROTOR_STEPS);
        let part_s = dt_s / f64::from(parts);
        let (mut torque_sum, mut current_sum) = (loads.torque_n_m, motor.battery_current_a);
        for part in 0..parts {
            if part > 0 {
                flow.omega_rad_s = state.omega_rad_s;
                let loads = self.propeller.loads(flow);
                let motor =
                    self.motor_point(duty, resting, self.motor_sense * flow.omega_rad_s, braking);
                (change, slope) = rate(&loads, &motor);
                torque_sum += loads.torque_n_m;
                current_sum += motor.battery_current_a;
            }
            state.omega_rad_s += change * part_s * growth(-slope * part_s);
        }
        let share = 1.0 / f64::from(parts);
        let (mean_torque, mean_current) = (torque_sum * share, current_sum * share);

        let voltage = resting - motor.battery_current_a * resistance_ohm(&self.battery);
        state.duty = duty_end;
        state.charge_used_c += mean_current * dt_s;
        let seen = voltage / cells;
        state.watched_cell_v +=
            (seen - state.watched_cell_v) * (1.0 - decay(dt_s / CUTOFF_AVERAGE_S));
        if target > 0.0 && state.watched_cell_v < self.controller.cutoff_cell_v {
            state.cut_off = true;
        }

        // What the motor gave over the step is what the air took and what
        // the rotor kept; the airframe feels the opposite.
        let kept = if dt_s > 0.0 {
            self.inertia_kg_m2 * (state.omega_rad_s - omega_start) / dt_s
        } else {
            0.0
        };
        let reaction = -self.propeller.sense() * (mean_torque + kept);

        let unit_drift = if cross > 1.0e-9 {
            drift / cross
        } else {
            DVec3::ZERO
        };
        let across = self.direction.cross(unit_drift);
        let tilt =
            inputs.body_rate_rad_s - self.direction * inputs.body_rate_rad_s.dot(self.direction);
        let force =
            self.direction * loads.thrust_n + unit_drift * loads.along_n + across * loads.across_n;
        let motor_omega = self.motor_sense * omega_start;
        let pack_ohm = resistance_ohm(&self.battery);
        PowerOutput {
            force_n: force,
            moment_n_m: self.direction * reaction
                + unit_drift * loads.moment_along_n_m
                + across * loads.moment_across_n_m
                + tilt * loads.damping_n_m_s,
            angular_momentum_kg_m2_s: self.direction
                * (self.propeller.sense() * self.inertia_kg_m2 * omega_start),
            thrust_n: loads.thrust_n,
            reaction_n_m: reaction,
            omega_rad_s: omega_start,
            motor_current_a: motor.current_a,
            battery_current_a: motor.battery_current_a,
            voltage_v: voltage,
            electrical_w: voltage * motor.battery_current_a,
            shaft_w: motor.torque_n_m * motor_omega,
            aerodynamic_w: loads.torque_n_m * omega_start,
            propulsive_w: force.dot(inputs.hub_velocity_m_s),
            winding_loss_w: motor.current_a * motor.current_a * self.motor.resistance_ohm,
            friction_loss_w: motor.friction_n_m * motor_omega,
            battery_loss_w: motor.battery_current_a * motor.battery_current_a * pack_ohm,
            motor_load: share_of(motor.current_a, self.motor.current_limit_a),
            controller_load: share_of(motor.current_a, self.controller.current_limit_a),
            battery_load: share_of(motor.battery_current_a, self.battery.current_limit_a),
            slipstream: self.slipstream(&loads, axial, drift, omega_start),
        }
    }

    /// Wake for the loads of the disk.
    fn slipstream(
        &self,
        loads: &DiskLoads,
        axial_m_s: f64,
        drift_m_s: DVec3,
        omega_rad_s: f64,
    ) -> Slipstream {
        let radius = self.propeller.radius_m();
        // Solid turning with the angular momentum flux of the torque:
        // Q = rho A (V + w) * spin * R^2 / 2. The flow is kept above a small
        // part of the blade speed: a disk that only stirs has no wake.
        let through = axial_m_s + loads.induced_m_s;
        let blade = 0.012 * radius * omega_rad_s;
        let flow = (through * through + blade * blade + 1.0e-4).sqrt();
        let disk = self.propeller.density_kg_m3() * PI * radius * radius;
        let swirl = if disk > 0.0 {
            2.0 * self.propeller.sense() * loads.torque_n_m / (disk * flow * radius * radius)
        } else {
            0.0
        };
        Slipstream {
            hub_m: self.hub_m,
            direction: self.direction,
            disk_radius_m: radius,
            axial_m_s,
            induced_m_s: loads.induced_m_s,
            drift_m_s,
            swirl_rad_s: swirl,
        }
    }
}

/// Current over its limit; zero without one.
fn share_of(current_a: f64, limit_a: f64) -> f64 {
    if limit_a > 0.0 {
        current_a.abs() / limit_a
    } else {
        0.0
    }
}

/// `exp(-y)` for `y >= 0` to third order, between 0 and 1 for any `y`.
fn decay(y: f64) -> f64 {
    1.0 / (1.0 + y * (1.0 + y * (0.5 + y / 6.0)))
}

/// `(1 - exp(-y)) / y` to match [`decay`]; beyond a mild growth rate the
/// step is left explicit.
fn growth(y: f64) -> f64 {
    let y = y.max(-0.5);
    (1.0 + y * (0.5 + y / 6.0)) / (1.0 + y * (1.0 + y * (0.5 + y / 6.0)))
}

fn positive_or(value: f64, fallback: f64) -> f64 {
    if value > 0.0 && value.is_finite() {
        value
    } else {
        fallback
    }
}
