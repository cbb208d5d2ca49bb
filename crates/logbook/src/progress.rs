//! What the flights of each lesson show.

use serde::Serialize;

use crate::entry::Entry;
use crate::ready::{Readiness, ready};

/// Only so many of the last flights say what to practise.
const LAST: usize = 10;
/// A line that loses fewer points than this on average is no matter.
const LOSS_THAT_MATTERS: f64 = 0.5;

/// A pilot's flights of one lesson.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LessonProgress {
    /// The lesson.
    pub lesson: String,
    /// Day and points of every flight, the oldest first.
    pub points: Vec<(String, f64)>,
    /// Flights that passed.
    pub passed: usize,
    /// Most points.
    pub best: f64,
    /// Mean of the last ten flights.
    pub lately: f64,
    /// Flights in which something broke.
    pub damaged: usize,
    /// The line of the score that cost most lately, and how many points on
    /// average.
    pub weakest: Option<(String, f64)>,
    /// The cause found most often lately.
    pub cause: Option<String>,
    /// How often attempts were safe.
    pub ready: Readiness,
}

/// For each lesson of one pilot's flights, in the order of their first flights.
pub fn progress(flights: &[Entry]) -> Vec<LessonProgress> {
    let mut names: Vec<&str> = Vec::new();
    for flight in flights {
        if !names.contains(&flight.lesson.as_str()) {
            names.push(&flight.lesson);
        }
    }
    names
        .into_iter()
        .map(|name| of_lesson(flights, name))
        .collect()
}

fn of_lesson(all: &[Entry], lesson: &str) -> LessonProgress {
    let flights: Vec<&Entry> = all.iter().filter(|f| f.lesson == lesson).collect();
    let last = &flights[flights.len().saturating_sub(LAST)..];
    let sum: f64 = last.iter().map(|flight| flight.points).sum();
    LessonProgress {
        lesson: lesson.to_owned(),
        points: flights
            .iter()
            .map(|flight| (flight.flown_at.day().to_owned(), flight.points))
            .collect(),
        passed: flights.iter().filter(|flight| flight.passed).count(),
        best: flights
            .iter()
            .map(|flight| flight.points)
            .fold(0.0, f64::max),
        lately: sum / last.len().max(1) as f64,
        damaged: flights
            .iter()
            .filter(|flight| !flight.damage.is_empty())
            .count(),
        weakest: weakest(last),
        cause: commonest(last.iter().filter_map(|flight| flight.causes.first())),
        ready: ready(all, |flight| flight.lesson == lesson),
    }
}

/// The line that cost most, on average over the flights.
fn weakest(flights: &[&Entry]) -> Option<(String, f64)> {
    let mut lost: Vec<(String, f64)> = Vec::new();
    for line in flights.iter().flat_map(|flight| &flight.score_lines) {
        let name = format!("{}: {}", line.phase, line.name);
        let loss = line.of - line.points;
        match lost.iter_mut().find(|(known, _)| *known == name) {
            Some((_, sum)) => *sum += loss,
            None => lost.push((name, loss)),
        }
    }
    let count = flights.len().max(1) as f64;
    lost.into_iter()
        .map(|(name, sum)| (name, sum / count))
        .filter(|(_, mean)| *mean >= LOSS_THAT_MATTERS)
        .reduce(|most, next| if next.1 > most.1 { next } else { most })
}

/// The text that comes most often, the first of equals.
fn commonest<'a>(texts: impl Iterator<Item = &'a String>) -> Option<String> {
    let mut counts: Vec<(&String, usize)> = Vec::new();
    for text in texts {
        match counts.iter_mut().find(|(known, _)| *known == text) {
            Some((_, count)) => *count += 1,
            None => counts.push((text, 1)),
        }
    }
    counts
        .into_iter()
        .reduce(|most, next| if next.1 > most.1 { next } else { most })
        .map(|(text, _)| text.clone())
}
