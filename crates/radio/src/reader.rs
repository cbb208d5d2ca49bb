//! From device events to the one control message, behind a start gate.
//!
//! An axis that has not moved is unknown, never centred. Nothing starts until
//! every mapped axis is known and the throttle is at its low stop, as with a
//! real radio. Unplugged in flight, the message is the fail-safe; plugged back,
//! it goes on once everything is known again and the throttle is shut or where
//! it was.

use std::fmt;

use larkfield_pilot::{ControlMessage, Sticks, Switches, Unseen};

use crate::{
    AxisCode, DeviceEventKind, DeviceState, Function, SwitchJob, ThrottleStop, Transmitter,
};

/// A throttle up to this share is at its low stop. Common practice, no source.
pub const SHUT: f64 = 0.02;
/// Plugged back in flight, the throttle may differ this much from where it was.
pub const SAME_THROTTLE: f64 = 0.05;

/// Something that has to happen before the sticks count.
#[derive(Debug, Clone, PartialEq)]
pub enum Missing {
    /// The device is not plugged in.
    Device,
    /// An axis has not moved since the device was plugged in.
    Axis {
        /// Which.
        code: AxisCode,
        /// What it is for.
        what: String,
    },
    /// The throttle is open at the start; its share.
    ThrottleOpen(f64),
    /// Plugged back in flight, the throttle is somewhere else.
    ThrottleMoved {
        /// Share before it was unplugged.
        before: f64,
        /// Share now.
        now: f64,
    },
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Device => f.write_str("the device is unplugged: plug it back"),
            Self::Axis { code, what } => {
                write!(
                    f,
                    "{what}, {code}, has not moved yet: move it from end to end"
                )
            }
            Self::ThrottleOpen(share) => write!(
                f,
                "the throttle is {:.0} % open: move it to its low stop",
                share * 100.0
            ),
            Self::ThrottleMoved { before, now } => write!(
                f,
                "the throttle is at {:.0} % and was at {:.0} %: move it back there, or to its low \
                 stop",
                now * 100.0,
                before * 100.0
            ),
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    /// Never started.
    Before,
    /// The sticks count.
    Live,
    /// Unplugged in flight, with the throttle at this share.
    Lost { throttle: f64 },
}

/// Reads the sticks of one device.
#[derive(Debug, Clone, PartialEq)]
pub struct StickReader {
    transmitter: Transmitter,
    state: DeviceState,
    plugged: bool,
    stage: Stage,
    cut: bool,
    /// The plane is held back until the trigger has been seen on again.
    still_held: bool,
    /// Presses of "again" that nobody has asked about.
    again: bool,
    again_was_on: bool,
}

impl StickReader {
    /// A reader of a device that is plugged in and has not moved.
    pub fn new(transmitter: Transmitter) -> Self {
        Self {
            transmitter,
            state: DeviceState::default(),
            plugged: true,
            stage: Stage::Before,
            cut: false,
            still_held: false,
            again: false,
            again_was_on: false,
        }
    }

    /// What it reads with.
    pub fn transmitter(&self) -> &Transmitter {
        &self.transmitter
    }

    /// What is known of the device.
    pub fn state(&self) -> &DeviceState {
        &self.state
    }

    /// Takes in what the device did; events of other devices are not for it.
    pub fn hear(&mut self, kind: &DeviceEventKind) {
        if *kind == DeviceEventKind::Disconnected {
            self.lose();
        }
        self.state.hear(kind);
        if *kind == DeviceEventKind::Connected {
            self.plugged = true;
        }
        if self.on(SwitchJob::Throw) {
            self.still_held = false;
        }
        let again = self.on(SwitchJob::Again);
        self.again |= again && !self.again_was_on;
        self.again_was_on = again;
        if self.on(SwitchJob::ThrottleCut) {
            self.cut = true;
        } else if self.throttle().is_some_and(|share| share <= SHUT) {
            self.cut = false;
        }
        if self.stage != Stage::Live && self.missing().is_empty() {
            self.stage = Stage::Live;
        }
    }

