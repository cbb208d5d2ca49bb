//! One aeroplane's flight model: built once, shared by all that fly it.

mod driven;
mod settled;

use glam::{DMat3, DQuat, DVec3};
use larkfield_airframe::{Airframe, MassProperties};
use nalgebra::{SMatrix, SVector};

use crate::air_loads::{AirLoads, Conditions};
use crate::airborne::Airborne;
use crate::flow::{Flow, down_in_body};
use crate::inertia::InverseInertia;
use crate::power::{PowerInputs, PowerModel, PowerState};
use crate::servo;
use crate::state::{
    Acceleration, BlockState, CarriedMotion, Controls, Deflection, FlightState, LocalWind,
    LostParts, StepReport, SurfaceState, Surroundings, Works,
};

use driven::Driven;
pub use settled::Loads;

/// Air at the field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirProperties {
    /// Density.
    pub density_kg_m3: f64,
    /// Dynamic viscosity.
    pub viscosity_pa_s: f64,
}

/// Why an airframe cannot be flown at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FlightModelError {
    /// No mass or a mass that is not a number.
    #[error(
        "the aeroplane has no usable mass ({mass_kg} kg); give panels and components their mass"
    )]
    NoMass {
        /// What the sum came to.
        mass_kg: f64,
    },
    /// Inertia that cannot be inverted.
    #[error(
        "the parts lie on one line, so the aeroplane has no inertia about it; give components a place off the line or a size"
    )]
    NoInertia,
    /// Nothing that makes lift.
    #[error("the aeroplane has no panels; it needs at least a wing")]
    NoPanels,
    /// Density or viscosity out of range.
    #[error(
        "the air is impossible: density {density_kg_m3} kg/m3, viscosity {viscosity_pa_s} Pa s"
    )]
    BadAir {
        /// Density given.
        density_kg_m3: f64,
        /// Viscosity given.
        viscosity_pa_s: f64,
    },
}

/// Everything about an aeroplane that does not change in flight.
#[derive(Debug, Clone)]
pub struct FlightModel {
    airframe: Airframe,
    mass: MassProperties,
    air: AirProperties,
    pub(crate) airborne: Airborne,
    power: Option<PowerModel>,
    /// Inverse of rigid plus apparent mass, rows force then moment.
    inverse_mass: SMatrix<f64, 6, 6>,
    idle: PowerState,
}

impl FlightModel {
    /// Prepares an airframe for flight in air of one density.
    ///
    /// # Errors
    /// When mass, inertia, panels or the air are unusable.
    pub fn new(airframe: &Airframe, air: AirProperties) -> Result<Self, FlightModelError> {
        Self::with_fineness(airframe, air, 1.0)
    }

    /// The same with `fineness` times as many strips, for convergence checks.
    ///
    /// # Errors
    /// As [`FlightModel::new`].
    pub fn with_fineness(
        airframe: &Airframe,
        air: AirProperties,
        fineness: f64,
    ) -> Result<Self, FlightModelError> {
        Self::build(airframe, air, fineness, None)
    }

    /// A model of another airframe in the same air. What is the same of the power
    /// train is taken over: its propeller's tables are most of the work.
    ///
    /// # Errors
    /// As [`FlightModel::new`].
    pub fn of_another(&self, airframe: &Airframe) -> Result<Self, FlightModelError> {
        if *airframe == self.airframe {
            return Ok(self.clone());
        }
        let measured_of =
            |of: &Airframe| (of.measured.static_thrust_n, of.measured.static_current_a);
        let measured = measured_of(airframe);
        let same = self.airframe.power == airframe.power && measured_of(&self.airframe) == measured;
        let unmeasured = measured == (None, None) && measured_of(&self.airframe) == measured;
        let power = match (&self.power, &self.airframe.power, &airframe.power) {
            (Some(power), ..) if same => Some(power.clone()),
            // One that was fitted to a measurement holds for its motor alone.
            (Some(power), Some(old), Some(new)) if unmeasured && old.propeller == new.propeller => {
                Some(PowerModel::around(new, power.propeller().clone()))
            }
            _ => None,
        };
        Self::build(airframe, self.air, 1.0, power)
    }

    /// The same plane with a propeller that is larger by a few hundredths in every
    /// measure. Its tables are kept, so this costs next to nothing.
    #[must_use]
    pub fn with_propeller_enlarged(mut self, factor: f64) -> Self {
        self.power = (self.power).map(|power| power.with_propeller_enlarged(factor));
        self
    }

