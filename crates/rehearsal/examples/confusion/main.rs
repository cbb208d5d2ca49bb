//! Flies every fault of the library in three sizes on four planes, and pairs of
//! them, and asks each recording what was wrong. Prints, as a page in Markdown, how
//! often the right cause came first and among the first three, what was named in
//! its place, and how often a cause was named where there was none.
//!
//! `cargo run --release --package larkfield-rehearsal --example confusion -- [SEEDS [PLANE or FAULT...]]`

#[path = "../../tests/support/flown_with.rs"]
mod flown_with;
mod table;

use std::collections::BTreeMap;
use std::sync::Mutex;

use flown_with::{FIRST_LAUNCH, flown_with, inputs_with};
use larkfield_faults::{Origin, library};
use larkfield_lesson::{Performance, Score};
use larkfield_pilot::Noise;
use larkfield_recording::Recording;
use larkfield_rehearsal::{Inputs, causes_of, performance_of};

const PLANES: [&str; 4] = ["marram", "curlew", "sandpiper", "ternwing"];
/// What pilots and the air do wrong is flown in a whole circuit.
const CIRCUIT: &str = "launch_circuit_landing";
/// Flights without a fault for each seed and plane.
const SOUND: u64 = 10;
/// Pairs of faults for each seed and plane, picked by chance.
const PAIRS: u32 = 15;
const SIZES: [&str; 3] = ["small", "medium", "large"];
/// A fault that costs fewer points of the lesson than this, and with which the
/// lesson is passed, is too small to matter (an own choice).
const MATTERS_FROM: f64 = 5.0;

/// A fault and its size, which is empty where it has none.
type Had = (&'static str, &'static str);

/// Flights of a plane with its faults (none: sound), one for each seed.
#[derive(Debug, Clone)]
struct Case {
    plane: &'static str,
    faults: Vec<Had>,
    seeds: Vec<u64>,
}

/// What came out.
struct Outcome {
    named: Vec<&'static str>,
    /// How many of them are the first answer, the second and so on.
    answers: Vec<usize>,
    /// It did not pass, or cost points.
    matters: bool,
}

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
    // Points of the same day without a fault.
    let twins = each(&PLANES, |plane| {
        let inputs = inputs_with(FIRST_LAUNCH, plane, &[])?;
        let performance = performance_of(&inputs.model);
        let points = (1..=seeds).filter_map(|seed| {
            let recording = flown_with(&inputs, seed)?;
            let score = score(&inputs, &performance, &recording, seed)?;
            Some(((*plane, seed), score.total))
        });
        Some(points.collect::<Vec<_>>())
    });
    let twins: BTreeMap<(&str, u64), f64> = twins.into_iter().flatten().collect();
    let done = each(&cases, |case| Some((case.clone(), fly(case, &twins)?)));
    let done: Vec<(Case, Outcome)> = done
        .into_iter()
        .flat_map(|(case, outcomes)| outcomes.into_iter().map(move |one| (case.clone(), one)))
        .collect();
    table::print(&done, seeds);
}

/// Does something with each on all processors; what comes out, in their order.
fn each<T: Sync, R: Send>(all: &[T], work: impl Fn(&T) -> Option<R> + Sync) -> Vec<R> {
    let next = Mutex::new(all.iter().enumerate());
    let done = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                while let Some((number, one)) = next.lock().ok().and_then(|mut next| next.next()) {
                    eprint!("\r{number} of {}", all.len());
                    if let Some(result) = work(one)
                        && let Ok(mut done) = done.lock()
                    {
                        done.push((number, result));
                    }
                }
            });
        }
    });
    eprintln!();
    let mut done = done.into_inner().unwrap_or_default();
    done.sort_by_key(|(number, _)| *number);
    done.into_iter().map(|(_, result)| result).collect()
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
        for sound in 0..SOUND {
            cases.push(Case {
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
        plane,
        faults: vec![pick(0), pick(2)],
        seeds: vec![seed],
    }
}

/// Flies a case and asks its recordings; `None` when this plane cannot have it.
fn fly(case: &Case, twins: &BTreeMap<(&str, u64), f64>) -> Option<Vec<Outcome>> {
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
    let lesson = if hands { CIRCUIT } else { FIRST_LAUNCH };
    let inputs = inputs_with(lesson, case.plane, &faults)?;
    let performance = performance_of(&inputs.model);
    let outcomes = case.seeds.iter().filter_map(|seed| {
        let flown = flown_with(&inputs, *seed)?;
        let score = score(&inputs, &performance, &flown, *seed)?;
        let diagnosis = causes_of(&inputs, &flown.samples, !score.passed, |_| true).ok()?;
        let cost = (twins.get(&(case.plane, *seed))).map(|twin| twin - score.total);
        Some(Outcome {
            named: (diagnosis.causes.iter())
                .map(|cause| cause.fault.name)
                .collect(),
            answers: diagnosis.answers,
            matters: !score.passed || !hands && cost.is_some_and(|cost| cost >= MATTERS_FROM),
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
