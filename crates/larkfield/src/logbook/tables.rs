//! The logbook as a table, out and in.

use std::fs::File;
use std::io::Write;
use std::path::Path;

use anyhow::Context;
use larkfield_files::load_text;
use larkfield_logbook::{
    Entry, Logbook, Practice, read_practices, read_table, write_practices, write_table,
};
use larkfield_rehearsal::{Failure, logbook_failure, open_logbook};

use crate::terminal::say;

/// Writes flights into a new table.
///
/// # Errors
/// A file that is there already, a disk that refuses.
pub fn export(entries: &[Entry], path: &Path) -> Result<(), Failure> {
    write(&write_table(entries), path)?;
    let count = entries.len();
    Ok(say(&format!("{count} flights in {}\n", path.display()))?)
}

/// Writes drills likewise.
///
/// # Errors
/// A file that is there already, a disk that refuses.
pub fn export_practices(practices: &[Practice], path: &Path) -> Result<(), Failure> {
    write(&write_practices(practices), path)?;
    let count = practices.len();
    Ok(say(&format!("{count} drills in {}\n", path.display()))?)
}

fn write(table: &str, path: &Path) -> Result<(), Failure> {
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
        .write_all(table.as_bytes())
        .and_then(|()| file.sync_all());
    if written.is_err() {
        // Half a table would pass for a whole one.
        let _ = std::fs::remove_file(path);
    }
    Ok(written.with_context(|| format!("{} could not be written", path.display()))?)
}

/// Takes the flights, or the drills, of a table in, all or none.
///
/// # Errors
/// The first mistake of the table with its place; a logbook that refuses.
pub fn import(file: &Path, path: &Path, drills: bool) -> Result<(), Failure> {
    let text = load_text(path)?;
    // Spreadsheets begin a text in UTF-8 with a mark.
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let wrong = |e| Failure::input(format!("{}: {e}", path.display()));
    let (what, read, added) = if drills {
        let practices = read_practices(text).map_err(wrong)?;
        let mut logbook: Logbook = open_logbook(file)?;
        ("drills", practices.len(), logbook.add_practices(&practices))
    } else {
        let entries = read_table(text).map_err(wrong)?;
        let mut logbook: Logbook = open_logbook(file)?;
        ("flights", entries.len(), logbook.add_all(&entries))
    };
    let added = added.map_err(logbook_failure)?;
    say(&format!(
        "{added} {what} are new, {} were known; {}\n",
        read - added,
        file.display()
    ))?;
    Ok(())
}
