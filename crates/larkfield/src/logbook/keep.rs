//! Putting a flight of a person into the logbook.

use std::path::{Path, PathBuf};

use larkfield_logbook::{Added, FlownAt};
use larkfield_pilot::PilotKind;
use larkfield_rehearsal::{
    Failure, Flown, Inputs, UNNAMED, entry_of, logbook_failure, logbook_file, now, open_logbook,
};

use super::args::KeepArguments;

/// Knows whose flight goes into which logbook.
pub struct Keeper {
    file: PathBuf,
    pilot: String,
    flown_at: Option<FlownAt>,
}

impl Keeper {
    /// Whether a flight is to be kept. The logbook is opened before the flight,
    /// so that one that cannot be used is known before a person has flown;
    /// it does not stay open, for other programs.
    ///
    /// # Errors
    /// A name for a scripted pilot; a logbook that cannot be used.
    pub fn of(
        arguments: &KeepArguments,
        inputs: &Inputs,
        live: bool,
    ) -> Result<Option<Self>, Failure> {
        let by_person = matches!(inputs.lesson.pilot, PilotKind::Person | PilotKind::Playback);
        let pilot = match &arguments.name {
            Some(_) if !by_person => {
                return Err(Failure::input(format!(
                    "--name: {} flies by script, and only a person's flights go into the logbook; \
                     leave --name out, or give --pilot device or playback:FILE",
                    inputs.pilot_name()
                )));
            }
            Some(name) => name.clone(),
            None if live => UNNAMED.to_owned(),
            None => return Ok(None),
        };
        let file = match logbook_file(arguments.logbook.as_deref()) {
            Ok(file) => file,
            // Nobody asked for a logbook, so the lack of one stops no flight.
            Err(Failure { error, .. }) if arguments.name.is_none() => {
                eprintln!("This flight goes into no logbook: {error}.");
                return Ok(None);
            }
            Err(failure) => return Err(failure),
        };
        open_logbook(&file)?;
        Ok(Some(Self {
            file,
            pilot,
            flown_at: arguments.flown_at.clone(),
        }))
    }

    fn flown_at(&self) -> Result<FlownAt, Failure> {
        self.flown_at.clone().map_or_else(now, Ok)
    }

    /// Keeps a flight whose run folder is complete, and says so.
    ///
    /// # Errors
    /// A logbook that cannot be written; the run folder is not touched.
    pub fn keep(
        &self,
        inputs: &Inputs,
        flown: &Flown,
        seed: u64,
        folder: &Path,
    ) -> Result<(), Failure> {
        let kept = self
            .flown_at()
            .and_then(|at| entry_of(inputs, flown, seed, folder, &self.pilot, at))
            .and_then(|entry| {
                open_logbook(&self.file)?
                    .add(&entry)
                    .map_err(logbook_failure)
            });
        match kept {
            Ok(Added::New) => {
                eprintln!("In the logbook of {}: {}", self.pilot, self.file.display())
            }
            Ok(Added::Known) => eprintln!(
                "The logbook of {} has this very flight already; it counts once.",
                self.pilot
            ),
            Err(Failure { code, error }) => {
                let error = error.context(format!(
                    "the flight is whole in {0}, but not in the logbook; when that can be used, \
                     log it with `larkfield rehearse --again {0} --pilot playback:{0}/controls.csv \
                     --name {1:?}`",
                    folder.display(),
                    self.pilot
                ));
                return Err(Failure { code, error });
            }
        }
        Ok(())
    }
}
