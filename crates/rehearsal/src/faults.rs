//! Faults that a rehearsal is flown with, asked for or kept by an earlier run.
//!
//! A run folder keeps them as an input of its own, one to a line with its
//! size, so that the flight can be flown again. The airframe kept beside it is
//! the one without them.

use glam::DVec3;
use larkfield_airframe::Airframe;
use larkfield_faults::{Injected, Origin, Person, Scene};
use larkfield_lesson::Lesson;
use larkfield_pilot::{Ability, Habits, HandPath, Launch, Mishaps, PilotKind, RadioSetup};
use larkfield_weather::WindScript;
use larkfield_world::{FlightSetup, Start};

use crate::failure::Failure;
use crate::inputs::InputFile;

/// What the input is to the run.
pub const FAULTS: &str = "faults";

/// The faults of an earlier run or of the lesson, then those asked for.
///
/// # Errors
/// The first that is none, with what would be right.
pub fn read_faults(kept: &str, asked: &[String]) -> Result<Vec<Injected>, Failure> {
    let lines = kept.lines().map(str::trim).filter(|line| !line.is_empty());
    let all = lines.chain(asked.iter().map(String::as_str));
    all.map(|text| Injected::parse(text).map_err(|e| Failure::input(e.to_string())))
        .collect()
}

/// The input that a run folder keeps; none without faults.
pub fn kept(faults: &[Injected]) -> Option<InputFile> {
    let lines: String = faults.iter().map(|fault| format!("{fault}\n")).collect();
    (!lines.is_empty()).then(|| InputFile {
        role: FAULTS,
        name: "faults.txt".to_owned(),
        bytes: lines.into_bytes(),
    })
}

/// Changes plane and wind; what throw, radio and pilot can have wrong is only
/// looked at here, because it goes wrong on the day, not in what was meant
/// ([`set_up`]).
///
/// # Errors
/// A fault that this plane, lesson, wind or pilot cannot have.
pub fn build_in(
    faults: &[Injected],
    airframe: Airframe,
    lesson: &Lesson,
    wind: WindScript,
) -> Result<(Airframe, WindScript), Failure> {
    let person = match lesson.pilot {
        PilotKind::Competent => Some((Ability::competent(), Habits::competent())),
        PilotKind::Beginner => Some((Ability::beginner(), Habits::beginner())),
        PilotKind::Learner(skill) => Some((skill.ability(), skill.habits())),
        PilotKind::HandsOff | PilotKind::Playback | PilotKind::Person => None,
    };
    let mut scene = Scene {
        radio: RadioSetup::for_airframe(&airframe),
        airframe,
        launch: lesson.launch,
        trim_error: lesson.trim_error,
        mishaps: Mishaps::default(),
        wind,
        person: person.map(|(ability, habits)| Person { ability, habits }),
    };
    for injected in faults {
        if lesson.air_start.is_some() && injected.fault().origin == Origin::Launch {
            return Err(Failure::input(format!(
                "{injected}: this lesson begins in the air; choose one that begins with a throw"
            )));
        }
        (injected.apply(&mut scene)).map_err(|e| Failure::input(format!("{injected}: {e}")))?;
    }
    Ok((scene.airframe, scene.wind))
}

/// Radio, trim, throw and pilot as the faults leave them, and what gives way in
/// flight. The throw is the one that the thrower performs on this day: neither
/// lesson nor pilot knows of it.
pub fn set_up(faults: &[Injected], airframe: &Airframe, lesson: &Lesson, setup: &mut FlightSetup) {
    if faults.is_empty() {
        return;
    }
    let thrown = match &setup.start {
        Start::Thrown(path) => Launch::Throw(*path.throw()),
        Start::Free(_) | Start::Standing(_) | Start::Flying { .. } => lesson.launch,
    };
    let mut scene = Scene {
        airframe: airframe.clone(),
        radio: setup.radio,
        launch: thrown,
        trim_error: setup.trim_error,
        mishaps: std::mem::take(&mut setup.mishaps),
        // It blows already.
        wind: WindScript::calm(),
        person: setup.pilot.flyer().map(|flyer| Person {
            ability: *flyer.ability(),
            habits: *flyer.habits(),
        }),
    };
    for injected in faults {
        // What does not fit this plane was refused when it was built in.
        let _ = injected.apply(&mut scene);
    }
    setup.radio = scene.radio;
    setup.trim_error = scene.trim_error;
    setup.mishaps = scene.mishaps;
    if let (Some(flyer), Some(person)) = (setup.pilot.flyer_mut(), scene.person) {
        flyer.change(person.ability, person.habits);
    }
    if let (Start::Thrown(path), Launch::Throw(meant), Launch::Throw(thrown)) =
        (&mut setup.start, &lesson.launch, &scene.launch)
    {
        **path = HandPath::new(meant, thrown, DVec3::ZERO);
    }
}
