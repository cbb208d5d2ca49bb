//! Whether a folder is what its manifest says.

use std::path::Path;

use sha2::{Digest, Sha256};
use thiserror::Error;

use super::UNFINISHED_NAME;
use super::manifest::{MANIFEST_NAME, Manifest, hex};
use super::names::is_plain_name;

/// Why a folder cannot be relied on.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FolderFault {
    /// No manifest, or one that cannot be read.
    #[error("{path}: no manifest can be read ({problem}); this is no run folder")]
    NoManifest {
        /// The manifest.
        path: String,
        /// Why not.
        problem: String,
    },
    /// The run did not finish.
    #[error("{path}: the run did not finish; see {UNFINISHED_NAME} if it is there")]
    NotComplete {
        /// The folder.
        path: String,
    },
    /// A file is missing or differs from what was written.
    #[error("{path}: {problem}; the run as it was can be made again from its inputs")]
    Changed {
        /// The file.
        path: String,
        /// How it differs.
        problem: String,
    },
}

/// Reads the manifest of a folder and compares every file with it. An empty
/// list means that the run is complete and unchanged.
#[must_use]
pub fn check_run_folder(folder: &Path) -> Vec<FolderFault> {
    read_run_folder(folder).err().unwrap_or_default()
}

/// The manifest of a run that is complete and unchanged.
///
/// # Errors
/// Everything that makes the folder unreliable.
pub fn read_run_folder(folder: &Path) -> Result<Manifest, Vec<FolderFault>> {
    let path = folder.join(MANIFEST_NAME);
    let read = std::fs::read(&path)
        .map_err(|e| e.to_string())
        .and_then(|bytes| serde_json::from_slice::<Manifest>(&bytes).map_err(|e| e.to_string()));
    let manifest = read.map_err(|problem| {
        vec![FolderFault::NoManifest {
            path: path.display().to_string(),
            problem,
        }]
    })?;
    let faults = faults_of(folder, &manifest);
    if faults.is_empty() {
        Ok(manifest)
    } else {
        Err(faults)
    }
}

fn faults_of(folder: &Path, manifest: &Manifest) -> Vec<FolderFault> {
    let mut faults = Vec::new();
    let named_partial = folder
        .file_name()
        .is_some_and(|name| name.to_string_lossy().ends_with(".partial"));
    if !manifest.complete || named_partial || folder.join(UNFINISHED_NAME).exists() {
        faults.push(FolderFault::NotComplete {
            path: folder.display().to_string(),
        });
    }
    for entry in &manifest.files {
        // A manifest is a file like any other; it must not lead out of here.
        let inside = entry.path.split('/').all(is_plain_name);
        let path = folder.join(&entry.path);
        let problem = if !inside {
            Some("the manifest names a path that leaves the folder".to_owned())
        } else {
            match std::fs::read(&path) {
                Err(error) => Some(format!("it cannot be read ({error})")),
                Ok(bytes) if hex(&Sha256::digest(&bytes)) != entry.sha256 => {
                    Some("its content is not what was written".to_owned())
                }
                Ok(_) => None,
            }
        };
        if let Some(problem) = problem {
            faults.push(FolderFault::Changed {
                path: path.display().to_string(),
                problem,
            });
        }
    }
    faults
}
