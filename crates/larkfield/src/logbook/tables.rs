//! The logbook as a table, out and in.

use std::fs::File;
use std::io::Write;
use std::path::Path;

use anyhow::Context;
use larkfield_files::load_text;
use larkfield_logbook::{Entry, Logbook, read_table, write_table};
use larkfield_rehearsal::{Failure, logbook_failure, open_logbook};

use crate::terminal::say;

/// Writes flights into a new table.
///
/// # Errors
/// A file that is there already, a disk that refuses.
pub fn export(entries: &[Entry], path: &Path) -> Result<(), Failure> {
    let mut file = match File::create_new(path) {
        Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {
            return Err(Failure::input(format!(
                "--export {}: this is there already; name a new file",
                path.display()
            )));
        }
        other => other.with_context(|| format!("{} could not be made", path.display()))?,
    };
    let written = file
        .write_all(write_table(entries).as_bytes())
        .and_then(|()| file.sync_all());
    if written.is_err() {
        // Half a table would pass for a whole one.
        let _ = std::fs::remove_file(path);
    }
    written.with_context(|| format!("{} could not be written", path.display()))?;
    say(&format!(
        "{} flights in {}\n",
        entries.len(),
        path.display()
    ))?;
    Ok(())
}

/// Takes the flights of a table in, all or none.
///
/// # Errors
/// The first mistake of the table with its place; a logbook that refuses.
pub fn import(file: &Path, path: &Path) -> Result<(), Failure> {
    let text = load_text(path)?;
    // Spreadsheets begin a text in UTF-8 with a mark.
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let entries =
        read_table(text).map_err(|e| Failure::input(format!("{}: {e}", path.display())))?;
    let mut logbook: Logbook = open_logbook(file)?;
    let added = logbook.add_all(&entries).map_err(logbook_failure)?;
    say(&format!(
        "{added} flights are new, {} were known; {}\n",
        entries.len() - added,
        file.display()
    ))?;
    Ok(())
}
