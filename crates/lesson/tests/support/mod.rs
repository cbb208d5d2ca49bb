//! Launches with the real flight model, without a contact solver: a flight is
//! over when something touches the ground.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use glam::DVec3;
use larkfield_airframe::Airframe;
use larkfield_files::airframe::load_airframe;
use larkfield_files::field::load_field;
use larkfield_files::lesson::load_lesson;
use larkfield_files::wind::load_wind;
use larkfield_flight::{
    AirProperties, Controls, FlightModel, FlightState, StepReport, Surroundings,
};
use larkfield_lesson::{
    Conditions, Field, Lesson, LevelSpeed, Performance, Referee, Score, Watch, score,
};
use larkfield_pilot::attitude::to_euler;
use larkfield_pilot::{
    ControlMessage, HandPath, PilotKind, Radio, RadioSetup, ScriptedPilot, Task, Truth,
};
use larkfield_recording::{Event, EventKind, FlightStage, Recording, Sample};
use larkfield_weather::{Air, Wind, WindScript};

const TICK_S: f64 = 0.002;
const GRAVITY_M_S2: f64 = 9.806_65;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// What a lesson is flown with.
pub struct Setting {
    pub lesson: Lesson,
    pub field: Field,
    pub wind: WindScript,
    pub airframe: Airframe,
    pub model: Arc<FlightModel>,
}

impl Setting {
    /// The shipped first launch with another wind (a file in assets/winds).
    pub fn shipped(airframe: &str, wind: &str) -> Self {
        let assets = root().join("assets");
        let lesson = load_lesson(&assets.join("lessons/first_launch.ron")).expect("lesson");
        let field = load_field(&assets.join("fields/open_meadow.ron")).expect("field");
        let wind = load_wind(&assets.join("winds").join(wind)).expect("wind");
        let airframe =
            load_airframe(&root().join("shared/airframes").join(airframe)).expect("airframe");
        let air = Air::sea_level();
        let air = AirProperties {
            density_kg_m3: air.density_kg_m3,
            viscosity_pa_s: air.viscosity_pa_s,
        };
        let model = FlightModel::new(&airframe, air).expect("model");
        Self {
            wind: wind.over_field(&field),
            lesson,
            field,
            airframe,
            model: Arc::new(model),
        }
    }

    pub fn pilot(&self, kind: PilotKind, seed: u64) -> ScriptedPilot {
        let task = Task::with_airframe(
            &self.lesson.launch,
            self.lesson.climb_to_m(),
            &self.airframe,
        );
        match kind {
            PilotKind::Competent => ScriptedPilot::competent(task, seed),
            PilotKind::Beginner => ScriptedPilot::beginner(task, seed),
            PilotKind::Learner(skill) => ScriptedPilot::learner(task, skill, seed),
            PilotKind::HandsOff | PilotKind::Playback | PilotKind::Person => {
                ScriptedPilot::hands_off(task)
            }
        }
    }

    /// Speeds good enough for comparing pilots with each other; what the plane
    /// can really do is calculated elsewhere.
    pub fn performance(&self) -> Performance {
        Performance {
            stall_speed_m_s: 5.2,
            minimum_level_speed: vec![LevelSpeed {
                throttle: 0.0,
                speed_m_s: Some(5.4),
            }],
            mass_kg: self.model.mass().mass_kg,
        }
    }

    pub fn fly(&self, pilot: ScriptedPilot, seed: u64) -> Flown {
        Run::new(self, pilot, seed).fly()
    }
}

/// A flight and its score.
pub struct Flown {
    pub recording: Recording,
    pub score: Score,
}

impl Flown {
    /// Reached the goal of every phase without touching anything.
    pub fn reached(&self) -> bool {
        self.score.goal_reached && self.score.broken_parts.is_empty()
    }

    /// Time from release to the first touch; infinite without one.
    pub fn survived_s(&self) -> f64 {
        let touched = |kind: &EventKind| matches!(kind, EventKind::TouchedGround { .. });
        let event = self.recording.events.iter().find(|e| touched(&e.kind));
        event.map_or(f64::INFINITY, |event| event.time_s - self.released_s())
    }

    pub fn released_s(&self) -> f64 {
        let released = |event: &&Event| event.kind == EventKind::Released;
        self.recording
            .events
            .iter()
            .find(released)
            .map_or(f64::NAN, |e| e.time_s)
    }
}

struct Run<'a> {
    setting: &'a Setting,
    pilot: ScriptedPilot,
    radio: Radio,
    wind: Wind,
    path: HandPath,
    eyes_m: DVec3,
    referee: Referee,
    state: FlightState,
    recording: Recording,
}

impl<'a> Run<'a> {
    fn new(setting: &'a Setting, pilot: ScriptedPilot, seed: u64) -> Self {
        let lesson = &setting.lesson;
        let meant = lesson.launch.throw().expect("a throw");
        let thrown = lesson.thrower.perform(meant, seed);
        let path = HandPath::new(meant, &thrown, DVec3::ZERO);
        let eyes_m = lesson.pilot_eyes_m(&setting.field, path.feet_m());
        Self {
            setting,
            pilot,
            radio: Radio::new(RadioSetup::for_airframe(&setting.airframe)),
            wind: Wind::new(&setting.wind, seed).expect("wind"),
            path,
            eyes_m,
            referee: Referee::new(
                lesson,
                &setting.field,
                path.feet_m(),
                &Conditions::default(),
            ),
            state: setting.model.state_at_rest(),
            recording: Recording {
                interval_s: 0.02,
                ..Recording::default()
            },
        }
    }

