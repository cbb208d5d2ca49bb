//! Sticks from another run: samples of its recording, or every message of its
//! pilot, by which it can be flown again byte for byte.

use std::path::Path;

use larkfield_pilot::{ControlMessage, Sticks, Tape, TimedMessage};
use larkfield_recording::table::read_samples;

use crate::controls::{is_controls, read_controls};
use crate::failure::Failure;

/// Largest table that is read: an hour of samples is below it.
const LARGEST_BYTES: u64 = 256 * 1024 * 1024;

/// Reads the sticks of a recording or of a table of controls, and the bytes they
/// came from.
///
/// # Errors
/// A file that cannot be read, is damaged, or holds no sticks.
pub fn read_sticks(path: &Path) -> Result<(Tape, Vec<u8>), Failure> {
    let name = path.display().to_string();
    let unreadable = |e: std::io::Error| {
        Failure::input(format!(
            "{name}: it cannot be read ({e}); name the recording.csv or controls.csv of a run"
        ))
    };
    let size = std::fs::metadata(path).map_err(unreadable)?.len();
    if size > LARGEST_BYTES {
        return Err(Failure::input(format!(
            "{name}: it has {size} bytes, more than any recording; name the recording.csv of a run"
        )));
    }
    let bytes = std::fs::read(path).map_err(unreadable)?;
    if is_controls(&bytes) {
        let messages = read_controls(&name, &bytes).map_err(Failure::input)?;
        return Ok((Tape::of_all(messages), bytes));
    }
    let read = read_samples(&name, &bytes);
    // A cut recording would leave the plane with its last sticks for ever.
    if let Some(fault) = read.faults.first() {
        return Err(Failure::input(fault.to_string()));
    }
    if read.samples.is_empty() {
        return Err(Failure::input(format!(
            "{name}: it holds no samples; name the recording.csv of a run"
        )));
    }
    let messages: Vec<TimedMessage> = read
        .samples
        .iter()
        .map(|sample| TimedMessage {
            time_s: sample.time_s,
            message: ControlMessage {
                sticks: Sticks {
                    roll: sample.stick_roll,
                    pitch: sample.stick_pitch,
                    yaw: sample.stick_yaw,
                    throttle: sample.stick_throttle,
                },
                hand_off: sample.hand_busy,
                ..ControlMessage::default()
            },
        })
        .collect();
    Ok((messages.into(), bytes))
}
