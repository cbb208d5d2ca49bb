//! Writes samples down at a fixed rate.

use bevy::prelude::*;
use larkfield_airframe::{Airframe, SurfaceKind};
use larkfield_flight::FlightState;
use larkfield_pilot::TimedMessage;
use larkfield_pilot::attitude::to_euler;
use larkfield_recording::Sample;

use crate::aircraft::Aircraft;
use crate::contact::ContactOutcome;
use crate::pilot::{Link, Pilot};
use crate::referee::Judge;
use crate::throw::SAME_TIME_S;
use crate::tick::{RunStart, Tick, TickClock, TickSystems};

/// Time between samples unless a caller asks for another.
pub const INTERVAL_S: f64 = 0.020;

/// The recorder of one flight.
#[derive(Component, Debug, Clone)]
pub struct Recorder {
    /// Time between samples.
    pub interval_s: f64,
    /// Samples so far.
    pub samples: Vec<Sample>,
    /// Every change of what the pilot's hands did, with the start of its tick:
    /// played back, it gives the same flight.
    pub controls: Vec<TimedMessage>,
    /// Contact impulse since the last sample.
    impulse_n_s: f64,
    /// The last sample is written.
    closed: bool,
    surfaces: SurfaceRoles,
}

impl Recorder {
    /// A recorder that has written nothing.
    pub fn new(airframe: &Airframe, interval_s: f64) -> Self {
        Self {
            interval_s,
            samples: Vec::new(),
            controls: Vec::new(),
            impulse_n_s: 0.0,
            closed: false,
            surfaces: SurfaceRoles::of(airframe),
        }
    }
}

/// Which surfaces count as elevator, rudder and ailerons: by the command that
/// moves them most and the panel they are on.
#[derive(Debug, Clone, Default, PartialEq)]
struct SurfaceRoles {
    elevators: Vec<usize>,
    rudders: Vec<usize>,
    /// With +1 when it deflects down for a roll to the right, -1 otherwise.
    ailerons: Vec<(usize, f64)>,
}

impl SurfaceRoles {
    fn of(airframe: &Airframe) -> Self {
        let mut roles = Self::default();
        for (index, surface) in airframe.controls.iter().enumerate() {
            let kind = airframe.panels.get(surface.panel).map(|panel| panel.kind);
            let mix = surface.mix;
            if kind == Some(SurfaceKind::Fin) {
                roles.rudders.push(index);
            } else if mix.roll != 0.0 {
                roles.ailerons.push((index, mix.roll.signum()));
            } else if mix.pitch != 0.0 {
                roles.elevators.push(index);
            }
        }
        roles
    }

    fn mean(state: &FlightState, indices: &[usize]) -> f64 {
        if indices.is_empty() {
            return 0.0;
        }
        let sum: f64 = indices
            .iter()
            .filter_map(|index| state.surfaces.get(*index))
            .map(|surface| surface.deflection_rad)
            .sum();
        sum / indices.len() as f64
    }

    fn aileron_rad(&self, state: &FlightState) -> f64 {
        if self.ailerons.is_empty() {
            return 0.0;
        }
        let sum: f64 = self
            .ailerons
            .iter()
            .filter_map(|(index, sign)| Some(state.surfaces.get(*index)?.deflection_rad * sign))
            .sum();
        sum / self.ailerons.len() as f64
    }
}

/// Takes samples.
pub struct RecordPlugin;

impl Plugin for RecordPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Tick, record.in_set(TickSystems::Record));
    }
}

type Recorded<'a> = (
    &'a RunStart,
    &'a Aircraft,
    &'a Pilot,
    &'a Link,
    &'a Judge,
    &'a ContactOutcome,
    &'a mut Recorder,
);

