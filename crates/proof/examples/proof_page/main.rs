//! Makes one page of all comparisons that the tests left behind.
//!
//! `cargo xtask test` runs this after the tests; alone it shows what the last
//! tests left, whichever they were.

mod page;
mod picture;

use std::collections::BTreeSet;
use std::path::Path;
use std::process::ExitCode;

use larkfield_proof::{Record, Table, folder, target};

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<(), String> {
    let records = records(&folder())?;
    let out = target().join("proof");
    let path = out.join("index.html");
    std::fs::create_dir_all(&out)
        .and_then(|()| std::fs::write(&path, page::page(&records)))
        .map_err(|e| format!("{}: {e}", path.display()))?;
    let all: usize = records.iter().map(|r| r.rows.len()).sum();
    let missed: usize = records.iter().map(Record::misses).sum();
    let failed: usize = records.iter().map(Record::failures).sum();
    println!(
        "{all} comparisons, {failed} out of their limits, {} known misses: {}",
        missed.saturating_sub(failed),
        path.display()
    );
    if failed > 0 {
        return Err(format!("{failed} comparisons do not hold"));
    }
    let unused = unused(&records, &Table::reference_folder())?;
    if unused.is_empty() {
        Ok(())
    } else {
        Err(format!("nothing was compared with {}", unused.join(", ")))
    }
}

/// What the tests left, in the order of its file names.
fn records(folder: &Path) -> Result<Vec<Record>, String> {
    let told = |e: std::io::Error| format!("{}: {e}; run the tests first", folder.display());
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .map_err(told)?
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "csv"))
        .collect();
    paths.sort();
    let mut records = Vec::new();
    for path in paths {
        let text = std::fs::read_to_string(&path).map_err(told)?;
        records.push(Record::parse(&path.to_string_lossy(), &text));
    }
    Ok(records)
}

/// Files of outside data that no comparison used.
fn unused(records: &[Record], folder: &Path) -> Result<Vec<String>, String> {
    let used: BTreeSet<&str> = (records.iter())
        .filter(|record| !record.rows.is_empty())
        .flat_map(|record| &record.reference_files)
        .map(String::as_str)
        .collect();
    let entries = std::fs::read_dir(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    let mut unused: Vec<String> = entries
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| !used.contains(name.as_str()))
        .collect();
    unused.sort();
    Ok(unused)
}

#[cfg(test)]
mod tests {
    use super::*;
    use larkfield_proof::Chapter;

    fn record(files: &[&str]) -> Record {
        let row = larkfield_proof::Row {
            quantity: "it".to_owned(),
            ours: 1.0,
            reference: 1.0,
            allowed: 0.1,
            source: "made up".to_owned(),
            place: None,
            known_miss: String::new(),
        };
        Record {
            chapter: Chapter::Practice,
            title: "made up".to_owned(),
            reference_files: files.iter().map(|f| (*f).to_owned()).collect(),
            notes: Vec::new(),
            rows: vec![row],
        }
    }

    #[test]
    fn a_reference_file_that_nothing_used_is_told() {
        let folder = Table::reference_folder();
        let some = unused(&[record(&["finite_wings.csv"])], &folder).expect("readable");
        assert!(some.contains(&"standard_atmosphere.csv".to_owned()));
        assert!(!some.contains(&"finite_wings.csv".to_owned()));
        // Named but never compared with is not used.
        let mut empty = record(&["finite_wings.csv"]);
        empty.rows.clear();
        let all = unused(&[empty], &folder).expect("readable");
        assert!(all.contains(&"finite_wings.csv".to_owned()));
    }
}
