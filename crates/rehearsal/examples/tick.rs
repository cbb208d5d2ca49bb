//! Flies every shipped lesson at the ordinary tick, at half of it, and once more
//! begun two centimetres aside, by its pilot from beginning to end on many days, and
//! prints, as a page in Markdown, by how much apex, end and largest angle of attack
//! differ on average.
//!
//! One flight says little here: whoever looks and answers for a minute makes
//! another flight of any difference. What the tick does to a lesson shows in the
//! mean.
//!
//! `cargo run --release --package larkfield-rehearsal --example tick -- [DAYS]`

#[path = "../tests/support/at_tick.rs"]
mod at_tick;
#[path = "../tests/support/each.rs"]
mod each;

use std::path::Path;

use at_tick::{NUDGE_M, Outline, Run, lessons};
use each::each;
use larkfield_rehearsal::{Inputs, Ready, Request};
use larkfield_world::TICK_S;

/// Apex, end along and across north, largest angle of attack.
const NUMBERS: usize = 4;

fn main() {
    let days = (std::env::args().nth(1))
        .and_then(|text| text.parse().ok())
        .unwrap_or(10_u64);
    let lessons = lessons();
    let rows = each(&lessons, |_, lesson| {
        let name = lesson.file_stem()?.to_string_lossy();
        eprintln!("{name}");
        Some(format!("| {name} | {} |", row(lesson, days)?))
    });
    println!("# What half the tick changes\n");
    println!(
        "Every shipped lesson flown whole by its pilot on {days} days: at the ordinary tick of \
         {:.0} ms, at half of it, and at the ordinary tick but begun {:.0} mm aside. How much the \
         second and the third differ from the first on average, with the standard error of that \
         mean: the apex in shares of the apex, the end (the touch, or where the lesson ends) in \
         shares of the way flown, and the largest angle of attack in shares of itself. A mean \
         within two or three standard errors of nothing may be chance; begun aside, nothing \
         else than chance differs. Made by `cargo run --release --package larkfield-rehearsal --example \
         tick -- {days}`.\n",
        1e3 * TICK_S,
        1e3 * NUDGE_M,
    );
    println!(
        "| Lesson | Days | Half the tick: apex, % | end north, % | end east, % | angle of attack, % \
         | Aside: apex, % | end north, % | end east, % | angle of attack, % |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|");
    for row in rows {
        println!("{row}");
    }
}

/// Cells of a lesson's row; `None` when it cannot be read.
fn row(lesson: &Path, days: u64) -> Option<String> {
    let inputs = Inputs::resolve(&Request {
        lesson: Some(lesson.to_owned()),
        unlocked: true,
        ..Request::default()
    })
    .ok()?;
    // On some days the wind is refused.
    let seeds: Vec<u64> = (1..=days)
        .filter(|seed| Ready::of(&inputs, *seed).is_ok())
        .collect();
    let flown = |run: Run| -> Vec<Outline> {
        let flights = seeds.iter().map(|seed| run.fly(&inputs, *seed));
        flights.collect()
    };
    let whole = flown(Run::WHOLE);
    let half = flown(Run {
        tick_s: 0.5 * TICK_S,
        ..Run::WHOLE
    });
    let aside = flown(Run {
        aside_m: NUDGE_M,
        ..Run::WHOLE
    });
    let mut cells = vec![seeds.len().to_string()];
    for other in [&half, &aside] {
        cells.extend((0..NUMBERS).map(|which| cell(&whole, other, which)));
    }
    Some(cells.join(" | "))
}

/// Mean difference and its standard error, both in per cent.
fn cell(whole: &[Outline], other: &[Outline], which: usize) -> String {
    let count = whole.len() as f64;
    let number = |outline: &Outline| {
        let [north_m, east_m] = outline.end_m;
        [outline.apex_m, north_m, east_m, outline.alpha_rad][which]
    };
    let scale = |outline: &Outline| match which {
        0 => outline.apex_m,
        1 | 2 => outline.way_m,
        _ => outline.alpha_rad,
    };
    let scale = whole.iter().map(scale).sum::<f64>() / count;
    let differences: Vec<f64> = (whole.iter().zip(other))
        .map(|(one, other)| 100.0 * (number(other) - number(one)) / scale)
        .collect();
    let mean = differences.iter().sum::<f64>() / count;
    let squares = differences.iter().map(|d| (d - mean).powi(2)).sum::<f64>();
    let error = (squares / (count - 1.0) / count).sqrt();
    format!("{mean:+.2} ± {error:.2}")
}
