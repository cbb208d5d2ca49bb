//! Every file of outside data is compared with somewhere.
#![allow(missing_docs)]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use larkfield_proof::Table;

fn names(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{folder:?}: {e}"));
    entries.flatten().map(|entry| entry.path()).collect()
}

/// Sources of the tests of all crates, and of the files beside them.
fn tests() -> Vec<String> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut folders: Vec<PathBuf> = (names(&crates).into_iter())
        .map(|one| one.join("tests"))
        .filter(|folder| folder.is_dir() && !folder.starts_with(crates.join("proof")))
        .collect();
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for path in names(&folder) {
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push(std::fs::read_to_string(&path).expect("a source"));
            }
        }
    }
    found
}

/// A file that a test reads as a table and hands to a collection of
/// comparisons, which cannot pass empty. (That the comparisons ran is seen
/// when the page is made, which refuses to be made without them.)
#[test]
fn every_reference_file_is_compared_with() {
    let files: BTreeSet<String> = names(&Table::reference_folder())
        .iter()
        .filter_map(|path| Some(path.file_name()?.to_string_lossy().into_owned()))
        .collect();
    assert!(files.len() >= 9, "{files:?}");
    let tests = tests();
    for file in files {
        let read = format!("Table::read(\"{file}\")");
        let used =
            (tests.iter()).any(|text| text.contains(&read) && text.contains("Checks::against("));
        assert!(used, "{file}: no test compares with it");
    }
}

/// Every table says where it came from.
#[test]
fn every_reference_file_names_its_source() {
    for path in names(&Table::reference_folder()) {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let table = Table::read(&name);
        assert!(!table.sources().is_empty(), "{name}");
        assert!(!table.rows.is_empty(), "{name}");
    }
}
