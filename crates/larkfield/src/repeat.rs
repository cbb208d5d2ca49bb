//! `larkfield rehearse --repeat`: the same lesson with many seeds, several
//! worlds at a time.

use std::num::NonZero;
use std::time::Instant;

use larkfield_debrief::{RunFolder, RunSummary};
use larkfield_lesson::Performance;
use larkfield_rehearsal::{Failure, Inputs, Request, begin, fly};

use crate::args::RehearseArguments;
use crate::batch::{finish, page_of, row_of};
use crate::stop::Stop;
use crate::terminal::Progress;
use crate::workers::side_by_side;

/// Flights in one world: enough to share its fixed costs, few enough that all
/// threads are busy until near the end. A fixed number, so that no output
/// depends on the number of threads.
const AT_ONCE: usize = 5;

/// Flies `count` seeds from the one given, and leaves a table and a page.
///
/// # Errors
/// A disk that refuses, a wind that does not fit the lesson, Ctrl-C.
pub fn run(
    arguments: &RehearseArguments,
    request: &Request,
    inputs: &Inputs,
    performance: &Performance,
    stop: &Stop,
    count: u32,
) -> Result<(), Failure> {
    let seeds = seeds_of(arguments.seed, count)?;
    let folder = begin(
        request,
        inputs,
        &format!("{}-times-{count}", arguments.seed),
    )?;
    match all(inputs, performance, &seeds, threads_of(arguments), stop) {
        Ok(Some(runs)) => finish(folder, &page_of(inputs, runs), arguments.json),
        Ok(None) => Err(stopped(folder)),
        Err(failure) => {
            folder.abandon(&format!("{:#}", failure.error));
            Err(failure)
        }
    }
}

fn seeds_of(first: u64, count: u32) -> Result<Vec<u64>, Failure> {
    let end = first.checked_add(u64::from(count)).ok_or_else(|| {
        Failure::input(format!(
            "--seed {first}: {count} seeds from there on pass the largest, {}; start lower",
            u64::MAX
        ))
    })?;
    Ok((first..end).collect())
}

/// As many as asked for; as there are cores otherwise.
fn threads_of(arguments: &RehearseArguments) -> usize {
    let cores = || std::thread::available_parallelism().map_or(1, NonZero::get);
    arguments.threads.map_or_else(cores, usize::from)
}

/// The rows of all seeds in their order; `None` when somebody stopped it.
fn all(
    inputs: &Inputs,
    performance: &Performance,
    seeds: &[u64],
    threads: usize,
    stop: &Stop,
) -> Result<Option<Vec<RunSummary>>, Failure> {
    let chunks: Vec<&[u64]> = seeds.chunks(AT_ONCE).collect();
    let start = Instant::now();
    let mut progress = Progress::new();
    let rows = side_by_side(
        chunks.len(),
        threads,
        |chunk, go_on| {
            let Some(seeds) = chunks.get(chunk) else {
                return Ok(None);
            };
            let flights = fly(inputs, performance, seeds, |_| go_on() && !stop.asked())?;
            if flights.len() != seeds.len() {
                return Ok(None);
            }
            let rows = seeds.iter().zip(&flights);
            Ok(Some(
                rows.map(|(seed, flown)| row_of(inputs, *seed, flown))
                    .collect::<Vec<RunSummary>>(),
            ))
        },
        |done| {
            let flown = (done * AT_ONCE).min(seeds.len());
            progress.show(&in_words(flown, seeds.len(), start.elapsed().as_secs_f64()));
            !stop.asked()
        },
    )?;
    Ok(rows.map(|chunks| chunks.into_iter().flatten().collect()))
}

/// How far it has come, and how long it will take.
fn in_words(flown: usize, of: usize, spent_s: f64) -> String {
    if flown == 0 {
        return format!("0 of {of} flights");
    }
    let left_s = spent_s * (of - flown) as f64 / flown as f64;
    let left = if left_s < 90.0 {
        format!("{left_s:.0} s")
    } else {
        format!("{:.0} min", left_s / 60.0)
    };
    format!("{flown} of {of} flights, about {left} left")
}

fn stopped(folder: RunFolder) -> Failure {
    let partial = folder.partial_path().display().to_string();
    folder.abandon("stopped by Ctrl-C");
    Failure::stopped(format!("stopped; see {partial}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seeds_follow_each_other_up_to_the_largest() {
        assert_eq!(seeds_of(5, 3).ok(), Some(vec![5, 6, 7]));
        assert!(seeds_of(u64::MAX, 1).is_err() && seeds_of(u64::MAX - 1, 1).is_ok());
    }

    #[test]
    fn progress_says_how_long_it_takes() {
        assert_eq!(in_words(0, 200, 3.0), "0 of 200 flights");
        assert_eq!(
            in_words(50, 200, 10.0),
            "50 of 200 flights, about 30 s left"
        );
        assert_eq!(in_words(1, 201, 3.0), "1 of 201 flights, about 10 min left");
    }
}
