//! From a request to checked models, keeping the text of every file for the
//! run folder.

use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::Context;
use larkfield_airframe::Airframe;
use larkfield_faults::Injected;
use larkfield_files::wind::WindFile;
use larkfield_files::{airframe, field, lesson, load_text, radio, wind};
use larkfield_flight::{AirProperties, FlightModel};
use larkfield_lesson::{Conditions, Field, Lesson, Problem, Surprise};
use larkfield_pilot::{PilotKind, PlaneFeel, Tape};
use larkfield_preflight::plane_feel;
use larkfield_radio::Transmitter;
use larkfield_weather::{Atmosphere, Wind, WindScript};

use crate::failure::Failure;
use crate::faults::{FAULTS, build_in, kept, read_faults};
use crate::places::beside;
use crate::playback::read_sticks;
use crate::request::{PilotChoice, Request};
use crate::sources::Sources;
use crate::unlock;

/// A file as it was read.
pub struct InputFile {
    /// What it is to the run, such as `airframe`.
    pub role: &'static str,
    /// Its own name, without folders.
    pub name: String,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// The name of somebody on the ladder of pilots begins so.
pub const LEARNER: &str = "learner at ";

/// What differs from seed to seed.
pub struct Today {
    /// The wind.
    pub wind: Arc<Wind>,
    /// What the lesson makes of it.
    pub conditions: Conditions,
}

/// Everything a rehearsal starts from.
pub struct Inputs {
    /// The lesson, its pilot replaced by the one asked for.
    pub lesson: Lesson,
    /// The field.
    pub field: Field,
    /// The wind of the file.
    pub wind: WindFile,
    /// The same over this field, and as faults left it.
    pub script: WindScript,
    /// The plane.
    pub model: Arc<FlightModel>,
    /// The plane as it was designed: without what its file says went wrong with
    /// it, and without faults.
    pub designed: Airframe,
    /// What a pilot knows of such planes.
    pub feel: PlaneFeel,
    /// Sticks for a playback pilot; empty for others.
    pub sticks: Tape,
    /// The radio of a person's sticks.
    pub radio: Option<Transmitter>,
    /// What is wrong with plane, radio or throw; the plane has it already.
    pub faults: Vec<Injected>,
    /// Every file that was read.
    pub files: Vec<InputFile>,
}

impl Inputs {
    /// Reads everything that a request names.
    ///
    /// # Errors
    /// Everything wrong with the first file that has something wrong.
    pub fn resolve(request: &Request) -> Result<Self, Failure> {
        Self::with_faults(request, true)
    }

    /// The same with nothing wrong, whatever lesson, request or an earlier run
    /// ask for.
    ///
    /// # Errors
    /// As [`Inputs::resolve`].
    pub fn resolve_without_faults(request: &Request) -> Result<Self, Failure> {
        Self::with_faults(request, false)
    }

