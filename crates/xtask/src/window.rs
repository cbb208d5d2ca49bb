//! Opens the window.

use std::path::Path;

use crate::packages::{DESKTOP, LINKER, PKG_CONFIG, UDEV, provide};
use crate::step::Steps;

/// Installs what a window needs, builds it, opens it with these arguments.
///
/// # Errors
/// A message when something is missing or fails.
pub fn run(root: &Path, arguments: &[&str]) -> Result<(), String> {
    provide(&[LINKER, PKG_CONFIG, UDEV])?;
    provide(&DESKTOP)?;
    let mut steps = Steps::new(root);
    let build = ["build", "--locked", "--package", "larkfield-window"];
    steps.cargo("Build (the first time takes a quarter of an hour)", &build)?;
    let run = [
        "run",
        "--locked",
        "--quiet",
        "--package",
        "larkfield-window",
        "--",
    ];
    steps.cargo("The field", &[&run[..], arguments].concat())
}
