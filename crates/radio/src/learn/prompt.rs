//! What a person is asked to do, and why learning may be refused.

use std::fmt;

use larkfield_pilot::StickMode;
use larkfield_units::Problem;

use crate::{AxisCode, Function, Gimbal, SwitchJob};

/// What to do now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Prompt {
    /// Move everything once.
    Stir(StickMode),
    /// Push a stick to one end and hold it.
    Hold {
        /// Which stick, which way.
        gimbal: Gimbal,
        /// To the right or away (true), to the left or toward you (false).
        to: bool,
    },
    /// Hold it half-way to the end that was held last.
    Half(Gimbal),
    /// Let go of it.
    LetGo(Gimbal),
    /// Press a button or flip a switch, and put it back.
    Switch(SwitchJob),
}

/// Touching nothing for this long leaves a switch out.
pub(super) const SKIP_S: f64 = 5.0;

impl fmt::Display for Prompt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stir(mode) => write!(
                f,
                "Move both sticks round all their corners, twice. Then let go of them, with the \
                 throttle ({}) toward you at its end.",
                Function::Throttle.gimbal(*mode).stick()
            ),
            Self::Hold { gimbal, to } => write!(
                f,
                "{}: all the way {}, and hold it there.",
                capital(gimbal.stick()),
                gimbal.way(*to)
            ),
            Self::Half(gimbal) => write!(
                f,
                "{}: back to half-way between there and its middle, by eye, and hold it there.",
                capital(gimbal.stick())
            ),
            Self::LetGo(gimbal) => write!(f, "{}: let go of it.", capital(gimbal.stick())),
            Self::Switch(job) => write!(
                f,
                "Press the button, or flip the switch, for {}, and put it back. To have none, \
                 touch nothing for {SKIP_S:.0} seconds.",
                match job {
                    SwitchJob::Throw => "holding the plane back before a throw",
                    SwitchJob::ThrottleCut => "throttle cut",
                    SwitchJob::SecondRates => "the second rates",
                    SwitchJob::Again => "flying again",
                    SwitchJob::InstructorPowerLoss => "an instructor's power loss",
                    SwitchJob::InstructorGust => "an instructor's gust",
                }
            ),
        }
    }
}

/// Why nothing was learned, with what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// Fewer than four axes moved while everything was to be moved.
    #[error(
        "only {} of the four stick movements arrived ({}); move both sticks round all their \
         corners; a movement that never arrives is not sent by this device: look at the radio's \
         set-up for the cable, or take another device", moved.len(), list(moved)
    )]
    TooFew {
        /// Axes that did.
        moved: Vec<AxisCode>,
    },
    /// Nothing moved, or not far enough, when a stick was to be moved.
    #[error(
        "the {} did not move all the way {}; learn again and push it to its end; if it was there, \
         the device does not send it, or sends it on an axis that already moves for another stick",
        gimbal.stick(), gimbal.way(*to)
    )]
    DidNotMove {
        /// Which.
        gimbal: Gimbal,
        /// To its right or far end.
        to: bool,
    },
    /// A stick was not let go, or held.
    #[error("the {} was not {what}; learn again and take the time each step needs", gimbal.stick())]
    NotDone {
        /// Which.
        gimbal: Gimbal,
        /// What was asked.
        what: &'static str,
    },
    /// One axis answers to two sticks.
    #[error(
        "{code} moves for the {} and for the {} ({}); learn again and move only the stick that is \
         named; if you did, the radio mixes the two: choose a plain model memory without mixes",
        first.stick(), second.stick(), second.way(true)
    )]
    SameAxis {
        /// The axis.
        code: AxisCode,
        /// Stick it was learned for.
        first: Gimbal,
        /// Stick it moves for as well.
        second: Gimbal,
    },
    /// Two axes answer to one stick.
    #[error(
        "{first} and {second} both move for the {}; learn again and move it straight {}; if you \
         did, the radio mixes them: choose a plain model memory without mixes",
        gimbal.stick(), gimbal.way(*to)
    )]
    TwoAxes {
        /// Which stick.
        gimbal: Gimbal,
        /// Which way.
        to: bool,
        /// The axis that moved most.
        first: AxisCode,
        /// The other.
        second: AxisCode,
    },
    /// The stick does not come back to where it was.
    #[error(
        "{code} rested at {:.1} % and, let go again, at {:.1} %: its centre wanders; learn again \
         with hands off the {}; if it still wanders, the spring or the sensor of that stick is \
         worn: do not fly a real plane with it", before * 100.0, after * 100.0, gimbal.stick()
    )]
    WanderingCentre {
        /// Which stick.
        gimbal: Gimbal,
        /// The axis.
        code: AxisCode,
        /// Raw value at first.
        before: f64,
        /// Raw value let go again.
        after: f64,
    },
    /// An axis is never at rest.
    #[error(
        "{code} is never still, not even with hands off; look whether the radio's cable and the \
         stick are sound, or take another device"
    )]
    NeverStill {
        /// The axis.
        code: AxisCode,
    },
    /// It was unplugged.
    #[error("the device was unplugged; plug it back and learn again")]
    Unplugged,
    /// What was learned does not make a radio.
    #[error("{0}")]
    Unusable(Problem),
}

fn list(codes: &[AxisCode]) -> String {
    if codes.is_empty() {
        return "none".to_owned();
    }
    let names: Vec<String> = codes.iter().map(ToString::to_string).collect();
    names.join(", ")
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(|c| c.to_ascii_uppercase());
    first.into_iter().chain(chars).collect()
}
