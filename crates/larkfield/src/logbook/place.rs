//! Where the logbook is, and how it ends badly.

use std::path::Path;

use larkfield_logbook::{Logbook, LogbookError};
use larkfield_rehearsal::{FAILED, Failure};

pub use larkfield_rehearsal::logbook_file as find;

/// Opens a logbook, or makes it.
///
/// # Errors
/// Everything that can be wrong with it.
pub fn open(file: &Path) -> Result<Logbook, Failure> {
    Logbook::open(file).map_err(failure)
}

/// A wrong file is a wrong input; what the disk refuses is a failure.
pub fn failure(error: LogbookError) -> Failure {
    match error {
        LogbookError::NotALogbook(_)
        | LogbookError::Damaged { .. }
        | LogbookError::Newer { .. }
        | LogbookError::Row { .. } => Failure::input(error.to_string()),
        _ => Failure {
            code: FAILED,
            error: error.into(),
        },
    }
}
