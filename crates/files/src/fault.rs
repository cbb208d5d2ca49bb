//! What is wrong with a file, where, and what would be right.

use std::fmt;

/// One mistake in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileError {
    /// Name of the file as the caller gave it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Field, such as `panels[2].hinges[0].travel_up`; `file` for the whole.
    pub field: String,
    /// What is wrong.
    pub problem: String,
    /// What would be right.
    pub remedy: String,
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}:{}:{}: {}: {}; {}",
            self.file, self.line, self.column, self.field, self.problem, self.remedy
        )
    }
}

impl std::error::Error for FileError {}

/// All mistakes found in one pass, in the order of the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileErrors {
    /// At least one mistake.
    pub errors: Vec<FileError>,
}

impl FileErrors {
    /// A file with one mistake.
    #[must_use]
    pub fn one(error: FileError) -> Self {
        Self {
            errors: vec![error],
        }
    }
}

impl fmt::Display for FileErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, error) in self.errors.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{error}")?;
        }
        Ok(())
    }
}

impl std::error::Error for FileErrors {}