    fn build(
        airframe: &Airframe,
        air: AirProperties,
        fineness: f64,
        ready: Option<PowerModel>,
    ) -> Result<Self, FlightModelError> {
        if !(air.density_kg_m3 >= 0.0 && air.density_kg_m3 < 10.0 && air.viscosity_pa_s > 0.0) {
            return Err(FlightModelError::BadAir {
                density_kg_m3: air.density_kg_m3,
                viscosity_pa_s: air.viscosity_pa_s,
            });
        }
        if airframe.panels.is_empty() {
            return Err(FlightModelError::NoPanels);
        }
        let mass = MassProperties::of(airframe);
        if !(mass.mass_kg > 1e-6 && mass.mass_kg.is_finite()) {
            return Err(FlightModelError::NoMass {
                mass_kg: mass.mass_kg,
            });
        }
        let airborne = Airborne::new(airframe, mass.cg_m, fineness);
        let inverse_mass =
            inverse_mass(&mass, &airborne, air.density_kg_m3).ok_or(FlightModelError::NoInertia)?;
        let power = airframe.power.as_ref().map(|p| {
            if let Some(ready) = ready {
                return ready.with_hub_m(p.hub_m - mass.cg_m);
            }
            let model = PowerModel::new(p, air.density_kg_m3, air.viscosity_pa_s)
                .with_hub_m(p.hub_m - mass.cg_m);
            let measured = &airframe.measured;
            model
                .clone()
                .calibrated(measured.static_thrust_n, measured.static_current_a)
                .unwrap_or(model)
        });
        let idle = power.as_ref().map_or(
            PowerState {
                omega_rad_s: 0.0,
                duty: 0.0,
                charge_used_c: 0.0,
                watched_cell_v: 0.0,
                cut_off: false,
                induced_m_s: 0.0,
            },
            PowerModel::initial_state,
        );
        Ok(Self {
            airframe: airframe.clone(),
            mass,
            air,
            airborne,
            power,
            inverse_mass,
            idle,
        })
    }

    /// The airframe it was made from.
    #[must_use]
    pub fn airframe(&self) -> &Airframe {
        &self.airframe
    }

    /// Mass, balance and inertia.
    #[must_use]
    pub fn mass(&self) -> &MassProperties {
        &self.mass
    }

    /// How it answers a blow, the air that moves with it included.
    #[must_use]
    pub fn inverse_inertia(&self) -> InverseInertia {
        InverseInertia::from_rows(|row, column| self.inverse_mass[(row, column)])
    }

    /// Air it was made for.
    #[must_use]
    pub fn air(&self) -> AirProperties {
        self.air
    }

    /// Motor, propeller and battery, hub position from the centre of gravity.
    #[must_use]
    pub fn power(&self) -> Option<&PowerModel> {
        self.power.as_ref()
    }

    /// Number of strips.
    #[must_use]
    pub fn strip_count(&self) -> usize {
        self.airborne.count()
    }

    /// Span over the wing tips.
    #[must_use]
    pub fn span_m(&self) -> f64 {
        self.airborne.span_m
    }

    /// Level, still, at the origin, surfaces where they rest.
    #[must_use]
    pub fn state_at_rest(&self) -> FlightState {
        let surfaces: Vec<SurfaceState> = (self.airframe.controls.iter())
            .map(|c| SurfaceState {
                deflection_rad: c.neutral_rad,
                servo_rad: 0.0,
                runs: false,
                stopped: false,
            })
            .collect();
        FlightState {
            position_m: DVec3::ZERO,
            velocity_m_s: DVec3::ZERO,
            attitude: DQuat::IDENTITY,
            rates_rad_s: DVec3::ZERO,
            deflections: surfaces.iter().map(Deflection::of).collect(),
            surfaces,
            blocks: vec![BlockState::STILL; self.airborne.blocks.len()],
            power: self.idle,
            lost: LostParts::default(),
            previous: None,
            works: Works::default(),
        }
    }

