//! What was really looked at: a stick held at its end, long enough for a
//! surface to be seen there. A waggle proves a connection, not a direction.

use larkfield_airframe::Airframe;
use larkfield_flight::Controls;
use larkfield_pilot::{ControlMessage, RadioSetup};
use larkfield_radio::Function;

use super::bench::{AtTransmitter, stick_of};

/// A stick held for less is a waggle (common practice, no source).
pub const HELD_S: f64 = 0.3;
/// From here on it is at its end.
const AT_END: f64 = 0.9;
/// The motor is looked at without the radio for as long as a receiver waits,
/// and a little longer.
const WITHOUT_RADIO_S: f64 = 1.0;

/// One thing to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum End {
    /// A stick at its end: right, toward you (nose up), open; or the other.
    Stick(Function, bool),
    /// The transmitter off while the motor runs.
    WithoutRadio,
}

impl End {
    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Stick(Function::Aileron, true) => "aileron stick to the right",
            Self::Stick(Function::Aileron, false) => "aileron stick to the left",
            Self::Stick(Function::Elevator, true) => "elevator stick toward you",
            Self::Stick(Function::Elevator, false) => "elevator stick away from you",
            Self::Stick(Function::Rudder, true) => "rudder stick to the right",
            Self::Stick(Function::Rudder, false) => "rudder stick to the left",
            Self::Stick(Function::Throttle, true) => "throttle open",
            Self::Stick(Function::Throttle, false) => "throttle shut",
            Self::WithoutRadio => "transmitter off with the motor running",
        }
    }

    /// All that an airframe and its radio have.
    pub fn all(airframe: &Airframe, setup: &RadioSetup) -> Vec<Self> {
        let powered = airframe.power.is_some();
        let mut ends: Vec<Self> = Function::ALL
            .into_iter()
            .filter(|function| match function {
                Function::Throttle => powered,
                _ => steers(airframe, setup, *function),
            })
            .flat_map(|function| [Self::Stick(function, true), Self::Stick(function, false)])
            .collect();
        if powered {
            ends.push(Self::WithoutRadio);
        }
        ends
    }
}

/// Whether a stick moves anything of a plane that is set up well.
fn steers(airframe: &Airframe, setup: &RadioSetup, function: Function) -> bool {
    let mut message = ControlMessage::default();
    *stick_of(&mut message, function) = 1.0;
    let Controls {
        roll, pitch, yaw, ..
    } = setup.encode(&message);
    (airframe.controls.iter())
        .any(|s| s.mix.roll * roll != 0.0 || s.mix.pitch * pitch != 0.0 || s.mix.yaw * yaw != 0.0)
}

/// Watches the hands.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    left: Vec<(End, f64)>,
    moved: Vec<Function>,
}

impl Watched {
    /// Nothing has been looked at.
    pub fn new(airframe: &Airframe, setup: &RadioSetup) -> Self {
        Self {
            left: End::all(airframe, setup)
                .into_iter()
                .map(|end| (end, 0.0))
                .collect(),
            moved: Vec::new(),
        }
    }

    /// Hands that stay like this for a while, with the motor running or not.
    pub fn see(&mut self, at: &AtTransmitter, motor_runs: bool, time_s: f64) {
        let mut message = at.message;
        for function in Function::ALL {
            let moved = stick_of(&mut message, function).abs() > 0.2;
            if moved && !self.moved.contains(&function) {
                self.moved.push(function);
            }
        }
        self.left.retain_mut(|(end, held_s)| {
            let there = match *end {
                End::Stick(Function::Throttle, false) => {
                    at.on && message.sticks.throttle <= 1.0 - AT_END
                }
                End::Stick(function, to) => {
                    let stick = *stick_of(&mut message, function);
                    at.on
                        && if to {
                            stick >= AT_END
                        } else {
                            stick <= -AT_END
                        }
                }
                // Counts on even when the motor has stopped, as it should.
                End::WithoutRadio => !at.on && (motor_runs || *held_s > 0.0),
            };
            let enough_s = if *end == End::WithoutRadio {
                WITHOUT_RADIO_S
            } else {
                HELD_S
            };
            *held_s = if there { *held_s + time_s } else { 0.0 };
            // Steps of time add up with their rounding.
            *held_s < enough_s - 1e-9
        });
    }

    /// What nobody has looked at yet.
    pub fn left(&self) -> Vec<End> {
        self.left.iter().map(|(end, _)| *end).collect()
    }

    /// Sticks that were moved at all.
    pub fn moved(&self) -> &[Function] {
        &self.moved
    }
}
