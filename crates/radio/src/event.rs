//! What a device says, as plain data.

use crate::{AxisCode, ButtonCode};

/// A device, by a number that stays the same while it is unplugged and plugged
/// back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeviceId(pub u32);

/// What a device is, as far as it says.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceInfo {
    /// Its number.
    pub id: DeviceId,
    /// Its own name.
    pub name: String,
    /// Axes that it says it has; empty when that is not known.
    pub axes: Vec<AxisCode>,
    /// Buttons that it says it has; empty when that is not known.
    pub buttons: Vec<ButtonCode>,
}

impl DeviceInfo {
    /// Whether somebody means this device: by part of its name, capitals or not,
    /// or by its number.
    pub fn is_named(&self, named: &str) -> bool {
        let part = named.to_lowercase();
        self.id.0.to_string() == named || self.name.to_lowercase().contains(&part)
    }
}

/// One thing that a device did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DeviceEventKind {
    /// It was plugged in; nothing is known of its sticks yet.
    Connected,
    /// It was unplugged.
    Disconnected,
    /// An axis moved.
    Axis {
        /// Which.
        code: AxisCode,
        /// Where it is now as a share of what the device can send: -1 to 1, the
        /// sign as the device has it.
        value: f64,
    },
    /// A button or switch changed.
    Button {
        /// Which.
        code: ButtonCode,
        /// Whether it is pressed now.
        pressed: bool,
    },
}

/// One thing that a device did, and when.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviceEvent {
    /// Time on the clock of whoever listens.
    pub time_s: f64,
    /// Which device.
    pub device: DeviceId,
    /// What it did.
    pub kind: DeviceEventKind,
}
