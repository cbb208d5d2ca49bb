//! Names of run folders: which are allowed and which are free.

use std::path::{Path, PathBuf};

use super::Existing;
use super::error::{RunFolderError, failed};
use super::manifest::MANIFEST_NAME;

/// Names tried before giving up on finding a free one.
const MOST_NAMES: u32 = 9999;

/// A name that is one file in one folder on any system.
pub(super) fn is_plain_name(name: &str) -> bool {
    let letters_fit = name.chars().all(|c| {
        !c.is_control() && !matches!(c, '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|')
    });
    let ends = [".partial", ".replaced"];
    !name.is_empty()
        && name.len() <= 120
        && letters_fit
        && !name.starts_with('.')
        && !name.ends_with(['.', ' '])
        && !ends.iter().any(|end| name.ends_with(end))
}

pub(super) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(ending);
    path.with_file_name(name)
}

pub(super) fn is_run(path: &Path) -> bool {
    path.join(MANIFEST_NAME).is_file()
}

/// Finds a name nobody has and takes it by making the partial folder, which
/// only one of two programs can.
pub(super) fn take_name(
    parent: &Path,
    name: &str,
    existing: Existing,
) -> Result<(PathBuf, PathBuf), RunFolderError> {
    for number in 1..=MOST_NAMES {
        let name = if number == 1 {
            name.to_owned()
        } else {
            format!("{name}-{number}")
        };
        let complete = parent.join(&name);
        let partial = parent.join(format!("{name}.partial"));
        let may_replace = existing == Existing::Replace && is_run(&complete);
        if complete.symlink_metadata().is_ok() && !may_replace {
            match existing {
                Existing::PickFree => continue,
                Existing::Refuse => return Err(RunFolderError::Exists { path: complete }),
                Existing::Replace => return Err(RunFolderError::NotARun { path: complete }),
            }
        }
        match std::fs::create_dir(&partial) {
            Ok(()) => return Ok((partial, complete)),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                if existing != Existing::PickFree {
                    return Err(RunFolderError::Unfinished { path: partial });
                }
            }
            Err(error) => return Err(failed("make the folder", &partial, error)),
        }
    }
    Err(RunFolderError::Exists {
        path: parent.join(name),
    })
}
