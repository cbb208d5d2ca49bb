//! What the guest told over its serial line.

use std::collections::BTreeMap;
use std::path::Path;

/// Files and remarks of one machine.
pub struct Story {
    /// Files that were told, by name.
    files: BTreeMap<String, String>,
    /// Remarks, such as `LEARN ENDED 0`.
    remarks: Vec<String>,
}

/// Reads the log of a machine.
///
/// # Errors
/// A machine that did not come to its end.
pub fn read(log: &Path) -> Result<Story, String> {
    let bytes = std::fs::read(log).map_err(|e| format!("{}: {e}", log.display()))?;
    let story = parse(&String::from_utf8_lossy(&bytes));
    let trouble = ["OUT OF TIME", "NEVER: ", "MODULE "];
    let told = story
        .remarks
        .iter()
        .find(|r| trouble.iter().any(|t| r.starts_with(t)));
    match told {
        Some(remark) => Err(format!("the machine says: {remark}")),
        None if !story.remarks.iter().any(|remark| remark == "DONE") => {
            Err("the machine did not come to its end".to_owned())
        }
        None => Ok(story),
    }
}

fn parse(text: &str) -> Story {
    let mut story = Story {
        files: BTreeMap::new(),
        remarks: Vec::new(),
    };
    let mut open: Option<(String, String)> = None;
    for line in text.lines() {
        let line = line.trim_end_matches('\r');
        match line.strip_prefix("== ") {
            Some("END") => story.files.extend(open.take()),
            Some(remark) => match remark.strip_prefix("FILE ") {
                Some(name) => open = Some((name.to_owned(), String::new())),
                None => story.remarks.push(remark.to_owned()),
            },
            None => {
                if let Some((_, told)) = &mut open {
                    told.push_str(line);
                    told.push('\n');
                }
            }
        }
    }
    // The line break that ends a file is the teller's own.
    for told in story.files.values_mut() {
        if told.ends_with("\n\n") {
            told.pop();
        }
    }
    story
}

impl Story {
    /// A file; empty when it was not told.
    pub fn file(&self, name: &str) -> &str {
        self.files.get(name).map_or("", String::as_str)
    }

    /// The first line of a file that holds some words; empty when none does.
    pub fn line(&self, file: &str, words: &str) -> &str {
        let mut lines = self.file(file).lines();
        lines.find(|line| line.contains(words)).unwrap_or_default()
    }

    /// Whether the guest made a remark.
    pub fn remarked(&self, remark: &str) -> bool {
        self.remarks.iter().any(|made| made == remark)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_come_out_as_they_went_in() {
        let story = parse("boot\r\n== FILE a\r\none\r\ntwo\r\n\r\n== END\r\n== DONE\r\n");
        assert_eq!(story.file("a"), "one\ntwo\n");
        assert_eq!(story.file("b"), "");
        assert!(story.remarked("DONE") && !story.remarked("one"));
        assert_eq!(story.line("a", "wo"), "two");
    }
}
