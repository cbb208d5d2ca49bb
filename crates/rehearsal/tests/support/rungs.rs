//! Every rung of the ladder of pilots in one lesson.

use std::path::Path;

use larkfield_pilot::Skill;
use larkfield_rehearsal::{Inputs, PilotChoice, Request, fly, performance_of};

/// How far the pilots have come, in percent.
pub const RUNGS: [u8; 6] = [0, 20, 40, 60, 80, 100];

/// Mean score of each rung on so many days.
pub fn mean_scores(lesson: &Path, days: u64) -> Vec<f64> {
    let seeds: Vec<u64> = (1..=days).collect();
    let mean = |percent: &u8| {
        let inputs = Inputs::resolve(&Request {
            lesson: Some(lesson.to_owned()),
            pilot: Some(PilotChoice::Learner(Skill::percent(*percent))),
            unlocked: true,
            ..Request::default()
        })
        .unwrap_or_else(|failure| panic!("{}: {:#}", lesson.display(), failure.error));
        let performance = performance_of(&inputs.model);
        let flown = fly(&inputs, &performance, &seeds, |_| true)
            .unwrap_or_else(|failure| panic!("{}: {:#}", lesson.display(), failure.error));
        let sum: f64 = flown.iter().map(|flown| flown.score.total).sum();
        sum / days as f64
    };
    RUNGS.iter().map(mean).collect()
}

/// Spearman's rank correlation of the rungs, which rise, and their scores; equal
/// scores share their ranks (Kendall, Rank Correlation Methods, 1948; from
/// memory).
pub fn rank_correlation(scores: &[f64]) -> f64 {
    let rank = |score: &f64| {
        let below = scores.iter().filter(|other| *other < score).count() as f64;
        let same = scores.iter().filter(|other| *other == score).count() as f64;
        below + 0.5 * (same - 1.0)
    };
    let ranks: Vec<f64> = scores.iter().map(rank).collect();
    let middle = 0.5 * (scores.len() as f64 - 1.0);
    let (mut both, mut steps, mut ranked) = (0.0, 0.0, 0.0);
    for (step, rank) in ranks.iter().enumerate() {
        let (a, b) = (step as f64 - middle, rank - middle);
        both += a * b;
        steps += a * a;
        ranked += b * b;
    }
    both / (steps * ranked).sqrt()
}
