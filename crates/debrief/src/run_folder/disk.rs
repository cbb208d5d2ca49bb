//! The few things a run folder asks of a disk, so that a test can refuse them.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;

/// A file that can be forced to disk.
pub trait SyncWrite: Write {
    /// Returns once what was written will survive a loss of power.
    ///
    /// # Errors
    /// Whatever the disk reports.
    fn sync(&mut self) -> io::Result<()>;
}

/// Where run folders are written.
pub trait Disk: core::fmt::Debug {
    /// Makes a file that must not exist yet.
    ///
    /// # Errors
    /// Whatever the disk reports, an existing file included.
    fn create(&self, path: &Path) -> io::Result<Box<dyn SyncWrite>>;

    /// Gives a folder its final name.
    ///
    /// # Errors
    /// Whatever the disk reports; a folder with content in the way is one.
    fn rename_folder(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Forces the list of files of a folder to disk.
    ///
    /// # Errors
    /// Whatever the disk reports.
    fn sync_folder(&self, path: &Path) -> io::Result<()>;
}

/// The disk of the machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

impl SyncWrite for File {
    fn sync(&mut self) -> io::Result<()> {
        self.sync_all()
    }
}

impl Disk for RealDisk {
    fn create(&self, path: &Path) -> io::Result<Box<dyn SyncWrite>> {
        Ok(Box::new(File::create_new(path)?))
    }

    fn rename_folder(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::rename(from, to)
    }

    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        // Only Unix lets a folder be opened like a file.
        if cfg!(unix) {
            File::open(path)?.sync_all()
        } else {
            Ok(())
        }
    }
}
