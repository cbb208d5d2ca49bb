//! What comes after a flight: its folder, its line in the logbook, and a look at
//! what was wrong and what would have saved it, which takes some seconds and
//! keeps nobody from flying again.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use bevy::prelude::Resource;
use larkfield_logbook::Added;
use larkfield_rehearsal::{
    Failure, Flown, Inputs, UNNAMED, entry_of, logbook_failure, logbook_file, now, open_logbook,
};

use crate::link::Takeover;
use crate::session::Session;

/// Somebody looks at a flight that is over.
pub struct Looking {
    found: Receiver<Flown>,
    stop: Arc<AtomicBool>,
}

/// Where a look has got to.
pub enum Look {
    /// It goes on.
    On(Looking),
    /// This is the flight with what was found.
    Over(Box<Flown>),
    /// It came to nothing.
    Broken,
}

impl Looking {
    /// Begins to look, beside everything else.
    pub fn at(flown: &Flown, inputs: &Arc<Inputs>, seed: u64) -> Self {
        let (found, at_window) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let (mut flown, inputs, stops) = (flown.clone(), inputs.clone(), stop.clone());
        let named = std::thread::Builder::new().name("look back".to_owned());
        let look = move || {
            let goes_on = |_| !stops.load(Ordering::Relaxed);
            flown.find_causes(&inputs, goes_on);
            // The same wind blew before, so it can.
            let _ = flown.look_back(&inputs, seed, goes_on);
            // Nobody waits any more when another flight has begun.
            let _ = found.send(flown);
        };
        // Without a thread nothing is found; the flight is scored all the same.
        drop(named.spawn(look));
        Self {
            found: at_window,
            stop,
        }
    }

    /// Whether it is done.
    pub fn poll(self) -> Look {
        match self.found.try_recv() {
            Ok(flown) => Look::Over(Box::new(flown)),
            Err(TryRecvError::Empty) => Look::On(self),
            Err(TryRecvError::Disconnected) => Look::Broken,
        }
    }
}

impl Drop for Looking {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

/// Puts a flight into the logbook; what there is to say about it.
///
/// # Errors
/// A logbook that cannot be used; the run folder is whole.
pub fn log(
    inputs: &Inputs,
    flown: &Flown,
    seed: u64,
    folder: &Path,
    pilot: &str,
) -> Result<String, Failure> {
    let pilot = if pilot.is_empty() { UNNAMED } else { pilot };
    let entry = entry_of(inputs, flown, seed, folder, pilot, now()?)?;
    let added = open_logbook(&logbook_file(None)?)?
        .add(&entry)
        .map_err(logbook_failure)?;
    Ok(match added {
        Added::New => format!("In the logbook of {pilot}"),
        Added::Known => format!("The logbook of {pilot} has this flight already"),
    })
}

/// What became of the flight that is over.
#[derive(Resource, Debug, Clone, Default)]
pub struct Told {
    /// Whatever comes after a flight has begun.
    begun: bool,
    /// Its folder.
    folder: Option<PathBuf>,
    /// It still has to go into the logbook.
    unlogged: bool,
    /// For whoever flew it.
    pub said: Vec<String>,
}

impl Told {
    /// Something that went wrong before there was a flight.
    pub fn of(failure: &Failure) -> Self {
        Self {
            begun: true,
            said: vec![format!("{:#}", failure.error)],
            ..Self::default()
        }
    }

    /// Does what is due after a flight: keeps it where `keep` says so, begins to
    /// look into it, and takes in what was found. `takeovers` is said of it.
    pub fn follow(
        &mut self,
        session: &mut Session,
        pilot: &str,
        keep: bool,
        takeovers: &[Takeover],
    ) {
        if session.flown().is_some() && !self.begun {
            self.begun = true;
            if keep {
                self.keep(session);
            }
            self.said.extend(takeovers.iter().map(Takeover::in_words));
            session.look_into();
        }
        if session.hear_of_look() {
            if let Some(folder) = self.folder.clone()
                && let Err(failure) = session.keep_again(&folder)
            {
                let why = format!("{:#}", failure.error);
                self.said
                    .push(format!("the debrief stays as it was: {why}"));
            }
            self.log(session, pilot);
        }
    }

    fn keep(&mut self, session: &Session) {
        match session.keep(None) {
            Ok(folder) => {
                let page = folder.join("debrief.html");
                self.said.push(format!("Debrief: {}", page.display()));
                self.folder = Some(folder);
                self.unlogged = session.is_attempt();
            }
            Err(failure) => self.said.push(format!("not kept: {:#}", failure.error)),
        }
    }

    /// Puts a flight that still has to go there into the logbook.
    pub fn log(&mut self, session: &Session, pilot: &str) {
        if let Some(folder) = self.folder.as_deref().filter(|_| self.unlogged) {
            self.said.push(match session.log(folder, pilot) {
                Ok(said) => said,
                Err(failure) => format!("not in the logbook: {:#}", failure.error),
            });
        }
        self.unlogged = false;
    }
}
