//! The table of many flights as CSV, written and read. The page can be made
//! from the table and the inputs of the run, so that tables of runs over
//! neighbouring seeds can be joined.

use std::io::{self, Write};

use thiserror::Error;

use super::runs::{FirstStall, RepeatInput, RunSummary, TouchDown};

/// Columns before those of the phases.
const FIRST: [&str; 6] = [
    "seed",
    "score_points",
    "passed",
    "completed",
    "undamaged",
    "zeroed_by",
];
/// Columns behind them.
const LAST: [&str; 23] = [
    "phases_done",
    "released_s",
    "lowest_height_in_3_s_m",
    "flying_after_3_s",
    "highest_height_m",
    "first_stall_s",
    "first_stall_height_m",
    "touch_s",
    "touch_along_m",
    "touch_right_m",
    "touch_in_area",
    "touch_sink_m_s",
    "touch_ground_speed_m_s",
    "touch_drift_m_s",
    "touch_bank_deg",
    "touch_heading_error_deg",
    "touch_throttle_fraction",
    "touch_part",
    "broken_parts",
    "airborne_s",
    "failed",
    "ended_by",
    "headline",
];
/// Between broken parts.
const AND: &str = "; ";

/// What is wrong with a table.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{file}:{line}: {problem}; expected {expected}")]
pub struct SheetFault {
    /// The file.
    pub file: String,
    /// Line, counted from 1.
    pub line: u64,
    /// What is wrong.
    pub problem: String,
    /// What would be right.
    pub expected: String,
}

/// Names of the columns for a lesson with these phases. A phase's column bears
/// its place in the lesson and its name in plain letters.
#[must_use]
pub fn summary_columns(phases: &[String]) -> Vec<String> {
    let plain = |name: &str| {
        let letters = name.chars().map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '_'
            }
        });
        letters.collect::<String>()
    };
    let done = phases
        .iter()
        .enumerate()
        .map(|(index, name)| format!("phase_{}_{}_done_s", index + 1, plain(name)));
    FIRST
        .map(str::to_owned)
        .into_iter()
        .chain(done)
        .chain(LAST.map(str::to_owned))
        .collect()
}

/// Writes one row a flight, in the order given. Numbers are the shortest that
/// read back to the same bits, a cell about something that did not happen or
/// is not known is empty, yes is 1 and no is 0. Times count from the start of
/// the run, heights are those of the balance point.
///
/// # Errors
/// Whatever `out` reports.
pub fn summary_csv(out: &mut impl Write, input: &RepeatInput) -> io::Result<()> {
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record(summary_columns(&input.phases))?;
    for run in &input.runs {
        writer.write_record(row_of(run, input.phases.len()))?;
    }
    writer.flush()
}

fn number(value: f64) -> String {
    if value.is_finite() {
        value.to_string()
    } else {
        String::new()
    }
}

fn maybe(value: Option<f64>) -> String {
    value.map_or_else(String::new, number)
}

fn yes(holds: bool) -> String {
    if holds { "1" } else { "0" }.to_owned()
}

fn row_of(run: &RunSummary, phases: usize) -> Vec<String> {
    let mut row = vec![
        run.seed.to_string(),
        number(run.score),
        yes(run.passed),
        yes(run.completed),
        yes(run.undamaged()),
        run.zeroed_by.clone().unwrap_or_default(),
    ];
    row.extend((0..phases).map(|phase| maybe(run.phases_done_s.get(phase).copied().flatten())));
    row.extend([
        run.phases_done().to_string(),
        number(run.released_s),
        number(run.lowest_height_m),
        run.flying_after_3_s.map_or_else(String::new, yes),
        number(run.highest_height_m),
        maybe(run.first_stall.map(|stall| stall.time_s)),
        maybe(run.first_stall.map(|stall| stall.height_m)),
    ]);
    match &run.touch {
        None => row.extend(std::iter::repeat_n(String::new(), 11)),
        Some(touch) => row.extend([
            number(touch.time_s),
            number(touch.along_m),
            number(touch.right_m),
            yes(touch.in_area),
            number(touch.sink_m_s),
            number(touch.ground_speed_m_s),
            number(touch.drift_m_s),
            number(touch.bank_deg),
            number(touch.heading_error_deg),
            number(touch.throttle_fraction),
            touch.part.clone(),
        ]),
    }
    row.extend([
        run.broken_parts.join(AND),
        number(run.airborne_s),
        run.failed.clone(),
        run.ended_by.clone(),
        run.headline.clone(),
    ]);
    row
}

