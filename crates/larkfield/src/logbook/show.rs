//! What a logbook says, as words, JSON or a page.

use larkfield_logbook::{
    CANNOT_CHECK, DrillProgress, Entry, Launch, LessonProgress, METHOD, Practice, in_words,
    launches, page, practised, progress,
};
use larkfield_rehearsal::{Failure, json, logbook_failure, logbook_file, open_logbook};
use serde::Serialize;

use super::args::LogbookArguments;
use super::tables;
use crate::check::write_whole;
use crate::terminal::say;

#[derive(Serialize)]
struct Report {
    logbook: String,
    pilots: Vec<PilotReport>,
    method: &'static str,
    cannot_check: [&'static str; 8],
}

#[derive(Serialize)]
struct PilotReport {
    pilot: String,
    flights: usize,
    drills: Vec<DrillProgress>,
    lessons: Vec<LessonProgress>,
    first_real_launch: Vec<Launch>,
}

/// Runs the command.
///
/// # Errors
/// A logbook that cannot be read, a pilot who is not in it, outputs that cannot
/// be written.
pub fn run(arguments: &LogbookArguments) -> Result<(), Failure> {
    let file = logbook_file(arguments.logbook.as_deref())?;
    if let Some(table) = &arguments.import {
        tables::import(&file, table, arguments.drills)?;
        if !arguments.json && arguments.page.is_none() {
            return Ok(());
        }
    }
    if !file.exists() {
        return Err(Failure::input(format!(
            "{}: there is no logbook yet; it begins with the first flight with --pilot device, \
             with a drill, or with --import",
            file.display()
        )));
    }
    let logbook = open_logbook(&file)?;
    let entries = logbook.entries().map_err(logbook_failure)?;
    let practices = logbook.practices().map_err(logbook_failure)?;
    let pilots = pilots(&entries, &practices, arguments.name.as_deref())?;
    if let Some(path) = &arguments.export {
        if arguments.drills {
            let chosen: Vec<Practice> = practices
                .into_iter()
                .filter(|practice| pilots.contains(&practice.pilot))
                .collect();
            return tables::export_practices(&chosen, path);
        }
        let chosen: Vec<Entry> = entries
            .into_iter()
            .filter(|entry| pilots.contains(&entry.pilot))
            .collect();
        return tables::export(&chosen, path);
    }
    let flights_of = |pilot: &String| -> Vec<Entry> {
        entries
            .iter()
            .filter(|entry| entry.pilot == *pilot)
            .cloned()
            .collect()
    };
    let practices_of = |pilot: &String| -> Vec<Practice> {
        practices
            .iter()
            .filter(|practice| practice.pilot == *pilot)
            .cloned()
            .collect()
    };
    if let Some(path) = &arguments.page {
        let [pilot] = pilots.as_slice() else {
            return Err(Failure::input(format!(
                "--page is for one pilot; give --name with one of {}",
                if pilots.is_empty() {
                    "those who flew (nobody yet)".to_owned()
                } else {
                    pilots.join(", ")
                }
            )));
        };
        write_whole(path, &page(pilot, &flights_of(pilot), &practices_of(pilot)))?;
    }
    if arguments.json {
        let report = Report {
            logbook: file.display().to_string(),
            pilots: pilots
                .iter()
                .map(|pilot| report_of(pilot, &flights_of(pilot), &practices_of(pilot)))
                .collect(),
            method: METHOD,
            cannot_check: CANNOT_CHECK,
        };
        say(&json(&report)?)?;
    } else if pilots.is_empty() {
        say(&in_words("Nobody", &[], &[]))?;
    } else {
        let texts: Vec<String> = pilots
            .iter()
            .map(|pilot| in_words(pilot, &flights_of(pilot), &practices_of(pilot)))
            .collect();
        say(&texts.join("\n"))?;
    }
    Ok(())
}

fn report_of(pilot: &str, flights: &[Entry], practices: &[Practice]) -> PilotReport {
    PilotReport {
        pilot: pilot.to_owned(),
        flights: flights.len(),
        drills: practised(practices),
        lessons: progress(flights),
        first_real_launch: launches(flights),
    }
}

/// Whose flights and drills are meant, in the order of their first ones.
fn pilots(
    entries: &[Entry],
    practices: &[Practice],
    named: Option<&str>,
) -> Result<Vec<String>, Failure> {
    let mut found: Vec<String> = Vec::new();
    let flew = entries.iter().map(|entry| &entry.pilot);
    for pilot in flew.chain(practices.iter().map(|practice| &practice.pilot)) {
        if !found.contains(pilot) {
            found.push(pilot.clone());
        }
    }
    match named {
        None => Ok(found),
        Some(name) if found.iter().any(|pilot| pilot == name) => Ok(vec![name.to_owned()]),
        Some(name) => Err(Failure::input(format!(
            "--name {name}: nothing of this pilot is in the logbook; it has {}",
            if found.is_empty() {
                "nobody's".to_owned()
            } else {
                found.join(", ")
            }
        ))),
    }
}
