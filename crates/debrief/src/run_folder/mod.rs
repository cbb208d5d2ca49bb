//! The folder that holds a run: inputs, versions, recording, score, page.
//!
//! A folder named `NAME` is whole; one named `NAME.partial` is not, or was not
//! yet. Files are written into `NAME.partial` and forced to disk, the manifest
//! `run.json` comes last and says `"complete": true`, and only then is the
//! folder renamed. Whatever stops the program in between, Ctrl-C, a full disk
//! or the power, leaves the partial folder with everything written so far, a
//! manifest that says `"complete": false`, and `UNFINISHED.txt`.
//!
//! The files hold no date and no path of the machine, so that equal inputs
//! give equal folders, byte for byte.

mod disk;
mod error;
mod manifest;
mod names;
mod verify;

use std::io::Write;
use std::path::{Path, PathBuf};

pub use disk::{Disk, RealDisk, SyncWrite};
pub use error::RunFolderError;
pub use manifest::{FileEntry, Manifest, RunFacts, Versions};
pub use verify::{FolderFault, check_run_folder, read_run_folder};

use error::failed;
use manifest::{Hashing, MANIFEST_NAME};
use names::{beside, is_plain_name, is_run, take_name};

/// Name of the note in a folder that is not complete.
pub const UNFINISHED_NAME: &str = "UNFINISHED.txt";

/// What to do when the folder asked for is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Existing {
    /// Take the first free of `NAME`, `NAME-2`, `NAME-3`, ...
    #[default]
    PickFree,
    /// Refuse.
    Refuse,
    /// Put the new run in its place, once the new run is complete. Only a
    /// folder that holds a `run.json` is replaced, never anything else.
    Replace,
}

/// A run being written.
#[derive(Debug)]
pub struct RunFolder {
    partial: PathBuf,
    complete: PathBuf,
    replace: bool,
    facts: RunFacts,
    files: Vec<FileEntry>,
    /// The first file that could not be written.
    failed_file: Option<String>,
    disk: Box<dyn Disk>,
}

impl RunFolder {
    /// Starts a run in `parent`, which is made if it is missing.
    ///
    /// # Errors
    /// When `name` is no plain name, when the folder exists and may not be
    /// replaced, or when the disk refuses.
    pub fn create(
        parent: &Path,
        name: &str,
        existing: Existing,
        facts: RunFacts,
    ) -> Result<Self, RunFolderError> {
        Self::create_on(Box::new(RealDisk), parent, name, existing, facts)
    }

    /// The same on a disk of the caller's, for tests of what happens when it
    /// fails.
    ///
    /// # Errors
    /// As [`RunFolder::create`].
    pub fn create_on(
        disk: Box<dyn Disk>,
        parent: &Path,
        name: &str,
        existing: Existing,
        facts: RunFacts,
    ) -> Result<Self, RunFolderError> {
        if !is_plain_name(name) {
            return Err(RunFolderError::BadName {
                name: name.to_owned(),
            });
        }
        std::fs::create_dir_all(parent).map_err(|e| failed("make the folder", parent, e))?;
        let (partial, complete) = take_name(parent, name, existing)?;
        let folder = Self {
            partial,
            complete,
            replace: existing == Existing::Replace,
            facts,
            files: Vec::new(),
            failed_file: None,
            disk,
        };
        let note = "This run did not finish. What is here was written before it stopped; \
                    run.json lists it. A complete run has no file of this name and its folder \
                    does not end in .partial.\n";
        folder.write_unlisted(UNFINISHED_NAME, note.as_bytes())?;
        folder.write_manifest(false)?;
        Ok(folder)
    }

    /// Where the files are until the run is complete.
    #[must_use]
    pub fn partial_path(&self) -> &Path {
        &self.partial
    }

    /// Where the run will be when it is complete.
    #[must_use]
    pub fn final_path(&self) -> &Path {
        &self.complete
    }

