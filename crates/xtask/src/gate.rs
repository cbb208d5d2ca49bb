//! The gate: what every change has to pass.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::packages::{BROWSER, LINKER, provide};
use crate::step::Steps;

/// Runs the whole gate.
///
/// # Errors
/// A message when something is missing or fails.
pub fn run(root: &Path) -> Result<(), String> {
    provide(&[LINKER, BROWSER])?;
    let mut steps = Steps::new(root);
    let result = all(root, &mut steps);
    steps.summary();
    if result.is_ok() {
        println!("\nEverything passed.");
    }
    result
}

fn all(root: &Path, steps: &mut Steps) -> Result<(), String> {
    steps.cargo("Formatting", &["fmt", "--all", "--check"])?;
    steps.cargo(
        "Lints",
        &[
            "clippy",
            "--workspace",
            "--all-targets",
            "--locked",
            "--",
            "-D",
            "warnings",
        ],
    )?;
    steps.cargo("Tests", &["test", "--workspace", "--locked"])?;
    same_flight_in_both_builds(root, steps)?;
    steps.cargo_with(
        "Documentation",
        &["doc", "--workspace", "--no-deps", "--locked"],
        &[("RUSTDOCFLAGS", "-D warnings")],
    )
}

/// Flies the same lesson with a debug and a release build and compares every
/// byte of the two run folders.
fn same_flight_in_both_builds(root: &Path, steps: &mut Steps) -> Result<(), String> {
    let out = ["target/gate/debug", "target/gate/release"];
    for (folder, more) in out.iter().zip([None, Some("--release")]) {
        let mut arguments = vec!["run", "--locked", "--quiet", "--package", "larkfield"];
        arguments.extend(more);
        arguments.extend([
            "--",
            "rehearse",
            "--seed",
            "7",
            "--replace",
            "--out",
            folder,
        ]);
        steps.cargo(&format!("A flight for {folder}"), &arguments)?;
    }
    steps.time("Same bytes in debug and release builds", || {
        let [debug, release] = out.map(|folder| contents(&root.join(folder)));
        let (debug, release) = (debug?, release?);
        if debug.is_empty() {
            return Err("the run folders are empty".to_owned());
        }
        let names: std::collections::BTreeSet<_> = debug.keys().chain(release.keys()).collect();
        let differing: Vec<String> = names
            .into_iter()
            .filter(|name| debug.get(*name) != release.get(*name))
            .map(|name| name.display().to_string())
            .collect();
        if differing.is_empty() {
            println!("{} files, all the same", debug.len());
            Ok(())
        } else {
            Err(format!("these files differ: {}", differing.join(", ")))
        }
    })
}

/// Every file below a folder, by its path in it.
fn contents(folder: &Path) -> Result<BTreeMap<PathBuf, Vec<u8>>, String> {
    let mut files = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(here) = folders.pop() {
        let entries =
            std::fs::read_dir(&here).map_err(|e| format!("reading {}: {e}", here.display()))?;
        for entry in entries.flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes =
                    std::fs::read(&path).map_err(|e| format!("reading {}: {e}", path.display()))?;
                let name = path.strip_prefix(folder).unwrap_or(&path).to_owned();
                files.insert(name, bytes);
            }
        }
    }
    Ok(files)
}
