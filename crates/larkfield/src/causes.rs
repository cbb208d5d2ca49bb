//! `larkfield causes`: what a recording says about its plane.

use std::fmt::Write;

use larkfield_diagnosis::Diagnosis;
use larkfield_recording::table::read_samples;
use larkfield_rehearsal::{CausesReport, Failure, Inputs, Request, causes_of, has_passed, json};

use crate::args::CausesArguments;
use crate::terminal::{Progress, bold, say};

/// Runs the command.
///
/// # Errors
/// No run folder, no recording in it, a recording without a flight.
pub fn run(arguments: &CausesArguments) -> Result<(), Failure> {
    let inputs = Inputs::resolve(&Request {
        again: Some(arguments.run.clone()),
        unlocked: true,
        ..Request::default()
    })?;
    let path = match &arguments.recording {
        Some(path) => path.clone(),
        None => arguments.run.join("recording.csv"),
    };
    let name = path.display().to_string();
    let bytes = std::fs::read(&path).map_err(|e| {
        Failure::input(format!(
            "{name}: it cannot be read ({e}); name the folder of a run, or a recording with \
             --recording FILE"
        ))
    })?;
    let read = read_samples(&name, &bytes);
    // What is whole of it still tells something.
    for fault in &read.faults {
        eprintln!("{fault}; what is whole of it is looked at");
    }
    // Whoever brings a recording of their own asks because something went wrong;
    // a run folder says whether it did.
    let went_wrong = arguments.recording.is_some() || !has_passed(&arguments.run);
    let mut progress = Progress::new();
    let diagnosis = causes_of(&inputs, &read.samples, went_wrong, |share| {
        progress.show(&format!("{:.0} % of the faults asked", share * 100.0));
        true
    })
    .map_err(|e| Failure::input(format!("{name}: {e}")))?;
    drop(progress);
    if arguments.json {
        say(&json(&CausesReport::of(&diagnosis))?)?;
    } else {
        say(&format!("{}\n", in_words(&diagnosis)))?;
    }
    Ok(())
}

/// The verdict and the first causes, each with its evidence and its check.
pub fn in_words(diagnosis: &Diagnosis) -> String {
    let mut out = format!("  {}", bold(&diagnosis.in_words()));
    for cause in diagnosis.worth_a_look() {
        // Writing to a text cannot fail.
        let _ = write!(
            out,
            "\n  - {}: {}\n    Seen: {}.\n    Check: {}\n    Do: {}",
            cause.name(),
            cause.fault.what,
            cause.evidence_in_words(),
            cause.fault.bench,
            cause.fault.remedy,
        );
    }
    out
}
