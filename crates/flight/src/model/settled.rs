//! Loads by themselves: of one tick, and in steady flow for trim, stability
//! and tests.

use glam::{DMat3, DVec3};

use crate::air_loads::{AirLoads, Conditions};
use crate::power::PowerInputs;
use crate::state::{Controls, Deflection, FlightState, Surroundings};

use super::FlightModel;
use super::driven::Driven;

/// Result of the loads at one instant.
#[derive(Debug, Clone, Copy)]
pub struct Loads {
    /// Air force on wings, tail and body, body axes.
    pub air_force_n: DVec3,
    /// Its moment about the centre of gravity.
    pub air_moment_n_m: DVec3,
    /// Propeller force.
    pub propeller_force_n: DVec3,
    /// Propeller moment about the centre of gravity, gyroscopic moment included.
    pub propeller_moment_n_m: DVec3,
    /// Separated share of the wing, mean of both sides.
    pub stalled: f64,
    /// Angle below the stall of the most loaded wing strip.
    pub stall_margin_rad: f64,
    /// Battery current.
    pub current_a: f64,
    /// Battery voltage.
    pub voltage_v: f64,
    /// Propeller speed.
    pub propeller_rad_s: f64,
    /// Thrust along the shaft.
    pub thrust_n: f64,
}

impl FlightModel {
    /// Loads at a state whose air has settled: circulation, separation and
    /// slipstream run until they no longer change, motor speed included when
    /// `dt_s` steps are long enough. Surfaces stay as they are.
    #[must_use]
    pub fn settled_loads(
        &self,
        state: &mut FlightState,
        throttle: f64,
        around: &Surroundings,
    ) -> Loads {
        let rotation = DMat3::from_quat(state.attitude);
        let flow = Self::flow(state, &rotation, around);
        let output = self.power.as_ref().map(|model| {
            let hub_velocity = flow.velocity_m_s + flow.rates_rad_s.cross(model.hub_m());
            let inputs = PowerInputs {
                throttle,
                dt_s: 0.02,
                hub_velocity_m_s: hub_velocity,
                body_rate_rad_s: flow.rates_rad_s,
            };
            let used = state.power.charge_used_c;
            let mut last = model.step(&mut state.power, &inputs);
            for _ in 0..400 {
                let omega = last.omega_rad_s;
                last = model.step(&mut state.power, &inputs);
                state.power.charge_used_c = used;
                if (last.omega_rad_s - omega).abs() < 1e-9 * omega.abs().max(1.0) {
                    break;
                }
            }
            last
        });
        Deflection::renew(&mut state.deflections, &state.surfaces);
        let mut conditions = Conditions {
            density_kg_m3: self.air.density_kg_m3,
            viscosity_pa_s: self.air.viscosity_pa_s,
            flow: &flow,
            slipstream: output.as_ref().map(|p| &p.slipstream),
            deflections: &state.deflections,
            lost: state.lost,
            dt_s: LONGEST_S,
        };
        let mut loads = AirLoads::default();
        // Long steps settle soonest, but one surface ending on another (a fin
        // on a tailplane) can swing to and fro between two of them by as much
        // as the whole lift, and strips past their stall by a tenth of it:
        // then the step shrinks. What is left agrees with a slow change of
        // angle flown tick by tick.
        const LONGEST_S: f64 = 0.15;
        const SHORTEST_S: f64 = 0.004;
        const LOOK_ROUNDS: u32 = 32;
        const SWING_SHARE: f64 = 1.0e-4;
        // The air's state is kept in single precision: below its last place
        // nothing settles any more. Separation creeps long after circulation
        // has come to rest, so rest must last.
        const SETTLED_SHARE: f64 = 0.5 * f32::EPSILON as f64;
        const STILL_ROUNDS: u32 = 20;
        let mut dt_s = LONGEST_S;
        let mut still = 0;
        for round in 0..400_u32 {
            let before = loads;
            conditions.dt_s = dt_s;
            loads = self.airborne.step(&conditions, &mut state.blocks);
            let scale = loads.force_n.length().max(1e-6);
            let change_n = (loads.force_n - before.force_n).length();
            let change_n_m = (loads.moment_n_m - before.moment_n_m).length();
            // A moment in balance is small beside the force on its arm of
            // about a metre: it is measured against that.
            still = if change_n.max(change_n_m) < SETTLED_SHARE * scale {
                still + 1
            } else {
                0
            };
            if still >= STILL_ROUNDS {
                break;
            }
            if round % LOOK_ROUNDS == LOOK_ROUNDS - 1 && change_n > SWING_SHARE * scale {
                dt_s = (0.5 * dt_s).max(SHORTEST_S);
            }
        }
        let driven = match (&self.power, &output) {
            (Some(model), Some(output)) => Driven::by(model, &flow, output),
            _ => Driven::default(),
        };
        Self::loads(&loads, &driven)
    }

    /// All loads of one tick: servos, motor and the air around the strips move
    /// on by `dt_s`, pose and velocities stay. [`FlightModel::step`] reckons
    /// with the same loads.
    #[must_use]
    pub fn tick_loads(
        &self,
        state: &mut FlightState,
        controls: &Controls,
        around: &Surroundings,
        dt_s: f64,
    ) -> Loads {
        let rotation = DMat3::from_quat(state.attitude);
        let flow = Self::flow(state, &rotation, around);
        let (air, driven) = self.breathe(state, controls, &flow, dt_s);
        Self::loads(&air, &driven)
    }

    fn loads(air: &AirLoads, driven: &Driven) -> Loads {
        Loads {
            air_force_n: air.force_n,
            air_moment_n_m: air.moment_n_m,
            propeller_force_n: driven.force_n,
            propeller_moment_n_m: driven.moment_n_m,
            stalled: 0.5 * (air.stalled_left + air.stalled_right),
            stall_margin_rad: air.stall_margin_rad,
            current_a: driven.current_a,
            voltage_v: driven.voltage_v,
            propeller_rad_s: driven.propeller_rad_s,
            thrust_n: driven.thrust_n,
        }
    }
}
