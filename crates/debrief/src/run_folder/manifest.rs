//! `run.json`: what a run is made of.

use std::collections::BTreeMap;
use std::io::{self, Write};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Name of the manifest.
pub(super) const MANIFEST_NAME: &str = "run.json";
/// Version of the layout of the folder.
const FORMAT_VERSION: u32 = 1;

/// What made the run; whatever differs here may change bits of the flight.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Versions {
    /// Version of the program.
    pub larkfield: String,
    /// Compiler target, such as `x86_64-unknown-linux-gnu`.
    pub target: String,
    /// Libraries that take part in the flight and their versions.
    pub libraries: BTreeMap<String, String>,
}

/// What a run is, beside its files.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct RunFacts {
    /// Name of the lesson.
    pub lesson: String,
    /// Name of the plane.
    pub plane: String,
    /// Name of the pilot.
    pub pilot: String,
    /// Seed.
    pub seed: u64,
    /// What made it.
    pub versions: Versions,
}

/// One file of a run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileEntry {
    /// Path inside the folder, with `/`.
    pub path: String,
    /// What it is to the run: the name of an input, or `output`.
    pub role: String,
    /// Size.
    pub bytes: u64,
    /// SHA-256 (FIPS 180-4) of its content, in hexadecimal.
    pub sha256: String,
}

/// The manifest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Always `larkfield run`.
    pub format: String,
    /// Version of the layout.
    pub format_version: u32,
    /// Whether everything that belongs to the run is there.
    pub complete: bool,
    /// What the run is.
    pub run: RunFacts,
    /// Its files, in order of path.
    pub files: Vec<FileEntry>,
}

impl Manifest {
    pub(super) fn new(complete: bool, facts: &RunFacts, files: &[FileEntry]) -> Self {
        let mut files = files.to_vec();
        files.sort_by(|a, b| a.path.cmp(&b.path));
        Self {
            format: "larkfield run".to_owned(),
            format_version: FORMAT_VERSION,
            complete,
            run: facts.clone(),
            files,
        }
    }

    pub(super) fn to_text(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }
}

/// A writer that keeps the length and the digest of what passes through.
pub(super) struct Hashing<W> {
    inner: W,
    digest: Sha256,
    bytes: u64,
}

impl<W: Write> Hashing<W> {
    pub(super) fn new(inner: W) -> Self {
        Self {
            inner,
            digest: Sha256::new(),
            bytes: 0,
        }
    }

    pub(super) fn finish(self) -> (W, u64, String) {
        let hex = hex(&self.digest.finalize());
        (self.inner, self.bytes, hex)
    }
}

impl<W: Write> Write for Hashing<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let taken = self.inner.write(bytes)?;
        self.digest.update(&bytes[..taken]);
        self.bytes += taken as u64;
        Ok(taken)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.inner.flush()
    }
}

pub(super) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}
