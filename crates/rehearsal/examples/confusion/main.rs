//! Flies every fault of the library in three sizes on four planes, and pairs of
//! them, and asks each recording what was wrong. Prints, as a page in Markdown, how
//! often the right cause came first and among the first three, what was named in
//! its place, and how often a cause was named where there was none.
//!
//! `cargo run --release --package larkfield-rehearsal --example confusion -- [SEEDS [PLANE or FAULT...]]`

#[path = "../../tests/support/each.rs"]
mod each;
#[path = "../../tests/support/flown_with.rs"]
mod flown_with;
mod table;

use std::collections::BTreeMap;

use each::each;
use flown_with::{FIRST_LAUNCH, flown_with, inputs_with};
use larkfield_faults::{Origin, library};
use larkfield_lesson::{Performance, Score};
use larkfield_pilot::Noise;
use larkfield_recording::Recording;
use larkfield_rehearsal::{Inputs, MATTERS_FROM_POINTS, causes_of, performance_of};

const PLANES: [&str; 4] = ["marram", "curlew", "sandpiper", "ternwing"];
/// What pilots and the air do wrong is flown in a whole circuit.
const CIRCUIT: &str = "launch_circuit_landing";
/// Launches without a fault for each seed and plane.
const SOUND: u64 = 6;
/// Circuits without a fault for each seed and plane: much is flown in each.
const SOUND_CIRCUITS: u64 = 2;
/// Pairs of faults for each seed and plane, picked by chance.
const PAIRS: u32 = 5;
const SIZES: [&str; 3] = ["small", "medium", "large"];

/// A fault and its size, which is empty where it has none.
type Had = (&'static str, &'static str);

/// Flights of a plane with its faults (none: sound), one for each seed.
#[derive(Debug, Clone)]
struct Case {
    lesson: &'static str,
    plane: &'static str,
    faults: Vec<Had>,
    seeds: Vec<u64>,
}

/// What came out.
struct Outcome {
    named: Vec<&'static str>,
    /// How many of them are the first answer, the second and so on.
    answers: Vec<usize>,
    /// It cost the pass, or points.
    matters: bool,
    passed: bool,
}

/// What the same day gave without a fault, by lesson, plane and seed.
type Twins = BTreeMap<(&'static str, &'static str, u64), Score>;

/// Whether a fault is one of pilot or air.
fn of_hands(name: &str) -> bool {
    let origin = library()
        .find(|fault| fault.name == name)
        .map(|fault| fault.origin);
    matches!(origin, Some(Origin::Air | Origin::Pilot))
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    let seeds = (arguments.next())
        .and_then(|text| text.parse().ok())
        .unwrap_or(1_u64);
    let asked: Vec<String> = arguments.collect();
    let cases = cases(seeds, &asked);
    let days: Vec<_> = [FIRST_LAUNCH, CIRCUIT]
        .into_iter()
        .flat_map(|lesson| PLANES.map(|plane| (lesson, plane)))
        .collect();
    let twins = each(&days, |number, (lesson, plane)| {
        progress(number, days.len());
        let inputs = inputs_with(lesson, plane, &[])?;
        let performance = performance_of(&inputs.model);
        let scores = (1..=seeds).filter_map(|seed| {
            let recording = flown_with(&inputs, seed)?;
            let score = score(&inputs, &performance, &recording, seed)?;
            Some(((*lesson, *plane, seed), score))
        });
        Some(scores.collect::<Vec<_>>())
    });
    let twins: Twins = twins.into_iter().flatten().collect();
    eprintln!();
    let done = each(&cases, |number, case| {
        progress(number, cases.len());
        Some((case.clone(), fly(case, &twins)?))
    });
    eprintln!();
    let done: Vec<(Case, Outcome)> = done
        .into_iter()
        .flat_map(|(case, outcomes)| outcomes.into_iter().map(move |one| (case.clone(), one)))
        .collect();
    table::print(&done, seeds);
}

/// Says how far it has come.
fn progress(number: usize, of: usize) {
    eprint!("\r{number} of {of}");
}

