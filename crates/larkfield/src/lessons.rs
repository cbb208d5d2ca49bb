//! `larkfield lessons`: the lessons there are, what the logbook says about
//! each, and whether one of your own is sound.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::{Args, Subcommand};
use larkfield_files::lesson::load_lesson;
use larkfield_lesson::{Lesson, StepKind};
use larkfield_logbook::{
    DrillProgress, LessonProgress, practised, practised_in_words, progress, rate_in_words,
};
use larkfield_rehearsal::{
    Failure, Inputs, Request, course, json, lesson_name, logbook_failure, logbook_file,
    open_logbook, shipped,
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

/// A step of the course, or a lesson beside it.
#[derive(Serialize)]
struct Line {
    /// Counted from one; none beside the course.
    step: Option<usize>,
    /// How it is begun.
    command: Option<String>,
    /// Points of a step that is talked through.
    points: Vec<String>,
    trains: Option<String>,
    good: Option<String>,
    enough: Option<String>,
    file: Option<String>,
    /// Name of the lesson, by which the logbook knows it; a step may have a
    /// shorter one.
    lesson: Option<String>,
    name: String,
    description: String,
    requires: Vec<String>,
    logbook: Option<LessonProgress>,
    /// What the logbook says about a drill.
    practised: Option<DrillProgress>,
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
    let (lessons, drills) = known(arguments)?;
    let lines = lines(&lessons, &drills)?;
    if arguments.json {
        say(&json(&lines)?)?;
        return Ok(());
    }
    let mut out = String::new();
    let mut beside = false;
    for line in &lines {
        // Writing to a text cannot fail.
        if line.step.is_none() && !beside {
            beside = true;
            let _ = writeln!(out, "Beside the course\n");
        }
        let number = line.step.map_or(String::new(), |step| format!("{step}. "));
        let _ = writeln!(out, "{}", bold(&format!("{number}{}", line.name)));
        let lesson = line.lesson.as_ref().filter(|lesson| **lesson != line.name);
        if let Some(lesson) = lesson {
            let _ = writeln!(out, "  Lesson \"{lesson}\": {}", line.description);
        } else if !line.description.is_empty() {
            let _ = writeln!(out, "  {}", line.description);
        }
        for (word, text) in [
            ("Trains", &line.trains),
            ("Good", &line.good),
            ("Enough", &line.enough),
        ] {
            if let Some(text) = text {
                let _ = writeln!(out, "  {word}: {text}");
            }
        }
        for point in &line.points {
            let _ = writeln!(out, "  - {point}");
        }
        if let Some(command) = &line.command {
            let _ = writeln!(out, "  {command}");
        }
        if !line.requires.is_empty() {
            let _ = writeln!(out, "  after {}", line.requires.join(", "));
        }
        let said = match (&line.logbook, &line.practised) {
            (Some(known), _) => {
                format!("{} passed; {}", known.passed, rate_in_words(&known.ready))
            }
            (None, Some(known)) => practised_in_words(known),
            (None, None) if line.file.is_some() => "not flown yet".to_owned(),
            (None, None) if line.command.is_some() => "not practised yet".to_owned(),
            // Talks are not in the logbook.
            (None, None) => String::new(),
        };
        if !said.is_empty() {
            let _ = writeln!(out, "  {said}");
        }
        let _ = writeln!(out);
    }
    say(&out)?;
    Ok(())
}

/// The steps of the course in order, then the lessons beside it.
fn lines(known: &[LessonProgress], drills: &[DrillProgress]) -> Result<Vec<Line>, Failure> {
    let course = course()?;
    let paths = files()?;
    let mut lines = Vec::new();
    for (index, step) in course.steps.iter().enumerate() {
        let mut line = match &step.kind {
            StepKind::Lesson(name) => {
                let path = paths.iter().find(|path| lesson_name(path) == *name);
                let path = path.ok_or_else(|| {
                    Failure::input(format!(
                        "the course, step {}: there is no lesson {name:?} in assets/lessons",
                        index + 1
                    ))
                })?;
                Line {
                    name: step.name.clone(),
                    ..of_lesson(path, known)?
                }
            }
            StepKind::Drill(name) => Line {
                command: Some(format!("larkfield drill {name}")),
                practised: drills.iter().find(|drill| drill.drill == *name).cloned(),
                ..Line::named(&step.name)
            },
            StepKind::Talk(points) => Line {
                points: points.clone(),
                ..Line::named(&step.name)
            },
        };
        line.step = Some(index + 1);
        line.trains = Some(step.trains.clone());
        line.good = Some(step.good.clone());
        line.enough = Some(step.enough.clone());
        lines.push(line);
    }
    for path in &paths {
        if course.step_of(&lesson_name(path)).is_none() {
            lines.push(of_lesson(path, known)?);
        }
    }
    Ok(lines)
}

impl Line {
    fn named(name: &str) -> Self {
        Self {
            step: None,
            command: None,
            points: Vec::new(),
            trains: None,
            good: None,
            enough: None,
            file: None,
            lesson: None,
            name: name.to_owned(),
            description: String::new(),
            requires: Vec::new(),
            logbook: None,
            practised: None,
        }
    }
}

fn of_lesson(path: &Path, known: &[LessonProgress]) -> Result<Line, Failure> {
    let lesson: Lesson = load_lesson(path)?;
    let logbook = known.iter().find(|known| known.lesson == lesson.name);
    Ok(Line {
        file: Some(path.display().to_string()),
        command: Some(format!("larkfield-window --lesson {}", path.display())),
        logbook: logbook.cloned(),
        description: lesson.description,
        requires: lesson.requires,
        lesson: Some(lesson.name.clone()),
        ..Line::named(&lesson.name)
    })
}

/// What the logbook says about the flights and the drills that count; nothing
/// without one.
fn known(
    arguments: &LessonsArguments,
) -> Result<(Vec<LessonProgress>, Vec<DrillProgress>), Failure> {
    let file = match logbook_file(arguments.logbook.as_deref()) {
        Ok(file) if file.exists() => file,
        // No logbook is no mistake unless it was named.
        Ok(file) if arguments.logbook.is_some() => {
            return Err(Failure::input(format!(
                "{}: there is no such logbook",
                file.display()
            )));
        }
        _ => return Ok((Vec::new(), Vec::new())),
    };
    let logbook = open_logbook(&file)?;
    let mut entries = logbook.entries().map_err(logbook_failure)?;
    let mut practices = logbook.practices().map_err(logbook_failure)?;
    if let Some(name) = &arguments.name {
        entries.retain(|entry| entry.pilot == *name);
        practices.retain(|practice| practice.pilot == *name);
    }
    Ok((progress(&entries), practised(&practices)))
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
