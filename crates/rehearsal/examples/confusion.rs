//! Flies every fault of the library in three sizes on four planes and asks each
//! recording what was wrong. Prints, as a page in Markdown, how often the right
//! cause came first and among the first three, what was named in its place, and
//! how often a cause was named where there was none.
//!
//! `cargo run --release --package larkfield-rehearsal --example confusion -- [SEEDS [PLANE or FAULT...]]`

#[path = "../tests/support/flown_with.rs"]
mod flown_with;

use std::collections::BTreeMap;
use std::sync::Mutex;

use flown_with::{FIRST_LAUNCH, flown_with, went_wrong};
use larkfield_faults::{Origin, library};
use larkfield_rehearsal::causes_of;

const PLANES: [&str; 4] = ["marram", "curlew", "sandpiper", "ternwing"];
/// What pilots and the air do wrong is flown in a whole circuit.
const CIRCUIT: &str = "launch_circuit_landing";
/// Flights without a fault for each seed and plane.
const SOUND: u64 = 10;
const SIZES: [&str; 3] = ["small", "medium", "large"];

/// Faults that leave the same trace, by the trade's own lists (common practice,
/// no source): one answer, told apart on the bench.
const ALIKE: [&[&str]; 5] = [
    &["tail-heavy", "battery-shifts"],
    &["soft-throw", "overweight", "battery-used"],
    &["nose-high-throw", "tail-heavy", "thrust-line-high"],
    &["tail-incidence", "pitch-trim-off"],
    &["wing-warp", "thrust-line-left"],
];

/// One flight: plane, fault and its size (none: sound) and seed.
#[derive(Debug, Clone)]
struct Case {
    plane: &'static str,
    fault: Option<(&'static str, &'static str)>,
    seed: u64,
}

/// The names that came out, and how many of them are one answer.
struct Outcome {
    named: Vec<&'static str>,
    alike: usize,
    /// What it does is a matter of plane or throw, or it did damage: it was asked
    /// for.
    asked: bool,
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
    let next = Mutex::new(cases.iter().enumerate());
    let done = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                while let Some((number, case)) = next.lock().ok().and_then(|mut next| next.next()) {
                    if number % 20 == 0 {
                        eprint!("\r{number} of {}", cases.len());
                    }
                    if let Some(outcome) = fly(case)
                        && let Ok(mut done) = done.lock()
                    {
                        done.push((case.clone(), outcome));
                    }
                }
            });
        }
    });
    eprintln!();
    print(&done.into_inner().unwrap_or_default(), seeds);
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
        for seed in 1..=seeds {
            for sound in 0..SOUND {
                cases.push(Case {
                    plane,
                    fault: None,
                    seed: seed + 1000 * sound,
                });
            }
            for fault in library() {
                if !any_fault && !asked.iter().any(|name| name == fault.name) {
                    continue;
                }
                let sizes: &[&str] = if fault.sizes.is_some() { &SIZES } else { &[""] };
                cases.extend(sizes.iter().map(|size| Case {
                    plane,
                    fault: Some((fault.name, size)),
                    seed,
                }));
            }
        }
    }
    cases
}

/// Flies a case and asks its recording; `None` when this plane cannot have it.
fn fly(case: &Case) -> Option<Outcome> {
    let faults: Vec<String> = (case.fault.iter())
        .map(|(name, size)| match *size {
            "" => (*name).to_owned(),
            size => format!("{name}={size}"),
        })
        .collect();
    let hands = case.fault.is_some_and(|(name, _)| of_hands(name));
    let lesson = if hands { CIRCUIT } else { FIRST_LAUNCH };
    let (inputs, flown) = flown_with(lesson, case.plane, &faults, case.seed)?;
    let wrong = went_wrong(&flown);
    let diagnosis = causes_of(&inputs, &flown.samples, wrong, |_| true).ok()?;
    Some(Outcome {
        named: (diagnosis.causes.iter())
            .map(|cause| cause.fault.name)
            .collect(),
        alike: diagnosis.alike,
        asked: wrong || !hands,
    })
}

