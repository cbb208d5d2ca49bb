//! How a command ends badly, and the exit code of each way.

use larkfield_debrief::RunFolderError;
use larkfield_files::FileErrors;

/// The work could not be done: the disk refused, the model gave up.
pub const FAILED: u8 = 1;
/// Arguments or input files are wrong. Also what the argument parser uses.
pub const BAD_INPUT: u8 = 2;
/// Ctrl-C, as shells report it.
pub const STOPPED: u8 = 130;

/// Why a command ended, for people and for the shell.
#[derive(Debug)]
pub struct Failure {
    /// Exit code.
    pub code: u8,
    /// What to say.
    pub error: anyhow::Error,
}

impl Failure {
    /// A mistake in arguments or input files.
    pub fn input(message: impl Into<String>) -> Self {
        Self {
            code: BAD_INPUT,
            error: anyhow::Error::msg(message.into()),
        }
    }

    /// Stopped by the person at the keyboard.
    pub fn stopped(message: impl Into<String>) -> Self {
        Self {
            code: STOPPED,
            error: anyhow::Error::msg(message.into()),
        }
    }
}

impl From<anyhow::Error> for Failure {
    fn from(error: anyhow::Error) -> Self {
        Self {
            code: FAILED,
            error,
        }
    }
}

impl From<FileErrors> for Failure {
    fn from(errors: FileErrors) -> Self {
        Self {
            code: BAD_INPUT,
            error: errors.into(),
        }
    }
}

impl From<RunFolderError> for Failure {
    fn from(error: RunFolderError) -> Self {
        let code = match &error {
            RunFolderError::BadName { .. }
            | RunFolderError::Exists { .. }
            | RunFolderError::NotARun { .. }
            | RunFolderError::Unfinished { .. } => BAD_INPUT,
            _ => FAILED,
        };
        Self {
            code,
            error: error.into(),
        }
    }
}
