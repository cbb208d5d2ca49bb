//! The shipped trainer and flights of it.
#![allow(dead_code)]

use std::path::Path;
use std::sync::Arc;

use larkfield_airframe::Airframe;
use larkfield_flight::{AirProperties, FlightModel};
use larkfield_lesson::{Conditions, Field, Lesson, Referee};
use larkfield_pilot::{
    ControlMessage, Launch, Mishaps, PilotKind, PlaneFeel, RadioSetup, ScriptedPilot, Sticks,
    TimedMessage, Trims,
};
use larkfield_weather::{Wind, WindScript};
use larkfield_world::{FlightSetup, LessonDay, Motion, Start};

pub fn trainer() -> Arc<FlightModel> {
    trainer_in(1.225)
}

/// The trainer in air of some density; a density of 0 is a vacuum.
pub fn trainer_in(density_kg_m3: f64) -> Arc<FlightModel> {
    shipped("marram", density_kg_m3)
}

/// A shipped plane in air of some density.
pub fn shipped(name: &str, density_kg_m3: f64) -> Arc<FlightModel> {
    in_air(&airframe(name), density_kg_m3)
}

/// As its file has it.
pub fn airframe(name: &str) -> Airframe {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../shared/airframes")
        .join(format!("{name}.ron"));
    larkfield_files::airframe::load_airframe(&file).unwrap()
}

pub fn in_air(airframe: &Airframe, density_kg_m3: f64) -> Arc<FlightModel> {
    let air = AirProperties {
        density_kg_m3,
        viscosity_pa_s: 1.79e-5,
    };
    Arc::new(FlightModel::new(airframe, air).unwrap())
}

pub fn calm() -> Arc<Wind> {
    Arc::new(Wind::new(&WindScript::calm(), 1).unwrap())
}

pub fn breeze(seed: u64) -> Arc<Wind> {
    let mut script = WindScript::uniform(2.0, 0.0);
    script.turbulence = Some(larkfield_weather::TurbulenceScript {
        intensity: 1.0,
        seed: 0,
    });
    Arc::new(Wind::new(&script, seed).unwrap())
}

/// Sticks that stay where they are from the start.
pub fn steady(throttle: f64) -> ScriptedPilot {
    let sticks = Sticks {
        throttle,
        ..Sticks::default()
    };
    let message = ControlMessage {
        sticks,
        ..ControlMessage::default()
    };
    ScriptedPilot::playback(vec![TimedMessage {
        time_s: 0.0,
        message,
    }])
}

/// A flight of the first lesson that begins in some way, with hands off.
pub fn begin(model: &Arc<FlightModel>, launch: Launch) -> FlightSetup {
    let mut lesson = Lesson::first_hand_launch();
    lesson.launch = launch;
    lesson.pilot = PilotKind::HandsOff;
    let field = Field::open_meadow();
    let day = LessonDay {
        lesson: &lesson,
        field: &field,
        conditions: &Conditions::default(),
        feel: PlaneFeel::default(),
    };
    FlightSetup::for_lesson(&day, model.clone(), calm(), 1, Vec::new().into())
}

/// The shipped lesson on the shipped field.
pub fn launch(
    model: &Arc<FlightModel>,
    wind: &Arc<Wind>,
    kind: PilotKind,
    seed: u64,
) -> FlightSetup {
    launch_at(
        model,
        wind,
        kind,
        seed,
        Lesson::first_hand_launch().launch.throttle(),
    )
}

/// The same with another throttle.
pub fn launch_at(
    model: &Arc<FlightModel>,
    wind: &Arc<Wind>,
    kind: PilotKind,
    seed: u64,
    throttle: f64,
) -> FlightSetup {
    let mut lesson = Lesson::first_hand_launch();
    lesson.pilot = kind;
    lesson.launch.throw_mut().unwrap().throttle = throttle;
    let field = Field::open_meadow();
    let messages = Vec::new().into();
    let day = LessonDay {
        lesson: &lesson,
        field: &field,
        conditions: &Conditions::default(),
        feel: PlaneFeel::default(),
    };
    FlightSetup::for_lesson(&day, model.clone(), wind.clone(), seed, messages)
}

/// A drop with nobody at the sticks, on an empty field.
pub fn drop(model: &Arc<FlightModel>, motion: Motion) -> FlightSetup {
    let mut field = Field::open_meadow();
    field.people.clear();
    field.safety_line.east_m = -1e4;
    let mut lesson = Lesson::first_hand_launch();
    lesson.phases.clear();
    let far = glam::DVec3::new(0.0, -1000.0, 0.0);
    FlightSetup {
        model: model.clone(),
        wind: calm(),
        start: Start::Free(motion),
        pilot: ScriptedPilot::playback(Vec::new()),
        eyes_m: far,
        radio: RadioSetup::default(),
        referee: Referee::new(&lesson, &field, far, &Conditions::default()),
        trim_error: Trims::default(),
        mishaps: Mishaps::default(),
        terrain: field.terrain(),
        throw_waits: false,
    }
}
