//! The program, run as a person at a keyboard runs it, and what it left.

use std::collections::BTreeMap;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::process::Output;

pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The program, in the top of the repository unless told otherwise, without
/// whatever the tester's shell sets.
pub fn larkfield(arguments: &[&str]) -> Output {
    larkfield_in(&root(), arguments)
}

pub fn larkfield_in(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_larkfield"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("NO_COLOR")
        .env_remove("CLICOLOR_FORCE")
        .output()
        .unwrap_or_else(|e| panic!("the program could not be started: {e}"))
}

pub fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

pub fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Fails with everything the program said.
pub fn expect_code(output: &Output, code: i32) {
    assert_eq!(
        output.status.code(),
        Some(code),
        "out: {}\nerr: {}",
        out(output),
        err(output)
    );
    assert!(!err(output).contains("panicked"), "{}", err(output));
}

pub fn temporary() -> tempfile::TempDir {
    tempfile::tempdir().unwrap_or_else(|e| panic!("{e}"))
}

pub fn text_of(path: &Path) -> &str {
    path.to_str().unwrap_or_else(|| panic!("{path:?}"))
}

pub fn files_below(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(here) = folders.pop() {
        let entries = std::fs::read_dir(&here).unwrap_or_else(|e| panic!("{here:?}: {e}"));
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{path:?}: {e}"));
                let name = path.strip_prefix(folder).unwrap_or(&path).to_owned();
                found.insert(name, bytes);
            }
        }
    }
    found
}

/// A copy of a shipped file with one change, and the line of the change.
pub fn changed(folder: &Path, shipped: &str, from: &str, to: &str) -> (PathBuf, usize) {
    let text = std::fs::read_to_string(root().join(shipped)).unwrap_or_else(|e| panic!("{e}"));
    let line = text.lines().take_while(|line| !line.contains(from)).count() + 1;
    assert!(text.contains(from), "{from}");
    let path = folder.join("changed.ron");
    std::fs::write(&path, text.replacen(from, to, 1)).unwrap_or_else(|e| panic!("{e}"));
    (path, line)
}

/// Every file of two folders, byte for byte.
pub fn expect_same_files(one: &Path, other: &Path) {
    let [one, other] = [one, other].map(files_below);
    assert!(one.len() > 5);
    let names = |files: &BTreeMap<PathBuf, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&one), names(&other));
    for (name, bytes) in &one {
        assert!(other.get(name) == Some(bytes), "{} differs", name.display());
    }
}

/// Equal but for the last place, which the JSON reader of this test may miss.
pub fn same(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= 1e-12 * b.abs().max(1.0),
        (None, None) => true,
        _ => false,
    }
}
