//! What is wrong with a file, in words that let its owner mend it.

use thiserror::Error;

/// A place in a table that cannot be right.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{file}, line {line}, column {column}: {problem}; {expected}")]
pub struct TableFault {
    /// The file, as its reader named it.
    pub file: String,
    /// Line in the file, the header being line 1.
    pub line: u64,
    /// Name of the column, or what stands for it when a whole row is wrong.
    pub column: String,
    /// What is wrong.
    pub problem: String,
    /// What would be right.
    pub expected: String,
}

/// A cell as it may be shown in a message: at most 40 characters, none of them
/// a control character.
pub(super) fn quoted(cell: &[u8]) -> String {
    let text = String::from_utf8_lossy(cell);
    let mut out: String = text
        .chars()
        .take(40)
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if text.chars().count() > 40 {
        out.push('…');
    }
    format!("\"{out}\"")
}
