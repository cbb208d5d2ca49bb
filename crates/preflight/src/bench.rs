//! A test bench: the flight model held in steady straight or turning flow.

use glam::{DQuat, DVec3};
use larkfield_flight::{
    Controls, FlightModel, FlightState, LocalWind, Surroundings, commanded_share, travel_rad,
};

/// Standard gravity, m/s2.
pub const GRAVITY_M_S2: f64 = 9.80665;

/// Height of the bench over the ground: no ground effect.
const BENCH_HEIGHT_M: f64 = 100.0;

/// A departure from the airframe as described.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Case {
    /// Balance point moved aft by this.
    pub balance_shift_aft_m: f64,
    /// Factor on mass.
    pub mass_factor: f64,
    /// Factor on propeller force and moment; its wash stays as calculated.
    pub thrust_factor: f64,
}

impl Case {
    /// As described.
    pub const NOMINAL: Self = Self {
        balance_shift_aft_m: 0.0,
        mass_factor: 1.0,
        thrust_factor: 1.0,
    };
}

/// Flow, rates and commands to hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// Speed through the air.
    pub speed_m_s: f64,
    /// Angle of attack of the airframe's x axis.
    pub alpha_rad: f64,
    /// Sideslip, positive with the wind from starboard.
    pub beta_rad: f64,
    /// Roll, pitch and yaw rates, body axes.
    pub rates_rad_s: DVec3,
    /// Commands. Beyond 1 the surfaces go on in proportion, so that a trim
    /// that needs more than full travel can be told in numbers.
    pub controls: Controls,
}

impl Condition {
    /// Straight symmetric flight, sticks centred.
    #[must_use]
    pub fn straight(speed_m_s: f64, alpha_rad: f64, pitch: f64, throttle: f64) -> Self {
        Self {
            speed_m_s,
            alpha_rad,
            beta_rad: 0.0,
            rates_rad_s: DVec3::ZERO,
            controls: Controls {
                pitch,
                throttle,
                ..Controls::default()
            },
        }
    }

    /// Velocity through the air in body axes.
    #[must_use]
    pub fn velocity_m_s(&self) -> DVec3 {
        let (sa, ca) = (libm::sin(self.alpha_rad), libm::cos(self.alpha_rad));
        let (sb, cb) = (libm::sin(self.beta_rad), libm::cos(self.beta_rad));
        DVec3::new(ca * cb, sb, sa * cb) * self.speed_m_s
    }
}

/// Loads at a condition, air and propeller together.
#[derive(Debug, Clone, Copy)]
pub struct Sample {
    /// Force in body axes.
    pub force_n: DVec3,
    /// Moment about the balance point of the case, body axes.
    pub moment_n_m: DVec3,
    /// Force across the path in the plane of symmetry, up.
    pub lift_n: f64,
    /// Force along the path, forward; minus drag when the motor is still.
    pub along_n: f64,
    /// Separated share of the wing.
    pub stalled: f64,
    /// Battery current.
    pub current_a: f64,
    /// Battery voltage under load.
    pub voltage_v: f64,
}

/// Flight model with a state to warm-start from.
#[derive(Debug, Clone)]
pub struct Bench<'a> {
    model: &'a FlightModel,
    case: Case,
    state: FlightState,
}

impl<'a> Bench<'a> {
    /// A bench for one case.
    #[must_use]
    pub fn new(model: &'a FlightModel, case: Case) -> Self {
        let mut state = model.state_at_rest();
        state.position_m = DVec3::new(0.0, 0.0, -BENCH_HEIGHT_M);
        Self { model, case, state }
    }

    /// The model on the bench.
    #[must_use]
    pub fn model(&self) -> &'a FlightModel {
        self.model
    }

    /// Mass of the case.
    #[must_use]
    pub fn mass_kg(&self) -> f64 {
        self.model.mass().mass_kg * self.case.mass_factor
    }

    /// Weight of the case.
    #[must_use]
    pub fn weight_n(&self) -> f64 {
        self.mass_kg() * GRAVITY_M_S2
    }

    /// Balance point of the case behind the wing root's leading edge.
    #[must_use]
    pub fn balance_aft_m(&self) -> f64 {
        -self.model.mass().cg_m.x + self.case.balance_shift_aft_m
    }

    /// Air with nothing but the plane moving.
    #[must_use]
    pub fn surroundings() -> Surroundings {
        Surroundings {
            wind: LocalWind::default(),
            ground_z_m: 0.0,
            gravity_m_s2: GRAVITY_M_S2,
        }
    }

    /// Where the surfaces stand at a command.
    fn deflect(&mut self, controls: &Controls) {
        let surfaces = &self.model.airframe().controls;
        for (surface, moved) in surfaces.iter().zip(&mut self.state.surfaces) {
            moved.servo_rad = travel_rad(surface, commanded_share(surface, controls));
            moved.deflection_rad = moved.servo_rad + surface.neutral_rad;
        }
    }

    /// Settled loads at a condition.
    pub fn sample(&mut self, condition: &Condition) -> Sample {
        self.state.velocity_m_s = condition.velocity_m_s();
        self.state.attitude = DQuat::IDENTITY;
        self.state.rates_rad_s = condition.rates_rad_s;
        self.deflect(&condition.controls);
        let loads = self.model.settled_loads(
            &mut self.state,
            condition.controls.throttle,
            &Self::surroundings(),
        );
        if !self.state.is_finite() {
            // Not carried into the next question.
            *self = Self::new(self.model, self.case);
        }
        let thrust = self.case.thrust_factor;
        let force_n = loads.air_force_n + loads.propeller_force_n * thrust;
        let shift = DVec3::X * self.case.balance_shift_aft_m;
        let moment_n_m =
            loads.air_moment_n_m + loads.propeller_moment_n_m * thrust + shift.cross(force_n);
        let (sa, ca) = (
            libm::sin(condition.alpha_rad),
            libm::cos(condition.alpha_rad),
        );
        Sample {
            force_n,
            moment_n_m,
            lift_n: force_n.x * sa - force_n.z * ca,
            along_n: force_n.x * ca + force_n.z * sa,
            stalled: loads.stalled,
            current_a: loads.current_a,
            voltage_v: loads.voltage_v,
        }
    }

    /// The state of the air behind the last sample.
    #[must_use]
    pub fn state(&self) -> &FlightState {
        &self.state
    }

    /// Forgets the state of the air, for a fresh start after a stall.
    pub fn calm(&mut self) {
        *self = Self::new(self.model, self.case);
    }
}
