//! Every message of a pilot as a table, exact to the last bit.
//!
//! One row for each change, at the start of the tick that saw it. Numbers are
//! the shortest decimals that read back to the same bits, switches are 0 or 1.
//! Played back, each row holds until the next.

use std::fmt::Write;

use larkfield_pilot::{ControlMessage, Sticks, Switches, TimedMessage, Trims, Unseen};

/// Name of the table in a run folder.
pub const CONTROLS: &str = "controls.csv";

/// Its columns.
const COLUMNS: [&str; 14] = [
    "time_s",
    "stick_roll_fraction",
    "stick_pitch_fraction",
    "stick_yaw_fraction",
    "stick_throttle_fraction",
    "trim_roll_fraction",
    "trim_pitch_fraction",
    "trim_yaw_fraction",
    "throttle_cut",
    "throw_held",
    "second_rates",
    "hand_off",
    "power_lost",
    "gust",
];
/// The numbers; the rest are switches.
const NUMBERS: usize = 8;

/// The table of these messages.
pub fn write_controls(messages: &[TimedMessage]) -> String {
    let mut out = COLUMNS.join(",") + "\n";
    for TimedMessage { time_s, message } in messages {
        let (sticks, trims) = (&message.sticks, &message.trims);
        let numbers: [f64; NUMBERS] = [
            *time_s,
            sticks.roll,
            sticks.pitch,
            sticks.yaw,
            sticks.throttle,
            trims.roll,
            trims.pitch,
            trims.yaw,
        ];
        let switches = [
            message.switches.throttle_cut,
            message.switches.throw_held,
            message.switches.second_rates,
            message.hand_off,
            message.unseen.power_lost,
            message.unseen.gust,
        ];
        // Writing to a text cannot fail.
        for number in numbers {
            let _ = write!(out, "{number},");
        }
        let switches = switches.map(|on| if on { "1" } else { "0" });
        out += &switches.join(",");
        out.push('\n');
    }
    out
}

/// Whether these are the bytes of such a table.
pub fn is_controls(bytes: &[u8]) -> bool {
    let first = bytes.split(|byte| *byte == b'\n').next();
    first.is_some_and(|line| line.trim_ascii_end() == COLUMNS.join(",").as_bytes())
}

/// Reads a table back.
///
/// # Errors
/// File, line, and what would be right.
pub fn read_controls(file: &str, bytes: &[u8]) -> Result<Vec<TimedMessage>, String> {
    let text = std::str::from_utf8(bytes)
        .map_err(|_| format!("{file}: it is not text; name the {CONTROLS} of a run"))?;
    let mut messages: Vec<TimedMessage> = Vec::new();
    for (index, line) in text.lines().enumerate().skip(1) {
        let place = format!("{file}:{}", index + 1);
        let message = row(line).map_err(|what| format!("{place}: {what}"))?;
        if messages
            .last()
            .is_some_and(|last| message.time_s <= last.time_s)
        {
            return Err(format!(
                "{place}: its time is not after that of the line before; times must rise"
            ));
        }
        messages.push(message);
    }
    if messages.is_empty() {
        return Err(format!(
            "{file}: it holds no messages; name the {CONTROLS} of a complete run"
        ));
    }
    Ok(messages)
}

fn row(line: &str) -> Result<TimedMessage, String> {
    let fields: Vec<&str> = line.split(',').collect();
    if fields.len() != COLUMNS.len() {
        return Err(format!(
            "it has {} fields, not {}; the file was cut or changed",
            fields.len(),
            COLUMNS.len()
        ));
    }
    let mut numbers = [0.0; NUMBERS];
    for (number, (field, column)) in numbers.iter_mut().zip(fields.iter().zip(COLUMNS)) {
        *number = field
            .parse()
            .ok()
            .filter(|value: &f64| value.is_finite())
            .ok_or_else(|| format!("{column} is {field:?}; it has to be a number"))?;
    }
    let mut switches = [false; COLUMNS.len() - NUMBERS];
    let named = fields.iter().zip(COLUMNS).skip(NUMBERS);
    for (switch, (field, column)) in switches.iter_mut().zip(named) {
        *switch = match *field {
            "0" => false,
            "1" => true,
            _ => return Err(format!("{column} is {field:?}; it has to be 0 or 1")),
        };
    }
    let [
        time_s,
        roll,
        pitch,
        yaw,
        throttle,
        trim_roll,
        trim_pitch,
        trim_yaw,
    ] = numbers;
    let [
        throttle_cut,
        throw_held,
        second_rates,
        hand_off,
        power_lost,
        gust,
    ] = switches;
    Ok(TimedMessage {
        time_s,
        message: ControlMessage {
            sticks: Sticks {
                roll,
                pitch,
                yaw,
                throttle,
            },
            trims: Trims {
                roll: trim_roll,
                pitch: trim_pitch,
                yaw: trim_yaw,
            },
            switches: Switches {
                throttle_cut,
                throw_held,
                second_rates,
            },
            hand_off,
            unseen: Unseen { power_lost, gust },
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn messages() -> Vec<TimedMessage> {
        let message = |time_s: f64, roll: f64, on: bool| TimedMessage {
            time_s,
            message: ControlMessage {
                sticks: Sticks {
                    roll,
                    ..Sticks::default()
                },
                switches: Switches {
                    throttle_cut: on,
                    throw_held: !on,
                    second_rates: on,
                },
                unseen: Unseen {
                    power_lost: false,
                    gust: on,
                },
                ..ControlMessage::default()
            },
        };
        vec![
            message(0.0, 0.1 + 0.2, false),
            message(1.0 / 3.0, -1e-17, true),
        ]
    }

    #[test]
    fn a_table_comes_back_bit_for_bit() {
        let written = write_controls(&messages());
        assert!(is_controls(written.as_bytes()));
        assert_eq!(read_controls("c", written.as_bytes()), Ok(messages()));
    }

    #[test]
    fn damage_is_named_by_its_line() {
        let written = write_controls(&messages());
        for (from, to, line) in [
            ("0.30000000000000004", "much", "c:2: stick_roll_fraction"),
            (",1,0,1,0,0,1", ",1,0,1,0,0,2", "c:3: gust"),
            ("0.3333333333333333,", "0,", "c:3: its time"),
            (",0,1,0,0,0,0", ",0,1,0,0,0", "c:2: it has 13 fields"),
        ] {
            let changed = written.replacen(from, to, 1);
            assert_ne!(changed, written);
            let error = read_controls("c", changed.as_bytes()).unwrap_err();
            assert!(error.starts_with(line), "{error}");
        }
    }
}
