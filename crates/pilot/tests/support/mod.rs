//! Whole flights with the real flight model over a plain ground: springs,
//! dampers and Coulomb friction at the contact points. The field's own contact
//! solver is another matter and is tested with it; here pilots are.

#![allow(dead_code)]

use std::path::{Path, PathBuf};
use std::sync::Arc;

use glam::{DQuat, DVec3};
use larkfield_airframe::{Airframe, BreakPart, ContactKind};
use larkfield_files::airframe::load_airframe;
use larkfield_flight::{
    AirProperties, CarriedMotion, Controls, FlightModel, FlightState, StepReport, Surroundings,
};
use larkfield_pilot::attitude::{from_euler, to_euler};
use larkfield_pilot::{
    Circuit, ControlMessage, HandPath, Launch, Maneuver, PlaneFeel, PowerTiming, Radio, RadioSetup,
    ScriptedPilot, Side, Task, Throw, ThrowerStyle, Truth,
};
use larkfield_weather::{TurbulenceScript, Wind, WindScript};

pub const TICK_S: f64 = 0.002;
const GRAVITY_M_S2: f64 = 9.806_65;

/// What is flown with.
#[derive(Clone)]
pub struct Plane {
    pub airframe: Airframe,
    pub model: Arc<FlightModel>,
    pub feel: PlaneFeel,
}

impl Plane {
    pub fn shipped(name: &str) -> Self {
        let folder: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/airframes");
        let airframe = load_airframe(&folder.join(format!("{name}.ron"))).expect("airframe");
        let air = AirProperties {
            density_kg_m3: 1.225,
            viscosity_pa_s: 1.79e-5,
        };
        let model = Arc::new(FlightModel::new(&airframe, air).expect("model"));
        let feel = larkfield_preflight::plane_feel(&model, 0.75);
        Self {
            airframe,
            model,
            feel,
        }
    }

    pub fn task(&self, maneuvers: &[Maneuver], circuit: Circuit) -> Task {
        Task {
            maneuvers: maneuvers.to_vec(),
            circuit: Some(circuit),
            feel: self.feel,
            ..Task::with_airframe(
                &Launch::Throw(self.throw()),
                circuit.height_m,
                &self.airframe,
            )
        }
    }

    /// A firm throw; a pusher gets its power once it has left the hand.
    pub fn throw(&self) -> Throw {
        let pusher = self.airframe.power.as_ref().is_some_and(|p| p.pusher);
        let mut throw = Throw::default();
        if pusher {
            throw.power = PowerTiming::After { delay_s: 0.2 };
            throw.pitch_rad = 0.2;
            throw.path_rad = 0.15;
            throw.speed_m_s = 8.0;
        }
        throw
    }
}

/// The whole flight: launch, circuit, landing.
pub fn whole_flight(height_m: f64) -> Vec<Maneuver> {
    vec![
        Maneuver::GetAway,
        Maneuver::ClimbTo { height_m },
        Maneuver::Downwind,
        Maneuver::Base,
        Maneuver::Final,
        Maneuver::Land {
            technique: larkfield_pilot::LandingTechnique::Usual,
        },
        Maneuver::StopAndDisarm,
    ]
}

/// A circuit ahead and to the right of the launch point.
pub fn circuit() -> Circuit {
    Circuit {
        touch_north_m: 20.0,
        touch_east_m: 20.0,
        ..Circuit::around_launch_point(0.0, Side::Right)
    }
}

/// A breeze at every height, with some turbulence.
pub fn breeze(speed_m_s: f64, from_rad: f64, seed: u64) -> Wind {
    let mut script = WindScript::uniform(speed_m_s, from_rad);
    if speed_m_s > 0.0 {
        script.turbulence = Some(TurbulenceScript {
            intensity: 0.5,
            seed: 0,
        });
    }
    Wind::new(&script, seed).expect("wind")
}

/// How a flight begins.
#[derive(Clone, Copy)]
pub enum Begin {
    /// Thrown by a steady helper.
    Thrown,
    /// In the air: north, east, height, heading, speed.
    Flying([f64; 5]),
    /// Standing on its wheels: north, east, heading.
    Standing([f64; 3]),
}