    fn with_faults(request: &Request, faulty: bool) -> Result<Self, Failure> {
        let mut files = Vec::new();
        let sources = Sources::of(request)?;
        let lesson_path = sources.lesson;
        let lesson_text = read("lesson", &lesson_path, &mut files)?;
        let mut lesson = lesson::read_lesson(&lesson_text, &lesson_path.display().to_string())?;
        // Whoever flew it before had unlocked it.
        let unlocked = request.unlocked || request.again.is_some();
        unlock::check(&lesson, &lesson_path, unlocked, &request.passed)?;

        let field_path = named(&sources.field, &lesson_path, &lesson.field);
        let text = read("field", &field_path, &mut files)?;
        let mut field = field::read_field(&text, &field_path.display().to_string())?;

        let wind_path = named(&sources.wind, &lesson_path, &lesson.wind);
        let text = read("wind", &wind_path, &mut files)?;
        let wind = wind::read_wind(&text, &wind_path.display().to_string())?;
        if let Err(refused) = Wind::new(&wind.over_field(&field), 0) {
            return Err(Failure::input(format!(
                "{} cannot blow over {}: {refused}; change `stated_height` or `gradient` of the \
                 wind, or `roughness_length` of the field",
                wind_path.display(),
                field_path.display()
            )));
        }

        let plane_path = named(&sources.airframe, &lesson_path, &lesson.airframe);
        let text = read("airframe", &plane_path, &mut files)?;
        let airframe = airframe::read_airframe(&text, &plane_path.display().to_string())?;

        let radio = match &sources.radio {
            None => None,
            Some(path) => {
                let text = read("radio", path, &mut files)?;
                Some(radio::read_radio(&text, &path.display().to_string())?)
            }
        };
        let sticks = choose_pilot(&mut lesson, sources.pilot.as_ref(), &mut files)?;
        let at_keys = request.pilot == Some(PilotChoice::AtKeys);
        suits_pilot(radio.is_some() || at_keys, lesson.pilot)?;
        if let Err(problems) = lesson.check_with(&field) {
            return Err(together(&lesson_path, &field_path, &problems));
        }
        let lesson = lesson.suited(&airframe);
        if let Err(problems) = lesson.check_with_airframe(&airframe) {
            let file = lesson_path.display().to_string();
            lesson::refuse_lesson(&lesson_text, &file, &problems)?;
        }
        let earlier = match &sources.faults {
            // The lesson's own are among them.
            Some(path) => read(FAULTS, path, &mut Vec::new())?,
            None => lesson.faults.join("\n"),
        };
        let faults = if faulty {
            read_faults(&earlier, &request.faults)?
        } else {
            Vec::new()
        };
        files.extend(kept(&faults));
        let (airframe, script) = build_in(&faults, airframe, &lesson, wind.over_field(&field))?;
        // Trees that a fault put up are to be seen as well.
        field.tree_lines.clone_from(&script.tree_lines);
        let air = air_of(field.elevation_m, Some(field.temperature_k))?;
        let model = FlightModel::new(&airframe, air).map_err(|e| {
            Failure::input(format!("{} cannot be flown: {e}", plane_path.display()))
        })?;
        if airframe.power.is_none() && loses_power(&lesson) {
            return Err(Failure::input(format!(
                "{}: the power is lost in this lesson, and {} has no motor; choose a plane with one",
                lesson_path.display(),
                plane_path.display()
            )));
        }
        let designed =
            airframe::read_airframe_as_designed(&text, &plane_path.display().to_string())?;
        let feel = match FlightModel::new(&designed, air) {
            Ok(good) => plane_feel(&good, lesson.launch.throttle()),
            Err(_) => plane_feel(&model, lesson.launch.throttle()),
        };
        let wind_today = blow(&script, request.seed)?;
        let conditions =
            Conditions::of(&wind_today, &airframe, lesson.place(), lesson.time_limit_s);
        if let Err(problems) = lesson.check_conditions(&conditions) {
            return Err(together(&lesson_path, &wind_path, &problems));
        }
        Ok(Self {
            lesson,
            field,
            wind,
            script,
            feel: PlaneFeel {
                undercarriage: conditions.undercarriage,
                ..feel
            },
            model: Arc::new(model),
            designed,
            sticks,
            radio,
            faults,
            files,
        })
    }

    /// Wind and conditions of one seed.
    ///
    /// # Errors
    /// What the weather refuses, and a wind in which the lesson is not flown.
    pub fn day_of(&self, seed: u64) -> Result<Today, Failure> {
        let wind = blow(&self.script, seed)?;
        let conditions = Conditions::of(
            &wind,
            self.model.airframe(),
            self.lesson.place(),
            self.lesson.time_limit_s,
        );
        if let Err(problems) = self.lesson.check_conditions(&conditions) {
            let lines: Vec<String> = problems
                .iter()
                .map(|problem| format!("the wind of seed {seed}: {problem}"))
                .collect();
            return Err(Failure::input(lines.join("\n")));
        }
        Ok(Today {
            wind: Arc::new(wind),
            conditions,
        })
    }

    /// The pilot's name for people.
    pub fn pilot_name(&self) -> Cow<'static, str> {
        Cow::Borrowed(match self.lesson.pilot {
            PilotKind::Competent => "competent",
            PilotKind::Beginner => "beginner",
            PilotKind::Learner(skill) => {
                return Cow::Owned(format!("{LEARNER}{} %", skill.in_percent()));
            }
            PilotKind::HandsOff => "hands off",
            PilotKind::Playback => "playback",
            PilotKind::Person => "person",
        })
    }
}

