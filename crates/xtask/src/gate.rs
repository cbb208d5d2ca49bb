//! The gate: what every change has to pass.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use crate::machine;
use crate::packages::{BROWSER, COMPOSITOR, DESKTOP, LINKER, PKG_CONFIG, SCREEN, UDEV, provide};
use crate::step::{RELEASED, Steps};

/// Runs the whole gate.
///
/// # Errors
/// A message when something is missing or fails.
pub fn run(root: &Path) -> Result<(), String> {
    provide(&[LINKER, PKG_CONFIG, UDEV, BROWSER, SCREEN, COMPOSITOR])?;
    provide(&DESKTOP)?;
    let mut steps = Steps::new(root);
    let result = all(root, &mut steps);
    steps.summary();
    if result.is_ok() && steps.skipped() {
        println!("\nEverything passed but what was skipped; see above.");
    } else if result.is_ok() {
        println!("\nEverything passed.");
    }
    result
}

/// Runs only the virtual machine.
///
/// # Errors
/// A message when something is missing or fails.
pub fn device(root: &Path) -> Result<(), String> {
    provide(&[LINKER, PKG_CONFIG, UDEV])?;
    let mut steps = Steps::new(root);
    let result = machine::prepare(root, &mut steps)
        .and_then(|kernel| kernel.map_or(Ok(()), |kernel| machine::run(root, &mut steps, &kernel)));
    steps.summary();
    result
}

fn all(root: &Path, steps: &mut Steps) -> Result<(), String> {
    steps.cargo("Formatting", &["fmt", "--all", "--check"])?;
    let lints = ["clippy", "--workspace", "--all-targets", "--locked"];
    steps.cargo("Lints", &[&lints[..], &["--", "-D", "warnings"]].concat())?;
    tests_beside_the_release_build(steps)?;
    same_flight_in_both_builds(root, steps)?;
    machine_and_documentation(root, steps)
}

/// Both at a time: machines wait for most of theirs.
fn machine_and_documentation(root: &Path, steps: &mut Steps) -> Result<(), String> {
    let kernel = machine::prepare(root, steps)?;
    let documentation = ["doc", "--workspace", "--no-deps", "--locked"];
    let environment = [("RUSTDOCFLAGS", "-D warnings")];
    let documentation = steps.beside("Documentation", &documentation, &environment)?;
    let machine = kernel.map_or(Ok(()), |kernel| machine::run(root, steps, &kernel));
    let documentation = steps.wait_for(documentation);
    machine.and(documentation)
}

/// One build for all tests, the window's too: two would build bevy twice, a
/// quarter of an hour. It gives the headless crates what the window needs of
/// bevy; that they do without is shown by the release build of the program
/// alone, which the flights below and the virtual machine run, and which has to
/// give the same bytes.
const EVERYTHING: &[&str] = &["--workspace", "--locked"];

/// Tests mostly keep one processor busy; the other builds what is compared with
/// them next.
fn tests_beside_the_release_build(steps: &mut Steps) -> Result<(), String> {
    let build = ["test", "--no-run"];
    steps.cargo("Build of the tests", &[&build[..], EVERYTHING].concat())?;
    let release = [&["build", "--jobs", "1"][..], RELEASED].concat();
    let release = steps.beside("Build of the program as released", &release, &[])?;
    tests_and_their_page(steps)?;
    steps.wait_for(release)
}

/// Runs the tests, then makes one page of what they compared with outside
/// data, when they failed too: that is when it is read.
fn tests_and_their_page(steps: &mut Steps) -> Result<(), String> {
    forget_old_comparisons();
    let tests = steps.cargo(
        "Tests",
        &[&["test", "--no-fail-fast"][..], EVERYTHING].concat(),
    );
    let page = page_of_comparisons(steps);
    tests.and(page)
}

/// Builds the page's program, then makes the page.
fn page_of_comparisons(steps: &mut Steps) -> Result<(), String> {
    // The example has tests of its own (`test = true`), so `cargo test` builds it
    // as a test and not as the program. Built for the whole workspace: for the
    // package alone, its libraries would have other features and be built again.
    let build = ["build", "--example", "proof_page"];
    steps.cargo(
        "Build of the page of comparisons",
        &[&build[..], EVERYTHING].concat(),
    )?;
    steps.program(
        "Page of all comparisons with outside data",
        "target/debug/examples/proof_page",
        &[],
    )
}

/// Comparisons of tests that no longer exist must not be shown.
fn forget_old_comparisons() {
    let program = std::env::current_exe().unwrap_or_default();
    // Cargo marks its target folder with this file.
    let target = (program.ancestors()).find(|folder| folder.join("CACHEDIR.TAG").is_file());
    if let Some(target) = target {
        // When there are none there is nothing to forget.
        let _ = std::fs::remove_dir_all(target.join("tmp/proof"));
    }
}

/// Flights that are compared between builds: one that is flown to its end, one
/// that comes down hard, and one that lands in the lee of trees.
const FLIGHTS: [(&str, &[&str]); 3] = [
    ("climb", &["--seed", "7"]),
    (
        "break-up",
        &[
            "--seed",
            "2",
            "--pilot",
            "hands-off",
            "--airframe",
            "shared/airframes/marram-tail-heavy.ron",
            "--wind",
            "assets/winds/gusty.ron",
        ],
    ),
    (
        "lee",
        &["--seed", "1", "--lesson", "assets/lessons/behind_trees.ron"],
    ),
];

/// Flies the same lessons with a debug and a release build and compares every
/// byte of their run folders.
fn same_flight_in_both_builds(root: &Path, steps: &mut Steps) -> Result<(), String> {
    for (name, flight) in FLIGHTS {
        let out = ["debug", "release"].map(|build| format!("target/gate/{name}-{build}"));
        let [debug, release] = out
            .each_ref()
            .map(|folder| [&["rehearse", "--replace", "--out", folder][..], flight].concat());
        // The tests have built it. Asked for alone, its libraries would have other
        // features and be built once more.
        let title = format!("A flight for {}", out[0]);
        steps.program(&title, "target/debug/larkfield", &debug)?;
        let title = format!("A flight for {}", out[1]);
        let run = [&["run", "--quiet"][..], RELEASED, &["--"]].concat();
        steps.cargo(&title, &[&run[..], &release].concat())?;
        let title = format!("Same bytes in debug and release builds, {name}");
        steps.time(&title, || same_files(root, &out))?;
    }
    Ok(())
}

fn same_files(root: &Path, folders: &[String; 2]) -> Result<(), String> {
    let [debug, release] = folders
        .each_ref()
        .map(|folder| contents(&root.join(folder)));
    let (debug, release) = (debug?, release?);
    if debug.is_empty() {
        return Err("the run folders are empty".to_owned());
    }
    let names: BTreeSet<_> = debug.keys().chain(release.keys()).collect();
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