/// One moment of a flight.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    pub time_s: f64,
    pub position_m: DVec3,
    pub velocity_m_s: DVec3,
    pub heading_rad: f64,
    pub pitch_rad: f64,
    pub bank_rad: f64,
    pub airspeed_m_s: f64,
    pub stall_margin_rad: f64,
    pub stalled: f64,
    pub load_factor: f64,
    pub propeller_rad_s: f64,
    pub current_a: f64,
    pub message: ControlMessage,
    pub controls: Controls,
    pub thrust_n: f64,
    pub touching: bool,
}

impl Moment {
    pub fn height_m(&self) -> f64 {
        -self.position_m.z
    }
}

/// A flight as it went, ten samples a second... every 0.02 s.
pub struct Flown {
    pub moments: Vec<Moment>,
    /// First touch after release.
    pub touch: Option<Moment>,
    /// Largest impulse over 20 ms on each part, N s.
    pub blows: Vec<(BreakPart, f64)>,
    pub state: FlightState,
    pub disarmed_s: Option<f64>,
}

pub struct Flight<'a> {
    pub plane: &'a Plane,
    pub wind: Wind,
    pub begin: Begin,
    pub seed: u64,
    pub length_s: f64,
    /// The motor gets no more current from then on.
    pub motor_dies_s: f64,
    pub eyes_m: DVec3,
    pub throw: Throw,
    /// Linkages out of trim.
    pub trim_error: larkfield_pilot::Trims,
}

impl<'a> Flight<'a> {
    pub fn new(plane: &'a Plane, wind: Wind, seed: u64) -> Self {
        Self {
            plane,
            wind,
            begin: Begin::Thrown,
            seed,
            length_s: 150.0,
            motor_dies_s: f64::INFINITY,
            eyes_m: DVec3::new(-0.5, -3.0, -1.7),
            throw: plane.throw(),
            trim_error: larkfield_pilot::Trims::default(),
        }
    }

    pub fn fly(&self, pilot: ScriptedPilot) -> Flown {
        self.fly_watched(pilot, |_, _, _| (false, false))
    }

    /// The same with somebody who watches every tick and may stop the motor, or
    /// the flight.
    pub fn fly_watched(
        &self,
        mut pilot: ScriptedPilot,
        mut watch: impl FnMut(&Moment, bool, &[(BreakPart, f64)]) -> (bool, bool),
    ) -> Flown {
        let mut dead = false;
        let model = &self.plane.model;
        let throw = self.throw;
        let thrown = ThrowerStyle::SteadyHelper.perform(&throw, self.seed);
        let path = HandPath::new(&throw, &thrown, DVec3::ZERO);
        let mut radio = Radio::new(RadioSetup::for_airframe(&self.plane.airframe));
        let mut state = model.state_at_rest();
        match self.begin {
            Begin::Thrown => place(&mut state, &path.at(0.0)),
            Begin::Flying([north, east, height, heading, speed]) => {
                state.position_m = DVec3::new(north, east, -height);
                state.attitude = from_euler(heading, self.plane.feel.level_pitch_rad, 0.0);
                let air = self.wind.sample(state.position_m, 0.0);
                state.velocity_m_s =
                    DVec3::new(libm::cos(heading), libm::sin(heading), 0.0) * speed + air;
            }
            Begin::Standing([north, east, heading]) => {
                let height = self.plane.feel.standing_height_m + 0.01;
                state.position_m = DVec3::new(north, east, -height);
                state.attitude = from_euler(heading, 0.0, 0.0);
            }
        }
        let thrown = matches!(self.begin, Begin::Thrown);
        let mut ground = Ground::new(&self.plane.airframe, model);
        let full = model
            .power()
            .map_or(1.0, |p| p.static_point(1.0).omega_rad_s);
        let mut flown = Flown {
            moments: Vec::new(),
            touch: None,
            blows: Vec::new(),
            state: state.clone(),
            disarmed_s: None,
        };
        let ticks = (self.length_s / TICK_S) as u64;
        let mut off_ground = false;
        for tick in 0..ticks {
            let time_s = tick as f64 * TICK_S;
            let held = thrown && path.holds(time_s + 1e-9);
            let truth = Truth {
                position_m: state.position_m,
                velocity_m_s: state.velocity_m_s,
                attitude: state.attitude,
                rates_rad_s: state.rates_rad_s,
                motor_sound: sound(&state, full),
                in_hand: held,
                hand_off: thrown && path.hand_off(time_s),
                eyes_m: self.eyes_m,
            };
            let message = pilot.act(time_s, &truth);
            let mut controls = radio.relay(time_s, Some(&message));
            let travel = |x: f64| x.clamp(-1.0, 1.0);
            controls.roll = travel(controls.roll + self.trim_error.roll);
            controls.pitch = travel(controls.pitch + self.trim_error.pitch);
            controls.yaw = travel(controls.yaw + self.trim_error.yaw);
            if dead || time_s >= self.motor_dies_s {
                controls.throttle = 0.0;
            }
            let around = self.around(&state, time_s);
            let report = if held {
                model.carry(
                    &mut state,
                    &path.at(time_s + TICK_S),
                    &controls,
                    &around,
                    TICK_S,
                )
            } else {
                let report = model.step(&mut state, &controls, &around, TICK_S);
                ground.push(model, &mut state);
                report
            };
            assert!(state.is_finite(), "not finite at {time_s} s");
            let moment = moment(
                time_s + TICK_S,
                &state,
                &report,
                &message,
                &controls,
                &ground,
            );
            let (dies, over) = watch(&moment, held, &ground.worst);
            dead |= dies;
            off_ground |= moment.height_m() > 1.0 && !held;
            if ground.touching && off_ground && flown.touch.is_none() {
                flown.touch = Some(moment);
            }
            if tick % 10 == 0 {
                flown.moments.push(moment);
            }
            if over {
                break;
            }
            if message.switches.throttle_cut {
                let since = *flown.disarmed_s.get_or_insert(time_s);
                if time_s > since + 2.0 {
                    break;
                }
            }
        }
        flown.blows = ground.worst.clone();
        flown.state = state;
        flown
    }