    fn fly(mut self) -> Flown {
        let first = self.path.at(0.0);
        (self.state.position_m, self.state.attitude) = (first.position_m, first.attitude);
        for tick in 0_u32.. {
            let time_s = f64::from(tick) * TICK_S;
            let held = self.path.holds(time_s + 1e-9);
            let message = self.act(time_s, held);
            let controls = self.radio.relay(time_s, Some(&message));
            let report = self.step(time_s, held, &controls);
            let over = self.judge(time_s + TICK_S, &report, &message);
            if tick.is_multiple_of(10) || over {
                let sample = self.sample(time_s + TICK_S, held, &message, &report);
                self.recording.samples.push(sample);
            }
            if over {
                break;
            }
        }
        let setting = self.setting;
        let score = score(
            &setting.lesson,
            &setting.field,
            &self.recording,
            &setting.performance(),
            &Conditions::default(),
        );
        Flown {
            recording: self.recording,
            score,
        }
    }

    fn act(&mut self, time_s: f64, held: bool) -> ControlMessage {
        let truth = Truth {
            position_m: self.state.position_m,
            velocity_m_s: self.state.velocity_m_s,
            attitude: self.state.attitude,
            rates_rad_s: self.state.rates_rad_s,
            motor_sound: self.state.power.omega_rad_s / 900.0,
            in_hand: held,
            hand_off: self.path.hand_off(time_s),
            eyes_m: self.eyes_m,
        };
        self.pilot.act(time_s, &truth)
    }

    fn step(&mut self, time_s: f64, held: bool, controls: &Controls) -> StepReport {
        let model = &self.setting.model;
        let instant = self.wind.at(time_s);
        let around = Surroundings {
            wind: model.local_wind(&self.state, |place_m| instant.velocity_m_s(place_m)),
            ground_z_m: 0.0,
            gravity_m_s2: GRAVITY_M_S2,
        };
        let end_s = time_s + TICK_S;
        if held {
            let motion = self.path.at(end_s);
            let report = model.carry(&mut self.state, &motion, controls, &around, TICK_S);
            if !self.path.holds(end_s + 1e-9) {
                self.note(end_s, EventKind::Released);
            }
            report
        } else {
            model.step(&mut self.state, controls, &around, TICK_S)
        }
    }

    fn note(&mut self, time_s: f64, kind: EventKind) {
        self.recording.events.push(Event { time_s, kind });
    }

    fn judge(&mut self, time_s: f64, report: &StepReport, message: &ControlMessage) -> bool {
        assert!(self.state.is_finite(), "state at {time_s} s");
        let held = self.path.holds(time_s + 1e-9);
        let cg_m = self.setting.model.mass().cg_m;
        let lowest_z_m = self
            .setting
            .airframe
            .contacts
            .iter()
            .map(|c| (self.state.position_m + self.state.attitude * (c.position_m - cg_m)).z)
            .fold(f64::NEG_INFINITY, f64::max);
        let touching = !held && lowest_z_m > 0.0;
        if touching {
            let kind = EventKind::TouchedGround {
                sink_m_s: self.state.velocity_m_s.z,
                part: String::new(),
            };
            self.note(time_s, kind);
        }
        let (heading_rad, pitch_rad, bank_rad) = to_euler(self.state.attitude);
        let events = self.referee.watch(&Watch {
            time_s,
            stage: match (held, touching) {
                (true, _) => FlightStage::InHand,
                (false, true) => FlightStage::Ground,
                (false, false) => FlightStage::Free,
            },
            position_m: self.state.position_m,
            velocity_m_s: self.state.velocity_m_s,
            stalled_share: 0.5 * (report.stalled_left + report.stalled_right),
            bank_rad,
            pitch_rad,
            heading_rad,
            stick_roll: message.sticks.roll,
            stick_pitch: message.sticks.pitch,
            stick_yaw: message.sticks.yaw,
            stick_throttle: message.sticks.throttle,
            ..Watch::default()
        });
        for kind in events {
            self.note(time_s, kind);
        }
        touching || self.referee.has_ended()
    }

    fn sample(
        &self,
        time_s: f64,
        held: bool,
        message: &ControlMessage,
        report: &StepReport,
    ) -> Sample {
        let (heading_rad, pitch_rad, bank_rad) = to_euler(self.state.attitude);
        let (p, v) = (self.state.position_m, self.state.velocity_m_s);
        Sample {
            time_s,
            stage: if held {
                FlightStage::InHand
            } else {
                FlightStage::Free
            },
            north_m: p.x,
            east_m: p.y,
            height_m: -p.z,
            velocity_north_m_s: v.x,
            velocity_east_m_s: v.y,
            climb_m_s: -v.z,
            bank_rad,
            pitch_rad,
            heading_rad,
            roll_rate_rad_s: self.state.rates_rad_s.x,
            pitch_rate_rad_s: self.state.rates_rad_s.y,
            yaw_rate_rad_s: self.state.rates_rad_s.z,
            airspeed_m_s: report.airspeed_m_s,
            alpha_rad: report.alpha_rad,
            beta_rad: report.beta_rad,
            stall_margin_rad: report.stall_margin_rad,
            stalled_left: report.stalled_left,
            stalled_right: report.stalled_right,
            stick_roll: message.sticks.roll,
            stick_pitch: message.sticks.pitch,
            stick_yaw: message.sticks.yaw,
            stick_throttle: message.sticks.throttle,
            hand_busy: message.hand_off,
            thrust_n: report.thrust_n,
            current_a: report.current_a,
            ..Sample::default()
        }
    }
}
