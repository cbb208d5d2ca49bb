//! Where shipped files are: below the current folder, below one above it, or
//! below one above the program itself.

use std::path::{Path, PathBuf};

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
