//! Flies the ladder of pilots through every shipped lesson and prints, as a page in
//! Markdown, what each rung scores on average and how skill and score go together.
//!
//! `cargo run --release --package larkfield-rehearsal --example ladder -- [DAYS [LESSON...]]`

#[path = "../tests/support/rungs.rs"]
mod rungs;

use std::path::{Path, PathBuf};
use std::sync::Mutex;

use rungs::{RUNGS, mean_scores, rank_correlation};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let days = (arguments.next())
        .and_then(|text| text.parse().ok())
        .unwrap_or(10_u64);
    let asked: Vec<String> = arguments.collect();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/lessons");
    let mut lessons: Vec<PathBuf> = (std::fs::read_dir(&folder).into_iter().flatten().flatten())
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .filter(|path| asked.is_empty() || asked.contains(&name(path)))
        .collect();
    lessons.sort();
    let next = Mutex::new(lessons.iter());
    let done = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                while let Some(lesson) = next.lock().ok().and_then(|mut next| next.next()) {
                    eprintln!("{}", name(lesson));
                    let scores = mean_scores(lesson, days);
                    if let Ok(mut done) = done.lock() {
                        done.push((name(lesson), scores));
                    }
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap_or_default();
    done.sort_by(|a, b| a.0.cmp(&b.0));
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
