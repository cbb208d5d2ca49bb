//! What a device did, as a table: to hear it again without the device.
//!
//! ```text
//! time_s,event,code,value
//! 0,connected,,My radio
//! 0.52,axis,ABS_X,-0.25
//! 0.9,button,BTN_TRIGGER,1
//! 4,disconnected,,
//! ```
//!
//! Times in seconds, never falling; values of axes are shares of what the
//! device can send, -1 to 1; buttons are 0 or 1. One device a table. Empty
//! lines and lines that begin with `#` say nothing.

use std::fmt::Write;

use crate::{AxisCode, ButtonCode, DeviceEvent, DeviceEventKind, DeviceId, DeviceInfo};

/// First line of the table.
pub const RECORDED_HEADER: &str = "time_s,event,code,value";

/// A device that was recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct Recorded {
    /// What the device was.
    pub info: DeviceInfo,
    /// What it did.
    pub events: Vec<DeviceEvent>,
}

impl Recorded {
    /// Reads a table; `file` is for messages only.
    ///
    /// # Errors
    /// File, line, what is wrong and what would be right.
    pub fn read(file: &str, text: &str) -> Result<Self, String> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut lines = (text.lines().enumerate())
            .map(|(index, line)| (index + 1, line.trim()))
            .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
        match lines.next() {
            Some((_, RECORDED_HEADER)) => {}
            other => {
                let number = other.map_or(1, |(number, _)| number);
                return Err(format!(
                    "{file}:{number}: this is no recorded device; its first line has to be \
                     {RECORDED_HEADER}"
                ));
            }
        }
        let id = DeviceId(0);
        let mut recorded = Self {
            info: DeviceInfo {
                id,
                name: "recorded device".to_owned(),
                axes: Vec::new(),
                buttons: Vec::new(),
            },
            events: Vec::new(),
        };
        for (number, line) in lines {
            let place = |what: String| format!("{file}:{number}: {what}");
            let (time_s, kind, name) = row(line).map_err(place)?;
            if let Some(name) = name {
                recorded.info.name = name;
            }
            if recorded
                .events
                .last()
                .is_some_and(|last| time_s < last.time_s)
            {
                return Err(place(
                    "time_s falls; events have to be in the order in which they happened".into(),
                ));
            }
            recorded.note(kind);
            recorded.events.push(DeviceEvent {
                time_s,
                device: id,
                kind,
            });
        }
        if recorded.events.is_empty() {
            return Err(format!(
                "{file}: it holds no events; record a device while its sticks move"
            ));
        }
        Ok(recorded)
    }

    fn note(&mut self, kind: DeviceEventKind) {
        match kind {
            DeviceEventKind::Axis { code, .. } if !self.info.axes.contains(&code) => {
                self.info.axes.push(code);
            }
            DeviceEventKind::Button { code, .. } if !self.info.buttons.contains(&code) => {
                self.info.buttons.push(code);
            }
            _ => {}
        }
    }

    /// The table.
    pub fn write(&self) -> String {
        let mut out = format!("{RECORDED_HEADER}\n");
        for event in &self.events {
            out += &write_row(event, &self.info.name);
        }
        out
    }
}

/// One row, with its line break; `name` is written where a device is plugged in.
pub fn write_row(event: &DeviceEvent, name: &str) -> String {
    let mut out = String::new();
    let time_s = event.time_s;
    // Writing to a text cannot fail.
    let _ = match event.kind {
        DeviceEventKind::Connected => {
            let plain: String = name.chars().filter(|c| !c.is_control()).collect();
            writeln!(out, "{time_s},connected,,{}", plain.trim())
        }
        DeviceEventKind::Disconnected => writeln!(out, "{time_s},disconnected,,"),
        DeviceEventKind::Axis { code, value } => writeln!(out, "{time_s},axis,{code},{value}"),
        DeviceEventKind::Button { code, pressed } => {
            writeln!(out, "{time_s},button,{code},{}", u8::from(pressed))
        }
    };
    out
}

type Row = (f64, DeviceEventKind, Option<String>);

fn row(line: &str) -> Result<Row, String> {
    // The name of a device may hold commas.
    let mut fields = line.splitn(4, ',').map(str::trim);
    let mut field = || fields.next();
    let (Some(time), Some(event), Some(code), Some(value)) = (field(), field(), field(), field())
    else {
        return Err(format!("a line has four fields, {RECORDED_HEADER}"));
    };
    let number = |name: &str, text: &str| {
        let parsed = text.parse::<f64>().ok().filter(|value| value.is_finite());
        parsed.ok_or_else(|| format!("{name} is {text:?}; it has to be a number"))
    };
    let time_s = number("time_s", time)?;
    let no_code = |kind: &str| format!("code is {code:?}; give that of {kind}");
    let kind = match event {
        "connected" => DeviceEventKind::Connected,
        "disconnected" => DeviceEventKind::Disconnected,
        "axis" => {
            let raw = number("value", value)?;
            if !(-1.0..=1.0).contains(&raw) {
                return Err(format!("value is {value}; an axis has -1 to 1"));
            }
            DeviceEventKind::Axis {
                code: AxisCode::from_name(code).ok_or_else(|| no_code("an axis, such as ABS_X"))?,
                value: raw,
            }
        }
        "button" => DeviceEventKind::Button {
            code: ButtonCode::from_name(code)
                .ok_or_else(|| no_code("a button, such as BTN_TRIGGER"))?,
            pressed: match value {
                "0" => false,
                "1" => true,
                _ => return Err(format!("value is {value:?}; a button has 0 or 1")),
            },
        },
        _ => {
            return Err(format!(
                "event is {event:?}; it has to be connected, disconnected, axis or button"
            ));
        }
    };
    let named = kind == DeviceEventKind::Connected && !value.is_empty();
    Ok((time_s, kind, named.then(|| value.to_owned())))
}