fn cases(seeds: u64, asked: &[String]) -> Vec<Case> {
    let any_plane = !PLANES
        .iter()
        .any(|plane| asked.iter().any(|name| name == plane));
    let any_fault = !asked.iter().any(|name| !PLANES.contains(&name.as_str()));
    let mut cases = Vec::new();
    for plane in PLANES {
        if !any_plane && !asked.iter().any(|name| name == plane) {
            continue;
        }
        let all_seeds: Vec<u64> = (1..=seeds).collect();
        let launches = (0..SOUND).map(|number| (FIRST_LAUNCH, number));
        let circuits = (0..SOUND_CIRCUITS).map(|number| (CIRCUIT, number));
        for (lesson, sound) in launches.chain(circuits) {
            cases.push(Case {
                lesson,
                plane,
                faults: Vec::new(),
                seeds: all_seeds.iter().map(|seed| seed + 1000 * sound).collect(),
            });
        }
        for fault in library() {
            if !any_fault && !asked.iter().any(|name| name == fault.name) {
                continue;
            }
            let sizes: &[&str] = if fault.sizes.is_some() { &SIZES } else { &[""] };
            cases.extend(sizes.iter().map(|size| Case {
                lesson: if of_hands(fault.name) {
                    CIRCUIT
                } else {
                    FIRST_LAUNCH
                },
                plane,
                faults: vec![(fault.name, size)],
                seeds: all_seeds.clone(),
            }));
        }
        if any_fault || asked.iter().any(|name| name == "pairs") {
            let pairs = |seed| (0..PAIRS).map(move |number| pair(plane, seed, number));
            cases.extend((1..=seeds).flat_map(pairs));
        }
    }
    cases
}

/// Two faults of plane or throw by chance, medium or large.
fn pair(plane: &'static str, seed: u64, number: u32) -> Case {
    let all: Vec<_> = library().filter(|fault| !of_hands(fault.name)).collect();
    let noise = Noise::new(seed, plane);
    let pick = |channel: u32| {
        let index = (noise.uniform(4 * number + channel) * all.len() as f64) as usize;
        let fault = all[index.min(all.len() - 1)];
        let size = match &fault.sizes {
            None => "",
            Some(_) if noise.uniform(4 * number + channel + 1) < 0.5 => "medium",
            Some(_) => "large",
        };
        (fault.name, size)
    };
    Case {
        lesson: FIRST_LAUNCH,
        plane,
        faults: vec![pick(0), pick(2)],
        seeds: vec![seed],
    }
}

/// Flies a case and asks its recordings; `None` when this plane cannot have it.
fn fly(case: &Case, twins: &Twins) -> Option<Vec<Outcome>> {
    let faults: Vec<String> = (case.faults.iter())
        .map(|(name, size)| match *size {
            "" => (*name).to_owned(),
            size => format!("{name}={size}"),
        })
        .collect();
    if let [(one, _), (other, _)] = case.faults[..]
        && one == other
    {
        return None;
    }
    let hands = case.faults.iter().any(|(name, _)| of_hands(name));
    let inputs = inputs_with(case.lesson, case.plane, &faults)?;
    let performance = performance_of(&inputs.model);
    let outcomes = case.seeds.iter().filter_map(|seed| {
        let flown = flown_with(&inputs, *seed)?;
        let score = score(&inputs, &performance, &flown, *seed)?;
        let diagnosis = causes_of(&inputs, &flown.samples, !score.passed, |_| true).ok()?;
        let twin = twins.get(&(case.lesson, case.plane, *seed));
        let cost_pass = !score.passed && twin.is_some_and(|twin| twin.passed);
        let cost = twin.map(|twin| twin.total - score.total);
        Some(Outcome {
            named: (diagnosis.causes.iter())
                .map(|cause| cause.fault.name)
                .collect(),
            answers: diagnosis.answers,
            passed: score.passed,
            // What hands do varies by more points than those from day to day: there
            // only the pass counts.
            matters: cost_pass || !hands && cost.is_some_and(|cost| cost >= MATTERS_FROM_POINTS),
        })
    });
    Some(outcomes.collect())
}

fn score(
    inputs: &Inputs,
    performance: &Performance,
    flown: &Recording,
    seed: u64,
) -> Option<Score> {
    let conditions = inputs.day_of(seed).ok()?.conditions;
    Some(larkfield_lesson::score(
        &inputs.lesson,
        &inputs.field,
        flown,
        performance,
        &conditions,
    ))
}
