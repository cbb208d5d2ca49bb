//! What a test leaves of its comparisons.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use crate::table::{Table, written};

/// Where a comparison stands on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "their titles say what they are")]
pub enum Chapter {
    Sections,
    PlateWing,
    FiniteWings,
    Airframes,
    GroundEffect,
    Unsteady,
    Propeller,
    Power,
    Modes,
    RigidBody,
    Atmosphere,
    Turbulence,
    Practice,
}

impl Chapter {
    /// All of them in the order of the page.
    pub const ALL: [Self; 13] = [
        Self::Sections,
        Self::PlateWing,
        Self::FiniteWings,
        Self::Airframes,
        Self::GroundEffect,
        Self::Unsteady,
        Self::Propeller,
        Self::Power,
        Self::Modes,
        Self::RigidBody,
        Self::Atmosphere,
        Self::Turbulence,
        Self::Practice,
    ];

    /// Heading.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Sections => "Foam sheet sections",
            Self::PlateWing => "Plate wings up to and past the stall",
            Self::FiniteWings => "Finite wings without friction",
            Self::Airframes => "Whole airframes",
            Self::GroundEffect => "Near the ground",
            Self::Unsteady => "Flow with memory",
            Self::Propeller => "Propeller and slipstream",
            Self::Power => "Motor, battery and controller",
            Self::Modes => "Small motions",
            Self::RigidBody => "Rigid body, energy and symmetry",
            Self::Atmosphere => "Atmosphere",
            Self::Turbulence => "Wind and turbulence",
            Self::Practice => "Common practice",
        }
    }

    fn of(title: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|chapter| chapter.title() == title)
    }
}

/// Place of a comparison in a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Picture.
    pub figure: String,
    /// Line in it.
    pub line: String,
    /// Horizontal axis, with its unit.
    pub x_name: String,
    /// Vertical axis, with its unit.
    pub y_name: String,
    /// Where on the horizontal axis.
    pub x: f64,
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What was compared.
    pub quantity: String,
    /// Our value.
    pub ours: f64,
    /// Value from outside.
    pub reference: f64,
    /// Largest difference allowed.
    pub allowed: f64,
    /// Where the reference came from.
    pub source: String,
    /// Place in a picture.
    pub place: Option<Place>,
    /// That it does not hold is known: what is missing. Empty otherwise.
    pub known_miss: String,
}

impl Row {
    /// Ours less the reference.
    #[must_use]
    pub fn difference(&self) -> f64 {
        self.ours - self.reference
    }

    /// Whether it is within what is allowed; NaN never is.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.difference().abs() <= self.allowed
    }

    /// Whether its test may pass: it holds, or it is a number that is known not
    /// to. One that is known not to hold and does has to be told as well.
    #[must_use]
    pub fn passes(&self) -> bool {
        if self.known_miss.is_empty() {
            self.holds()
        } else {
            self.difference().is_finite() && !self.holds()
        }
    }
}

/// All comparisons of one test.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// Place on the page.
    pub chapter: Chapter,
    /// What was compared with what.
    pub title: String,
    /// Files of `tests/reference` that it used.
    pub reference_files: Vec<String>,
    /// What is known not to match, and which physics is missing.
    pub notes: Vec<String>,
    /// The comparisons.
    pub rows: Vec<Row>,
}

const HEADING: &str = "quantity,ours,reference,difference,allowed,verdict,source,known_miss,figure,line,x_name,y_name,x";

impl Record {
    /// As a table with what is not a row in `#` lines.
    #[must_use]
    pub fn to_text(&self) -> String {
        let flat = |text: &str| text.replace(['\n', '\r'], " ");
        let mut out = String::new();
        // Writing to a string cannot fail.
        let _ = writeln!(out, "# chapter: {}", self.chapter.title());
        let _ = writeln!(out, "# title: {}", flat(&self.title));
        for file in &self.reference_files {
            let _ = writeln!(out, "# file: {}", flat(file));
        }
        for note in &self.notes {
            let _ = writeln!(out, "# note: {}", flat(note));
        }
        let _ = writeln!(out, "{HEADING}");
        for row in &self.rows {
            let _ = write!(
                out,
                "{},{},{},{},{},{},{},{}",
                written(&row.quantity),
                row.ours,
                row.reference,
                row.difference(),
                row.allowed,
                if row.holds() { "holds" } else { "MISSED" },
                written(&row.source),
                written(&row.known_miss),
            );
            let _ = match &row.place {
                Some(at) => writeln!(
                    out,
                    ",{},{},{},{},{}",
                    written(&at.figure),
                    written(&at.line),
                    written(&at.x_name),
                    written(&at.y_name),
                    at.x
                ),
                None => writeln!(out, ",,,,,"),
            };
        }
        out
    }

    /// Reads what [`Record::to_text`] wrote.
    ///
    /// # Panics
    /// When the text is not of that kind.
    #[must_use]
    #[track_caller]
    pub fn parse(file: &str, text: &str) -> Self {
        let table = Table::parse(file, text);
        let marked = |mark: &str| -> Vec<String> {
            (table.sources().iter())
                .filter_map(|line| line.strip_prefix(mark))
                .map(|line| line.trim().to_owned())
                .collect()
        };
        let first = |mark: &str| marked(mark).into_iter().next();
        let chapter = first("chapter:").and_then(|title| Chapter::of(&title));
        let rows = (table.rows.iter())
            .map(|row| {
                let figure = table.text(row, "figure");
                Row {
                    quantity: table.text(row, "quantity").to_owned(),
                    ours: table.number(row, "ours"),
                    reference: table.number(row, "reference"),
                    allowed: table.number(row, "allowed"),
                    source: table.text(row, "source").to_owned(),
                    known_miss: table.text(row, "known_miss").to_owned(),
                    place: (!figure.is_empty()).then(|| Place {
                        figure: figure.to_owned(),
                        line: table.text(row, "line").to_owned(),
                        x_name: table.text(row, "x_name").to_owned(),
                        y_name: table.text(row, "y_name").to_owned(),
                        x: table.number(row, "x"),
                    }),
                }
            })
            .collect();
        Self {
            chapter: chapter.unwrap_or_else(|| panic!("{file}: no chapter")),
            title: first("title:").unwrap_or_else(|| panic!("{file}: no title")),
            reference_files: marked("file:"),
            notes: marked("note:"),
            rows,
        }
    }

    /// Number of comparisons that do not hold.
    #[must_use]
    pub fn misses(&self) -> usize {
        self.rows.iter().filter(|row| !row.holds()).count()
    }

    /// Number of comparisons that their test may not pass with.
    #[must_use]
    pub fn failures(&self) -> usize {
        self.rows.iter().filter(|row| !row.passes()).count()
    }
}

/// Cargo's target folder, in which this program was built: the nearest above
/// it that carries cargo's own mark.
#[must_use]
pub fn target() -> PathBuf {
    let program = std::env::current_exe().unwrap_or_default();
    (program.ancestors())
        .find(|folder| folder.join("CACHEDIR.TAG").is_file())
        .map_or_else(
            || Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target"),
            Path::to_owned,
        )
}

/// Where tests leave what they compared.
#[must_use]
pub fn folder() -> PathBuf {
    target().join("tmp/proof")
}
