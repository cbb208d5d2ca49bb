//! Course files: in which order lessons and drills build on each other.

use std::path::Path;

use larkfield_lesson::{Course, Step, StepKind};
use serde::Deserialize;

use crate::check::{Checker, FieldPath};
use crate::fault::FileErrors;
use crate::reading::{load_text, read_ron};

/// Version of the format that this program reads.
pub const SCHEMA: u32 = 1;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct CourseForm {
    #[serde(rename = "schema")]
    _schema: u32,
    name: String,
    steps: Vec<StepForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct StepForm {
    name: String,
    with: KindForm,
    trains: String,
    good: String,
    enough: String,
}

#[derive(Debug, Deserialize)]
enum KindForm {
    Lesson(String),
    Drill(String),
    Talk(Vec<String>),
}

/// Reads a course from a file.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn load_course(path: &Path) -> Result<Course, FileErrors> {
    read_course(&load_text(path)?, &path.display().to_string())
}

/// Reads a course from text; `file_name` is for messages only.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn read_course(text: &str, file_name: &str) -> Result<Course, FileErrors> {
    let (form, locator) = read_ron::<CourseForm>(text, file_name, SCHEMA)?;
    let mut check = Checker::new(file_name, locator);
    let root = FieldPath::root();
    check.name(&root.field("name"), &form.name);
    let list = root.field("steps");
    check.count(&list, form.steps.len(), 1, 100, "steps");
    let mut steps: Vec<Step> = Vec::new();
    for (index, step) in form.steps.into_iter().enumerate() {
        let group = list.item(index);
        check.name(&group.field("name"), &step.name);
        if steps.iter().any(|other| other.name == step.name) {
            check.refuse(
                &group.field("name"),
                "another step has this name",
                "give every step a name of its own",
            );
        }
        for (field, text) in [
            ("trains", &step.trains),
            ("good", &step.good),
            ("enough", &step.enough),
        ] {
            words(&mut check, &group.field(field), text);
        }
        steps.push(Step {
            kind: kind(&mut check, &group.field("with"), step.with),
            name: step.name,
            trains: step.trains,
            good: step.good,
            enough: step.enough,
        });
    }
    let course = Course {
        name: form.name,
        steps,
    };
    check.finish(Some(course)).map(|(course, _)| course)
}

fn kind(check: &mut Checker, field: &FieldPath, form: KindForm) -> StepKind {
    match form {
        KindForm::Lesson(name) => {
            if name.is_empty() || name.contains(['/', '\\', '.']) {
                check.refuse(
                    field,
                    "this is not the name of a lesson",
                    "give the name of its file without folder and ending, as in \"first_launch\"",
                );
            }
            StepKind::Lesson(name)
        }
        KindForm::Drill(name) => {
            if !larkfield_drill::NAMES.contains(&name.as_str()) {
                let remedy = format!("name one of {}", larkfield_drill::NAMES.join(", "));
                check.refuse(field, "there is no such drill", remedy.as_str());
            }
            StepKind::Drill(name)
        }
        KindForm::Talk(points) => {
            if check.count(field, points.len(), 1, 20, "points") {
                for point in &points {
                    words(check, field, point);
                }
            }
            StepKind::Talk(points)
        }
    }
}

fn words(check: &mut Checker, field: &FieldPath, text: &str) {
    if text.trim().is_empty() || text.chars().count() > 400 || text.chars().any(char::is_control) {
        check.refuse(
            field,
            "this says nothing, or too much",
            "give a sentence or two, on one line, of at most 400 letters",
        );
    }
}