/// Counts of one fault and size.
#[derive(Default)]
struct Row {
    flown: u32,
    /// Pilot or air did no damage, and was not asked for.
    harmless: u32,
    /// It, or one that leaves the same trace, came first.
    first: u32,
    among_three: u32,
    nothing: u32,
    /// What came first instead.
    instead: BTreeMap<&'static str, u32>,
}

impl Row {
    fn add(&mut self, fault: &str, outcome: &Outcome) {
        if !outcome.asked {
            self.harmless += 1;
            return;
        }
        self.flown += 1;
        let same = |named: &&str| {
            *named == fault || (ALIKE.iter()).any(|set| set.contains(named) && set.contains(&fault))
        };
        let first = outcome.named.iter().take(outcome.alike).any(&same);
        let among = outcome.named.iter().take(outcome.alike.max(3)).any(same);
        self.first += u32::from(first);
        self.among_three += u32::from(among);
        self.nothing += u32::from(outcome.named.is_empty());
        if let (false, Some(named)) = (first, outcome.named.first()) {
            *self.instead.entry(named).or_default() += 1;
        }
    }

    fn take_in(&mut self, other: &Self) {
        self.flown += other.flown;
        self.harmless += other.harmless;
        self.first += other.first;
        self.among_three += other.among_three;
        self.nothing += other.nothing;
    }
}

fn print(done: &[(Case, Outcome)], seeds: u64) {
    let mut rows: BTreeMap<(&str, usize), Row> = BTreeMap::new();
    let mut sound = Row::default();
    for (case, outcome) in done {
        match case.fault {
            None => sound.add("", outcome),
            Some((name, size)) => {
                let size = SIZES.iter().position(|one| *one == size).unwrap_or(3);
                rows.entry((name, size)).or_default().add(name, outcome);
            }
        }
    }
    println!("# Which cause is named\n");
    println!(
        "Every fault of the library flown on {} planes with {seeds} seed(s), from the hand into a \
         breeze, by the competent pilot; what pilots and the air do, in a whole circuit. The planes differ from their files in balance, mass and \
         thrust. Causes that cannot be told apart, and sets that leave the same trace, count as \
         one answer. Made by `cargo run --release --package larkfield-rehearsal --example \
         confusion -- {seeds}`.\n",
        PLANES.len()
    );
    let percent = |part: u32, of: u32| 100.0 * f64::from(part) / f64::from(of.max(1));
    for (hands, of) in [
        (false, "Faults of plane and throw"),
        (true, "Faults of pilot and air, where they did damage"),
    ] {
        println!("{of}:\n");
        println!("| Size | Flown | First | Among three | Nothing named | Harmless |");
        println!("|---|---|---|---|---|---|");
        for (index, size) in ["small", "medium", "large", "(no size)"].iter().enumerate() {
            let mut all = Row::default();
            for ((name, of), row) in &rows {
                if *of == index && of_hands(name) == hands {
                    all.take_in(row);
                }
            }
            println!(
                "| {size} | {} | {:.0} % | {:.0} % | {:.0} % | {} |",
                all.flown,
                percent(all.first, all.flown),
                percent(all.among_three, all.flown),
                percent(all.nothing, all.flown),
                all.harmless,
            );
        }
        println!();
    }
    let counts = |row: &Row| -> String {
        let each = row
            .instead
            .iter()
            .map(|(name, count)| format!("{name} {count}"));
        each.collect::<Vec<_>>().join(", ")
    };
    let accused = sound.flown - sound.nothing;
    println!(
        "\nWithout a fault: {} flown, a cause named in {accused} ({:.1} %) {}\n",
        sound.flown,
        percent(accused, sound.flown),
        counts(&sound)
    );
    println!("| Fault | Size | Flown | First | Among three | Nothing | Harmless | Named instead |");
    println!("|---|---|---|---|---|---|---|---|");
    for ((name, size), row) in &rows {
        println!(
            "| {name} | {} | {} | {} | {} | {} | {} | {} |",
            SIZES.get(*size).unwrap_or(&""),
            row.flown,
            row.first,
            row.among_three,
            row.nothing,
            row.harmless,
            counts(row)
        );
    }
}
