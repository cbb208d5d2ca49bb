//! A flight as the logbook keeps it, and how a logbook ends badly.

use std::path::Path;

use anyhow::Context;
use larkfield_logbook::{Entry, FlownAt, Logbook, LogbookError, Practice, ScoreLine, sha256_hex};
use larkfield_recording::EventKind;

use crate::failure::{FAILED, Failure};
use crate::flown::Flown;
use crate::inputs::Inputs;

/// Who flies live without having said a name.
pub const UNNAMED: &str = "unnamed";

/// What the logbook keeps of a flight whose run folder is complete.
///
/// # Errors
/// A recording that cannot be read again.
pub fn entry_of(
    inputs: &Inputs,
    flown: &Flown,
    seed: u64,
    folder: &Path,
    pilot: &str,
    flown_at: FlownAt,
) -> Result<Entry, Failure> {
    let recording = folder.join("recording.csv");
    let recording = std::fs::read(&recording)
        .with_context(|| format!("{} could not be read again", recording.display()))?;
    let score = &flown.score;
    let released = |kind: &EventKind| *kind == EventKind::Released;
    Ok(Entry {
        flown_at,
        pilot: pilot.to_owned(),
        plane: inputs.model.airframe().name.clone(),
        airframe_sha256: digest(inputs, "airframe"),
        lesson: inputs.lesson.name.clone(),
        lesson_sha256: digest(inputs, "lesson"),
        wind: inputs.wind.description.clone(),
        wind_sha256: digest(inputs, "wind"),
        wind_m_s: flown.conditions.wind_speed_m_s(),
        gust_m_s: flown.conditions.gust_m_s,
        seed,
        device: match &inputs.radio {
            Some(radio) => radio.name.clone(),
            None => inputs.pilot_name().into_owned(),
        },
        thrown: flown
            .recording
            .events
            .iter()
            .any(|event| released(&event.kind)),
        points: score.total,
        passed: score.passed,
        goal_reached: score.goal_reached,
        danger: score.zeroed_by.clone().unwrap_or_default(),
        score_lines: score
            .marks
            .iter()
            .map(|mark| ScoreLine {
                phase: mark.phase.clone(),
                name: mark.name.clone(),
                value: mark.value,
                unit: mark.unit.clone(),
                limit: mark.limit.clone(),
                points: mark.points,
                of: mark.of,
            })
            .collect(),
        damage: score.broken_parts.clone(),
        causes: (flown.diagnosis.iter())
            .flat_map(|diagnosis| &diagnosis.causes)
            .map(|cause| cause.fault.name.to_owned())
            .collect(),
        run_folder: std::path::absolute(folder)
            .unwrap_or_else(|_| folder.to_owned())
            .display()
            .to_string(),
        recording_sha256: sha256_hex(&recording),
    })
}

/// The digest of the file that plays a part.
fn digest(inputs: &Inputs, role: &str) -> String {
    let file = inputs.files.iter().find(|file| file.role == role);
    sha256_hex(file.map_or(&[][..], |file| &file.bytes))
}

/// Opens a logbook, or makes it.
///
/// # Errors
/// Everything that can be wrong with it.
pub fn open_logbook(file: &Path) -> Result<Logbook, Failure> {
    Logbook::open(file).map_err(logbook_failure)
}

/// A wrong file is a wrong input; what the disk refuses is a failure.
pub fn logbook_failure(error: LogbookError) -> Failure {
    match error {
        LogbookError::NotALogbook(_)
        | LogbookError::Damaged { .. }
        | LogbookError::Newer { .. }
        | LogbookError::Row { .. } => Failure::input(error.to_string()),
        _ => Failure {
            code: FAILED,
            error: error.into(),
        },
    }
}

/// The time of the place. The only clock that anything kept ever sees.
///
/// # Errors
/// A clock that shows no time.
pub fn now() -> Result<FlownAt, Failure> {
    let text = jiff::Zoned::now()
        .strftime("%Y-%m-%dT%H:%M:%S%:z")
        .to_string();
    FlownAt::parse(&text).map_err(|e| anyhow::Error::msg(format!("the clock: {e}")).into())
}

/// Puts a drill that somebody has just gone through into a logbook.
///
/// # Errors
/// A clock that shows no time, a logbook that cannot be used.
pub fn log_drill(
    file: &Path,
    pilot: &str,
    drill: &str,
    seed: u64,
    points: f64,
    passed: bool,
) -> Result<(), Failure> {
    let practice = Practice {
        done_at: now()?,
        pilot: pilot.to_owned(),
        drill: drill.to_owned(),
        seed,
        points,
        passed,
    };
    open_logbook(file)?
        .add_practices(&[practice])
        .map_err(logbook_failure)?;
    Ok(())
}
