//! Switches and buttons: what they do and when they are on.

use std::collections::BTreeMap;

use crate::{AxisCode, ButtonCode, DeviceEventKind};

/// What a switch does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SwitchJob {
    /// The motor stays off. It latches: switched off again, the motor stays off
    /// until the throttle has been at its low stop.
    ThrottleCut,
    /// The second set of rates.
    SecondRates,
    /// The throwing hand holds the plane back; letting go throws.
    Throw,
    /// Fly the lesson again.
    Again,
    /// An instructor takes the power away, unseen by the pilot.
    InstructorPowerLoss,
    /// An instructor sends one gust, unseen by the pilot.
    InstructorGust,
}

impl SwitchJob {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::ThrottleCut,
        Self::SecondRates,
        Self::Throw,
        Self::Again,
        Self::InstructorPowerLoss,
        Self::InstructorGust,
    ];

    /// Its name for people.
    pub fn name(self) -> &'static str {
        match self {
            Self::ThrottleCut => "throttle cut",
            Self::SecondRates => "second rates",
            Self::Throw => "throw",
            Self::Again => "again",
            Self::InstructorPowerLoss => "instructor: power loss",
            Self::InstructorGust => "instructor: gust",
        }
    }
}

/// When a switch is on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Trigger {
    /// While the button is held, or the switch that sends it is over.
    Held(ButtonCode),
    /// From one press to the next.
    Toggled(ButtonCode),
    /// While the raw value of the axis is above this one.
    Above(AxisCode, f64),
    /// While the raw value of the axis is below this one.
    Below(AxisCode, f64),
}

impl Trigger {
    /// The axis it watches.
    pub fn axis(&self) -> Option<AxisCode> {
        match self {
            Self::Above(code, _) | Self::Below(code, _) => Some(*code),
            Self::Held(_) | Self::Toggled(_) => None,
        }
    }

    /// The button it watches.
    pub fn button(&self) -> Option<ButtonCode> {
        match self {
            Self::Held(code) | Self::Toggled(code) => Some(*code),
            Self::Above(..) | Self::Below(..) => None,
        }
    }
}

/// A switch with a job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Switch {
    /// What it does.
    pub job: SwitchJob,
    /// When it is on.
    pub trigger: Trigger,
}

/// What is known of a device's axes and buttons since it was plugged in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DeviceState {
    axes: BTreeMap<AxisCode, f64>,
    buttons: BTreeMap<ButtonCode, ButtonState>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct ButtonState {
    pressed: bool,
    /// Whether it was pressed an odd number of times.
    toggled: bool,
}

impl DeviceState {
    /// Takes in what the device did. What is plugged in or out starts from
    /// nothing known.
    pub fn hear(&mut self, kind: &DeviceEventKind) {
        match *kind {
            DeviceEventKind::Connected | DeviceEventKind::Disconnected => *self = Self::default(),
            DeviceEventKind::Axis { code, value } => {
                if value.is_finite() {
                    self.axes.insert(code, value);
                }
            }
            DeviceEventKind::Button { code, pressed } => {
                let state = self.buttons.entry(code).or_default();
                // The same edge told twice is one edge.
                if pressed && !state.pressed {
                    state.toggled = !state.toggled;
                }
                state.pressed = pressed;
            }
        }
    }

    /// The raw value of an axis; `None` until it has moved.
    pub fn axis(&self, code: AxisCode) -> Option<f64> {
        self.axes.get(&code).copied()
    }

    /// All raw values that are known.
    pub fn axes(&self) -> impl Iterator<Item = (AxisCode, f64)> {
        self.axes.iter().map(|(code, value)| (*code, *value))
    }

    /// Buttons that are pressed.
    pub fn pressed(&self) -> impl Iterator<Item = ButtonCode> {
        let pressed = self.buttons.iter().filter(|(_, state)| state.pressed);
        pressed.map(|(code, _)| *code)
    }

    /// Whether a trigger is on; what is not known is off.
    pub fn is_on(&self, trigger: &Trigger) -> bool {
        let button = |code: &ButtonCode| self.buttons.get(code).copied().unwrap_or_default();
        match trigger {
            Trigger::Held(code) => button(code).pressed,
            Trigger::Toggled(code) => button(code).toggled,
            Trigger::Above(code, limit) => self.axis(*code).is_some_and(|raw| raw > *limit),
            Trigger::Below(code, limit) => self.axis(*code).is_some_and(|raw| raw < *limit),
        }
    }
}
