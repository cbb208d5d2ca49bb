//! Putting a drill of a person into the logbook.

use std::io::IsTerminal;
use std::path::PathBuf;

use larkfield_rehearsal::{Failure, UNNAMED, log_drill, logbook_file, open_logbook};

use super::args::DrillArguments;
use crate::lines::Lines;

/// Knows whose drill goes into which logbook.
pub struct Keeper {
    file: PathBuf,
    pilot: String,
}

/// What a drill came to.
pub struct Outcome {
    /// Its name.
    pub drill: &'static str,
    /// What was drawn.
    pub seed: u64,
    /// Of 100.
    pub points: f64,
    /// Good enough.
    pub passed: bool,
    /// To its end; otherwise it is not kept.
    pub over: bool,
}

impl Keeper {
    /// Whether a drill is to be kept: one with a name always, others when a person
    /// sits at the terminal or at a live device. The logbook is opened before, so
    /// that one that cannot be used is known before.
    ///
    /// # Errors
    /// A logbook that was asked for and cannot be used.
    pub fn of(
        arguments: &DrillArguments,
        lines: &Lines,
        live_device: bool,
    ) -> Result<Option<Self>, Failure> {
        let by_person = live_device || (lines.typed() && std::io::stdin().is_terminal());
        let asked = arguments.name.is_some() || arguments.logbook.is_some();
        if arguments.name.is_none() && !by_person {
            return Ok(None);
        }
        let pilot = arguments.name.clone().unwrap_or_else(|| UNNAMED.to_owned());
        let file = logbook_file(arguments.logbook.as_deref());
        match file.and_then(|file| open_logbook(&file).map(|_| file)) {
            Ok(file) => Ok(Some(Self { file, pilot })),
            // Nobody asked for a logbook, so the lack of one stops no drill.
            Err(Failure { error, .. }) if !asked => {
                eprintln!("This drill goes into no logbook: {error}.");
                Ok(None)
            }
            Err(failure) => Err(failure),
        }
    }

    /// Keeps a drill that is over where somebody keeps it, and says so.
    ///
    /// # Errors
    /// A logbook that cannot be written.
    pub fn keep(keeper: Option<&Self>, outcome: &Outcome) -> Result<(), Failure> {
        let Some(keeper) = keeper else {
            return Ok(());
        };
        if !outcome.over {
            eprintln!("Not gone through to the end, so not in the logbook.");
            return Ok(());
        }
        let Outcome {
            drill,
            seed,
            points,
            passed,
            ..
        } = *outcome;
        log_drill(&keeper.file, &keeper.pilot, drill, seed, points, passed)?;
        eprintln!(
            "In the logbook of {}: {}",
            keeper.pilot,
            keeper.file.display()
        );
        Ok(())
    }
}
