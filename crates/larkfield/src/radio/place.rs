//! Where radio files are: as named, among the settings, or shipped.

use std::path::{Path, PathBuf};

use larkfield_files::radio::load_radio;
use larkfield_radio::Transmitter;
use larkfield_rehearsal::{Failure, RADIOS, own_radios, shipped};

/// The file that somebody means: one of that name, or one kept or shipped.
///
/// # Errors
/// When it is nowhere, with where it was looked for.
pub fn find(named: &Path) -> Result<PathBuf, Failure> {
    if named.exists() {
        return Ok(named.to_owned());
    }
    let mut file = named.as_os_str().to_owned();
    if named.extension().is_none_or(|ending| ending != "ron") {
        file.push(".ron");
    }
    let kept = own_radios();
    if let Some(path) = kept.as_ref().map(|folder| folder.join(&file))
        && path.is_file()
    {
        return Ok(path);
    }
    let relative = Path::new("assets").join(RADIOS).join(&file);
    shipped(&relative.display().to_string()).map_err(|_| {
        let kept = kept.map_or_else(String::new, |folder| format!(", in {}", folder.display()));
        Failure::input(format!(
            "{}: there is no such radio file here{kept}, or in assets/{RADIOS}; make one with \
             `larkfield radio learn`",
            named.display()
        ))
    })
}

/// Finds and reads a radio.
///
/// # Errors
/// When it is nowhere, or everything wrong with it.
pub fn load(named: &Path) -> Result<Transmitter, Failure> {
    Ok(load_radio(&find(named)?)?)
}

/// A radio's name as the name of a file.
pub fn file_name(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars().take(40) {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('_') {
            out.push('_');
        }
    }
    let out = out.trim_end_matches('_');
    format!("{}.ron", if out.is_empty() { "radio" } else { out })
}