    /// The wind that a plane in this state feels, given the velocity of the air
    /// at a place, both in world axes: at wing centre, both tips and tail.
    #[must_use]
    pub fn local_wind(
        &self,
        state: &FlightState,
        velocity_m_s: impl Fn(DVec3) -> DVec3,
    ) -> LocalWind {
        let half = 0.5 * self.airborne.span_m;
        let at = |place: DVec3| velocity_m_s(state.position_m + state.attitude * place);
        LocalWind {
            centre_m_s: at(DVec3::ZERO),
            left_tip_m_s: at(DVec3::new(0.0, -half, 0.0)),
            right_tip_m_s: at(DVec3::new(0.0, half, 0.0)),
            tail_m_s: at(self.airborne.tail_m),
        }
    }

    fn flow(state: &FlightState, rotation: &DMat3, around: &Surroundings) -> Flow {
        let LocalWind {
            centre_m_s,
            left_tip_m_s,
            right_tip_m_s,
            tail_m_s,
        } = around.wind;
        let to_body = rotation.transpose();
        Flow {
            velocity_m_s: to_body * (state.velocity_m_s - centre_m_s),
            rates_rad_s: state.rates_rad_s,
            lateral_m_s: to_body * (0.5 * (right_tip_m_s - left_tip_m_s)),
            tips_m_s: to_body * (0.5 * (right_tip_m_s + left_tip_m_s) - centre_m_s),
            tail_m_s: to_body * (tail_m_s - centre_m_s),
            down: down_in_body(rotation),
            height_m: around.ground_z_m - state.position_m.z,
        }
    }

    /// Steps servos, motor and the states of the air by `dt_s`; pose and
    /// velocities stay. Returns loads and what the motor did.
    #[inline(always)]
    fn breathe(
        &self,
        state: &mut FlightState,
        controls: &Controls,
        flow: &Flow,
        dt_s: f64,
    ) -> (AirLoads, Driven) {
        // First: nothing before the strips waits for it, so that the processor does it
        // beside the power train.
        let moved = state.surfaces.iter_mut().zip(&mut state.deflections);
        for (surface, (moved, met)) in self.airframe.controls.iter().zip(moved) {
            let from_rad = moved.deflection_rad;
            let travel = servo::travel(surface, moved, controls, dt_s);
            met.lead(from_rad, travel.halves_rad(dt_s), moved.deflection_rad);
        }
        let turns = !state.lost.propeller;
        let (mut driven, mut slipstream) = (Driven::default(), None);
        if let Some(model) = &self.power {
            let inputs = PowerInputs {
                throttle: if turns { controls.throttle } else { 0.0 },
                dt_s,
                hub_velocity_m_s: flow.velocity_m_s + flow.rates_rad_s.cross(model.hub_m()),
                body_rate_rad_s: flow.rates_rad_s,
            };
            let output = model.step(&mut state.power, &inputs);
            if turns {
                driven = Driven::by(model, flow, &output);
                slipstream = Some(output.slipstream);
            }
        }
        let conditions = Conditions {
            density_kg_m3: self.air.density_kg_m3,
            viscosity_pa_s: self.air.viscosity_pa_s,
            flow,
            slipstream: slipstream.as_ref(),
            deflections: &state.deflections,
            lost: state.lost,
            dt_s,
        };
        let loads = self.airborne.step(&conditions, &mut state.blocks);
        (loads, driven)
    }

