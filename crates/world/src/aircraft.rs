//! One aeroplane of the world: its flight model, its state and its energy.

use std::sync::Arc;

use bevy::prelude::*;
use glam::DVec3;
use larkfield_flight::{FlightModel, FlightState, LocalWind, StepReport, Surroundings};
use larkfield_recording::{Event, EventKind, FlightStage};
use larkfield_weather::WindInstant;

use crate::motion::Motion;

/// Standard gravity (ISO 80000-3).
pub const GRAVITY_M_S2: f64 = 9.80665;

/// A plane that flies.
#[derive(Component, Debug, Clone)]
pub struct Aircraft {
    /// Everything about it that does not change; shared among planes.
    pub model: Arc<FlightModel>,
    /// Everything about it that does.
    pub state: FlightState,
    /// What the last step saw.
    pub report: StepReport,
    /// In a hand, free, on the ground, over.
    pub stage: FlightStage,
    /// Air and gravity of the current tick.
    pub around: Surroundings,
    /// Works since the start of free flight.
    pub audit: EnergyAudit,
}

/// Work done on a plane since it was let go.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EnergyAudit {
    /// By the air.
    pub air_work_j: f64,
    /// By the propeller.
    pub thrust_work_j: f64,
    /// By contacts; never positive beyond rounding.
    pub contact_work_j: f64,
}

impl Aircraft {
    /// A plane at rest at the origin, in still air.
    pub fn new(model: Arc<FlightModel>, stage: FlightStage) -> Self {
        let state = model.state_at_rest();
        Self {
            model,
            state,
            report: StepReport::default(),
            stage,
            around: Surroundings {
                wind: LocalWind::default(),
                ground_z_m: 0.0,
                gravity_m_s2: GRAVITY_M_S2,
            },
            audit: EnergyAudit::default(),
        }
    }

    /// Kinetic plus potential energy.
    pub fn energy_j(&self) -> f64 {
        self.model.energy_j(&self.state, self.around.gravity_m_s2)
    }

    /// Pose and velocities.
    pub fn motion(&self) -> Motion {
        Motion {
            position_m: self.state.position_m,
            velocity_m_s: self.state.velocity_m_s,
            attitude: self.state.attitude,
            rates_rad_s: self.state.rates_rad_s,
        }
    }

    /// Meets the air of a moment where it is.
    pub fn meet(&mut self, air: &WindInstant) {
        self.meet_with(air, DVec3::ZERO);
    }

    /// Meets the air of a moment where it is, and more of it everywhere.
    pub fn meet_with(&mut self, air: &WindInstant, more_m_s: DVec3) {
        let wind = self
            .model
            .local_wind(&self.state, |place_m| air.velocity_m_s(place_m) + more_m_s);
        self.around.wind = wind;
    }

    /// True when nothing more will happen to it.
    pub fn ended(&self) -> bool {
        self.stage == FlightStage::Ended
    }
}

/// What happened to a plane, in order of time.
#[derive(Component, Debug, Clone, Default)]
pub struct Happenings {
    /// All events so far.
    pub events: Vec<Event>,
}

impl Happenings {
    /// Notes an event.
    pub fn note(&mut self, time_s: f64, kind: EventKind) {
        self.events.push(Event { time_s, kind });
    }
}
