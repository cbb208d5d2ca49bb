//! Collecting comparisons.

use std::collections::BTreeSet;
use std::sync::Mutex;

use crate::record::{Chapter, Place, Record, Row, folder};
use crate::table::Table;

/// Titles of this program so far: two records of one title would be one file.
static TITLES: Mutex<BTreeSet<String>> = Mutex::new(BTreeSet::new());

/// A line of a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure<'a> {
    /// Picture.
    pub figure: &'a str,
    /// Line in it.
    pub line: &'a str,
    /// Horizontal axis, with its unit.
    pub x: &'a str,
    /// Vertical axis, with its unit.
    pub y: &'a str,
}

/// Collects comparisons, prints them all, fails at the end if any is out.
#[derive(Debug)]
#[must_use = "nothing fails before finish"]
pub struct Checks {
    record: Record,
    source: String,
    open: bool,
}

impl Checks {
    /// Comparisons with a source that needs no file.
    ///
    /// # Panics
    /// When this program has used the title before, or there is no source.
    #[track_caller]
    pub fn new(chapter: Chapter, title: &str, source: &str) -> Self {
        assert!(!source.trim().is_empty(), "{title}: no source");
        let fresh = TITLES
            .lock()
            .map(|mut titles| titles.insert(title.to_owned()));
        assert!(fresh.unwrap_or(true), "\"{title}\" is a title already");
        println!("\n{title}\n  {source}");
        Self {
            record: Record {
                chapter,
                title: title.to_owned(),
                reference_files: Vec::new(),
                notes: Vec::new(),
                rows: Vec::new(),
            },
            source: source.to_owned(),
            open: true,
        }
    }

    /// Comparisons with a table, whose `#` lines are the source.
    ///
    /// # Panics
    /// As [`Checks::new`].
    #[track_caller]
    pub fn against(chapter: Chapter, title: &str, table: &Table) -> Self {
        let mut checks = Self::new(chapter, title, &table.sources().join("; "));
        checks.source = format!("tests/reference/{}", table.file());
        checks.uses(table);
        checks
    }

    /// Another table that went into the comparisons.
    pub fn uses(&mut self, table: &Table) {
        self.record.reference_files.push(table.file().to_owned());
    }

    /// Another source for what follows.
    pub fn source(&mut self, source: &str) {
        source.clone_into(&mut self.source);
    }

    /// What is known not to match, or how to read the numbers.
    pub fn note(&mut self, note: &str) {
        self.record.notes.push(note.to_owned());
    }

    /// Compares; prints; says whether it holds.
    pub fn near(&mut self, quantity: &str, ours: f64, reference: f64, allowed: f64) -> bool {
        self.take(Row {
            quantity: quantity.to_owned(),
            ours,
            reference,
            allowed,
            source: self.source.clone(),
            place: None,
            known_miss: String::new(),
        })
    }

    /// A comparison that is known not to hold, with the physics that is
    /// missing. Nothing is bent: reference and limit are what they are, the
    /// page shows the miss, and a test in which it comes to hold fails until
    /// this is made an ordinary comparison.
    pub fn known_miss(
        &mut self,
        quantity: &str,
        ours: f64,
        reference: f64,
        allowed: f64,
        missing: &str,
    ) {
        self.take(Row {
            quantity: quantity.to_owned(),
            ours,
            reference,
            allowed,
            source: self.source.clone(),
            place: None,
            known_miss: missing.to_owned(),
        });
    }

    /// The same, allowed a share of the reference.
    pub fn share(&mut self, quantity: &str, ours: f64, reference: f64, share: f64) -> bool {
        self.near(quantity, ours, reference, share * reference.abs())
    }

    /// The same for a range, as rules of thumb have it.
    pub fn between(&mut self, quantity: &str, ours: f64, low: f64, high: f64) -> bool {
        self.near(quantity, ours, 0.5 * (low + high), 0.5 * (high - low))
    }

    /// A comparison that is also a point of a picture.
    pub fn point(
        &mut self,
        at: &Figure<'_>,
        x: f64,
        ours: f64,
        reference: f64,
        allowed: f64,
    ) -> bool {
        self.take(Row {
            quantity: format!("{}, {} at {} {x}", at.line, at.y, at.x),
            ours,
            reference,
            allowed,
            source: self.source.clone(),
            place: Some(Place {
                figure: at.figure.to_owned(),
                line: at.line.to_owned(),
                x_name: at.x.to_owned(),
                y_name: at.y.to_owned(),
                x,
            }),
            known_miss: String::new(),
        })
    }

    fn take(&mut self, row: Row) -> bool {
        let holds = row.holds();
        let word = match (row.passes(), holds) {
            (true, true) => "ok   ",
            (true, false) => "KNOWN",
            (false, _) => "FAIL ",
        };
        println!("{word} {}", in_words(&row));
        self.record.rows.push(row);
        holds
    }

    /// Number of comparisons so far and how many do not hold, leaving no
    /// record: for tests of what has to fail.
    #[must_use]
    pub fn misses(mut self) -> (usize, usize) {
        self.open = false;
        (self.record.rows.len(), self.record.misses())
    }

    /// Leaves the record and fails when anything was out.
    ///
    /// # Panics
    /// When a comparison does not hold or nothing was compared.
    #[track_caller]
    pub fn finish(mut self) {
        self.open = false;
        self.write();
        let title = &self.record.title;
        assert!(!self.record.rows.is_empty(), "{title}: nothing compared");
        let missed: Vec<String> = (self.record.rows.iter())
            .filter(|row| !row.passes())
            .map(in_words)
            .collect();
        assert!(missed.is_empty(), "{title}:\n{}", missed.join("\n"));
    }

    fn write(&self) {
        let program = std::env::current_exe().unwrap_or_default();
        let stem = program.file_stem().unwrap_or_default().to_string_lossy();
        let name = stem.rsplit_once('-').map_or(&*stem, |(name, _)| name);
        let plain: String = (self.record.title.chars())
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
            .collect();
        let folder = folder();
        let path = folder.join(format!("{name}-{plain}.csv").to_lowercase());
        let done = std::fs::create_dir_all(&folder)
            .and_then(|()| std::fs::write(&path, self.record.to_text()));
        if let Err(error) = done {
            println!("{}: {error}", path.display());
        }
    }
}

/// A test that fails half-way leaves what it had; one that forgets to finish
/// is told so.
impl Drop for Checks {
    fn drop(&mut self) {
        if !self.open {
            return;
        }
        if std::thread::panicking() {
            self.write();
        } else {
            panic!("\"{}\" was never finished", self.record.title);
        }
    }
}

fn in_words(row: &Row) -> String {
    let share = if row.reference == 0.0 {
        String::new()
    } else {
        format!(" ({:.1} %)", 100.0 * row.difference() / row.reference.abs())
    };
    format!(
        "{}: ours {}, reference {}, difference {}{share}, allowed {}",
        row.quantity,
        short(row.ours),
        short(row.reference),
        short(row.difference()),
        short(row.allowed)
    )
}

/// About six figures of a number.
fn short(number: f64) -> String {
    let size = number.abs();
    if size == 0.0 || (1e-3..1e6).contains(&size) {
        format!("{number:.5}")
    } else {
        format!("{number:.4e}")
    }
}