/// Reads a table of a lesson with these phases from `bytes`; `file` is its name
/// in messages.
///
/// # Errors
/// The first thing that is wrong.
pub fn read_summary_csv(
    file: &str,
    bytes: &[u8],
    phases: &[String],
) -> Result<Vec<RunSummary>, SheetFault> {
    let fault = |line: u64, problem: String, expected: String| SheetFault {
        file: file.to_owned(),
        line,
        problem,
        expected,
    };
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(bytes);
    let columns = summary_columns(phases);
    let mut runs = Vec::new();
    let mut headed = false;
    for record in reader.records() {
        let record = record.map_err(|e| {
            let line = e.position().map_or(1, csv::Position::line);
            fault(line, e.to_string(), "rows of equal length".to_owned())
        })?;
        let line = record.position().map_or(1, csv::Position::line);
        if !headed {
            headed = true;
            if record.iter().ne(columns.iter().map(String::as_str)) {
                return Err(fault(
                    line,
                    "these are not the columns of this lesson's table".to_owned(),
                    format!("{}, ...", columns[..FIRST.len() + 1].join(", ")),
                ));
            }
            continue;
        }
        let mut cells = Cells {
            record: &record,
            next: 0,
        };
        let run = read_row(&mut cells, phases.len()).map_err(|expected| {
            let at = cells.next.saturating_sub(1);
            let column = columns.get(at).map_or("the row", String::as_str);
            let cell = record.get(at).unwrap_or_default();
            fault(line, format!("{column} is {cell:?}"), expected.to_owned())
        })?;
        runs.push(run);
    }
    if headed {
        Ok(runs)
    } else {
        Err(fault(
            1,
            "it is empty".to_owned(),
            "a table of flights".to_owned(),
        ))
    }
}

/// The cells of a row, from left to right.
struct Cells<'a> {
    record: &'a csv::StringRecord,
    next: usize,
}

impl Cells<'_> {
    fn text(&mut self) -> &str {
        self.next += 1;
        self.record.get(self.next - 1).unwrap_or_default()
    }

    fn yes(&mut self) -> Result<bool, &'static str> {
        match self.text() {
            "1" => Ok(true),
            "0" => Ok(false),
            _ => Err("1 or 0"),
        }
    }

    fn maybe_yes(&mut self) -> Result<Option<bool>, &'static str> {
        match self.text() {
            "1" => Ok(Some(true)),
            "0" => Ok(Some(false)),
            "" => Ok(None),
            _ => Err("1, 0 or nothing"),
        }
    }

    fn count(&mut self) -> Result<u64, &'static str> {
        self.text().parse().map_err(|_| "a whole number")
    }

    fn maybe(&mut self) -> Result<Option<f64>, &'static str> {
        let expected = "a finite number or nothing";
        match self.text() {
            "" => Ok(None),
            text => match text.parse::<f64>() {
                Ok(value) if value.is_finite() => Ok(Some(value)),
                _ => Err(expected),
            },
        }
    }

    fn number(&mut self) -> Result<f64, &'static str> {
        Ok(self.maybe()?.unwrap_or(f64::NAN))
    }
}

fn read_row(cells: &mut Cells, phases: usize) -> Result<RunSummary, &'static str> {
    let mut run = RunSummary {
        seed: cells.count()?,
        score: cells.number()?,
        passed: cells.yes()?,
        completed: cells.yes()?,
        ..RunSummary::default()
    };
    let undamaged = cells.yes()?;
    run.zeroed_by = Some(cells.text().to_owned()).filter(|reason| !reason.is_empty());
    for _ in 0..phases {
        run.phases_done_s.push(cells.maybe()?);
    }
    if cells.count()? != run.phases_done() as u64 {
        return Err("the number of phases done before the first that was not");
    }
    run.released_s = cells.number()?;
    run.lowest_height_m = cells.number()?;
    run.flying_after_3_s = cells.maybe_yes()?;
    run.highest_height_m = cells.number()?;
    let (stall_s, stall_m) = (cells.maybe()?, cells.number()?);
    run.first_stall = stall_s.map(|time_s| FirstStall {
        time_s,
        height_m: stall_m,
    });
    run.touch = read_touch(cells)?;
    let parts = cells.text();
    run.broken_parts = parts
        .split(AND)
        .filter(|part| !part.is_empty())
        .map(str::to_owned)
        .collect();
    if undamaged != run.undamaged() {
        return Err("broken parts where the plane is not undamaged, none where it is");
    }
    run.airborne_s = cells.number()?;
    run.failed = cells.text().to_owned();
    run.ended_by = cells.text().to_owned();
    run.headline = cells.text().to_owned();
    Ok(run)
}

fn read_touch(cells: &mut Cells) -> Result<Option<TouchDown>, &'static str> {
    let Some(time_s) = cells.maybe()? else {
        cells.next += 10;
        return Ok(None);
    };
    Ok(Some(TouchDown {
        time_s,
        along_m: cells.number()?,
        right_m: cells.number()?,
        in_area: cells.yes()?,
        sink_m_s: cells.number()?,
        ground_speed_m_s: cells.number()?,
        drift_m_s: cells.number()?,
        bank_deg: cells.number()?,
        heading_error_deg: cells.number()?,
        throttle_fraction: cells.number()?,
        part: cells.text().to_owned(),
    }))
}
