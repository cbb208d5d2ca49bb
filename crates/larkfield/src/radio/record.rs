//! `larkfield radio record`: what a device does, into a file.

use std::fs::OpenOptions;
use std::io::Write;

use anyhow::Context;
use larkfield_radio::{DeviceEvent, DeviceEventKind, RECORDED_HEADER, write_row};
use larkfield_rehearsal::Failure;

use super::args::RecordArguments;
use super::caution::before_sticks;
use super::source::{Heard, Source};
use crate::stop::Stop;
use crate::terminal::say;

/// Runs the command. Every event is in the file as soon as it has been heard.
///
/// # Errors
/// No device, a file that is there already or cannot be written.
pub fn run(arguments: &RecordArguments) -> Result<(), Failure> {
    let mut source = Source::open(arguments.device.device.as_ref(), None)?;
    before_sticks(arguments.device.ready, source.is_live())?;
    let path = &arguments.out;
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|e| {
            Failure::input(format!(
                "{}: it cannot be made ({e}); give a file that is not there yet",
                path.display()
            ))
        })?;
    let lost = || format!("{} could not be written", path.display());
    let name = source.info().name.clone();
    let plugged = DeviceEvent {
        time_s: 0.0,
        device: source.info().id,
        kind: DeviceEventKind::Connected,
    };
    if source.is_live() {
        let head = format!("{RECORDED_HEADER}\n{}", write_row(&plugged, &name));
        file.write_all(head.as_bytes()).with_context(lost)?;
        eprintln!("Listening for {} s; Ctrl-C ends it.", arguments.seconds);
    } else {
        file.write_all(format!("{RECORDED_HEADER}\n").as_bytes())
            .with_context(lost)?;
    }
    let stop = Stop::listen()?;
    let (mut first_s, mut count) = (None, 0_u64);
    while !stop.asked() {
        let now_s = match source.next() {
            Heard::Event(event) => {
                file.write_all(write_row(&event, &name).as_bytes())
                    .with_context(lost)?;
                count += 1;
                event.time_s
            }
            Heard::Quiet(now_s) => now_s,
            Heard::End => break,
        };
        if now_s - *first_s.get_or_insert(now_s) >= f64::from(arguments.seconds) {
            break;
        }
    }
    say(&format!("{count} events: {}\n", path.display()))?;
    Ok(())
}
