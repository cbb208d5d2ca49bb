//! The sample table.

use std::io::{self, Write};

use super::column::{COLUMNS, sample_columns};
use super::fault::{TableFault, quoted};
use super::number::{read_number, write_number};
use crate::{FlightStage, Recording, Sample};

const STAGES: [(&str, FlightStage); 4] = [
    ("in_hand", FlightStage::InHand),
    ("free", FlightStage::Free),
    ("ground", FlightStage::Ground),
    ("ended", FlightStage::Ended),
];

/// What could be read of a sample table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadSamples {
    /// Time between samples; zero when there is no row.
    pub interval_s: f64,
    /// The rows before the first wrong one.
    pub samples: Vec<Sample>,
    /// What was wrong, in order of lines; empty for a whole file.
    pub faults: Vec<TableFault>,
}

/// Writes the samples, one a row below a header.
///
/// # Errors
/// Whatever `out` reports; what was written before stays readable.
pub fn write_samples(out: &mut impl Write, recording: &Recording) -> io::Result<()> {
    // No cell needs quotes: all are numbers or words of ours.
    writeln!(out, "{}", sample_columns().join(","))?;
    let interval = write_number(recording.interval_s);
    let mut row = String::new();
    for sample in &recording.samples {
        row.clear();
        for (index, column) in COLUMNS.iter().enumerate() {
            if index > 0 {
                row.push(',');
            }
            row.push_str(&write_number(column.shown(sample)));
            if index == 0 {
                let stage = STAGES.iter().find(|(_, stage)| *stage == sample.stage);
                row.push(',');
                row.push_str(&interval);
                row.push(',');
                row.push_str(stage.map_or("", |(word, _)| word));
                row.push_str(if sample.hand_busy { ",1" } else { ",0" });
            }
        }
        row.push('\n');
        out.write_all(row.as_bytes())?;
    }
    out.flush()
}

/// Where in a row each thing stands; `None` for a column the file lacks.
struct Layout {
    interval: Option<usize>,
    stage: Option<usize>,
    hand_busy: Option<usize>,
    numbers: Vec<Option<usize>>,
    width: usize,
}

/// Reads a sample table from `bytes`; `file` is its name in messages.
///
/// Columns are found by name, in any order. A missing column is a fault, and
/// its numbers are NaN; an unknown one is a fault and passed over. Rows end at
/// the first that is cut, garbled or out of time.
#[must_use]
pub fn read_samples(file: &str, bytes: &[u8]) -> ReadSamples {
    let mut out = ReadSamples::default();
    let mut lines = bytes.split_inclusive(|b| *b == b'\n');
    let header = lines.next().unwrap_or_default();
    let layout = read_header(file, header, &mut out.faults);
    for (index, line) in lines.enumerate() {
        let line_number = index as u64 + 2;
        let at = |column: &str, problem: String, expected: &str| TableFault {
            file: file.to_owned(),
            line: line_number,
            column: column.to_owned(),
            problem,
            expected: expected.to_owned(),
        };
        let row = match read_row(&layout, line) {
            Ok(row) => row,
            Err((column, problem, expected)) => {
                out.faults.push(at(column, problem, &expected));
                break;
            }
        };
        if let Err((column, problem, expected)) = fits(&out, &row) {
            out.faults.push(at(column, problem, &expected));
            break;
        }
        if let Some(interval_s) = row.interval_s {
            out.interval_s = interval_s;
        }
        out.samples.push(row.sample);
    }
    out
}

