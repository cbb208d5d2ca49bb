//! What is said before anybody moves a stick.

use std::io::{BufRead, Write};

use larkfield_rehearsal::Failure;

/// The same words everywhere.
const BEFORE: &str = "\
Before you move a stick: disconnect the plane's flight battery, take its
propeller off, and switch the radio's transmission off where the radio allows.
A stick that is moved here moves a plane that listens.";

/// Says so, and waits until somebody says that it is done. A recording moves
/// nothing, so nobody waits.
///
/// # Errors
/// When nobody can answer.
pub fn before_sticks(ready: bool, live: bool) -> Result<(), Failure> {
    if !live {
        return Ok(());
    }
    let mut screen = std::io::stderr();
    // Nothing can be done about a closed error stream.
    let _ = writeln!(screen, "{BEFORE}");
    if ready {
        return Ok(());
    }
    let _ = writeln!(screen, "Press Enter when that is done.");
    answer().map(|_| ())
}

/// A line from the keyboard.
///
/// # Errors
/// When there is nobody to ask.
pub fn answer() -> Result<String, Failure> {
    let mut line = String::new();
    match std::io::stdin().lock().read_line(&mut line) {
        Ok(count) if count > 0 => Ok(line.trim().to_owned()),
        _ => Err(Failure::input(
            "nobody answers; run this at a terminal, or give the answer as an option (--ready, \
             --shaped)",
        )),
    }
}
