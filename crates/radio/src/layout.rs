//! Which axis is which stick, and which stick has which function.

use larkfield_pilot::StickMode;

use crate::{AxisCode, AxisMap, CHANNEL_AXES};

/// What a pilot steers with one movement of one stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Function {
    /// Rolls; to the right with the stick to the right.
    Aileron,
    /// Pitches; nose up with the stick toward you.
    Elevator,
    /// Power; more with the stick away from you.
    Throttle,
    /// Yaws; to the right with the stick to the right.
    Rudder,
}

impl Function {
    /// All of them, in the order of their letters in most channel orders.
    pub const ALL: [Self; 4] = [Self::Aileron, Self::Elevator, Self::Throttle, Self::Rudder];

    /// The letter that the trade writes channel orders with.
    pub fn letter(self) -> char {
        match self {
            Self::Aileron => 'A',
            Self::Elevator => 'E',
            Self::Throttle => 'T',
            Self::Rudder => 'R',
        }
    }

    /// Its name for people.
    pub fn name(self) -> &'static str {
        match self {
            Self::Aileron => "aileron",
            Self::Elevator => "elevator",
            Self::Throttle => "throttle",
            Self::Rudder => "rudder",
        }
    }

    /// The stick movement that has it in a mode.
    pub fn gimbal(self, mode: StickMode) -> Gimbal {
        use Gimbal::{LeftAcross, LeftAlong, RightAcross, RightAlong};
        match (self, mode) {
            (Self::Aileron, StickMode::Mode1 | StickMode::Mode2) => RightAcross,
            (Self::Aileron, StickMode::Mode3 | StickMode::Mode4) => LeftAcross,
            (Self::Elevator, StickMode::Mode1 | StickMode::Mode3) => LeftAlong,
            (Self::Elevator, StickMode::Mode2 | StickMode::Mode4) => RightAlong,
            (Self::Throttle, StickMode::Mode1 | StickMode::Mode3) => RightAlong,
            (Self::Throttle, StickMode::Mode2 | StickMode::Mode4) => LeftAlong,
            (Self::Rudder, StickMode::Mode1 | StickMode::Mode2) => LeftAcross,
            (Self::Rudder, StickMode::Mode3 | StickMode::Mode4) => RightAcross,
        }
    }
}

/// One movement of one stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gimbal {
    /// Left stick, left and right.
    LeftAcross,
    /// Left stick, away from you and toward you.
    LeftAlong,
    /// Right stick, left and right.
    RightAcross,
    /// Right stick, away from you and toward you.
    RightAlong,
}

impl Gimbal {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::LeftAcross,
        Self::LeftAlong,
        Self::RightAcross,
        Self::RightAlong,
    ];

    /// What it steers in a mode.
    pub fn function(self, mode: StickMode) -> Function {
        let of = |function: &Function| function.gimbal(mode) == self;
        // Every mode gives each movement one function; a test says so.
        Function::ALL
            .into_iter()
            .find(of)
            .unwrap_or(Function::Aileron)
    }

    /// Its stick for people.
    pub fn stick(self) -> &'static str {
        match self {
            Self::LeftAcross | Self::LeftAlong => "left stick",
            Self::RightAcross | Self::RightAlong => "right stick",
        }
    }

    /// The way to its end `to` (true) or `from` (false), for people.
    pub fn way(self, to: bool) -> &'static str {
        match (self, to) {
            (Self::LeftAcross | Self::RightAcross, true) => "to the right",
            (Self::LeftAcross | Self::RightAcross, false) => "to the left",
            (Self::LeftAlong | Self::RightAlong, true) => "away from you",
            (Self::LeftAlong | Self::RightAlong, false) => "toward you",
        }
    }
}

/// In which order a radio sends its functions, such as `AETR`; `-` for channels
/// that steer nothing here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChannelOrder([Option<Function>; CHANNEL_AXES.len()]);

impl Default for ChannelOrder {
    /// AETR.
    fn default() -> Self {
        let mut order = [None; CHANNEL_AXES.len()];
        for (place, function) in order.iter_mut().zip(Function::ALL) {
            *place = Some(function);
        }
        Self(order)
    }
}

