//! The demonstration: the main job, from a clone to a page.

use std::path::Path;

use crate::packages::{LINKER, PKG_CONFIG, UDEV, provide};
use crate::step::{RELEASED, Steps};

/// Where the demonstration leaves its run.
const OUT: &str = "runs/demo";

/// Builds, checks the shipped trainer, rehearses, says where to look.
///
/// # Errors
/// A message when something is missing or fails.
pub fn run(root: &Path) -> Result<(), String> {
    provide(&[LINKER, PKG_CONFIG, UDEV])?;
    let mut steps = Steps::new(root);
    steps.cargo(
        "Build (the first time takes several minutes)",
        &[&["build"][..], RELEASED].concat(),
    )?;
    let program = [&["run", "--quiet"][..], RELEASED, &["--"]].concat();
    let with = |more: &[&'static str]| [&program[..], more].concat();
    steps.cargo(
        "Check the shipped trainer before flight",
        &with(&["preflight", "shared/airframes/marram.ron"]),
    )?;
    steps.cargo(
        "Rehearse its first hand launch",
        &with(&["rehearse", "--out", OUT, "--replace"]),
    )?;
    steps.summary();
    let page = root.join(OUT).join("debrief.html");
    if !page.is_file() {
        return Err(format!(
            "{} is missing, though the run went well",
            page.display()
        ));
    }
    println!("\nLook at the debrief in a browser: {}", page.display());
    println!(
        "Then fly your own plane: copy shared/airframes/marram.ron, change it to what your ruler \
         and your kitchen scale say (shared/airframe-format.md explains every field), and run\n  \
         cargo run --release -p larkfield -- preflight MY_PLANE.ron\n  \
         cargo run --release -p larkfield -- rehearse --airframe MY_PLANE.ron"
    );
    Ok(())
}
