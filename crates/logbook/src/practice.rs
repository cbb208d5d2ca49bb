//! What was practised on the ground.

use serde::Serialize;

use crate::entry::FlownAt;

/// Only so many of the last times say how it goes lately.
const LAST: usize = 10;

/// A drill that somebody has gone through.
#[derive(Debug, Clone, PartialEq)]
pub struct Practice {
    /// When it ended.
    pub done_at: FlownAt,
    /// Who.
    pub pilot: String,
    /// Name of the drill.
    pub drill: String,
    /// What was drawn.
    pub seed: u64,
    /// Of 100.
    pub points: f64,
    /// Good enough.
    pub passed: bool,
}

/// How a drill goes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrillProgress {
    /// Name of the drill.
    pub drill: String,
    /// Day and points of every time, the oldest first.
    pub points: Vec<(String, f64)>,
    /// Times that were good enough.
    pub passed: usize,
    /// Mean of the last ten.
    pub lately: f64,
}

/// For each drill of one pilot, in the order of their first times.
pub fn practised(all: &[Practice]) -> Vec<DrillProgress> {
    let mut found: Vec<DrillProgress> = Vec::new();
    for one in all {
        let at = found.iter().position(|drill| drill.drill == one.drill);
        let at = at.unwrap_or_else(|| {
            found.push(DrillProgress {
                drill: one.drill.clone(),
                points: Vec::new(),
                passed: 0,
                lately: 0.0,
            });
            found.len() - 1
        });
        let day = one.done_at.day().to_owned();
        found[at].points.push((day, one.points));
        found[at].passed += usize::from(one.passed);
    }
    for drill in &mut found {
        let last = &drill.points[drill.points.len().saturating_sub(LAST)..];
        let sum: f64 = last.iter().map(|(_, points)| points).sum();
        drill.lately = sum / last.len() as f64;
    }
    found
}
