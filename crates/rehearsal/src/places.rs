//! Where files are: shipped ones below the current folder, below one above it, or
//! below one above the program itself; a person's own where the system keeps
//! settings and data.

use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use larkfield_files::course::load_course;
use larkfield_lesson::Course;

use crate::failure::Failure;

/// The lesson that is flown when none is named.
pub const DEFAULT_LESSON: &str = "assets/lessons/first_launch.ron";

/// Finds a shipped file.
///
/// # Errors
/// When it is nowhere, with where it was looked for.
pub fn shipped(relative: &str) -> Result<PathBuf, Failure> {
    // The plain relative path first: messages read better with it.
    let here = PathBuf::from(relative);
    if here.is_file() {
        return Ok(here);
    }
    let starts = [std::env::current_dir().ok(), std::env::current_exe().ok()];
    starts
        .iter()
        .flatten()
        .flat_map(|start| start.ancestors())
        .map(|folder| folder.join(relative))
        .find(|path| path.is_file())
        .ok_or_else(|| {
            Failure::input(format!(
                "{relative} is neither below the current folder or one above it nor near the \
                 program; run from a checkout, or name a file with --lesson"
            ))
        })
}

/// The shipped files of a folder that end in `.ron`, in the order of their names;
/// `one` of them says where the folder is.
///
/// # Errors
/// When that one is nowhere, or the folder cannot be read.
pub fn shipped_like(one: &str) -> Result<Vec<PathBuf>, Failure> {
    let one = shipped(one)?;
    let folder = one.parent().unwrap_or(Path::new("."));
    let mut files = ron_files(folder);
    files.sort();
    Ok(files)
}

/// The shipped course.
const COURSE: &str = "assets/course.ron";

/// The course: in which order lessons and drills build on each other.
///
/// # Errors
/// When it is not there, and everything wrong with it.
pub fn course() -> Result<Course, Failure> {
    Ok(load_course(&shipped(COURSE)?)?)
}

/// The name of a lesson's file without folder and ending, by which a course and
/// other lessons name it.
pub fn lesson_name(file: &Path) -> String {
    file.file_stem()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

/// Files of a folder that end in `.ron`; none where there is no such folder.
pub fn ron_files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let paths = entries.map(|entry| entry.path());
    paths
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron") && path.is_file())
        .collect()
}

/// The folder of a person's own settings; none where the system has no such
/// place.
pub fn own_settings() -> Option<PathBuf> {
    let base = etcetera::choose_base_strategy().ok()?;
    Some(base.config_dir().join("larkfield"))
}

/// Folder of radios below that of settings and below that of shipped files.
pub const RADIOS: &str = "radios";

/// The folder of a person's own radios; none where the system has no such place.
pub fn own_radios() -> Option<PathBuf> {
    Some(own_settings()?.join(RADIOS))
}

/// Names a logbook for every program.
pub const LOGBOOK_VARIABLE: &str = "LARKFIELD_LOGBOOK";

/// The logbook's file: as named, as the environment names it, or in the folder
/// of data.
///
/// # Errors
/// When the system has no such folder.
pub fn logbook_file(named: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(path) = named {
        return Ok(path.to_owned());
    }
    if let Some(path) = std::env::var_os(LOGBOOK_VARIABLE).filter(|path| !path.is_empty()) {
        return Ok(PathBuf::from(path));
    }
    let base = etcetera::choose_base_strategy().map_err(|_| {
        Failure::input(format!(
            "this system names no folder for a logbook; give --logbook FILE or set \
             {LOGBOOK_VARIABLE}"
        ))
    })?;
    Ok(base.data_dir().join("larkfield").join("logbook.db"))
}

/// A file that another file names, relative to the folder of the latter.
pub fn beside(file: &Path, reference: &str) -> PathBuf {
    let joined = file.parent().unwrap_or(Path::new("")).join(reference);
    // Without the detours, so that messages are short: a/b/../c is a/c, unless
    // b is a link, in which case the path is left alone.
    let mut short = PathBuf::new();
    for part in joined.components() {
        let up = part == std::path::Component::ParentDir;
        let named = matches!(
            short.components().next_back(),
            Some(std::path::Component::Normal(_))
        );
        if up && named && !short.is_symlink() {
            short.pop();
        } else {
            short.push(part);
        }
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn detours_are_left_out() {
        let path = beside(Path::new("assets/lessons/a.ron"), "../../shared/b.ron");
        assert_eq!(path, PathBuf::from("shared/b.ron"));
        assert_eq!(
            beside(Path::new("a.ron"), "../b.ron"),
            PathBuf::from("../b.ron")
        );
    }
}