fn record(clock: Res<TickClock>, mut flights: Query<Recorded>) {
    for (run, plane, pilot, link, judge, outcome, mut recorder) in &mut flights {
        if recorder.closed {
            continue;
        }
        let message = pilot.message;
        if recorder
            .controls
            .last()
            .is_none_or(|last| last.message != message)
        {
            let time_s = clock.start_s(run);
            recorder.controls.push(TimedMessage { time_s, message });
        }
        let blows = outcome.blows.iter();
        recorder.impulse_n_s += blows.map(|blow| blow.impulse_n_s.length()).sum::<f64>();
        let time_s = clock.end_s(run);
        let due_s = recorder.samples.len() as f64 * recorder.interval_s;
        if time_s + SAME_TIME_S < due_s && !plane.ended() {
            continue;
        }
        let mut sample = sample(time_s, plane, pilot, judge, &recorder.surfaces);
        sample.contact_impulse_n_s = recorder.impulse_n_s;
        sample.hand_busy = pilot.message.hand_off;
        if link.motor_stopped || link.struck.is_some() {
            sample.propeller_rad_s = plane.state.power.omega_rad_s;
        }
        recorder.impulse_n_s = 0.0;
        recorder.closed = plane.ended();
        recorder.samples.push(sample);
    }
}

/// The row of one instant; impulses and hand are the caller's.
pub(crate) fn first_sample(
    plane: &Aircraft,
    pilot: &Pilot,
    judge: &Judge,
    recorder: &Recorder,
) -> Sample {
    sample(0.0, plane, pilot, judge, &recorder.surfaces)
}

fn sample(
    time_s: f64,
    plane: &Aircraft,
    pilot: &Pilot,
    judge: &Judge,
    surfaces: &SurfaceRoles,
) -> Sample {
    let state = &plane.state;
    let report = &plane.report;
    let (heading_rad, pitch_rad, bank_rad) = to_euler(state.attitude);
    let wind_m_s = plane.around.wind.centre_m_s;
    let sticks = pilot.message.sticks;
    Sample {
        time_s,
        stage: plane.stage,
        north_m: state.position_m.x,
        east_m: state.position_m.y,
        height_m: plane.around.ground_z_m - state.position_m.z,
        velocity_north_m_s: state.velocity_m_s.x,
        velocity_east_m_s: state.velocity_m_s.y,
        climb_m_s: -state.velocity_m_s.z,
        bank_rad,
        pitch_rad,
        heading_rad: if heading_rad < 0.0 {
            heading_rad + 2.0 * std::f64::consts::PI
        } else {
            heading_rad
        },
        roll_rate_rad_s: state.rates_rad_s.x,
        pitch_rate_rad_s: state.rates_rad_s.y,
        yaw_rate_rad_s: state.rates_rad_s.z,
        airspeed_m_s: report.airspeed_m_s,
        alpha_rad: report.alpha_rad,
        beta_rad: report.beta_rad,
        stall_margin_rad: report.stall_margin_rad,
        stalled_left: report.stalled_left,
        stalled_right: report.stalled_right,
        load_factor: report.load_factor,
        wind_north_m_s: wind_m_s.x,
        wind_east_m_s: wind_m_s.y,
        wind_up_m_s: -wind_m_s.z,
        stick_roll: sticks.roll,
        stick_pitch: sticks.pitch,
        stick_yaw: sticks.yaw,
        stick_throttle: sticks.throttle,
        hand_busy: pilot.message.hand_off,
        elevator_rad: SurfaceRoles::mean(state, &surfaces.elevators),
        rudder_rad: SurfaceRoles::mean(state, &surfaces.rudders),
        aileron_rad: surfaces.aileron_rad(state),
        propeller_rad_s: report.propeller_rad_s,
        thrust_n: report.thrust_n,
        current_a: report.current_a,
        voltage_v: report.voltage_v,
        contact_impulse_n_s: 0.0,
        nearest_person_m: judge.referee.nearest_person_m(state.position_m),
        safety_line_m: judge.referee.safety_line_m(state.position_m),
        energy_j: plane.energy_j(),
        air_work_j: plane.audit.air_work_j,
        thrust_work_j: plane.audit.thrust_work_j,
        contact_work_j: plane.audit.contact_work_j,
    }
}
