//! Counts of what was named, as a page.

use std::collections::BTreeMap;

use crate::{Case, Outcome, PLANES, SIZES, of_hands};

/// Faults that leave the same trace, by the trade's own lists (common practice,
/// no source): one answer, told apart on the bench.
const ALIKE: [&[&str]; 5] = [
    &["tail-heavy", "battery-shifts"],
    &["soft-throw", "overweight", "battery-used"],
    &["nose-high-throw", "tail-heavy", "thrust-line-high"],
    &["tail-incidence", "pitch-trim-off"],
    &["wing-warp", "thrust-line-left"],
];

/// The name stands for the fault.
fn stands_for(named: &str, fault: &str) -> bool {
    named == fault
        || ALIKE
            .iter()
            .any(|set| set.contains(&named) && set.contains(&fault))
}

/// How often a fault was found.
#[derive(Default, Clone, Copy)]
struct Counts {
    flown: u32,
    /// It, or one that leaves the same trace, came first.
    first: u32,
    among_three: u32,
    nothing: u32,
}

impl Counts {
    fn take_in(&mut self, other: &Self) {
        self.flown += other.flown;
        self.first += other.first;
        self.among_three += other.among_three;
        self.nothing += other.nothing;
    }

    /// Cells of a table.
    fn in_percent(&self) -> String {
        let of = |part: u32| percent(part, self.flown);
        format!(
            "{} | {:.0} % | {:.0} % | {:.0} %",
            self.flown,
            of(self.first),
            of(self.among_three),
            of(self.nothing)
        )
    }

    fn in_numbers(&self) -> String {
        let Self {
            flown,
            first,
            among_three,
            nothing,
        } = self;
        format!("{flown} | {first} | {among_three} | {nothing}")
    }
}

/// Flights with one fault of one size.
#[derive(Default)]
struct Row {
    all: Counts,
    /// Those in which it mattered.
    mattered: Counts,
    /// It did not matter and something else was named.
    false_alarms: u32,
    /// What came first instead.
    instead: BTreeMap<&'static str, u32>,
}

impl Row {
    fn add(&mut self, fault: &str, outcome: &Outcome) {
        let alike = outcome.answers.first().copied().unwrap_or_default();
        let named = |shown: usize| {
            let mut named = outcome.named.iter().take(shown);
            named.any(|named| stands_for(named, fault))
        };
        let one = Counts {
            flown: 1,
            first: u32::from(named(alike)),
            among_three: u32::from(named(alike.max(3))),
            nothing: u32::from(outcome.named.is_empty()),
        };
        self.all.take_in(&one);
        if outcome.matters {
            self.mattered.take_in(&one);
        }
        if let (0, Some(named)) = (one.first, outcome.named.first()) {
            *self.instead.entry(named).or_default() += 1;
            self.false_alarms += u32::from(!outcome.matters);
        }
    }

    fn take_in(&mut self, other: &Self) {
        self.all.take_in(&other.all);
        self.mattered.take_in(&other.mattered);
        self.false_alarms += other.false_alarms;
    }
}

/// Flights without a fault, and what was named all the same.
#[derive(Default)]
struct Sound {
    flown: u32,
    accused: BTreeMap<&'static str, u32>,
}

/// Names and how often each.
fn listed(names: &BTreeMap<&str, u32>) -> String {
    let each = names.iter();
    let each = each.map(|(name, count)| format!("{name} {count}"));
    each.collect::<Vec<_>>().join(", ")
}

/// Counts of flights with two faults.
#[derive(Default)]
struct Pairs {
    flown: u32,
    /// The first answer is one of the two.
    first: u32,
    /// The first two answers, or the first three causes, are both.
    both: u32,
    nothing: u32,
}

impl Pairs {
    fn add(&mut self, case: &Case, outcome: &Outcome) {
        self.flown += 1;
        let alike = outcome.answers.first().copied().unwrap_or_default();
        let two: usize = outcome.answers.iter().take(2).sum();
        let has = |shown: usize, fault: &str| {
            let mut named = outcome.named.iter().take(shown);
            named.any(|named| stands_for(named, fault))
        };
        let faults = || case.faults.iter().map(|(name, _)| *name);
        self.first += u32::from(faults().any(|fault| has(alike, fault)));
        self.both += u32::from(faults().all(|fault| has(two.max(3), fault)));
        self.nothing += u32::from(outcome.named.is_empty());
    }
}

