//! Flies every fault of the library in three sizes on four planes and asks each
//! recording what was wrong. Prints how often the right cause came first, among
//! the first three, and what was named in its place; and how often a cause was
//! named where there was none.
//!
//! `cargo run --release --package larkfield-rehearsal --example confusion -- [SEEDS [PLANE or FAULT...]]`
//!
//! The planes that are flown are not the ones that the diagnosis knows: balance
//! is off by up to 3 mm, mass by 3 %, thrust by 10 %, and the wind is unknown.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, Mutex};

use larkfield_airframe::{Airframe, MassProperties};
use larkfield_faults::library;
use larkfield_flight::FlightModel;
use larkfield_pilot::Noise;
use larkfield_rehearsal::{Inputs, Ready, Request, causes_of};
use larkfield_world::{FieldSetup, FieldWorld};

const PLANES: [&str; 4] = ["marram", "curlew", "sandpiper", "ternwing"];

/// One flight: plane, fault in words (none: sound) and seed.
#[derive(Debug, Clone)]
struct Case {
    plane: &'static str,
    fault: Option<(&'static str, &'static str)>,
    seed: u64,
}

/// What came out: names with their gains, and how many are one answer.
struct Outcome {
    named: Vec<(&'static str, f64)>,
    alike: usize,
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    let seeds = (arguments.next())
        .and_then(|text| text.parse().ok())
        .unwrap_or(1_u64);
    let asked: Vec<String> = arguments.collect();
    let planes: Vec<&str> = (PLANES.into_iter())
        .filter(|plane| asked.iter().any(|name| name == plane))
        .collect();
    let planes = if planes.is_empty() {
        PLANES.to_vec()
    } else {
        planes
    };
    let named: Vec<&String> = (asked.iter())
        .filter(|name| !PLANES.contains(&name.as_str()))
        .collect();
    let mut cases = Vec::new();
    for plane in planes {
        for seed in 1..=seeds {
            // As many sound flights as there are faulty ones of a few faults.
            for sound in 0..4 {
                cases.push(Case {
                    plane,
                    fault: None,
                    seed: seed + 1000 * sound,
                });
            }
            let wanted = |name: &str| named.is_empty() || named.iter().any(|one| *one == name);
            for fault in library().filter(|fault| wanted(fault.name)) {
                let sizes: &[&str] = match fault.sizes {
                    Some(_) => &["small", "medium", "large"],
                    None => &[""],
                };
                for size in sizes {
                    cases.push(Case {
                        plane,
                        fault: Some((fault.name, size)),
                        seed,
                    });
                }
            }
        }
    }
    let next = Mutex::new(cases.iter());
    let done = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                while let Some(case) = next.lock().ok().and_then(|mut next| next.next()) {
                    if let Some(outcome) = fly(case)
                        && let Ok(mut done) = done.lock()
                    {
                        done.push((case.clone(), outcome));
                    }
                }
            });
        }
    });
    print(&done.into_inner().unwrap_or_default());
}

/// Flies a case and asks its recording; `None` when this plane cannot have it.
fn fly(case: &Case) -> Option<Outcome> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let faults: Vec<String> = (case.fault.iter())
        .map(|(name, size)| match *size {
            "" => (*name).to_owned(),
            size => format!("{name}={size}"),
        })
        .collect();
    let inputs = Inputs::resolve(&Request {
        lesson: Some(root.join("assets/lessons/first_launch.ron")),
        airframe: Some(root.join(format!("shared/airframes/{}.ron", case.plane))),
        faults,
        seed: case.seed,
        unlocked: true,
        ..Request::default()
    })
    .ok()?;
    let mut ready = Ready::of(&inputs, case.seed).ok()?;
    let flown = as_built(inputs.model.airframe(), case.seed);
    ready.setup.model = Arc::new(FlightModel::new(&flown, inputs.model.air()).ok()?);
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(ready.setup);
    world.run_to_end(|_| true);
    let recording = world.take_result(id)?.recording;
    let diagnosis = causes_of(&inputs, &recording.samples, |_| true).ok()?;
    Some(Outcome {
        named: (diagnosis.causes.iter())
            .map(|cause| (cause.fault.name, cause.gain))
            .collect(),
        alike: diagnosis.alike,
    })
}

/// The plane with what its builder could not measure.
fn as_built(airframe: &Airframe, seed: u64) -> Airframe {
    let noise = Noise::new(seed, "as built");
    let even = |channel: u32| 2.0 * noise.uniform(channel) - 1.0;
    let mut built = airframe.clone();
    let mass = MassProperties::of(airframe);
    built.measured.balance_x_m = Some(mass.cg_m.x + 0.003 * even(0));
    built.measured.mass_kg = Some(mass.mass_kg * (1.0 + 0.03 * even(1)));
    if let Some(power) = &mut built.power {
        // Thrust goes with the fourth power of the diameter.
        power.propeller.diameter_m *= (1.0 + 0.10 * even(2)).powf(0.25);
    }
    built
}

/// Counts of one fault and size.
#[derive(Default)]
struct Row {
    flown: u32,
    /// It, or one that cannot be told from it, came first.
    first: u32,
    among_three: u32,
    nothing: u32,
    said: BTreeMap<String, u32>,
}

fn print(done: &[(Case, Outcome)]) {
    let mut rows: BTreeMap<(&str, &str), Row> = BTreeMap::new();
    for (case, outcome) in done {
        let key = case.fault.unwrap_or(("(none)", ""));
        let row = rows.entry(key).or_default();
        row.flown += 1;
        let name = case.fault.map(|fault| fault.0);
        let place = outcome
            .named
            .iter()
            .position(|(named, _)| Some(*named) == name);
        match (name, place) {
            (None, _) => row.first += u32::from(outcome.named.is_empty()),
            (Some(_), Some(place)) => {
                row.first += u32::from(place < outcome.alike);
                row.among_three += u32::from(place < outcome.alike.max(3));
            }
            (Some(_), None) => row.nothing += u32::from(outcome.named.is_empty()),
        }
        let said = match outcome.named.first() {
            None => "nothing".to_owned(),
            Some((first, gain)) => format!("{first} {gain:.0}"),
        };
        *row.said
            .entry(format!("{}:{said}/{}", &case.plane[..1], outcome.alike))
            .or_default() += 1;
    }
    for ((name, size), row) in &rows {
        println!(
            "{name:20} {size:7} flown {:3}  first {:3}  among three {:3}  nothing {:3}  {:?}",
            row.flown, row.first, row.among_three, row.nothing, row.said
        );
    }
}