fn blow(script: &WindScript, seed: u64) -> Result<Wind, Failure> {
    Ok(Wind::new(script, seed).context("this wind cannot blow over this field")?)
}

fn loses_power(lesson: &Lesson) -> bool {
    let power_loss = |surprise: &Surprise| matches!(surprise, Surprise::PowerLoss(_));
    lesson.surprises.iter().any(power_loss)
}

/// The air at a field; without a temperature that of the standard atmosphere.
///
/// # Errors
/// Heights and temperatures that no field has.
pub fn air_of(elevation_m: f64, temperature_k: Option<f64>) -> Result<AirProperties, Failure> {
    let atmosphere = match temperature_k {
        Some(temperature_k) => Atmosphere::of_day(elevation_m, temperature_k, None),
        None => Atmosphere::standard(elevation_m),
    };
    let air = atmosphere
        .map_err(|e| Failure::input(format!("there is no such air: {e}")))?
        .at_field();
    Ok(AirProperties {
        density_kg_m3: air.density_kg_m3,
        viscosity_pa_s: air.viscosity_pa_s,
    })
}

fn named(given: &Option<PathBuf>, lesson: &Path, reference: &str) -> PathBuf {
    given.clone().unwrap_or_else(|| beside(lesson, reference))
}

fn read(role: &'static str, path: &Path, files: &mut Vec<InputFile>) -> Result<String, Failure> {
    let text = load_text(path)?;
    files.push(InputFile {
        role,
        name: own_name(path),
        bytes: text.clone().into_bytes(),
    });
    Ok(text)
}

/// The last part of a path, made fit for a file name in a run folder.
fn own_name(path: &Path) -> String {
    let name = path.file_name().map(|name| name.to_string_lossy());
    let name: String = name
        .unwrap_or_default()
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || "-_.".contains(c) {
                c
            } else {
                '_'
            }
        })
        .collect();
    let name = name.trim_start_matches('.');
    if name.is_empty() {
        "file".to_owned()
    } else {
        name.to_owned()
    }
}

fn choose_pilot(
    lesson: &mut Lesson,
    choice: Option<&PilotChoice>,
    files: &mut Vec<InputFile>,
) -> Result<Tape, Failure> {
    let mut sticks = Tape::default();
    match choice {
        None => {}
        Some(PilotChoice::Competent) => lesson.pilot = PilotKind::Competent,
        Some(PilotChoice::Beginner) => lesson.pilot = PilotKind::Beginner,
        Some(PilotChoice::Learner(skill)) => lesson.pilot = PilotKind::Learner(*skill),
        Some(PilotChoice::HandsOff) => lesson.pilot = PilotKind::HandsOff,
        Some(PilotChoice::Person | PilotChoice::AtKeys) => lesson.pilot = PilotKind::Person,
        Some(PilotChoice::Playback(path)) => {
            lesson.pilot = PilotKind::Playback;
            let (tape, bytes) = read_sticks(path)?;
            sticks = tape;
            files.push(InputFile {
                role: "sticks",
                name: own_name(path),
                bytes,
            });
        }
    }
    Ok(sticks)
}

/// A radio file belongs to the sticks of a person, flown or played back.
fn suits_pilot(radio: bool, pilot: PilotKind) -> Result<(), Failure> {
    match pilot {
        PilotKind::Person if !radio => Err(Failure::input(
            "sticks of a device need a radio file; give --radio FILE, and make one with \
             `larkfield radio learn`",
        )),
        PilotKind::Competent
        | PilotKind::Beginner
        | PilotKind::Learner(_)
        | PilotKind::HandsOff
            if radio =>
        {
            Err(Failure::input(
                "a radio file describes a person's sticks; leave --radio out, or give --pilot \
                 device or --pilot playback:FILE",
            ))
        }
        _ => Ok(()),
    }
}

/// What a lesson and its field say against each other.
fn together(lesson: &Path, field: &Path, problems: &[Problem]) -> Failure {
    let lines: Vec<String> = problems
        .iter()
        .map(|problem| format!("{}: {problem}", field.display()))
        .collect();
    Failure::input(format!(
        "{}\n(as flown by {})",
        lines.join("\n"),
        lesson.display()
    ))
}
