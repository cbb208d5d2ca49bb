//! The logbook as a table of text that any spreadsheet reads: RFC 4180, a line
//! of names, one flight or drill a line. Lists are JSON inside their cell.

use serde::de::DeserializeOwned;

use crate::entry::{Entry, FlownAt};
use crate::practice::Practice;

const COLUMNS: [&str; 22] = [
    "flown_at",
    "pilot",
    "plane",
    "airframe_sha256",
    "lesson",
    "lesson_sha256",
    "wind",
    "wind_sha256",
    "wind_m_s",
    "gust_m_s",
    "seed",
    "device",
    "thrown",
    "points",
    "passed",
    "goal_reached",
    "danger",
    "score_lines",
    "damage",
    "causes",
    "run_folder",
    "recording_sha256",
];

const DRILL_COLUMNS: [&str; 6] = ["done_at", "pilot", "drill", "seed", "points", "passed"];

/// A mistake in a table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, column {column}: {what}")]
pub struct TableError {
    /// Line of the file, the first is 1.
    pub line: u64,
    /// Name of the column.
    pub column: String,
    /// What is wrong, and what would be right.
    pub what: String,
}

/// The table of flights.
#[must_use]
pub fn write_table(entries: &[Entry]) -> String {
    write(COLUMNS, entries.iter().map(cells))
}

/// The table of drills.
#[must_use]
pub fn write_practices(practices: &[Practice]) -> String {
    let cells = |practice: &Practice| {
        [
            practice.done_at.as_str().to_owned(),
            practice.pilot.clone(),
            practice.drill.clone(),
            practice.seed.to_string(),
            practice.points.to_string(),
            yes_no(practice.passed),
        ]
    };
    write(DRILL_COLUMNS, practices.iter().map(cells))
}

fn write<const N: usize>(columns: [&str; N], rows: impl Iterator<Item = [String; N]>) -> String {
    let mut out = csv::Writer::from_writer(Vec::new());
    // Writing to memory cannot fail, and all rows have the same length.
    let _ = out.write_record(columns);
    for row in rows {
        let _ = out.write_record(row);
    }
    String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
}

fn yes_no(yes: bool) -> String {
    if yes { "yes" } else { "no" }.to_owned()
}

fn cells(entry: &Entry) -> [String; COLUMNS.len()] {
    let json = |value: serde_json::Result<String>| value.unwrap_or_default();
    [
        entry.flown_at.as_str().to_owned(),
        entry.pilot.clone(),
        entry.plane.clone(),
        entry.airframe_sha256.clone(),
        entry.lesson.clone(),
        entry.lesson_sha256.clone(),
        entry.wind.clone(),
        entry.wind_sha256.clone(),
        entry.wind_m_s.to_string(),
        entry.gust_m_s.to_string(),
        entry.seed.to_string(),
        entry.device.clone(),
        yes_no(entry.thrown),
        entry.points.to_string(),
        yes_no(entry.passed),
        yes_no(entry.goal_reached),
        entry.danger.clone(),
        json(serde_json::to_string(&entry.score_lines)),
        json(serde_json::to_string(&entry.damage)),
        json(serde_json::to_string(&entry.causes)),
        entry.run_folder.clone(),
        entry.recording_sha256.clone(),
    ]
}

/// Reads such a table; its columns may stand in any order.
///
/// # Errors
/// The first mistake, with its line and column.
pub fn read_table(text: &str) -> Result<Vec<Entry>, TableError> {
    read(text, &COLUMNS, |cells| cells.entry())
}

/// Reads a table of drills likewise.
///
/// # Errors
/// The first mistake, with its line and column.
pub fn read_practices(text: &str) -> Result<Vec<Practice>, TableError> {
    read(text, &DRILL_COLUMNS, |cells| cells.practice())
}

fn read<T>(
    text: &str,
    columns: &[&str],
    one: impl Fn(&Cells<'_>) -> Result<T, TableError>,
) -> Result<Vec<T>, TableError> {
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(text.as_bytes());
    let names = reader.headers().map_err(|e| broken(1, &e))?.clone();
    for (index, name) in names.iter().enumerate() {
        let at = |what: String| TableError {
            line: 1,
            column: name.to_owned(),
            what,
        };
        if !columns.contains(&name) {
            let all = columns.join(", ");
            return Err(at(format!(
                "there is no such column; these are known: {all}"
            )));
        }
        if names.iter().take(index).any(|other| other == name) {
            return Err(at("this column is there twice; keep one".to_owned()));
        }
    }
    if let Some(missing) = columns
        .iter()
        .find(|name| !names.iter().any(|n| n == **name))
    {
        return Err(TableError {
            line: 1,
            column: (*missing).to_owned(),
            what: "this column is missing; add it to the first line and to every line".to_owned(),
        });
    }
    let mut found = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|e| broken(0, &e))?;
        let line = record.position().map_or(0, csv::Position::line);
        if record.len() != names.len() {
            let column = names
                .get(record.len())
                .unwrap_or("beyond the last")
                .to_owned();
            let what = format!(
                "this line has {} cells and the first line {}; give every column a cell",
                record.len(),
                names.len()
            );
            return Err(TableError { line, column, what });
        }
        let cells = Cells {
            names: &names,
            record: &record,
            line,
        };
        found.push(one(&cells)?);
    }
    Ok(found)
}