    /// Free flight for one tick.
    ///
    /// Velocities advance with the two-step Adams-Bashforth rule, pose with
    /// the mean of old and new velocity: second order with one look at the
    /// air for each tick, so halving the tick changes little. (Semi-implicit
    /// Euler is as cheap but first order: roll damping of a light plane came
    /// out 3 % low at 500 Hz in a closed-form estimate.) Servos, separation and
    /// circulation have rules of their own to the same end; they stand where each
    /// of them moves on.
    pub fn step(
        &self,
        state: &mut FlightState,
        controls: &Controls,
        around: &Surroundings,
        dt_s: f64,
    ) -> StepReport {
        let rotation = DMat3::from_quat(state.attitude);
        let flow = Self::flow(state, &rotation, around);
        let (air, driven) = self.breathe(state, controls, &flow, dt_s);
        let (thrust_force, thrust_moment) = (driven.force_n, driven.moment_n_m);
        let weight = flow.down * (self.mass.mass_kg * around.gravity_m_s2);
        let w = flow.rates_rad_s;
        let free = self.free_acceleration(&flow, &air, &driven, weight);
        let body_acceleration = free.linear_m_s2;
        let now = Acceleration {
            linear_m_s2: rotation * body_acceleration,
            dt_s,
            ..free
        };
        let before = state.previous.unwrap_or(now);
        // Half where ticks are equal.
        let back = (0.5 * dt_s / before.dt_s).min(MOST_BACK);
        let linear = now.linear_m_s2 + back * (now.linear_m_s2 - before.linear_m_s2);
        let angular = now.angular_rad_s2 + back * (now.angular_rad_s2 - before.angular_rad_s2);
        let (old_velocity, old_rates) = (state.velocity_m_s, state.rates_rad_s);
        state.velocity_m_s += linear * dt_s;
        state.rates_rad_s += angular * dt_s;
        state.position_m += (old_velocity + state.velocity_m_s) * (0.5 * dt_s);
        turn(
            &mut state.attitude,
            (old_rates + state.rates_rad_s) * (0.5 * dt_s),
        );
        state.previous = Some(now);

        // Power of each force at the start of the tick; works are summed by
        // the trapezium rule, apart from how velocities were advanced.
        let velocity_body = rotation.transpose() * old_velocity;
        let inertial = body_acceleration * self.mass.mass_kg;
        let air_force = inertial - weight - thrust_force;
        let air_moment = self.mass.inertia_kg_m2 * now.angular_rad_s2
            + w.cross(self.mass.inertia_kg_m2 * w)
            - thrust_moment;
        let powers = [
            air_force.dot(velocity_body) + air_moment.dot(w),
            thrust_force.dot(velocity_body) + thrust_moment.dot(w),
        ];
        let earlier = state.works.powers_w.unwrap_or(powers);
        state.works.powers_w = Some(powers);
        let mut report = self.report(&flow, &air, &driven, air_force + thrust_force, around);
        report.air_work_j = 0.5 * (earlier[0] + powers[0]) * state.works.last_dt_s;
        report.thrust_work_j = 0.5 * (earlier[1] + powers[1]) * state.works.last_dt_s;
        state.works.last_dt_s = dt_s;
        report
    }

    /// Acceleration of a plane that nothing holds, body axes.
    ///
    /// Equations for the velocity *through the air*: apparent mass resists its
    /// change, and a uniform wind drops out exactly.
    #[inline(always)]
    fn free_acceleration(
        &self,
        flow: &Flow,
        air: &AirLoads,
        driven: &Driven,
        weight_n: DVec3,
    ) -> Acceleration {
        let w = flow.rates_rad_s;
        let force = air.force_n + driven.force_n + weight_n
            - w.cross(flow.velocity_m_s) * self.mass.mass_kg;
        let moment = air.moment_n_m + driven.moment_n_m - w.cross(self.mass.inertia_kg_m2 * w);
        let rate = self.inverse_mass
            * SVector::<f64, 6>::from([force.x, force.y, force.z, moment.x, moment.y, moment.z]);
        Acceleration {
            linear_m_s2: DVec3::new(rate[0], rate[1], rate[2]) + w.cross(flow.velocity_m_s),
            angular_rad_s2: DVec3::new(rate[3], rate[4], rate[5]),
            dt_s: 0.0,
        }
    }

    /// One tick in a hand: the hand imposes the motion; servos, motor and air
    /// run as in flight, so nothing jumps when it lets go.
    pub fn carry(
        &self,
        state: &mut FlightState,
        motion: &CarriedMotion,
        controls: &Controls,
        around: &Surroundings,
        dt_s: f64,
    ) -> StepReport {
        // The air meets the plane where it is at the start of the tick, as in
        // flight: met at the end, its flow would be a tick ahead of itself when
        // the hand lets go.
        let rotation = DMat3::from_quat(state.attitude);
        let flow = Self::flow(state, &rotation, around);
        let (air, driven) = self.breathe(state, controls, &flow, dt_s);
        state.position_m = motion.position_m;
        state.velocity_m_s = motion.velocity_m_s;
        state.attitude = motion.attitude;
        state.rates_rad_s = motion.rates_rad_s;
        // What it would do by itself, so that the first tick after the release
        // knows how that changes.
        let weight = flow.down * (self.mass.mass_kg * around.gravity_m_s2);
        let free = self.free_acceleration(&flow, &air, &driven, weight);
        state.previous = Some(Acceleration {
            linear_m_s2: rotation * free.linear_m_s2,
            dt_s,
            ..free
        });
        state.works = Works::default();
        self.report(&flow, &air, &driven, air.force_n + driven.force_n, around)
    }

