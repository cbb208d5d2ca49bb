//! What can be wrong with a logbook.

use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;

/// Why a logbook could not be used. Whatever it says, the file is as it was.
#[derive(Debug, thiserror::Error)]
pub enum LogbookError {
    /// Some other kind of file.
    #[error("{}: this is not a logbook, so it was left as it is; name another file with --logbook", .0.display())]
    NotALogbook(PathBuf),
    /// A logbook with pages missing or wrong.
    #[error(
        "{}: this logbook is damaged ({what}) and was left as it is; put a copy or an export back \
         in its place, or move it away to begin a new one", .file.display()
    )]
    Damaged {
        /// The file.
        file: PathBuf,
        /// What the database says.
        what: String,
    },
    /// Made by a later program.
    #[error(
        "{}: this logbook has version {version}, and this program knows those up to {known}; \
         use the newer program", .file.display()
    )]
    Newer {
        /// The file.
        file: PathBuf,
        /// Its version.
        version: i64,
        /// What is known.
        known: i64,
    },
    /// No room.
    #[error(
        "{}: the disk is full; this was not written, and what the logbook held before is still in \
         it. Make room and try again", .0.display()
    )]
    Full(PathBuf),
    /// Another program writes and does not end.
    #[error("{}: another program has been writing to this logbook for {waited_s} s; try again when it is done", .file.display())]
    Busy {
        /// The file.
        file: PathBuf,
        /// Patience.
        waited_s: u64,
    },
    /// No permission.
    #[error("{}: this logbook may not be written to ({what}); check who owns it, or name another with --logbook", .file.display())]
    Refused {
        /// The file.
        file: PathBuf,
        /// What the system says.
        what: String,
    },
    /// A row that no program of ours wrote.
    #[error("{}: flight {id}, {column}: {what}", .file.display())]
    Row {
        /// The file.
        file: PathBuf,
        /// Number of the flight.
        id: i64,
        /// The column.
        column: &'static str,
        /// What is wrong.
        what: String,
    },
    /// Anything else.
    #[error("{}: the logbook could not be used: {what}", .file.display())]
    Other {
        /// The file.
        file: PathBuf,
        /// What is wrong.
        what: String,
    },
}

/// How long a program waits for another.
pub(crate) const PATIENCE_S: u64 = 10;

impl LogbookError {
    /// Puts what the database says into words.
    pub(crate) fn of(file: &Path, error: &rusqlite::Error) -> Self {
        let file = file.to_owned();
        let what = error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => Self::NotALogbook(file),
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged { file, what },
            Some(ErrorCode::DiskFull) => Self::Full(file),
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy {
                file,
                waited_s: PATIENCE_S,
            },
            Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
                Self::Refused { file, what }
            }
            _ => Self::Other { file, what },
        }
    }
}
