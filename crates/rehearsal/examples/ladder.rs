//! Flies the ladder of pilots through every shipped lesson and prints, as a page in
//! Markdown, what each rung scores on average and how skill and score go together.
//!
//! `cargo run --release --package larkfield-rehearsal --example ladder -- [DAYS [LESSON...]]`

#[path = "../tests/support/each.rs"]
mod each;
#[path = "../tests/support/rungs.rs"]
mod rungs;

use std::path::Path;

use each::each;
use larkfield_rehearsal::ron_files;
use rungs::{RUNGS, mean_scores, rank_correlation};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let days = (arguments.next())
        .and_then(|text| text.parse().ok())
        .unwrap_or(10_u64);
    let asked: Vec<String> = arguments.collect();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/lessons");
    let mut lessons = ron_files(&folder);
    lessons.retain(|path| asked.is_empty() || asked.contains(&name(path)));
    lessons.sort();
    let done = each(&lessons, |_, lesson| {
        eprintln!("{}", name(lesson));
        Some((name(lesson), mean_scores(lesson, days)))
    });
    println!("# What skill scores\n");
    println!(
        "Mean points of scripted pilots who have come so far from the first day to mastery, on \
         {days} days, with the plane and the wind of each lesson. Made by `cargo run --release \
         --package larkfield-rehearsal --example ladder -- {days}`.\n"
    );
    let heads: Vec<String> = RUNGS.iter().map(|rung| format!("{rung} %")).collect();
    println!("| Lesson | {} | Rank correlation |", heads.join(" | "));
    println!("|---|{}---|", "---|".repeat(RUNGS.len()));
    for (lesson, scores) in &done {
        let points: Vec<String> = scores.iter().map(|score| format!("{score:.0}")).collect();
        println!(
            "| {lesson} | {} | {:.2} |",
            points.join(" | "),
            rank_correlation(scores)
        );
    }
}

fn name(path: &Path) -> String {
    path.file_stem()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}