/// Column, problem, what would be right.
type Complaint = (&'static str, String, String);

struct Row {
    sample: Sample,
    interval_s: Option<f64>,
}

fn cells(line: &[u8]) -> impl Iterator<Item = &[u8]> {
    let line = line.strip_suffix(b"\n").unwrap_or(line);
    let line = line.strip_suffix(b"\r").unwrap_or(line);
    line.split(|b| *b == b',')
}

fn read_header(file: &str, header: &[u8], faults: &mut Vec<TableFault>) -> Layout {
    let header = header.strip_prefix(b"\xef\xbb\xbf").unwrap_or(header);
    let names: Vec<&[u8]> = cells(header).map(<[u8]>::trim_ascii).collect();
    let known = sample_columns();
    let mut fault = |column: String, problem: &str, expected: String| {
        faults.push(TableFault {
            file: file.to_owned(),
            line: 1,
            column,
            problem: problem.to_owned(),
            expected,
        });
    };
    if names == [b"".as_slice()] {
        fault(
            "time_s".to_owned(),
            "the file has no header",
            format!("the first line names the columns: {}", known.join(",")),
        );
    } else {
        // As with a row: the last name of a cut header may look whole.
        if !header.ends_with(b"\n") {
            fault(
                "(whole header)".to_owned(),
                "the header is cut off at the end of the file",
                "the header ends with a line break".to_owned(),
            );
        }
        for name in &known {
            match names.iter().filter(|n| **n == name.as_bytes()).count() {
                1 => {}
                0 => fault(
                    (*name).to_owned(),
                    "the column is missing, its values are read as NaN",
                    format!("the header holds {name}"),
                ),
                _ => fault(
                    (*name).to_owned(),
                    "the column stands in the header more than once",
                    "each column stands once; the first is read".to_owned(),
                ),
            }
        }
        for name in &names {
            if !known.iter().any(|k| k.as_bytes() == *name) {
                fault(
                    quoted(name),
                    "no such column, it is passed over",
                    format!("columns are {}", known.join(", ")),
                );
            }
        }
    }
    let find = |name: &str| names.iter().position(|n| *n == name.as_bytes());
    Layout {
        interval: find("interval_s"),
        stage: find("stage"),
        hand_busy: find("hand_busy"),
        numbers: COLUMNS.iter().map(|column| find(column.name)).collect(),
        width: names.len(),
    }
}

fn read_row(layout: &Layout, line: &[u8]) -> Result<Row, Complaint> {
    let row: Vec<&[u8]> = cells(line).map(<[u8]>::trim_ascii).collect();
    if row.len() != layout.width {
        return Err((
            "(whole row)",
            format!("{} cells", row.len()),
            format!("{} cells, one for each name in line 1", layout.width),
        ));
    }
    // Only a file that was cut off ends without a line break, and the last
    // number of a cut row may have lost digits and still look right.
    if !line.ends_with(b"\n") {
        return Err((
            "(whole row)",
            "the row is cut off at the end of the file".to_owned(),
            "a row ends with a line break".to_owned(),
        ));
    }
    let number = |name: &'static str, place: Option<usize>| match place {
        None => Ok(f64::NAN),
        Some(place) => read_number(row[place]).ok_or_else(|| {
            (
                name,
                format!("{} is not a number", quoted(row[place])),
                "a number with a decimal point, such as 1.25".to_owned(),
            )
        }),
    };
    let mut sample = Sample::default();
    for (column, place) in COLUMNS.iter().zip(&layout.numbers) {
        column.store(&mut sample, number(column.name, *place)?);
    }
    if let Some(place) = layout.stage {
        let found = STAGES
            .iter()
            .find(|(word, _)| word.as_bytes() == row[place]);
        sample.stage = found.map(|(_, stage)| *stage).ok_or_else(|| {
            (
                "stage",
                format!("{} is no stage of a flight", quoted(row[place])),
                "one of in_hand, free, ground, ended".to_owned(),
            )
        })?;
    }
    if let Some(place) = layout.hand_busy {
        sample.hand_busy = match row[place] {
            b"1" => true,
            b"0" => false,
            other => {
                return Err((
                    "hand_busy",
                    format!("{} is neither yes nor no", quoted(other)),
                    "1 while the hand is off its stick, 0 otherwise".to_owned(),
                ));
            }
        };
    }
    let interval_s = match layout.interval {
        None => None,
        place => Some(number("interval_s", place)?),
    };
    Ok(Row { sample, interval_s })
}

/// Whether a row can follow those already read.
fn fits(so_far: &ReadSamples, row: &Row) -> Result<(), Complaint> {
    if let Some(interval_s) = row.interval_s {
        let positive = interval_s.is_finite() && interval_s > 0.0;
        let same = so_far.samples.is_empty() || interval_s == so_far.interval_s;
        if !positive || !same {
            let right = if so_far.samples.is_empty() {
                "the seconds between two rows, above zero".to_owned()
            } else {
                format!("{} as in the rows before", so_far.interval_s)
            };
            return Err(("interval_s", format!("it reads {interval_s}"), right));
        }
    }
    let time_s = row.sample.time_s;
    if time_s.is_nan() {
        // Without times the rows stay in the order of the file.
        return Ok(());
    }
    let Some(last) = so_far.samples.last() else {
        return Ok(());
    };
    let step_s = time_s - last.time_s;
    if step_s <= 0.0 {
        return Err((
            "time_s",
            format!("time goes from {} to {time_s}", last.time_s),
            "each row is later than the one before".to_owned(),
        ));
    }
    // The last row of a flight may stand at its exact end, so that a shorter
    // step is no fault; half a step more than one is a lost row.
    if so_far.interval_s > 0.0 && step_s > 1.5 * so_far.interval_s {
        return Err((
            "time_s",
            format!("rows are missing between {} and {time_s}", last.time_s),
            format!("the next row is at {}", last.time_s + so_far.interval_s),
        ));
    }
    Ok(())
}
