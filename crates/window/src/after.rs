//! What comes after a flight: its folder, its line in the logbook, and a look at
//! what was wrong and what would have saved it, which takes some seconds and
//! keeps nobody from flying again.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use larkfield_logbook::{Added, FlownAt, Logbook};
use larkfield_rehearsal::{Failure, Flown, Inputs, UNNAMED, entry_of, logbook_file};

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
    let file: PathBuf = logbook_file(None)?;
    let entry = entry_of(inputs, flown, seed, folder, pilot, now()?)?;
    let cannot = |error: larkfield_logbook::LogbookError| Failure::input(error.to_string());
    let added = Logbook::open(&file)
        .and_then(|mut logbook| logbook.add(&entry))
        .map_err(cannot)?;
    Ok(match added {
        Added::New => format!("In the logbook of {pilot}"),
        Added::Known => format!("The logbook of {pilot} has this flight already"),
    })
}

/// The time of the place; only the logbook sees it.
fn now() -> Result<FlownAt, Failure> {
    let text = jiff::Zoned::now()
        .strftime("%Y-%m-%dT%H:%M:%S%:z")
        .to_string();
    FlownAt::parse(&text).map_err(|error| Failure::input(format!("the clock: {error}")))
}