    fn around(&self, state: &FlightState, time_s: f64) -> Surroundings {
        let instant = self.wind.at(time_s);
        let model = &self.plane.model;
        Surroundings {
            wind: model.local_wind(state, |place_m| instant.velocity_m_s(place_m)),
            ground_z_m: 0.0,
            gravity_m_s2: GRAVITY_M_S2,
        }
    }
}

fn place(state: &mut FlightState, held: &CarriedMotion) {
    state.position_m = held.position_m;
    state.velocity_m_s = held.velocity_m_s;
    state.attitude = held.attitude;
    state.rates_rad_s = held.rates_rad_s;
}

/// As loud as it turns, when it is driven; a propeller that only windmills
/// whirrs.
pub fn sound(state: &FlightState, full_rad_s: f64) -> f64 {
    let driven = (state.power.duty / 0.1).clamp(0.0, 1.0);
    state.power.omega_rad_s.abs() / full_rad_s * (0.25 + 0.75 * driven)
}

fn moment(
    time_s: f64,
    state: &FlightState,
    report: &StepReport,
    message: &ControlMessage,
    controls: &Controls,
    ground: &Ground,
) -> Moment {
    let (heading_rad, pitch_rad, bank_rad) = to_euler(state.attitude);
    Moment {
        time_s,
        position_m: state.position_m,
        velocity_m_s: state.velocity_m_s,
        heading_rad,
        pitch_rad,
        bank_rad,
        airspeed_m_s: report.airspeed_m_s,
        stall_margin_rad: report.stall_margin_rad,
        stalled: 0.5 * (report.stalled_left + report.stalled_right),
        load_factor: report.load_factor,
        propeller_rad_s: report.propeller_rad_s,
        current_a: report.current_a,
        message: *message,
        controls: *controls,
        thrust_n: report.thrust_n,
        touching: ground.touching,
    }
}

struct Point {
    at_m: DVec3,
    radius_m: f64,
    friction: f64,
    rolling: Option<f64>,
    part: BreakPart,
    recent: f64,
}

/// Springs stiff enough to sink a few millimetres, damped to bounce little.
pub struct Ground {
    points: Vec<Point>,
    mass_kg: f64,
    inverse: glam::DMat3,
    pub touching: bool,
    pub worst: Vec<(BreakPart, f64)>,
}