    fn lose(&mut self) {
        self.plugged = false;
        if self.stage == Stage::Live {
            self.still_held |= self.on(SwitchJob::Throw);
            self.stage = Stage::Lost {
                throttle: self.throttle().unwrap_or(0.0),
            };
        }
    }

    /// What has to happen before the sticks count; nothing once they do.
    pub fn missing(&self) -> Vec<Missing> {
        if !self.plugged {
            return vec![Missing::Device];
        }
        if self.stage == Stage::Live {
            return Vec::new();
        }
        let mut missing: Vec<Missing> = (self.transmitter.mapped_axes().into_iter())
            .filter(|(code, _)| self.state.axis(*code).is_none())
            .map(|(code, what)| Missing::Axis { code, what })
            .collect();
        if let Some(now) = self.throttle().filter(|share| *share > SHUT) {
            match self.stage {
                Stage::Lost { throttle: before } if (now - before).abs() <= SAME_THROTTLE => {}
                Stage::Lost { throttle: before } => {
                    missing.push(Missing::ThrottleMoved { before, now });
                }
                Stage::Before | Stage::Live => missing.push(Missing::ThrottleOpen(now)),
            }
        }
        missing
    }

    /// Whether the sticks count: a flight may start or go on.
    pub fn live(&self) -> bool {
        self.stage == Stage::Live
    }

    /// Whether the device was lost after the sticks had counted: a flight
    /// pauses until they count again.
    pub fn lost(&self) -> bool {
        matches!(self.stage, Stage::Lost { .. })
    }

    /// Whether "again" was pressed since this was last asked.
    pub fn take_again(&mut self) -> bool {
        std::mem::take(&mut self.again)
    }

    /// How far the throttle is open; `None` until it has moved.
    pub fn throttle(&self) -> Option<f64> {
        let axis = self.transmitter.axis(Function::Throttle);
        let raw = self.state.axis(axis.code)?;
        match self.transmitter.throttle_stop {
            ThrottleStop::LowEnd => axis.opening(raw),
            ThrottleStop::Centre => axis.position(raw).map(|position| position.max(0.0)),
        }
    }

    /// The message of this moment: bare sticks, which the radio shapes. While
    /// they do not count it is the fail-safe: centred, motor off.
    pub fn message(&self) -> ControlMessage {
        let throw_held = self.still_held || self.on(SwitchJob::Throw);
        if self.stage != Stage::Live {
            return ControlMessage {
                switches: Switches {
                    throttle_cut: true,
                    throw_held,
                    second_rates: false,
                },
                ..ControlMessage::default()
            };
        }
        // Known, or the gate would be shut.
        let across = |function: Function| {
            let axis = self.transmitter.axis(function);
            let raw = self.state.axis(axis.code);
            raw.and_then(|raw| axis.position(raw)).unwrap_or(0.0)
        };
        ControlMessage {
            sticks: Sticks {
                roll: across(Function::Aileron),
                // Away from you is nose down.
                pitch: 0.0 - across(Function::Elevator),
                yaw: across(Function::Rudder),
                throttle: self.throttle().unwrap_or(0.0),
            },
            trims: self.transmitter.trims,
            switches: Switches {
                throttle_cut: self.cut,
                throw_held,
                second_rates: self.on(SwitchJob::SecondRates),
            },
            unseen: Unseen {
                power_lost: self.on(SwitchJob::InstructorPowerLoss),
                gust: self.on(SwitchJob::InstructorGust),
            },
            hand_off: false,
        }
    }

    fn on(&self, job: SwitchJob) -> bool {
        let mut switches = self.transmitter.switches.iter();
        let switch = switches.find(|switch| switch.job == job);
        switch.is_some_and(|switch| self.state.is_on(&switch.trigger))
    }
}
