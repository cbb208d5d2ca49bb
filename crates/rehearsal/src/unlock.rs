//! Lessons that have to be earned: each names others that must have been passed.
//!
//! A run folder proves it: complete and unchanged, of the very lesson file that
//! stands beside the locked one, with a score that says it was passed.

use std::path::{Path, PathBuf};

use larkfield_debrief::check_run_folder;
use larkfield_lesson::Lesson;
use serde::Deserialize;

use crate::failure::Failure;
use crate::places::beside;

/// What a score says about passing.
#[derive(Deserialize)]
struct Passing {
    passed: bool,
}

/// Lets a lesson be flown, or says what is missing.
///
/// # Errors
/// A lesson that is locked, with what unlocks it.
pub fn check(
    lesson: &Lesson,
    lesson_path: &Path,
    unlocked: bool,
    passed: &[PathBuf],
) -> Result<(), Failure> {
    if unlocked {
        return Ok(());
    }
    let mut missing = Vec::new();
    for name in &lesson.requires {
        let file = beside(lesson_path, &format!("{name}.ron"));
        let mut reasons = Vec::new();
        let proven = passed
            .iter()
            .any(|folder| match proves(folder, name, &file) {
                Ok(()) => true,
                Err(reason) => {
                    reasons.push(format!("\n    {}: {reason}", folder.display()));
                    false
                }
            });
        if !proven {
            missing.push(format!("\n  {name} is not passed yet{}", reasons.concat()));
        }
    }
    if missing.is_empty() {
        return Ok(());
    }
    Err(Failure::input(format!(
        "{} is locked: {:?} comes after other lessons.{}\nFly and pass those first and name their \
         run folders with --passed DIR, or unlock it on your own responsibility with --unlocked",
        lesson_path.display(),
        lesson.name,
        missing.concat()
    )))
}

/// Whether a run folder shows that a lesson was passed.
fn proves(folder: &Path, name: &str, file: &Path) -> Result<(), String> {
    if let Some(fault) = check_run_folder(folder).first() {
        return Err(fault.to_string());
    }
    let flown = std::fs::read(folder.join(format!("inputs/lesson/{name}.ron")))
        .map_err(|_| format!("this is not a run of {name}"))?;
    let wanted = std::fs::read(file)
        .map_err(|e| format!("{} cannot be read to compare ({e})", file.display()))?;
    if flown != wanted {
        return Err(format!(
            "the lesson flown differs from {}; fly it as it is now",
            file.display()
        ));
    }
    match passing(folder)? {
        Passing { passed: true } => Ok(()),
        Passing { passed: false } => Err("this flight did not pass".to_owned()),
    }
}

/// Whether the flight of a run folder passed, as far as that can be read.
#[must_use]
pub fn has_passed(folder: &Path) -> bool {
    matches!(passing(folder), Ok(Passing { passed: true }))
}

fn passing(folder: &Path) -> Result<Passing, String> {
    let score = std::fs::read(folder.join("score.json"))
        .map_err(|_| "it holds no score; name the folder of a single flight".to_owned())?;
    serde_json::from_slice(&score)
        .map_err(|_| "its score was written by another version; fly it again".to_owned())
}