impl Ground {
    fn new(airframe: &Airframe, model: &FlightModel) -> Self {
        let mass = model.mass();
        Self {
            points: airframe
                .contacts
                .iter()
                .map(|c| Point {
                    at_m: c.position_m - mass.cg_m,
                    radius_m: c.radius_m,
                    friction: c.friction,
                    rolling: (c.kind == ContactKind::Wheel).then_some(c.friction_along),
                    part: c.part,
                    recent: 0.0,
                })
                .collect(),
            mass_kg: mass.mass_kg,
            inverse: mass.inertia_kg_m2.inverse(),
            touching: false,
            worst: Vec::new(),
        }
    }

    fn push(&mut self, model: &FlightModel, state: &mut FlightState) {
        self.touching = false;
        let stiff = self.mass_kg * GRAVITY_M_S2 / 0.004;
        let damping = 0.6 * 2.0 * (stiff * self.mass_kg * 0.3).sqrt();
        let (mut force, mut moment) = (DVec3::ZERO, DVec3::ZERO);
        let to_world: DQuat = state.attitude;
        for point in &mut self.points {
            let arm = to_world * point.at_m;
            let place = state.position_m + arm;
            let deep = place.z + point.radius_m;
            point.recent *= 1.0 - TICK_S / 0.02;
            if deep <= 0.0 {
                continue;
            }
            self.touching = true;
            let arm = arm + DVec3::Z * point.radius_m;
            let rate = to_world * state.rates_rad_s;
            let velocity = state.velocity_m_s + rate.cross(arm);
            let load = (stiff * deep + damping * velocity.z).max(0.0);
            let slide = DVec3::new(velocity.x, velocity.y, 0.0);
            let along = {
                let nose = to_world * DVec3::X;
                DVec3::new(nose.x, nose.y, 0.0).normalize_or_zero()
            };
            let across = DVec3::new(-along.y, along.x, 0.0);
            let soft = |v: f64| v / (v.abs() + 0.1);
            let pull = along * (-point.rolling.unwrap_or(point.friction) * soft(slide.dot(along)))
                + across * (-point.friction * soft(slide.dot(across)));
            let here = DVec3::new(0.0, 0.0, -load) + pull * load;
            force += here;
            moment += arm.cross(here);
            point.recent += load * TICK_S;
            let recent = point.recent;
            match self.worst.iter_mut().find(|(part, _)| *part == point.part) {
                Some((_, worst)) => *worst = worst.max(recent),
                None => self.worst.push((point.part, recent)),
            }
        }
        if self.touching {
            let turn = self.inverse * (to_world.conjugate() * moment);
            let (position, attitude) = (state.position_m, state.attitude);
            model.contact(
                state,
                force / self.mass_kg * TICK_S,
                turn * TICK_S,
                position,
                attitude,
            );
        }
    }
}

/// Prints a flight twice a second.
pub fn print_trace<E: std::fmt::Debug>(flown: &Flown, events: &[(f64, E)]) {
    let mut next = 0;
    for m in flown.moments.iter().step_by(25) {
        while let Some((time_s, event)) = events.get(next).filter(|e| e.0 <= m.time_s) {
            println!("----- {time_s:.2} {event:?}");
            next += 1;
        }
        let (p, v, s) = (m.position_m, m.velocity_m_s, m.message.sticks);
        let degrees = f64::to_degrees;
        println!(
            "{:6.2} n{:6.1} e{:6.1} h{:5.2} hdg{:5.0} trk{:5.0} gs{:5.1} vz{:5.2} th{:5.1} bk{:5.1} V{:5.1} sm{:5.1} | r{:5.2} p{:5.2} y{:5.2} t{:4.2} tr{:5.2} tp{:5.2} {}",
            m.time_s,
            p.x,
            p.y,
            -p.z,
            degrees(m.heading_rad),
            degrees(v.y.atan2(v.x)),
            v.x.hypot(v.y),
            -v.z,
            degrees(m.pitch_rad),
            degrees(m.bank_rad),
            m.airspeed_m_s,
            degrees(m.stall_margin_rad),
            s.roll,
            s.pitch,
            s.yaw,
            s.throttle,
            m.message.trims.roll,
            m.message.trims.pitch,
            if m.touching { "T" } else { "" },
        );
    }
    for (time_s, event) in events.iter().skip(next) {
        println!("----- {time_s:.2} {event:?}");
    }
}