    /// Keeps an input as it was read, under `inputs/ROLE/`. Of `file_name` only
    /// the last part counts, so that no path of the machine gets in.
    ///
    /// # Errors
    /// When a name is no plain name or stands there already, or the disk
    /// refuses.
    pub fn add_input(
        &mut self,
        role: &str,
        file_name: &str,
        bytes: &[u8],
    ) -> Result<(), RunFolderError> {
        let last = file_name.rsplit(['/', '\\']).next().unwrap_or_default();
        for name in [role, last] {
            if !is_plain_name(name) {
                return Err(RunFolderError::BadName {
                    name: name.to_owned(),
                });
            }
        }
        let folder = self.partial.join("inputs").join(role);
        std::fs::create_dir_all(&folder).map_err(|e| failed("make the folder", &folder, e))?;
        self.add_listed(&format!("inputs/{role}/{last}"), role, |out| {
            out.write_all(bytes)
        })
    }

    /// Adds a file of the run.
    ///
    /// # Errors
    /// As [`RunFolder::add_with`].
    pub fn add(&mut self, name: &str, bytes: &[u8]) -> Result<(), RunFolderError> {
        self.add_with(name, |out| out.write_all(bytes))
    }

    /// Adds a file of the run, written by `write` as it goes, so that a long
    /// recording reaches the disk bit by bit.
    ///
    /// # Errors
    /// When the name is no plain name or is taken, or the disk refuses; the
    /// partial folder stays, with the reason in `UNFINISHED.txt`.
    pub fn add_with(
        &mut self,
        name: &str,
        write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
    ) -> Result<(), RunFolderError> {
        let reserved = [MANIFEST_NAME, UNFINISHED_NAME].contains(&name);
        if !is_plain_name(name) || reserved {
            return Err(RunFolderError::BadName {
                name: name.to_owned(),
            });
        }
        self.add_listed(name, "output", write)
    }

    /// Completes the run and gives it its name.
    ///
    /// # Errors
    /// When a file of the run could not be written before, the disk refuses
    /// now, or somebody took the name in the meantime; the partial folder stays.
    pub fn finish(mut self) -> Result<PathBuf, RunFolderError> {
        let result = self.try_finish();
        if let Err(error) = &result {
            self.note(&error.to_string());
            // Not under its name, so it must not say it is complete.
            let _ = self.write_manifest(false);
        }
        result.map(|()| self.complete)
    }

    /// Gives the run up; the partial folder stays, with the reason in it.
    pub fn abandon(self, reason: &str) {
        self.note(reason);
    }

    fn try_finish(&mut self) -> Result<(), RunFolderError> {
        if let Some(file) = &self.failed_file {
            return Err(RunFolderError::Incomplete {
                path: self.partial.clone(),
                file: file.clone(),
            });
        }
        // The claim to be complete is the last thing written.
        self.sync_folders()?;
        let unfinished = self.partial.join(UNFINISHED_NAME);
        std::fs::remove_file(&unfinished).map_err(|e| failed("remove", &unfinished, e))?;
        self.write_manifest(true)?;
        self.disk
            .sync_folder(&self.partial)
            .map_err(|e| failed("force to disk the folder", &self.partial, e))?;
        let old = self.move_old_aside()?;
        if let Err(error) = self.disk.rename_folder(&self.partial, &self.complete) {
            // Put back what was there; if that fails too, both folders remain
            // under names that say what they are.
            if let Some(old) = &old {
                let _ = std::fs::rename(old, &self.complete);
            }
            return Err(failed(
                "rename the finished folder to",
                &self.complete,
                error,
            ));
        }
        if let Some(parent) = self.complete.parent() {
            // The run is whole and named; a folder that cannot be forced to
            // disk is no reason to call it lost.
            let _ = self.disk.sync_folder(parent);
        }
        if let Some(old) = old {
            // The new run stands; an old one that cannot be removed stays
            // under a name that says what it is.
            let _ = std::fs::remove_dir_all(&old);
        }
        Ok(())
    }

