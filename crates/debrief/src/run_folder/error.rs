//! Why a run folder could not be written, and what to do.

use std::io;
use std::path::{Path, PathBuf};

use thiserror::Error;

/// Why a run folder could not be written.
#[derive(Debug, Error)]
pub enum RunFolderError {
    /// A name with separators, of no letters, or one that a system forbids.
    #[error(
        "\"{name}\" cannot name a file in a run folder; use letters, digits, dashes and points, \
         not starting with a point and not ending in .partial or .replaced"
    )]
    BadName {
        /// The name.
        name: String,
    },
    /// Something of that name is there.
    #[error(
        "{} exists already and is left as it is; choose another name, or move it away",
        path.display()
    )]
    Exists {
        /// What is in the way.
        path: PathBuf,
    },
    /// Asked to replace something that is not a run.
    #[error(
        "{} is no run folder (it holds no run.json), so it is not replaced; choose another name",
        path.display()
    )]
    NotARun {
        /// What is in the way.
        path: PathBuf,
    },
    /// An earlier run of that name did not finish.
    #[error(
        "{} is left from a run that did not finish; look at it, then delete or rename it",
        path.display()
    )]
    Unfinished {
        /// The partial folder.
        path: PathBuf,
    },
    /// A file of the run could not be written, so that it cannot be complete.
    #[error(
        "{} stays as it is, because {file} could not be written into it; run again",
        path.display()
    )]
    Incomplete {
        /// The partial folder.
        path: PathBuf,
        /// The file.
        file: String,
    },
    /// The disk refused.
    #[error("could not {action} {}: {source}; {advice}", path.display())]
    Disk {
        /// What was tried.
        action: &'static str,
        /// On what.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
        /// What to do.
        advice: &'static str,
    },
}

pub(super) fn failed(action: &'static str, path: &Path, source: io::Error) -> RunFolderError {
    use io::ErrorKind as K;
    let advice = match source.kind() {
        K::StorageFull | K::QuotaExceeded | K::FileTooLarge => {
            "free some space or choose a folder on another disk, then run again"
        }
        K::PermissionDenied | K::ReadOnlyFilesystem => {
            "choose a folder you may write to, then run again"
        }
        K::NotFound => "the folder vanished while it was written; run again",
        K::AlreadyExists | K::DirectoryNotEmpty => "move away what is in the way, then run again",
        K::NotADirectory => "a file stands where a folder should be; choose another place",
        _ => "what was written so far is kept in the folder ending in .partial",
    };
    RunFolderError::Disk {
        action,
        path: path.to_owned(),
        source,
        advice,
    }
}