impl ChannelOrder {
    /// Reads letters A, E, T and R, each once, and `-` between them.
    ///
    /// # Errors
    /// What is wrong with the letters.
    pub fn parse(letters: &str) -> Result<Self, String> {
        let mut order = [None; CHANNEL_AXES.len()];
        if letters.chars().count() > order.len() {
            return Err(format!("there are more than {} channels", order.len()));
        }
        for (place, letter) in order.iter_mut().zip(letters.chars()) {
            let known = Function::ALL.into_iter().find(|f| f.letter() == letter);
            match known {
                None if letter != '-' => return Err(format!("{letter:?} is no function")),
                known => *place = known,
            }
        }
        for function in Function::ALL {
            match order.iter().filter(|f| **f == Some(function)).count() {
                0 => return Err(format!("{} is missing", function.letter())),
                1 => {}
                _ => return Err(format!("{} stands more than once", function.letter())),
            }
        }
        Ok(Self(order))
    }

    /// The axis that carries a function.
    pub fn axis_of(&self, function: Function) -> AxisCode {
        let place = self.0.iter().position(|f| *f == Some(function));
        CHANNEL_AXES[place.unwrap_or(0)]
    }

    /// The order that axes are in; `None` when one is no channel or two are the
    /// same.
    pub fn of_axes(axis_of: impl Fn(Function) -> AxisCode) -> Option<Self> {
        let mut order = [None; CHANNEL_AXES.len()];
        for function in Function::ALL {
            let code = axis_of(function);
            let place = CHANNEL_AXES.iter().position(|axis| *axis == code)?;
            if order[place].replace(function).is_some() {
                return None;
            }
        }
        Some(Self(order))
    }

    /// As letters, without what follows the last function.
    pub fn letters(&self) -> String {
        let all: String = (self.0.iter())
            .map(|function| function.map_or('-', Function::letter))
            .collect();
        all.trim_end_matches('-').to_owned()
    }
}

/// The calibrated axes of the four functions, however a file names them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Inputs {
    /// Named by the stick they are; the mode says what each steers.
    Sticks {
        /// Left stick, left and right.
        left_across: AxisMap,
        /// Left stick, toward you and away.
        left_along: AxisMap,
        /// Right stick, left and right.
        right_across: AxisMap,
        /// Right stick, toward you and away.
        right_along: AxisMap,
    },
    /// Named by what they steer: a radio has sorted its sticks already, and
    /// sends the functions in its own order.
    Channels {
        /// The order, which says the axis of each.
        order: ChannelOrder,
        /// Aileron.
        aileron: AxisMap,
        /// Elevator.
        elevator: AxisMap,
        /// Throttle.
        throttle: AxisMap,
        /// Rudder.
        rudder: AxisMap,
    },
}

impl Inputs {
    /// The axis of a function in a mode.
    pub fn axis(&self, function: Function, mode: StickMode) -> &AxisMap {
        match self {
            Self::Sticks {
                left_across,
                left_along,
                right_across,
                right_along,
            } => match function.gimbal(mode) {
                Gimbal::LeftAcross => left_across,
                Gimbal::LeftAlong => left_along,
                Gimbal::RightAcross => right_across,
                Gimbal::RightAlong => right_along,
            },
            Self::Channels {
                aileron,
                elevator,
                throttle,
                rudder,
                ..
            } => match function {
                Function::Aileron => aileron,
                Function::Elevator => elevator,
                Function::Throttle => throttle,
                Function::Rudder => rudder,
            },
        }
    }

    /// Where a file has the axis of a function.
    pub fn field(&self, function: Function, mode: StickMode) -> String {
        let name = match self {
            Self::Sticks { .. } => match function.gimbal(mode) {
                Gimbal::LeftAcross => "left_across",
                Gimbal::LeftAlong => "left_along",
                Gimbal::RightAcross => "right_across",
                Gimbal::RightAlong => "right_along",
            },
            Self::Channels { .. } => function.name(),
        };
        format!("inputs.{name}")
    }
}
