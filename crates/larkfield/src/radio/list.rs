//! `larkfield radio list`: the devices and what they send.

use std::collections::BTreeMap;
use std::fmt::Write;

use larkfield_radio::{DeviceId, DeviceInfo, DeviceState};
use larkfield_rehearsal::{Failure, json};
use serde::Serialize;

use super::args::{DeviceChoice, ListArguments};
use super::caution::before_sticks;
use super::source::{Heard, Source, in_words, listen};
use crate::stop::Stop;
use crate::terminal::say;

/// What `--json` prints.
#[derive(Serialize, Default)]
struct Report {
    devices: Vec<DeviceReport>,
    /// Devices that cannot be read.
    unseen: Vec<UnseenReport>,
}

#[derive(Serialize)]
struct DeviceReport {
    number: u32,
    name: String,
    axes: Vec<AxisReport>,
    buttons: Vec<String>,
    pressed: Vec<String>,
    connected: bool,
}

#[derive(Serialize)]
struct AxisReport {
    axis: String,
    /// Share of what the device can send; nothing until it has moved.
    value_fraction: Option<f64>,
}

#[derive(Serialize)]
struct UnseenReport {
    name: String,
    reason: String,
}

/// Runs the command.
///
/// # Errors
/// Devices that cannot be read, a recording with mistakes.
pub fn run(arguments: &ListArguments) -> Result<(), Failure> {
    let mut report = Report::default();
    if let Some(choice @ DeviceChoice::Replay(_)) = &arguments.device.device {
        let mut source = Source::open(Some(choice), None)?;
        let mut known = Known::default();
        while let Heard::Event(event) = source.next() {
            known.hear(&event.kind);
        }
        report.devices.push(known.report(source.info()));
    } else {
        let named = match &arguments.device.device {
            Some(DeviceChoice::Named(name)) => name.to_lowercase(),
            _ => String::new(),
        };
        watch(arguments, &named, &mut report)?;
    }
    say(&if arguments.json {
        json(&report)?
    } else {
        in_text(&report)
    })?;
    Ok(())
}

/// Listens to all devices for a while.
fn watch(arguments: &ListArguments, named: &str, report: &mut Report) -> Result<(), Failure> {
    let seconds = arguments.seconds;
    let mut devices = listen()?;
    let stop = Stop::listen()?;
    let mut known: BTreeMap<DeviceId, Known> = BTreeMap::new();
    // Without a device there is no stick to move.
    if !devices.list().is_empty() {
        before_sticks(arguments.device.ready, true)?;
        eprintln!("Move every stick and switch; listening for {seconds} s.");
        let until_s = devices.now_s() + f64::from(seconds);
        while devices.now_s() < until_s && !stop.asked() {
            for event in devices.poll() {
                known.entry(event.device).or_default().hear(&event.kind);
            }
            std::thread::sleep(std::time::Duration::from_millis(4));
        }
    }
    for info in devices.list() {
        let chosen = info.name.to_lowercase().contains(named) || info.id.0.to_string() == named;
        if chosen {
            let known = known.remove(&info.id).unwrap_or_default();
            report.devices.push(known.report(&info));
        }
    }
    let unseen = devices.unseen().into_iter().map(|unseen| UnseenReport {
        name: unseen.name,
        reason: unseen.reason,
    });
    report.unseen.extend(unseen);
    Ok(())
}

/// What a device has sent.
#[derive(Default)]
struct Known {
    state: DeviceState,
    gone: bool,
}

impl Known {
    fn hear(&mut self, kind: &larkfield_radio::DeviceEventKind) {
        self.state.hear(kind);
        self.gone = match kind {
            larkfield_radio::DeviceEventKind::Connected => false,
            larkfield_radio::DeviceEventKind::Disconnected => true,
            _ => self.gone,
        };
    }

    fn report(&self, info: &DeviceInfo) -> DeviceReport {
        let mut axes = info.axes.clone();
        for (code, _) in self.state.axes() {
            if !axes.contains(&code) {
                axes.push(code);
            }
        }
        axes.sort();
        DeviceReport {
            number: info.id.0,
            name: info.name.clone(),
            axes: (axes.into_iter())
                .map(|code| AxisReport {
                    axis: code.to_string(),
                    value_fraction: self.state.axis(code),
                })
                .collect(),
            buttons: info.buttons.iter().map(ToString::to_string).collect(),
            pressed: self.state.pressed().map(|code| code.to_string()).collect(),
            connected: !self.gone,
        }
    }
}

fn in_text(report: &Report) -> String {
    let mut out = String::new();
    if report.devices.is_empty() {
        out += "No game pad and no radio on a cable can be read. Plug one in, and let a radio be \
                a joystick in its own set-up.\n";
    }
    for device in &report.devices {
        let info = DeviceInfo {
            id: DeviceId(device.number),
            name: device.name.clone(),
            axes: Vec::new(),
            buttons: Vec::new(),
        };
        // Writing to a text cannot fail.
        let _ = writeln!(
            out,
            "{}{}",
            in_words(&info),
            if device.connected { "" } else { " (unplugged)" }
        );
        for axis in &device.axes {
            let _ = match axis.value_fraction {
                Some(value) => writeln!(out, "  {:<14} {:+7.1} %", axis.axis, value * 100.0),
                None => writeln!(out, "  {:<14} has not moved: not known", axis.axis),
            };
        }
        let _ = writeln!(
            out,
            "  buttons: {}\n  pressed: {}",
            or_none(&device.buttons),
            or_none(&device.pressed)
        );
    }
    for unseen in &report.unseen {
        let _ = writeln!(out, "{:?} is there, but {}.", unseen.name, unseen.reason);
    }
    out
}

fn or_none(names: &[String]) -> String {
    if names.is_empty() {
        "none".to_owned()
    } else {
        names.join(" ")
    }
}
