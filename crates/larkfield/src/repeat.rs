//! `larkfield rehearse --repeat`: the same launch with many seeds.

use std::fmt::Write;

use larkfield_debrief::{RepeatInput, RunFolder, RunSummary, summary_csv, summary_page};
use larkfield_lesson::Performance;
use larkfield_recording::{EventKind, FlightStage, Recording};
use serde::Serialize;

use crate::args::RehearseArguments;
use crate::debrief::assumed;
use crate::failure::Failure;
use crate::inputs::Inputs;
use crate::outputs::{begin, json};
use crate::rehearse::{Flown, fly};
use crate::stop::Stop;
use crate::terminal::{Progress, bold, say};

/// Flights in one world at a time: many enough to share its fixed costs, few
/// enough that Ctrl-C and progress are prompt.
const AT_ONCE: usize = 20;
/// The first seconds, for the lowest height.
const FIRST_S: f64 = 3.0;

/// What `--json` prints for many flights.
#[derive(Serialize)]
struct RepeatReport<'a> {
    run_folder: String,
    plane: &'a str,
    lesson: &'a str,
    pilot: &'a str,
    first_seed: u64,
    flights: usize,
    reached_goal_undamaged: usize,
    survived_first_3_s: usize,
    mean_score: f64,
}

/// Flies `count` seeds from the one given, and leaves a table and a page.
///
/// # Errors
/// A disk that refuses, Ctrl-C.
pub fn run(
    arguments: &RehearseArguments,
    inputs: &Inputs,
    performance: &Performance,
    stop: &Stop,
    count: u32,
) -> Result<(), Failure> {
    let mut folder = begin(
        arguments,
        inputs,
        &format!("{}-times-{count}", arguments.seed),
    )?;
    let seeds: Vec<u64> = (0..u64::from(count))
        .map(|index| arguments.seed.wrapping_add(index))
        .collect();
    let mut runs = Vec::new();
    let mut survived = 0;
    let mut progress = Progress::new();
    for batch in seeds.chunks(AT_ONCE) {
        let done = runs.len();
        let flights = fly(inputs, performance, batch, |time_s| {
            progress.show(&format!(
                "{done} of {count} flights, {time_s:.0} s into the next"
            ));
            !stop.asked()
        })?;
        if stop.asked() || flights.len() != batch.len() {
            drop(progress);
            return Err(stopped(folder));
        }
        for (seed, flown) in batch.iter().zip(&flights) {
            survived += usize::from(survives(&flown.recording));
            runs.push(summary_of(*seed, flown));
        }
    }
    drop(progress);
    let input = RepeatInput {
        plane_name: inputs.model.airframe().name.clone(),
        lesson_name: inputs.lesson.name.clone(),
        goal: inputs
            .lesson
            .phases
            .last()
            .map_or_else(String::new, |phase| phase.name.clone()),
        pilot_name: inputs.pilot_name().to_owned(),
        wind_summary: inputs.wind.description.clone(),
        again_command: again(arguments),
        assumed: assumed(inputs.model.airframe()),
        runs,
    };
    folder.add_with("flights.csv", |mut out| summary_csv(&mut out, &input))?;
    folder.add("summary.html", summary_page(&input).as_bytes())?;
    let path = folder.finish()?;
    let good = input
        .runs
        .iter()
        .filter(|run| run.reached_goal && run.undamaged)
        .count();
    let report = RepeatReport {
        run_folder: path.display().to_string(),
        plane: &input.plane_name,
        lesson: &input.lesson_name,
        pilot: &input.pilot_name,
        first_seed: arguments.seed,
        flights: input.runs.len(),
        reached_goal_undamaged: good,
        survived_first_3_s: survived,
        mean_score: input.runs.iter().map(|run| run.score).sum::<f64>() / f64::from(count),
    };
    if arguments.json {
        say(&json(&report)?)?;
    } else {
        let mut out = bold(&format!("{good} of {count} flights got there undamaged."));
        let _ = write!(
            out,
            "\n{survived} were still flying, unbroken, {FIRST_S:.0} s after release. Mean score \
             {:.0} of 100.\n\nSummary: {}\n",
            report.mean_score,
            path.join("summary.html").display()
        );
        say(&out)?;
    }
    Ok(())
}

fn stopped(folder: RunFolder) -> Failure {
    let partial = folder.partial_path().display().to_string();
    folder.abandon("stopped by Ctrl-C");
    Failure::stopped(format!("stopped; see {partial}"))
}

fn summary_of(seed: u64, flown: &Flown) -> RunSummary {
    let score = &flown.score;
    RunSummary {
        seed,
        score: score.total,
        undamaged: score.broken_parts.is_empty(),
        reached_goal: score.goal_reached,
        zeroed_by: score.zeroed_by.clone(),
        lowest_height_m: lowest_height_m(&flown.recording),
        airborne_s: score.flown_s,
        headline: score.headline.clone(),
        folder: None,
    }
}

/// When it was let go, or the start of a run that nobody's hand began.
fn released_s(recording: &Recording) -> Option<f64> {
    let first = recording.samples.first();
    recording
        .events
        .iter()
        .find(|event| event.kind == EventKind::Released)
        .map(|event| event.time_s)
        .or(first
            .filter(|sample| sample.stage != FlightStage::InHand)
            .map(|sample| sample.time_s))
}

/// Lowest height in the first seconds; NaN when it was never let go.
fn lowest_height_m(recording: &Recording) -> f64 {
    let Some(released_s) = released_s(recording) else {
        return f64::NAN;
    };
    recording
        .samples
        .iter()
        .filter(|sample| sample.time_s >= released_s && sample.time_s <= released_s + FIRST_S)
        .map(|sample| sample.height_m)
        .fold(f64::NAN, f64::min)
}

/// Nothing touched and nothing broke in the first seconds.
fn survives(recording: &Recording) -> bool {
    let Some(released_s) = released_s(recording) else {
        return false;
    };
    !recording.events.iter().any(|event| {
        event.time_s < released_s + FIRST_S
            && matches!(
                event.kind,
                EventKind::TouchedGround { .. }
                    | EventKind::Broke { .. }
                    | EventKind::NotFinite { .. }
            )
    })
}

/// The command that flies one of the seeds again.
fn again(arguments: &RehearseArguments) -> String {
    let mut command = "larkfield rehearse".to_owned();
    let files = [
        ("lesson", &arguments.lesson),
        ("airframe", &arguments.airframe),
        ("wind", &arguments.wind),
    ];
    for (name, file) in files {
        // Only the file's own name: no path of this machine gets into a page.
        if let Some(name_of_file) = file.as_ref().and_then(|file| file.file_name()) {
            let _ = write!(command, " --{name} {}", name_of_file.to_string_lossy());
        }
    }
    if let Some(pilot) = &arguments.pilot {
        let _ = write!(command, " --pilot {}", pilot.typed());
    }
    command + " --seed {seed}"
}
