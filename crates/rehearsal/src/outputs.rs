//! Writing a run folder.

use std::path::{Path, PathBuf};

use anyhow::Context;
use larkfield_debrief::{Existing, RunFacts, RunFolder};
use larkfield_diagnosis::{Cause, Diagnosis};
use larkfield_hindsight::{DELAY_S, Hindsight};
use larkfield_lesson::Score;
use larkfield_recording::table::{write_events, write_samples};
use serde::Serialize;

use crate::controls::{CONTROLS, write_controls};
use crate::effect::Effect;
use crate::failure::Failure;
use crate::flown::Flown;
use crate::inputs::Inputs;
use crate::request::Request;
use crate::versions::versions;

/// Where runs go that nobody gave a folder.
const RUNS: &str = "runs";

/// Starts the folder of a run and puts its inputs into it. `kind` is part of
/// the name when nobody gave one.
///
/// # Errors
/// When the folder cannot be made or an input not be written.
pub fn begin(request: &Request, inputs: &Inputs, kind: &str) -> Result<RunFolder, Failure> {
    let facts = RunFacts {
        lesson: inputs.lesson.name.clone(),
        plane: inputs.model.airframe().name.clone(),
        pilot: inputs.pilot_name().into_owned(),
        seed: request.seed,
        versions: versions(),
    };
    let (parent, name, existing) = match &request.out {
        Some(out) => {
            let (parent, name) = split(out)?;
            let existing = if request.replace {
                Existing::Replace
            } else {
                Existing::Refuse
            };
            (parent, name, existing)
        }
        None => {
            let name = format!(
                "{}-{}-{kind}",
                slug(&facts.plane),
                slug(&inputs.pilot_name())
            );
            (PathBuf::from(RUNS), name, Existing::PickFree)
        }
    };
    let mut folder = RunFolder::create(&parent, &name, existing, facts)?;
    for file in &inputs.files {
        folder.add_input(file.role, &file.name, &file.bytes)?;
    }
    Ok(folder)
}

/// Adds what one flight left.
///
/// # Errors
/// When the disk refuses.
pub fn add_flight(folder: &mut RunFolder, flown: &Flown, page: &str) -> Result<(), Failure> {
    add_traces(folder, flown)?;
    folder.add("score.json", json(&flown.score)?.as_bytes())?;
    folder.add("debrief.html", page.as_bytes())?;
    Ok(())
}

/// Adds what is known of a flight that did not come to its end: recording,
/// events, controls.
///
/// # Errors
/// When the disk refuses.
pub fn add_traces(folder: &mut RunFolder, flown: &Flown) -> Result<(), Failure> {
    folder.add_with("recording.csv", |mut out| {
        write_samples(&mut out, &flown.recording)
    })?;
    folder.add_with("events.csv", |mut out| {
        write_events(&mut out, &flown.recording.events)
    })?;
    folder.add(CONTROLS, write_controls(&flown.controls).as_bytes())?;
    Ok(())
}

/// JSON for people and programs, with a newline at its end.
///
/// # Errors
/// When a value has no JSON, which no value of ours lacks.
pub fn json(value: &impl Serialize) -> Result<String, Failure> {
    let text = serde_json::to_string_pretty(value).context("this could not be put into JSON")?;
    Ok(text + "\n")
}

/// What `--json` prints for one flight.
#[derive(Serialize)]
pub struct FlightReport<'a> {
    /// Where the run is.
    pub run_folder: String,
    /// Name of the plane.
    pub plane: &'a str,
    /// Name of the lesson.
    pub lesson: &'a str,
    /// Name of the pilot.
    pub pilot: &'a str,
    /// Seed.
    pub seed: u64,
    /// The score.
    pub score: &'a Score,
    /// What would have saved it; nothing when there was nothing to save.
    pub look_back: Option<LookBackReport>,
    /// What was wrong, with plane, throw, radio, air or hands; nothing when nothing went wrong.
    pub causes: Option<CausesReport>,
    /// What the faults did that it was flown with; nothing without any, or where the
    /// day cannot be flown without them.
    pub effect: Option<EffectReport>,
}

/// What faults did to a flight.
#[derive(Serialize)]
pub struct EffectReport {
    /// The faults, with their sizes.
    pub faults: Vec<String>,
    /// They cost the pass, or points worth speaking of.
    pub matters: bool,
    /// Points of the same day without them.
    pub points_without: f64,
    /// Whether that passes.
    pub passed_without: bool,
    /// What it comes to.
    pub verdict: String,
}

impl EffectReport {
    /// Of a flight.
    pub fn of(effect: &Effect) -> Self {
        Self {
            faults: effect.faults.clone(),
            matters: effect.matters(),
            points_without: effect.without.points,
            passed_without: effect.without.passed,
            verdict: effect.in_words(),
        }
    }
}