    /// A contact solver changed velocities and pose at the end of a tick. A blow
    /// ends what the loads of the tick before tell about the next; wheels that
    /// roll, which change the velocity by no more than the weight does in a tick,
    /// do not.
    pub fn contact(
        &self,
        state: &mut FlightState,
        velocity_change_m_s: DVec3,
        rate_change_rad_s: DVec3,
        position_m: DVec3,
        attitude: DQuat,
    ) {
        state.velocity_m_s += velocity_change_m_s;
        state.rates_rad_s += rate_change_rad_s;
        state.position_m = position_m;
        state.attitude = attitude.normalize();
        if velocity_change_m_s.length() > BLOW_M_S {
            state.previous = None;
        }
        state.works.powers_w = None;
    }

    /// Kinetic plus potential energy over z = 0; apparent mass is the air's.
    #[must_use]
    pub fn energy_j(&self, state: &FlightState, gravity_m_s2: f64) -> f64 {
        let w = state.rates_rad_s;
        0.5 * self.mass.mass_kg * state.velocity_m_s.length_squared()
            + 0.5 * w.dot(self.mass.inertia_kg_m2 * w)
            - self.mass.mass_kg * gravity_m_s2 * state.position_m.z
    }

    fn report(
        &self,
        flow: &Flow,
        air: &AirLoads,
        driven: &Driven,
        force_n: DVec3,
        around: &Surroundings,
    ) -> StepReport {
        let v = flow.velocity_m_s;
        let airspeed_m_s = v.length();
        let moving = airspeed_m_s > 0.1;
        StepReport {
            airspeed_m_s,
            alpha_rad: if moving { libm::atan2(v.z, v.x) } else { 0.0 },
            beta_rad: if moving {
                libm::asin((v.y / airspeed_m_s).clamp(-1.0, 1.0))
            } else {
                0.0
            },
            stall_margin_rad: air.stall_margin_rad,
            stalled_left: air.stalled_left,
            stalled_right: air.stalled_right,
            force_n,
            moment_n_m: air.moment_n_m,
            load_factor: -force_n.z / (self.mass.mass_kg * around.gravity_m_s2).max(1e-9),
            air_work_j: 0.0,
            thrust_work_j: 0.0,
            thrust_n: driven.thrust_n,
            propeller_rad_s: driven.propeller_rad_s,
            current_a: driven.current_a,
            voltage_v: driven.voltage_v,
        }
    }
}

/// Most that the change since the tick before counts: after a tick much shorter
/// than this one it says little.
const MOST_BACK: f64 = 2.0;
/// A change of velocity in one tick that is a blow: a few times what carrying
/// the weight for a tick takes.
const BLOW_M_S: f64 = 0.1;

fn inverse_mass(
    mass: &MassProperties,
    airborne: &Airborne,
    density_kg_m3: f64,
) -> Option<SMatrix<f64, 6, 6>> {
    let mut m = SMatrix::<f64, 6, 6>::zeros();
    for k in 0..3 {
        m[(k, k)] = mass.mass_kg;
        let column = mass.inertia_kg_m2.col(k).to_array();
        for (row, value) in column.iter().enumerate() {
            m[(3 + row, 3 + k)] = *value;
        }
    }
    for (normal, arm) in airborne.apparent_mass(density_kg_m3) {
        let row = SVector::<f64, 6>::from([normal.x, normal.y, normal.z, arm.x, arm.y, arm.z]);
        m += row * row.transpose();
    }
    let inverse = m.try_inverse()?;
    inverse.iter().all(|x| x.is_finite()).then_some(inverse)
}

/// Turns an attitude by a small rotation given in body axes. The exponential
/// map to fourth order, then brought back to unit length: no trigonometry.
fn turn(attitude: &mut DQuat, angle_rad: DVec3) {
    let square = angle_rad.length_squared();
    let s = 0.5 - square / 48.0;
    let c = 1.0 - square / 8.0 + square * square / 384.0;
    let step = DQuat::from_xyzw(angle_rad.x * s, angle_rad.y * s, angle_rad.z * s, c);
    *attitude = (*attitude * step).normalize();
}
