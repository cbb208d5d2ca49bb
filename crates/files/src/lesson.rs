//! Lesson files: what is thrown, by whom, and what it is marked on.

mod marks;

use std::path::Path;

use larkfield_lesson::{Goal, Lesson, Phase};
use larkfield_pilot::{PilotKind, PowerTiming, Throw, ThrowKind, ThrowerStyle};
use larkfield_units::{Angle, Length, Ratio, Speed, Time};
use serde::Deserialize;

use crate::check::{Checker, FieldPath};
use crate::fault::FileErrors;
use crate::field::refuse_all;
use crate::given::Given;
use crate::reading::{load_text, read_ron};

use marks::MarkForm;

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
    throw: ThrowForm,
    thrower: ThrowerForm,
    pilot: PilotForm,
    phases: Vec<PhaseForm>,
    time_limit: Given<Time>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ThrowForm {
    kind: ThrowKindForm,
    speed: Given<Speed>,
    path: Given<Angle>,
    pitch: Given<Angle>,
    bank: Option<Given<Angle>>,
    heading: Given<Angle>,
    release_height: Given<Length>,
    power: PowerTimingForm,
    throttle: Given<Ratio>,
    hand_back: Option<Given<Time>>,
    run_up: Option<Given<Speed>>,
    reach: Option<Given<Length>>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum ThrowKindForm {
    Overhand,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
enum PowerTimingForm {
    Before,
    After { delay: Given<Time> },
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum ThrowerForm {
    Exact,
    SteadyHelper,
    Solo,
    NervousBeginner,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum PilotForm {
    Competent,
    Beginner,
    HandsOff,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PhaseForm {
    name: String,
    goal: GoalForm,
    #[serde(default)]
    marks: Vec<MarkForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
enum GoalForm {
    FlyAway { r#for: Given<Time> },
    ClimbTo { height: Given<Length> },
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
    let throw = throw(&mut check, &root.field("throw"), &form.throw);
    let phases = phases(&mut check, &root.field("phases"), &form.phases);
    let time_limit_s = check.quantity(&root.field("time_limit"), &form.time_limit, "3 s", "900 s");
    let lesson = Lesson {
        name: form.name,
        description: form.description,
        airframe: form.airframe,
        field: form.field,
        wind: form.wind,
        throw,
        thrower: match form.thrower {
            ThrowerForm::Exact => ThrowerStyle::Exact,
            ThrowerForm::SteadyHelper => ThrowerStyle::SteadyHelper,
            ThrowerForm::Solo => ThrowerStyle::Solo,
            ThrowerForm::NervousBeginner => ThrowerStyle::NervousBeginner,
        },
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

fn throw(check: &mut Checker, group: &FieldPath, form: &ThrowForm) -> Throw {
    let usual = Throw::default();
    Throw {
        kind: match form.kind {
            ThrowKindForm::Overhand => ThrowKind::Overhand,
        },
        speed_m_s: check.quantity(&group.field("speed"), &form.speed, "0.5 m/s", "15 m/s"),
        path_rad: check.quantity(&group.field("path"), &form.path, "-45 deg", "60 deg"),
        pitch_rad: check.quantity(&group.field("pitch"), &form.pitch, "-60 deg", "80 deg"),
        bank_rad: check.quantity_or_zero(
            &group.field("bank"),
            form.bank.as_ref(),
            "-90 deg",
            "90 deg",
        ),
        heading_rad: check.quantity(
            &group.field("heading"),
            &form.heading,
            "-360 deg",
            "720 deg",
        ),
        release_height_m: check.quantity(
            &group.field("release_height"),
            &form.release_height,
            "0.3 m",
            "3 m",
        ),
        power: match &form.power {
            PowerTimingForm::Before => PowerTiming::Before,
            PowerTimingForm::After { delay } => PowerTiming::After {
                delay_s: check.quantity(&group.field("power").field("delay"), delay, "0 s", "5 s"),
            },
        },
        throttle: check.quantity(&group.field("throttle"), &form.throttle, "0 %", "100 %"),
        hand_back_s: check.quantity_or_zero(
            &group.field("hand_back"),
            form.hand_back.as_ref(),
            "0 s",
            "3 s",
        ),
        run_up_m_s: check.quantity_or_zero(
            &group.field("run_up"),
            form.run_up.as_ref(),
            "0 m/s",
            "4 m/s",
        ),
        reach_m: form.reach.as_ref().map_or(usual.reach_m, |given| {
            check.quantity(&group.field("reach"), given, "0.3 m", "1.2 m")
        }),
    }
}

fn phases(check: &mut Checker, list: &FieldPath, forms: &[PhaseForm]) -> Vec<Phase> {
    if !check.count(list, forms.len(), 1, 50, "phases") {
        return Vec::new();
    }
    let mut phases = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let group = list.item(index);
        check.name(&group.field("name"), &form.name);
        let goal_field = group.field("goal");
        let goal = match &form.goal {
            GoalForm::FlyAway { r#for } => Goal::FlyAway {
                for_s: check.quantity(&goal_field.field("for"), r#for, "0.1 s", "60 s"),
            },
            GoalForm::ClimbTo { height } => Goal::ClimbTo {
                height_m: check.quantity(&goal_field.field("height"), height, "3 m", "120 m"),
            },
        };
        phases.push(Phase {
            name: form.name.clone(),
            goal,
            marks: marks::marks(check, &group.field("marks"), &form.marks),
        });
    }
    phases
}