    fn move_old_aside(&self) -> Result<Option<PathBuf>, RunFolderError> {
        if !self.complete.exists() {
            return Ok(None);
        }
        if !self.replace || !is_run(&self.complete) {
            return Err(RunFolderError::Exists {
                path: self.complete.clone(),
            });
        }
        let old = beside(&self.complete, ".replaced");
        if old.exists() {
            return Err(RunFolderError::Exists { path: old });
        }
        std::fs::rename(&self.complete, &old)
            .map_err(|e| failed("move aside the run at", &self.complete, e))?;
        Ok(Some(old))
    }

    fn sync_folders(&self) -> Result<(), RunFolderError> {
        let mut folders = vec![self.partial.clone()];
        for file in &self.files {
            let mut folder = self.partial.join(&file.path);
            while folder.pop() && folder != self.partial {
                if !folders.contains(&folder) {
                    folders.push(folder.clone());
                }
            }
        }
        for folder in folders.iter().rev() {
            self.disk
                .sync_folder(folder)
                .map_err(|e| failed("force to disk the folder", folder, e))?;
        }
        Ok(())
    }

    fn add_listed(
        &mut self,
        name: &str,
        role: &str,
        write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
    ) -> Result<(), RunFolderError> {
        if self.files.iter().any(|file| file.path == name) {
            return Err(RunFolderError::Exists {
                path: self.partial.join(name),
            });
        }
        let path = self.partial.join(name);
        let result = self.write_file(&path, write);
        match result {
            Ok((bytes, sha256)) => {
                self.files.push(FileEntry {
                    path: name.to_owned(),
                    role: role.to_owned(),
                    bytes,
                    sha256,
                });
                Ok(())
            }
            Err(error) => {
                self.failed_file.get_or_insert_with(|| name.to_owned());
                self.note(&error.to_string());
                // The list of what is whole; a disk that is full may refuse
                // even this, and the older list remains true.
                let _ = self.write_manifest(false);
                Err(error)
            }
        }
    }

    fn write_file(
        &self,
        path: &Path,
        write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
    ) -> Result<(u64, String), RunFolderError> {
        let file = self
            .disk
            .create(path)
            .map_err(|e| failed("create the file", path, e))?;
        let mut out = Hashing::new(std::io::BufWriter::new(file));
        write(&mut out).map_err(|e| failed("write", path, e))?;
        let (buffered, bytes, sha256) = out.finish();
        let mut file = buffered
            .into_inner()
            .map_err(|e| failed("write", path, e.into_error()))?;
        file.sync().map_err(|e| failed("force to disk", path, e))?;
        Ok((bytes, sha256))
    }

    fn write_unlisted(&self, name: &str, bytes: &[u8]) -> Result<(), RunFolderError> {
        let path = self.partial.join(name);
        self.write_file(&path, |out| out.write_all(bytes))
            .map(|_| ())
    }

    /// Writes the manifest beside the old one and puts it in its place, so
    /// that there is always a whole one.
    fn write_manifest(&self, complete: bool) -> Result<(), RunFolderError> {
        let manifest = Manifest::new(complete, &self.facts, &self.files);
        let new = format!("{MANIFEST_NAME}.new");
        let path = self.partial.join(&new);
        let text = manifest
            .to_text()
            .map_err(|e| failed("write", &path, e.into()))?;
        self.write_unlisted(&new, text.as_bytes())?;
        let place = self.partial.join(MANIFEST_NAME);
        std::fs::rename(&path, &place).map_err(|e| failed("put in place", &place, e))
    }

    /// Adds a reason to the note, as far as the disk lets it.
    fn note(&self, reason: &str) {
        let file = std::fs::OpenOptions::new()
            .create(true)
            .append(true)
            .open(self.partial.join(UNFINISHED_NAME));
        if let Ok(mut file) = file {
            let _ = writeln!(file, "{reason}");
        }
    }
}
