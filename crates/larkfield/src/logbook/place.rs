//! Where the logbook is, and how it ends badly.

use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use larkfield_logbook::{Logbook, LogbookError};
use larkfield_rehearsal::{FAILED, Failure};

/// Names a logbook for every command.
const VARIABLE: &str = "LARKFIELD_LOGBOOK";

/// The logbook's file: as named, as the environment names it, or in the folder
/// of data.
///
/// # Errors
/// When the system has no such folder.
pub fn find(named: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(path) = named {
        return Ok(path.to_owned());
    }
    if let Some(path) = std::env::var_os(VARIABLE).filter(|path| !path.is_empty()) {
        return Ok(PathBuf::from(path));
    }
    let base = etcetera::choose_base_strategy().map_err(|_| {
        Failure::input(format!(
            "this system names no folder for a logbook; give --logbook FILE or set {VARIABLE}"
        ))
    })?;
    Ok(base.data_dir().join("larkfield").join("logbook.db"))
}

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
