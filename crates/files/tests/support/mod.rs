//! Reading the pages that describe file formats.
#![allow(missing_docs)]

use std::collections::BTreeSet;

use larkfield_files::FileErrors;

/// Fenced examples: label and text.
pub fn examples(page: &str) -> Vec<(String, String)> {
    let mut examples = Vec::new();
    let mut open: Option<(String, String)> = None;
    for line in page.lines() {
        if let Some(label) = line.strip_prefix("```") {
            match open.take() {
                Some(done) => examples.push(done),
                None => open = Some((label.to_owned(), String::new())),
            }
        } else if let Some((_, text)) = &mut open {
            text.push_str(line);
            text.push('\n');
        }
    }
    assert!(open.is_none(), "a fence is not closed");
    examples
}

/// Names of the fields that a file may have, group by group: an unknown field is
/// answered with those that its group knows.
pub fn fields_known(file: &str, read: impl Fn(&str) -> Result<(), FileErrors>) -> BTreeSet<String> {
    let mut known = BTreeSet::new();
    for (at, _) in file.match_indices('(') {
        let (before, after) = file.split_at(at + 1);
        let Err(errors) = read(&format!("{before}zzz: 1, {after}")) else {
            continue;
        };
        for e in errors.errors {
            if let Some((_, names)) = e.remedy.split_once("fields here are ") {
                known.extend(names.split(", ").map(str::to_owned));
            }
        }
    }
    known
}
