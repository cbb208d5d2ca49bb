//! `larkfield rehearse`: one flight, its score, its folder.

use std::fmt::Write;

use larkfield_debrief::debrief_page;
use larkfield_lesson::{Conditions, Performance, Score, score};
use larkfield_recording::table::as_written;
use larkfield_recording::{EventKind, Recording};
use larkfield_world::{FieldSetup, FieldWorld, FlightSetup, LessonDay};

use crate::args::RehearseArguments;
use crate::debrief::page_input;
use crate::failure::Failure;
use crate::inputs::{Inputs, Today};
use crate::outputs::{FlightReport, add_flight, begin, json};
use crate::performance::performance_of;
use crate::repeat;
use crate::stop::Stop;
use crate::terminal::{Progress, bold, say};

/// A flight that is over.
pub struct Flown {
    /// Samples and events, as they come back from their files.
    pub recording: Recording,
    /// Its score.
    pub score: Score,
    /// Where the thrower stood; north, east, down.
    pub thrower_feet_m: [f64; 3],
    /// Wind and undercarriage.
    pub conditions: Conditions,
}

/// Runs the command.
///
/// # Errors
/// Wrong inputs, a disk that refuses, Ctrl-C.
pub fn run(arguments: &RehearseArguments) -> Result<(), Failure> {
    let inputs = Inputs::resolve(arguments)?;
    let stop = Stop::listen()?;
    let performance = performance_of(&inputs.model);
    match arguments.repeat {
        None => one(arguments, &inputs, &performance, &stop),
        Some(count) => repeat::run(arguments, &inputs, &performance, &stop, count),
    }
}

fn one(
    arguments: &RehearseArguments,
    inputs: &Inputs,
    performance: &Performance,
    stop: &Stop,
) -> Result<(), Failure> {
    let kind = arguments.seed.to_string();
    let mut folder = begin(arguments, inputs, &kind)?;
    let mut progress = Progress::new();
    let mut flights = fly(inputs, performance, &[arguments.seed], |time_s| {
        progress.show(&format!("{time_s:.0} s flown"));
        !stop.asked()
    })?;
    drop(progress);
    let flown = match flights.pop() {
        Some(flown) if !stop.asked() => flown,
        _ => {
            let partial = folder.partial_path().display().to_string();
            folder.abandon("stopped by Ctrl-C");
            return Err(Failure::stopped(format!("stopped; see {partial}")));
        }
    };
    let page = debrief_page(&page_input(inputs, performance, &flown, arguments.seed));
    add_flight(&mut folder, &flown, &page)?;
    let path = folder.finish()?;
    if arguments.json {
        let report = FlightReport {
            run_folder: path.display().to_string(),
            plane: &inputs.model.airframe().name,
            lesson: &inputs.lesson.name,
            pilot: inputs.pilot_name(),
            seed: arguments.seed,
            score: &flown.score,
        };
        say(&json(&report)?)?;
    } else {
        say(&in_words(inputs, arguments.seed, &flown))?;
        say(&format!(
            "\nDebrief: {}\n",
            path.join("debrief.html").display()
        ))?;
    }
    Ok(())
}

/// Flies one flight for each seed, all in one world, and scores them. Returns
/// none when `go_on`, asked about every simulated second, says no.
///
/// # Errors
/// A wind that cannot blow.
pub fn fly(
    inputs: &Inputs,
    performance: &Performance,
    seeds: &[u64],
    go_on: impl FnMut(f64) -> bool,
) -> Result<Vec<Flown>, Failure> {
    let mut world = FieldWorld::new(FieldSetup::default());
    let mut ids = Vec::new();
    for seed in seeds {
        let Today { wind, conditions } = inputs.day_of(*seed)?;
        let day = LessonDay {
            lesson: &inputs.lesson,
            field: &inputs.field,
            conditions: &conditions,
            feel: inputs.feel,
        };
        let setup = FlightSetup::for_lesson(
            &day,
            inputs.model.clone(),
            wind,
            *seed,
            inputs.sticks.clone(),
        );
        let feet_m = setup.start.feet_m().to_array();
        ids.push((world.add_flight(setup), feet_m, conditions));
    }
    if !world.run_to_end(go_on) {
        return Ok(Vec::new());
    }
    let mut flights = Vec::new();
    for (id, thrower_feet_m, conditions) in ids {
        let Some(result) = world.take_result(id) else {
            continue;
        };
        // Scored as it will be read again, so that a score can be checked.
        let recording = as_written(&result.recording);
        let score = score(
            &inputs.lesson,
            &inputs.field,
            &recording,
            performance,
            &conditions,
        );
        flights.push(Flown {
            recording,
            score,
            thrower_feet_m,
            conditions,
        });
    }
    Ok(flights)
}

fn in_words(inputs: &Inputs, seed: u64, flown: &Flown) -> String {
    let score = &flown.score;
    let mut out = String::new();
    // Writing to a text cannot fail.
    let _ = writeln!(out, "{}", bold(&score.headline));
    let _ = writeln!(
        out,
        "{} by {} ({}), {}, seed {seed}\n",
        inputs.model.airframe().name,
        inputs.pilot_name(),
        inputs.lesson.name,
        inputs.wind.description,
    );
    let mut phase = "";
    for mark in &score.marks {
        if mark.phase != phase {
            phase = &mark.phase;
            let _ = writeln!(out, "{phase}");
        }
        let _ = writeln!(
            out,
            "  {:<22} {:>12}  {:<18} {:>4.1} of {:>2.0}",
            mark.name,
            mark.value_in_words(),
            mark.limit,
            mark.points,
            mark.of,
        );
    }
    for event in &flown.recording.events {
        if let EventKind::Broke { part, .. } = &event.kind {
            let _ = writeln!(out, "  {part} broke at {:.1} s", event.time_s);
        }
    }
    let _ = writeln!(out, "\nNext");
    for step in &score.next {
        let _ = writeln!(out, "  - {step}");
    }
    out
}
