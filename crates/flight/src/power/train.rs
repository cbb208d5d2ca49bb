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
use super::state::{PowerInputs, PowerOutput, PowerState};

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
    /// Torque of the motor for each ampere, and volts for each rad/s.
    pub(super) torque_constant: f64,
    pub(super) pack_ohm: f64,
    one_over_inertia: f64,
    one_over_response_s: f64,
    one_over_limits: [f64; 3],
}

impl PowerModel {
    /// Makes the propeller table; tens of milliseconds.
    ///
    /// Values out of range are replaced by the nearest usable ones.
    #[must_use]
    pub fn new(power: &Power, density_kg_m3: f64, viscosity_pa_s: f64) -> Self {
        let propeller = PropellerModel::new(&power.propeller, density_kg_m3, viscosity_pa_s);
        Self::around(power, propeller)
    }

    /// The same from a propeller that has been reckoned already: its tables are
    /// most of the work.
    pub(crate) fn around(power: &Power, propeller: PropellerModel) -> Self {
        let mut motor = power.motor;
        motor.speed_constant_rad_s_v = positive_or(motor.speed_constant_rad_s_v, 100.0);
        motor.resistance_ohm = positive_or(motor.resistance_ohm, 1.0e-3).max(1.0e-4);
        motor.no_load_current_a = positive_or(motor.no_load_current_a, 0.0);
        let inertia =
            (propeller.inertia_kg_m2() + positive_or(motor.rotor_inertia_kg_m2, 0.0)).max(1.0e-8);
        Self {
            motor,
            battery: power.battery,
            controller: power.controller,
            hub_m: power.hub_m,
            direction: power.thrust_direction.try_normalize().unwrap_or(DVec3::X),
            brake: power.propeller.brake,
            inertia_kg_m2: inertia,
            propeller,
            motor_sense: 1.0,
            torque_constant: 1.0 / motor.speed_constant_rad_s_v,
            pack_ohm: resistance_ohm(&power.battery),
            one_over_inertia: 1.0 / inertia,
            one_over_response_s: 1.0 / positive_or(power.controller.response_s, 0.0).max(1.0e-4),
            one_over_limits: [
                one_over(motor.current_limit_a),
                one_over(power.controller.current_limit_a),
                one_over(power.battery.current_limit_a),
            ],
        }
    }

    /// The same with a propeller that is larger by a few hundredths in every
    /// measure: at the same speed its thrust goes with the fourth power of the
    /// factor, its torque with the fifth.
    #[must_use]
    pub(crate) fn with_propeller_enlarged(mut self, factor: f64) -> Self {
        let before = self.propeller.inertia_kg_m2();
        self.propeller = self.propeller.enlarged(factor);
        self.inertia_kg_m2 += self.propeller.inertia_kg_m2() - before;
        self.one_over_inertia = 1.0 / self.inertia_kg_m2;
        self
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
            induced_m_s: 0.0,
            cut_off: false,
        }
    }

    /// One tick: changes `state`, gives the loads of the tick.
    ///
    /// The rotor equation is stepped with an exponential method of second
    /// order whose slope is exact (Rosenbrock-Euler), in several parts when
    /// the rotor is quick: stable for any inertia.
    #[must_use]
    #[inline(always)]
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
        let lag = decay(dt_s * self.one_over_response_s);
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
            wake_m_s: state.induced_m_s,
        };

        let omega_start = state.omega_rad_s;
        let loads = self.propeller.loads(flow);
        let motor = self.motor_point(duty, resting, self.motor_sense * state.omega_rad_s, braking);
        let rate = |loads: &DiskLoads, motor: &MotorPoint| {
            (
                (self.motor_sense * motor.torque_n_m - loads.torque_n_m) * self.one_over_inertia,
                (motor.slope_n_m_s - loads.torque_slope_n_m_s) * self.one_over_inertia,
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

        let voltage = resting - motor.battery_current_a * self.pack_ohm;
        state.induced_m_s = loads.induced_m_s;
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
        let [motor_limit, controller_limit, battery_limit] = self.one_over_limits;
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
            battery_loss_w: motor.battery_current_a * motor.battery_current_a * self.pack_ohm,
            motor_load: motor.current_a.abs() * motor_limit,
            controller_load: motor.current_a.abs() * controller_limit,
            battery_load: motor.battery_current_a * battery_limit,
            slipstream: self.slipstream(&loads, axial, drift, omega_start),
        }
    }

    /// Wake for the loads of the disk.
    #[inline(always)]
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
        Slipstream::new(
            self.hub_m,
            self.direction,
            radius,
            axial_m_s,
            loads.induced_m_s,
            drift_m_s,
            swirl,
        )
    }
}

/// One over a limit; zero, so that nothing counts against it, without one.
fn one_over(limit: f64) -> f64 {
    if limit > 0.0 { 1.0 / limit } else { 0.0 }
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
