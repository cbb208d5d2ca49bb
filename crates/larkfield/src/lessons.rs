//! `larkfield lessons`: the lessons there are, what the logbook says about
//! each, and whether one of your own is sound.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::{Args, Subcommand};
use larkfield_files::lesson::load_lesson;
use larkfield_lesson::Lesson;
use larkfield_logbook::{Entry, LessonProgress, progress, rate_in_words};
use larkfield_rehearsal::{
    Failure, Inputs, Request, json, logbook_failure, logbook_file, open_logbook, shipped,
};
use serde::Serialize;

use crate::terminal::{bold, say};

/// A file of the folder of lessons, by which that is found.
const ONE: &str = "assets/lessons/first_launch.ron";

/// Arguments of `lessons`.
#[derive(Debug, Args)]
pub struct LessonsArguments {
    /// What to do; otherwise they are listed.
    #[command(subcommand)]
    pub command: Option<LessonsCommand>,
    /// The logbook [default: the file that LARKFIELD_LOGBOOK names, otherwise
    /// one in your folder of data]
    #[arg(long, value_name = "FILE")]
    pub logbook: Option<PathBuf>,
    /// What the logbook says about this pilot [default: everybody in it]
    #[arg(long, value_name = "PILOT")]
    pub name: Option<String>,
    /// Print the list as JSON
    #[arg(long)]
    pub json: bool,
}

/// What to do with lessons.
#[derive(Debug, Subcommand)]
pub enum LessonsCommand {
    /// Check a lesson of your own with the field, wind and airframe it names
    Check {
        /// The lesson file
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
}

#[derive(Serialize)]
struct Line {
    file: String,
    name: String,
    description: String,
    requires: Vec<String>,
    logbook: Option<LessonProgress>,
}

/// Runs the command.
///
/// # Errors
/// A lesson that is wrong, with every mistake; a logbook that cannot be read.
pub fn run(arguments: &LessonsArguments) -> Result<(), Failure> {
    match &arguments.command {
        Some(LessonsCommand::Check { file }) => check(file),
        None => list(arguments),
    }
}

/// Resolves a lesson as a flight would, without flying.
fn check(file: &Path) -> Result<(), Failure> {
    let request = Request {
        lesson: Some(file.to_owned()),
        seed: 1,
        unlocked: true,
        ..Request::default()
    };
    let inputs = Inputs::resolve(&request)?;
    let phases: Vec<&str> = inputs
        .lesson
        .phases
        .iter()
        .map(|phase| phase.name.as_str())
        .collect();
    say(&format!(
        "{}: no mistake found. {:?} with {}, {}, phases {}.\n\
         Fly it with --pilot hands-off, which should fail, and --pilot competent before somebody \
         learns from it.\n",
        file.display(),
        inputs.lesson.name,
        inputs.model.airframe().name,
        inputs.wind.description,
        phases.join(", "),
    ))?;
    Ok(())
}

fn list(arguments: &LessonsArguments) -> Result<(), Failure> {
    let flights = flights(arguments)?;
    let known = progress(&flights);
    let mut lines = Vec::new();
    for path in files()? {
        let lesson: Lesson = load_lesson(&path)?;
        lines.push(Line {
            file: path.display().to_string(),
            logbook: known
                .iter()
                .find(|known| known.lesson == lesson.name)
                .cloned(),
            name: lesson.name,
            description: lesson.description,
            requires: lesson.requires,
        });
    }
    if arguments.json {
        say(&json(&lines)?)?;
        return Ok(());
    }
    let mut out = String::new();
    for line in &lines {
        // Writing to a text cannot fail.
        let _ = writeln!(
            out,
            "{}\n  {}\n  {}",
            bold(&line.name),
            line.description,
            line.file
        );
        if !line.requires.is_empty() {
            let _ = writeln!(out, "  after {}", line.requires.join(", "));
        }
        let said = match &line.logbook {
            Some(known) => format!("{} passed; {}", known.passed, rate_in_words(&known.ready)),
            None => "not flown yet".to_owned(),
        };
        let _ = writeln!(out, "  {said}\n");
    }
    say(&out)?;
    Ok(())
}

/// The flights that count; none without a logbook.
fn flights(arguments: &LessonsArguments) -> Result<Vec<Entry>, Failure> {
    let file = match logbook_file(arguments.logbook.as_deref()) {
        Ok(file) if file.exists() => file,
        // No logbook is no mistake unless it was named.
        Ok(file) if arguments.logbook.is_some() => {
            return Err(Failure::input(format!(
                "{}: there is no such logbook",
                file.display()
            )));
        }
        _ => return Ok(Vec::new()),
    };
    let mut entries = open_logbook(&file)?.entries().map_err(logbook_failure)?;
    if let Some(name) = &arguments.name {
        entries.retain(|entry| entry.pilot == *name);
    }
    Ok(entries)
}

/// Every shipped lesson file, in the order of names.
fn files() -> Result<Vec<PathBuf>, Failure> {
    let one = shipped(ONE)?;
    let folder = one.parent().unwrap_or(Path::new("."));
    let entries = std::fs::read_dir(folder)
        .with_context(|| format!("{} could not be listed", folder.display()))?;
    let mut found: Vec<PathBuf> = entries
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .collect();
    found.sort();
    Ok(found)
}
