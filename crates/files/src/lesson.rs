//! Lesson files: what is thrown, by whom, and what it is marked on.

mod launch;
mod marks;
mod phases;
mod places;

use std::path::Path;

use larkfield_faults::Injected;
use larkfield_lesson::{Lesson, Problem};
use larkfield_pilot::PilotKind;
use larkfield_units::Time;
use serde::Deserialize;

use crate::check::{Checker, FieldPath};
use crate::fault::FileErrors;
use crate::field::refuse_all;
use crate::given::Given;
use crate::locate::Locator;
use crate::reading::{load_text, read_ron};

use phases::{PhaseForm, phases};
use places::{
    AirStartForm, LandingForm, SurpriseForm, TrimErrorForm, air_start, landing, surprises,
    trim_error,
};

/// Version of the format that this program reads.
pub const SCHEMA: u32 = 1;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct LessonForm {
    #[serde(rename = "schema")]
    _schema: u32,
    name: String,
    #[serde(default)]
    description: String,
    airframe: String,
    field: String,
    wind: String,
    #[serde(default)]
    requires: Vec<String>,
    throw: Option<launch::ThrowForm>,
    thrower: Option<launch::ThrowerForm>,
    ground_start: Option<launch::GroundStartForm>,
    air_start: Option<AirStartForm>,
    #[serde(default)]
    trim_error: TrimErrorForm,
    landing: Option<LandingForm>,
    #[serde(default)]
    surprises: Vec<SurpriseForm>,
    #[serde(default)]
    faults: Vec<String>,
    pilot: PilotForm,
    phases: Vec<PhaseForm>,
    time_limit: Given<Time>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum PilotForm {
    Competent,
    Beginner,
    HandsOff,
}

/// Refuses names and sizes that no fault has.
fn faults(check: &mut Checker, list: &FieldPath, named: &[String]) {
    if !check.count(list, named.len(), 0, 10, "faults") {
        return;
    }
    for (index, text) in named.iter().enumerate() {
        if let Err(error) = Injected::parse(text) {
            check.refuse(
                &list.item(index),
                error.to_string(),
                "write a fault as `larkfield faults` lists it, such as \"tail-heavy=12 mm\"",
            );
        }
    }
}

/// Reads a lesson from a file.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn load_lesson(path: &Path) -> Result<Lesson, FileErrors> {
    read_lesson(&load_text(path)?, &path.display().to_string())
}

/// Reads a lesson from text; `file_name` is for messages only. The files that
/// it names are not opened.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn read_lesson(text: &str, file_name: &str) -> Result<Lesson, FileErrors> {
    let (form, locator) = read_ron::<LessonForm>(text, file_name, SCHEMA)?;
    let mut check = Checker::new(file_name, locator);
    let root = FieldPath::root();
    check.name(&root.field("name"), &form.name);
    for (name, reference) in [
        ("airframe", &form.airframe),
        ("field", &form.field),
        ("wind", &form.wind),
    ] {
        if reference.trim().is_empty() {
            check.refuse(
                &root.field(name),
                "no file is named",
                "name a file, relative to the folder of this lesson",
            );
        }
    }
    let in_the_air = form
        .air_start
        .as_ref()
        .map(|form| air_start(&mut check, &root.field("air_start"), form));
    let (launch, thrower) = launch::launch(
        &mut check,
        form.throw.as_ref(),
        form.thrower,
        form.ground_start.as_ref(),
        in_the_air.is_some(),
    );
    let trim_error = trim_error(&mut check, &root.field("trim_error"), &form.trim_error);
    let landing = form
        .landing
        .as_ref()
        .map(|form| landing(&mut check, &root.field("landing"), form));
    let surprises = surprises(&mut check, &root.field("surprises"), &form.surprises);
    faults(&mut check, &root.field("faults"), &form.faults);
    let phases = phases(&mut check, &root.field("phases"), &form.phases);
    let time_limit_s = check.quantity(&root.field("time_limit"), &form.time_limit, "3 s", "900 s");
    let lesson = Lesson {
        name: form.name,
        description: form.description,
        airframe: form.airframe,
        field: form.field,
        wind: form.wind,
        requires: form.requires,
        launch,
        power_suits_plane: launch::power_suits_plane(form.throw.as_ref()),
        thrower,
        air_start: in_the_air,
        trim_error,
        landing,
        surprises,
        faults: form.faults,
        pilot: match form.pilot {
            PilotForm::Competent => PilotKind::Competent,
            PilotForm::Beginner => PilotKind::Beginner,
            PilotForm::HandsOff => PilotKind::HandsOff,
        },
        phases,
        time_limit_s,
    };
    // What the model itself finds, unless the numbers are wrong already.
    let lesson = if check.mistakes() == 0 {
        match lesson.checked() {
            Ok(lesson) => Some(lesson),
            Err(problems) => {
                refuse_all(&mut check, &problems);
                None
            }
        }
    } else {
        None
    };
    check.finish(lesson).map(|(lesson, _)| lesson)
}

/// Puts problems that show only together with another file (the airframe, the
/// field) at their places in the lesson's text.
///
/// # Errors
/// The problems; nothing when there are none.
pub fn refuse_lesson(text: &str, file_name: &str, problems: &[Problem]) -> Result<(), FileErrors> {
    let mut check = Checker::new(file_name, Locator::scan(text));
    refuse_all(&mut check, problems);
    check.finish(Some(())).map(|_| ())
}