/// What would have saved a flight. Times since the start of the run.
#[derive(Serialize)]
pub struct LookBackReport {
    /// What went wrong first.
    pub trouble: String,
    /// When.
    pub trouble_s: f64,
    /// When the hand let go, or the run began.
    pub released_s: f64,
    /// When it could first be seen coming.
    pub first_cue_s: Option<f64>,
    /// By what.
    pub first_cue: Option<&'static str>,
    /// From deciding to the sticks.
    pub delay_s: f64,
    /// The earliest moment that was tried.
    pub tried_from_s: f64,
    /// Everything that was tried.
    pub corrections: Vec<CorrectionReport>,
    /// Whether something still saves it when it is decided upon at the first
    /// cue.
    pub a_pilot_could: bool,
    /// What it means.
    pub verdict: String,
}

/// One thing that was tried.
#[derive(Serialize)]
pub struct CorrectionReport {
    /// What is done.
    pub name: &'static str,
    /// The last moment to decide upon it.
    pub decided_s: Option<f64>,
}

impl LookBackReport {
    /// Of a flight.
    pub fn of(hindsight: &Hindsight) -> Self {
        Self {
            trouble: hindsight.trouble.what.clone(),
            trouble_s: hindsight.trouble.time_s,
            released_s: hindsight.released_s,
            first_cue_s: hindsight.first_cue.map(|(time_s, _)| time_s),
            first_cue: hindsight.first_cue.map(|(_, cue)| cue.in_words()),
            delay_s: DELAY_S,
            tried_from_s: hindsight.tried_from_s,
            corrections: (hindsight.corrections.iter())
                .map(|last| CorrectionReport {
                    name: last.correction.in_words(),
                    decided_s: last.decided_s,
                })
                .collect(),
            a_pilot_could: hindsight.a_pilot_could(),
            verdict: hindsight.in_words(),
        }
    }
}

/// What a recording says about its plane.
#[derive(Serialize)]
pub struct CausesReport {
    /// What it comes to.
    pub verdict: String,
    /// How many of the causes are the first answer, the second and so on: what one
    /// answer holds cannot be told apart, each after the first stands for what that
    /// leaves unexplained.
    pub answers: Vec<usize>,
    /// Wind that explains the recording best, toward north and east.
    pub wind_north_m_s: f64,
    /// See `wind_north_m_s`.
    pub wind_east_m_s: f64,
    /// Seconds of flight that were looked at.
    pub looked_at_s: f64,
    /// The causes, the likeliest first.
    pub causes: Vec<CauseReport>,
}

/// One cause.
#[derive(Serialize)]
pub struct CauseReport {
    /// Name of the fault.
    pub fault: &'static str,
    /// Likeliest size, with its unit.
    pub size: Option<f64>,
    /// Unit of the size.
    pub unit: Option<&'static str>,
    /// The other way round than the library describes it.
    pub mirrored: bool,
    /// Logarithm of how much likelier the recording is with it.
    pub gain: f64,
    /// Name and size for people.
    pub name: String,
    /// The number that speaks for it.
    pub evidence: String,
    /// When, since the start of the run.
    pub evidence_s: f64,
    /// What was measured there.
    pub measured: &'static str,
    /// Its unit.
    pub measured_unit: &'static str,
    /// How far the recording is from the plane as designed.
    pub off_as_designed: f64,
    /// How far it is from a plane with this fault.
    pub off_with_fault: f64,
    /// How to check for it on the ground.
    pub bench: &'static str,
    /// What to do about it.
    pub remedy: &'static str,
}

impl CausesReport {
    /// Of a diagnosis.
    pub fn of(diagnosis: &Diagnosis) -> Self {
        Self {
            verdict: diagnosis.in_words(),
            answers: diagnosis.answers.clone(),
            wind_north_m_s: diagnosis.wind_m_s[0],
            wind_east_m_s: diagnosis.wind_m_s[1],
            looked_at_s: diagnosis.looked_at_s,
            causes: diagnosis.causes.iter().map(CauseReport::of).collect(),
        }
    }
}

impl CauseReport {
    fn of(cause: &Cause) -> Self {
        Self {
            fault: cause.fault.name,
            size: cause.size,
            unit: cause.fault.sizes.map(|sizes| sizes.unit.symbol()),
            mirrored: cause.mirrored,
            gain: cause.gain,
            name: cause.name(),
            evidence: cause.evidence_in_words(),
            evidence_s: cause.evidence.time_s,
            measured: cause.evidence.what,
            measured_unit: cause.evidence.unit,
            off_as_designed: cause.evidence.off_as_designed,
            off_with_fault: cause.evidence.off_with_fault,
            bench: cause.fault.bench,
            remedy: cause.fault.remedy,
        }
    }
}

fn split(out: &Path) -> Result<(PathBuf, String), Failure> {
    let name = out.file_name().and_then(|name| name.to_str());
    let Some(name) = name else {
        return Err(Failure::input(format!(
            "--out {}: this does not end in the name of a folder; give one, as in runs/first",
            out.display()
        )));
    };
    let parent = match out.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    };
    Ok((parent, name.to_owned()))
}

/// A name as part of a folder's name.
fn slug(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars().take(40) {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() {
        "plane".to_owned()
    } else {
        out.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_plain() {
        assert_eq!(slug("Marram, tail-heavy (2)"), "marram-tail-heavy-2");
        assert_eq!(slug("  äö "), "plane");
    }
}
