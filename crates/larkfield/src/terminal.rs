//! Words on a terminal: colour only there, progress only there and only when
//! something takes long.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// Nothing is said before this.
const PATIENCE: Duration = Duration::from_secs(2);
/// And then this often.
const EVERY: Duration = Duration::from_millis(200);

/// Prints why the program ends.
pub fn complain(error: &anyhow::Error) {
    let colour = std::io::stderr().is_terminal() && colour_wanted();
    let (red, plain) = if colour {
        ("\x1b[1;31m", "\x1b[0m")
    } else {
        ("", "")
    };
    // Nothing can be done about a closed error stream.
    let _ = writeln!(std::io::stderr(), "{red}error{plain}: {error:#}");
}

/// A line in bold when it goes to a terminal.
pub fn bold(text: &str) -> String {
    if std::io::stdout().is_terminal() && colour_wanted() {
        format!("\x1b[1m{text}\x1b[0m")
    } else {
        text.to_owned()
    }
}

/// By the convention of that variable: any value but none means no colour.
fn colour_wanted() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
        && std::env::var_os("TERM").is_none_or(|term| term != "dumb")
}

/// Prints to standard output; a reader that went away is no error.
///
/// # Errors
/// When the output cannot be written for another reason.
pub fn say(text: &str) -> anyhow::Result<()> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(anyhow::Error::new(e).context("standard output could not be written"))
        }
        _ => Ok(()),
    }
}

/// One line of progress on the error stream.
pub struct Progress {
    start: Instant,
    last: Option<Instant>,
    on: bool,
}

impl Progress {
    /// Starts counting.
    pub fn new() -> Self {
        Self {
            start: Instant::now(),
            last: None,
            on: std::io::stderr().is_terminal(),
        }
    }

    /// Replaces the line, when it is time to.
    pub fn show(&mut self, text: &str) {
        let due = self.last.is_none_or(|last| last.elapsed() >= EVERY);
        if self.on && due && self.start.elapsed() >= PATIENCE {
            self.last = Some(Instant::now());
            let _ = write!(std::io::stderr(), "\r\x1b[K{text}");
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.last.is_some() {
            let _ = write!(std::io::stderr(), "\r\x1b[K");
        }
    }
}
