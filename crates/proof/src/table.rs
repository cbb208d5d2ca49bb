//! Tables with their sources in `#` lines.

use std::path::{Path, PathBuf};

/// A table of text cells with named columns.
///
/// Reading one is part of a test, so anything missing panics and says what.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    file: String,
    sources: Vec<String>,
    names: Vec<String>,
    /// Rows in the order of the file.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// Folder of the reference tables.
    #[must_use]
    pub fn reference_folder() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference")
    }

    /// Reads a table of `tests/reference`.
    ///
    /// # Panics
    /// When it is not there or has no heading.
    #[must_use]
    #[track_caller]
    pub fn read(file: &str) -> Self {
        let path = Self::reference_folder().join(file);
        let text = std::fs::read_to_string(&path)
            .unwrap_or_else(|e| panic!("reference table {}: {e}", path.display()));
        Self::parse(file, &text)
    }

    /// Takes a table from text.
    ///
    /// # Panics
    /// When it has no heading, or a row of another length.
    #[must_use]
    #[track_caller]
    pub fn parse(file: &str, text: &str) -> Self {
        let sources = (text.lines())
            .filter_map(|line| line.strip_prefix('#'))
            .map(|line| line.trim().to_owned())
            .collect();
        let mut lines = text
            .lines()
            .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
            .map(cells);
        let names = lines.next().unwrap_or_else(|| panic!("{file}: no heading"));
        let rows: Vec<Vec<String>> = lines.collect();
        for row in &rows {
            assert_eq!(row.len(), names.len(), "{file}: row {row:?}");
        }
        Self {
            file: file.to_owned(),
            sources,
            names,
            rows,
        }
    }

    /// File it came from.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// Its `#` lines.
    #[must_use]
    pub fn sources(&self) -> &[String] {
        &self.sources
    }

    /// A cell of a row of this table.
    ///
    /// # Panics
    /// When there is no such column.
    #[must_use]
    #[track_caller]
    pub fn text<'a>(&self, row: &'a [String], column: &str) -> &'a str {
        let place = self.names.iter().position(|name| name == column);
        let place = place.unwrap_or_else(|| panic!("{}: no column {column}", self.file));
        &row[place]
    }

    /// A number of a row of this table.
    ///
    /// # Panics
    /// When there is no such column or the cell is no number.
    #[must_use]
    #[track_caller]
    pub fn number(&self, row: &[String], column: &str) -> f64 {
        let text = self.text(row, column);
        text.parse()
            .unwrap_or_else(|_| panic!("{}: {column} is \"{text}\"", self.file))
    }

    /// The row whose first cell this is.
    ///
    /// # Panics
    /// When there is none.
    #[must_use]
    #[track_caller]
    pub fn row(&self, first: &str) -> &[String] {
        let found = self.rows.iter().find(|row| row[0] == first);
        found.unwrap_or_else(|| panic!("{}: no row {first}", self.file))
    }
}

/// Cells of a line; quotes hold commas, a doubled quote is one.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    let mut letters = line.trim_end().chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                push(&mut cells, '"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => push(&mut cells, letter),
        }
    }
    cells
}

fn push(cells: &mut [String], letter: char) {
    if let Some(last) = cells.last_mut() {
        last.push(letter);
    }
}

/// A cell as it is written.
pub(crate) fn written(cell: &str) -> String {
    let flat = cell.replace(['\n', '\r'], " ");
    if flat.contains([',', '"', '#']) {
        format!("\"{}\"", flat.replace('"', "\"\""))
    } else {
        flat
    }
}
