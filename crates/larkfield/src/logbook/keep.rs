//! Putting a flight of a person into the logbook.

use std::path::{Path, PathBuf};

use anyhow::Context;
use larkfield_logbook::{Added, Entry, FlownAt, ScoreLine, sha256_hex};
use larkfield_pilot::PilotKind;
use larkfield_recording::EventKind;
use larkfield_rehearsal::{Failure, Flown, Inputs};

use super::args::KeepArguments;
use super::place;

/// Who flies live without having said a name.
const UNNAMED: &str = "unnamed";

/// Knows whose flight goes into which logbook.
pub struct Keeper {
    file: PathBuf,
    pilot: String,
    flown_at: Option<FlownAt>,
}

impl Keeper {
    /// Whether a flight is to be kept. The logbook is opened before the flight,
    /// so that one that cannot be used is known before a person has flown;
    /// it does not stay open, for other programs.
    ///
    /// # Errors
    /// A name for a scripted pilot; a logbook that cannot be used.
    pub fn of(
        arguments: &KeepArguments,
        inputs: &Inputs,
        live: bool,
    ) -> Result<Option<Self>, Failure> {
        let by_person = matches!(inputs.lesson.pilot, PilotKind::Person | PilotKind::Playback);
        let pilot = match &arguments.name {
            Some(_) if !by_person => {
                return Err(Failure::input(format!(
                    "--name: {} flies by script, and only a person's flights go into the logbook; \
                     leave --name out, or give --pilot device or playback:FILE",
                    inputs.pilot_name()
                )));
            }
            Some(name) => name.clone(),
            None if live => UNNAMED.to_owned(),
            None => return Ok(None),
        };
        let file = match place::find(arguments.logbook.as_deref()) {
            Ok(file) => file,
            // Nobody asked for a logbook, so the lack of one stops no flight.
            Err(Failure { error, .. }) if arguments.name.is_none() => {
                eprintln!("This flight goes into no logbook: {error}.");
                return Ok(None);
            }
            Err(failure) => return Err(failure),
        };
        place::open(&file)?;
        Ok(Some(Self {
            file,
            pilot,
            flown_at: arguments.flown_at.clone(),
        }))
    }

    /// Keeps a flight whose run folder is complete, and says so.
    ///
    /// # Errors
    /// A logbook that cannot be written; the run folder is not touched.
    pub fn keep(
        &self,
        inputs: &Inputs,
        flown: &Flown,
        seed: u64,
        folder: &Path,
    ) -> Result<(), Failure> {
        let kept = self
            .entry(inputs, flown, seed, folder)
            .and_then(|entry| place::open(&self.file)?.add(&entry).map_err(place::failure));
        match kept {
            Ok(Added::New) => {
                eprintln!("In the logbook of {}: {}", self.pilot, self.file.display())
            }
            Ok(Added::Known) => eprintln!(
                "The logbook of {} has this very flight already; it counts once.",
                self.pilot
            ),
            Err(Failure { code, error }) => {
                let error = error.context(format!(
                    "the flight is whole in {0}, but not in the logbook; when that can be used, \
                     log it with `larkfield rehearse --again {0} --pilot playback:{0}/controls.csv \
                     --name {1:?}`",
                    folder.display(),
                    self.pilot
                ));
                return Err(Failure { code, error });
            }
        }
        Ok(())
    }

    fn entry(
        &self,
        inputs: &Inputs,
        flown: &Flown,
        seed: u64,
        folder: &Path,
    ) -> Result<Entry, Failure> {
        let recording = folder.join("recording.csv");
        let recording = std::fs::read(&recording)
            .with_context(|| format!("{} could not be read again", recording.display()))?;
        let score = &flown.score;
        let released = |kind: &EventKind| *kind == EventKind::Released;
        Ok(Entry {
            flown_at: match &self.flown_at {
                Some(time) => time.clone(),
                None => now()?,
            },
            pilot: self.pilot.clone(),
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
                None => inputs.pilot_name().to_owned(),
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
}

/// The digest of the file that plays a part.
fn digest(inputs: &Inputs, role: &str) -> String {
    let file = inputs.files.iter().find(|file| file.role == role);
    sha256_hex(file.map_or(&[], |file| &file.bytes))
}

/// The time of the place. The only clock that anything kept ever sees.
fn now() -> Result<FlownAt, Failure> {
    let text = jiff::Zoned::now()
        .strftime("%Y-%m-%dT%H:%M:%S%:z")
        .to_string();
    FlownAt::parse(&text).map_err(|e| anyhow::Error::msg(format!("the clock: {e}")).into())
}
