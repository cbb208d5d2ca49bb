//! Axes and buttons by the numbers that the kernel gives them.
//!
//! Numbers and names are those of the Linux header `input-event-codes.h`. A
//! radio on a cable is a plain HID joystick, whose usages X, Y, Z, Rx, Ry, Rz,
//! slider and dial the kernel maps to the axes of [`CHANNEL_AXES`], in that
//! order.

use std::fmt;

/// An absolute axis (`ABS_...`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AxisCode(pub u32);

/// A button (`BTN_...`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ButtonCode(pub u32);

/// The axes of a joystick in the order of their usages, which is the order in
/// which radios put their channels.
pub const CHANNEL_AXES: [AxisCode; 8] = [
    AxisCode(0),
    AxisCode(1),
    AxisCode(2),
    AxisCode(3),
    AxisCode(4),
    AxisCode(5),
    AxisCode(6),
    AxisCode(7),
];

/// Axes that have a name; the rest go by their number.
const AXES: [(u32, &str); 19] = [
    (0x00, "ABS_X"),
    (0x01, "ABS_Y"),
    (0x02, "ABS_Z"),
    (0x03, "ABS_RX"),
    (0x04, "ABS_RY"),
    (0x05, "ABS_RZ"),
    (0x06, "ABS_THROTTLE"),
    (0x07, "ABS_RUDDER"),
    (0x08, "ABS_WHEEL"),
    (0x09, "ABS_GAS"),
    (0x0a, "ABS_BRAKE"),
    (0x10, "ABS_HAT0X"),
    (0x11, "ABS_HAT0Y"),
    (0x12, "ABS_HAT1X"),
    (0x13, "ABS_HAT1Y"),
    (0x14, "ABS_HAT2X"),
    (0x15, "ABS_HAT2Y"),
    (0x16, "ABS_HAT3X"),
    (0x17, "ABS_HAT3Y"),
];

/// Buttons that have a name; the rest go by their number.
const BUTTONS: [(u32, &str); 27] = [
    (0x120, "BTN_TRIGGER"),
    (0x121, "BTN_THUMB"),
    (0x122, "BTN_THUMB2"),
    (0x123, "BTN_TOP"),
    (0x124, "BTN_TOP2"),
    (0x125, "BTN_PINKIE"),
    (0x126, "BTN_BASE"),
    (0x127, "BTN_BASE2"),
    (0x128, "BTN_BASE3"),
    (0x129, "BTN_BASE4"),
    (0x12a, "BTN_BASE5"),
    (0x12b, "BTN_BASE6"),
    (0x130, "BTN_SOUTH"),
    (0x131, "BTN_EAST"),
    (0x132, "BTN_C"),
    (0x133, "BTN_NORTH"),
    (0x134, "BTN_WEST"),
    (0x135, "BTN_Z"),
    (0x136, "BTN_TL"),
    (0x137, "BTN_TR"),
    (0x138, "BTN_TL2"),
    (0x139, "BTN_TR2"),
    (0x13a, "BTN_SELECT"),
    (0x13b, "BTN_START"),
    (0x13c, "BTN_MODE"),
    (0x13d, "BTN_THUMBL"),
    (0x13e, "BTN_THUMBR"),
];

/// Axes that the kernel numbers (`ABS_CNT`).
const AXIS_COUNT: u32 = 0x40;
/// Buttons and keys that the kernel numbers (`KEY_CNT`).
const BUTTON_COUNT: u32 = 0x300;

impl AxisCode {
    /// Reads a name as [`fmt::Display`] writes it: that of the kernel, or
    /// `ABS_` with the number. `None` when it is neither.
    pub fn from_name(name: &str) -> Option<Self> {
        from_name(name, &AXES, "ABS_", AXIS_COUNT).map(Self)
    }
}

impl ButtonCode {
    /// Reads a name as [`fmt::Display`] writes it: that of the kernel, or
    /// `BTN_` with the number. `None` when it is neither.
    pub fn from_name(name: &str) -> Option<Self> {
        from_name(name, &BUTTONS, "BTN_", BUTTON_COUNT).map(Self)
    }

    /// Whether it is one of a game pad, which springs back; a radio's switches
    /// stay and are numbered as those of a joystick.
    pub fn springs_back(self) -> bool {
        (0x130..0x140).contains(&self.0)
    }
}

fn from_name(name: &str, names: &[(u32, &str)], prefix: &str, count: u32) -> Option<u32> {
    if let Some((code, _)) = names.iter().find(|(_, known)| *known == name) {
        return Some(*code);
    }
    let digits = name.strip_prefix(prefix)?;
    let code = match digits.strip_prefix("0x") {
        Some(hex) => u32::from_str_radix(hex, 16),
        None => digits.parse(),
    };
    code.ok().filter(|code| *code < count)
}

fn write_name(
    f: &mut fmt::Formatter<'_>,
    code: u32,
    names: &[(u32, &str)],
    prefix: &str,
) -> fmt::Result {
    match names.iter().find(|(known, _)| *known == code) {
        Some((_, name)) => f.write_str(name),
        None => write!(f, "{prefix}{code:#x}"),
    }
}

impl fmt::Display for AxisCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_name(f, self.0, &AXES, "ABS_")
    }
}

impl fmt::Display for ButtonCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_name(f, self.0, &BUTTONS, "BTN_")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_numbers_come_back() {
        for code in 0..AXIS_COUNT {
            assert_eq!(
                AxisCode::from_name(&AxisCode(code).to_string()),
                Some(AxisCode(code))
            );
        }
        for code in 0..BUTTON_COUNT {
            let name = ButtonCode(code).to_string();
            assert_eq!(ButtonCode::from_name(&name), Some(ButtonCode(code)));
        }
        for wrong in ["", "ABS_", "ABS_Q", "BTN_X", "ABS_0x40", "ABS_-1", "X"] {
            assert_eq!(AxisCode::from_name(wrong), None, "{wrong}");
        }
        assert_eq!(ButtonCode::from_name("BTN_0x300"), None);
    }
}
