//! `larkfield rehearse`: one flight, its score, its folder.

use std::fmt::Write;

use larkfield_debrief::{RunFolder, debrief_page};
use larkfield_lesson::Performance;
use larkfield_recording::EventKind;
use larkfield_rehearsal::{
    CausesReport, Effect, EffectReport, Failure, FlightReport, Flown, Inputs, LookBackReport,
    Request, add_flight, begin, fly, json, page_input, performance_of,
};

use crate::args::RehearseArguments;
use crate::by_hand;
use crate::causes;
use crate::logbook::keep::Keeper;
use crate::radio::place;
use crate::radio::source::Source;
use crate::repeat;
use crate::stop::Stop;
use crate::terminal::{Progress, bold, say};

/// Runs the command.
///
/// # Errors
/// Wrong inputs, a disk that refuses, Ctrl-C.
pub fn run(arguments: &RehearseArguments) -> Result<(), Failure> {
    let mut request = arguments.request();
    if let Some(radio) = &request.radio {
        request.radio = Some(place::find(radio)?);
    }
    let inputs = Inputs::resolve(&request)?;
    let by_hand = by_hand::source(arguments, &inputs)?;
    let live = by_hand.as_ref().is_some_and(Source::is_live);
    let keeper = Keeper::of(&arguments.keep, &inputs, live)?;
    let stop = Stop::listen()?;
    let performance = performance_of(&inputs.model);
    if let Some(source) = by_hand {
        return by_hand::run(
            arguments,
            &request,
            &inputs,
            &performance,
            source,
            keeper,
            stop,
        );
    }
    match arguments.repeat {
        None => one(arguments, &request, &inputs, &performance, keeper, &stop),
        Some(count) => repeat::run(arguments, &request, &inputs, &performance, &stop, count),
    }
}

fn one(
    arguments: &RehearseArguments,
    request: &Request,
    inputs: &Inputs,
    performance: &Performance,
    keeper: Option<Keeper>,
    stop: &Stop,
) -> Result<(), Failure> {
    let kind = arguments.seed.to_string();
    let folder = begin(request, inputs, &kind)?;
    let mut progress = Progress::new();
    let mut flights = fly(inputs, performance, &[arguments.seed], |time_s| {
        progress.show(&format!("{time_s:.0} s flown"));
        !stop.asked()
    })?;
    drop(progress);
    let mut flown = match flights.pop() {
        Some(flown) if !stop.asked() => flown,
        _ => {
            let partial = folder.partial_path().display().to_string();
            folder.abandon("stopped by Ctrl-C");
            return Err(Failure::stopped(format!("stopped; see {partial}")));
        }
    };
    if !arguments.score_only {
        flown.effect = Effect::of(request, inputs, arguments.seed, &flown.score);
        look_back(inputs, arguments.seed, &mut flown, stop)?;
    }
    leave(arguments, inputs, folder, performance, &flown, keeper)
}

/// Finds out what was wrong and what would have saved a flight that went wrong.
///
/// # Errors
/// A wind that cannot blow, which blew before.
pub fn look_back(
    inputs: &Inputs,
    seed: u64,
    flown: &mut Flown,
    stop: &Stop,
) -> Result<(), Failure> {
    let mut progress = Progress::new();
    flown.find_causes(inputs, |share| {
        progress.show(&format!(
            "looking for what was wrong, {:.0} %",
            share * 100.0
        ));
        !stop.asked()
    });
    flown.look_back(inputs, seed, |share| {
        progress.show(&format!("looking back, {:.0} %", share * 100.0));
        !stop.asked()
    })
}

/// Leaves what a flight that came to its end left, says its score, and puts it
/// into the logbook where that is wanted.
///
/// # Errors
/// A disk that refuses.
pub fn leave(
    arguments: &RehearseArguments,
    inputs: &Inputs,
    mut folder: RunFolder,
    performance: &Performance,
    flown: &Flown,
    keeper: Option<Keeper>,
) -> Result<(), Failure> {
    let page = debrief_page(&page_input(inputs, performance, flown, arguments.seed));
    add_flight(&mut folder, flown, &page)?;
    let path = folder.finish()?;
    if arguments.json {
        let report = FlightReport {
            run_folder: path.display().to_string(),
            plane: &inputs.model.airframe().name,
            lesson: &inputs.lesson.name,
            pilot: &inputs.pilot_name(),
            seed: arguments.seed,
            score: &flown.score,
            look_back: flown.hindsight.as_ref().map(LookBackReport::of),
            causes: flown.diagnosis.as_ref().map(CausesReport::of),
            effect: flown.effect.as_ref().map(EffectReport::of),
        };
        say(&json(&report)?)?;
    } else {
        say(&in_words(inputs, arguments.seed, flown))?;
        say(&format!(
            "\nDebrief: {}\n",
            path.join("debrief.html").display()
        ))?;
        if !flown.score.passed && flown.diagnosis.is_none() {
            say(&format!(
                "Was it the plane? larkfield causes {}\n",
                path.display()
            ))?;
        }
    }
    match keeper {
        Some(keeper) => keeper.keep(inputs, flown, arguments.seed, &path),
        None => Ok(()),
    }
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
    if let Some(hindsight) = &flown.hindsight {
        let _ = writeln!(
            out,
            "\nWhat would have saved it\n  {}",
            hindsight.in_words()
        );
    }
    if let Some(diagnosis) = &flown.diagnosis {
        let _ = writeln!(out, "\nWhat was wrong\n{}", causes::in_words(diagnosis));
    }
    if let Some(effect) = &flown.effect {
        let _ = writeln!(out, "\nFlown so on purpose\n  {}", effect.in_words());
    }
    let _ = writeln!(out, "\nNext");
    for step in &flown.next_steps() {
        let _ = writeln!(out, "  - {step}");
    }
    out
}