fn percent(part: u32, of: u32) -> f64 {
    100.0 * f64::from(part) / f64::from(of.max(1))
}

/// Prints the page.
pub(crate) fn print(done: &[(Case, Outcome)], seeds: u64) {
    let mut rows: BTreeMap<(&str, usize), Row> = BTreeMap::new();
    let mut sound: BTreeMap<(&str, bool), Sound> = BTreeMap::new();
    let (mut pairs, mut besides) = (Pairs::default(), [0_u32; 2]);
    for (case, outcome) in done {
        match case.faults[..] {
            [] => {
                let of = sound.entry((case.lesson, !outcome.passed)).or_default();
                of.flown += 1;
                if let Some(name) = outcome.named.first() {
                    *of.accused.entry(name).or_default() += 1;
                }
            }
            [(name, size)] => {
                let size = SIZES.iter().position(|one| *one == size).unwrap_or(3);
                rows.entry((name, size)).or_default().add(name, outcome);
                besides[0] += u32::from(!outcome.answers.is_empty());
                besides[1] += u32::from(outcome.answers.len() > 1);
            }
            _ => pairs.add(case, outcome),
        }
    }
    println!("# Which cause is named\n");
    println!(
        "Every fault of the library flown on {} planes with {seeds} seed(s), from the hand into a \
         breeze, by the competent pilot; what pilots and the air do, in a whole circuit. The \
         planes differ from their files in balance, mass, thrust and drag. A fault mattered when \
         the lesson was not passed that was passed on the same day without it, or, of plane and \
         throw, when it gave 5 points less; where it did not, nothing and the fault itself are \
         right answers. Causes that cannot be told apart, and sets that leave the same trace, count as one answer. Made by `cargo run --release --package larkfield-rehearsal \
         --example confusion -- {seeds}`.\n",
        PLANES.len()
    );
    for (hands, of) in [
        (false, "Faults of plane and throw"),
        (true, "Faults of pilot and air"),
    ] {
        println!("{of}:\n");
        println!(
            "| Size | Mattered | First | Among three | Nothing named | All flown | First | Among \
             three | Nothing named | Did not matter, something else named |"
        );
        println!("|---|---|---|---|---|---|---|---|---|---|");
        for (index, size) in ["small", "medium", "large", "(no size)", "all"]
            .iter()
            .enumerate()
        {
            let mut all = Row::default();
            for ((name, of), row) in &rows {
                if (*of == index || index == 4) && of_hands(name) == hands {
                    all.take_in(row);
                }
            }
            println!(
                "| {size} | {} | {} | {} |",
                all.mattered.in_percent(),
                all.all.in_percent(),
                all.false_alarms,
            );
        }
        println!();
    }
    let mut both = Row::default();
    for row in rows.values() {
        both.take_in(row);
    }
    println!(
        "Where any of them mattered ({} flights): first in {:.1} %, among three in {:.1} %.\n",
        both.mattered.flown,
        percent(both.mattered.first, both.mattered.flown),
        percent(both.mattered.among_three, both.mattered.flown),
    );
    println!("Without a fault:\n");
    println!("| Lesson | Passed | Flown | A cause named | Which |");
    println!("|---|---|---|---|---|");
    for ((lesson, failed), of) in &sound {
        let count = of.accused.values().sum();
        println!(
            "| {lesson} | {} | {} | {count} ({:.1} %) | {} |",
            if *failed { "no" } else { "yes" },
            of.flown,
            percent(count, of.flown),
            listed(&of.accused),
        );
    }
    println!();
    println!(
        "Two at once, of plane and throw, medium or large, by chance: {} flown; the first answer \
         is one of the two in {:.0} %, the first two answers (or three causes) hold both in {:.0} \
         %, nothing named in {:.0} %. With one fault, a second answer beside it in {} of {} \
         ({:.0} %).\n",
        pairs.flown,
        percent(pairs.first, pairs.flown),
        percent(pairs.both, pairs.flown),
        percent(pairs.nothing, pairs.flown),
        besides[1],
        besides[0],
        percent(besides[1], besides[0]),
    );
    println!(
        "| Fault | Size | Mattered | First | Among three | Nothing | All flown | First | Among \
         three | Nothing | Named instead |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|");
    for ((name, size), row) in &rows {
        println!(
            "| {name} | {} | {} | {} | {} |",
            SIZES.get(*size).unwrap_or(&""),
            row.mattered.in_numbers(),
            row.all.in_numbers(),
            listed(&row.instead)
        );
    }
}