fn broken(line: u64, error: &csv::Error) -> TableError {
    TableError {
        line: error.position().map_or(line, csv::Position::line),
        column: "all".to_owned(),
        what: format!("this is no table of text in UTF-8: {error}"),
    }
}

/// The cells of a line.
struct Cells<'a> {
    names: &'a csv::StringRecord,
    record: &'a csv::StringRecord,
    line: u64,
}

impl Cells<'_> {
    fn text(&self, column: &str) -> &str {
        let at = self.names.iter().position(|name| name == column);
        at.and_then(|at| self.record.get(at)).unwrap_or_default()
    }

    fn wrong(&self, column: &str, what: String) -> TableError {
        TableError {
            line: self.line,
            column: column.to_owned(),
            what,
        }
    }

    fn named(&self, column: &str) -> Result<String, TableError> {
        let text = self.text(column);
        if text.trim().is_empty() {
            return Err(self.wrong(column, "this is empty; give it a name".to_owned()));
        }
        Ok(text.to_owned())
    }

    fn number(&self, column: &str, least: f64, most: f64) -> Result<f64, TableError> {
        let text = self.text(column);
        match text.trim().parse::<f64>() {
            Ok(value) if value >= least && value <= most => Ok(value),
            _ => Err(self.wrong(
                column,
                format!("{text:?} is no number from {least} to {most}"),
            )),
        }
    }

    fn yes_no(&self, column: &str) -> Result<bool, TableError> {
        match self.text(column) {
            "yes" => Ok(true),
            "no" => Ok(false),
            text => Err(self.wrong(column, format!("{text:?} is neither yes nor no"))),
        }
    }

    fn digest(&self, column: &str) -> Result<String, TableError> {
        let text = self.text(column);
        if text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
            return Ok(text.to_owned());
        }
        let what = format!("{text:?} is no SHA-256; it has 64 digits 0 to 9 and a to f");
        Err(self.wrong(column, what))
    }

    fn list<T: DeserializeOwned>(&self, column: &str) -> Result<Vec<T>, TableError> {
        serde_json::from_str(self.text(column)).map_err(|e| {
            self.wrong(
                column,
                format!("this is no list in JSON ({e}); an empty one is []"),
            )
        })
    }

    fn time(&self, column: &str) -> Result<FlownAt, TableError> {
        FlownAt::parse(self.text(column)).map_err(|what| self.wrong(column, what))
    }

    fn seed(&self) -> Result<u64, TableError> {
        let seed = self.text("seed");
        seed.trim().parse().map_err(|_| {
            let what = format!("{seed:?} is no whole number from 0 to {}", u64::MAX);
            self.wrong("seed", what)
        })
    }

    fn practice(&self) -> Result<Practice, TableError> {
        Ok(Practice {
            done_at: self.time("done_at")?,
            pilot: self.named("pilot")?,
            drill: self.named("drill")?,
            seed: self.seed()?,
            points: self.number("points", 0.0, 100.0)?,
            passed: self.yes_no("passed")?,
        })
    }

    fn entry(&self) -> Result<Entry, TableError> {
        Ok(Entry {
            flown_at: self.time("flown_at")?,
            pilot: self.named("pilot")?,
            plane: self.named("plane")?,
            airframe_sha256: self.digest("airframe_sha256")?,
            lesson: self.named("lesson")?,
            lesson_sha256: self.digest("lesson_sha256")?,
            wind: self.text("wind").to_owned(),
            wind_sha256: self.digest("wind_sha256")?,
            wind_m_s: self.number("wind_m_s", 0.0, 100.0)?,
            gust_m_s: self.number("gust_m_s", 0.0, 100.0)?,
            seed: self.seed()?,
            device: self.text("device").to_owned(),
            thrown: self.yes_no("thrown")?,
            points: self.number("points", 0.0, 100.0)?,
            passed: self.yes_no("passed")?,
            goal_reached: self.yes_no("goal_reached")?,
            danger: self.text("danger").to_owned(),
            score_lines: self.list("score_lines")?,
            damage: self.list("damage")?,
            causes: self.list("causes")?,
            run_folder: self.text("run_folder").to_owned(),
            recording_sha256: self.digest("recording_sha256")?,
        })
    }
}

#[cfg(test)]
mod tests;
