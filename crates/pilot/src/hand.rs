//! A throwing hand is not on its stick.

use crate::{ControlMessage, Sticks};

/// A hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hand {
    /// Left.
    Left,
    /// Right.
    #[default]
    Right,
}

/// Which stick does what. Numbering as most of the trade has it; sources
/// disagree on 3 and 4, so texts for people name the sticks as well.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StickMode {
    /// Left: pitch and yaw. Right: throttle and roll.
    Mode1,
    /// Left: throttle and yaw. Right: pitch and roll.
    #[default]
    Mode2,
    /// Left: pitch and roll. Right: throttle and yaw.
    Mode3,
    /// Left: throttle and roll. Right: pitch and yaw.
    Mode4,
}

impl StickMode {
    /// Whether the hand moves roll, pitch, yaw and throttle, in that order.
    pub fn moved_by(self, hand: Hand) -> [bool; 4] {
        let right = match self {
            Self::Mode1 => [true, false, false, true],
            Self::Mode2 => [true, true, false, false],
            Self::Mode3 => [false, false, true, true],
            Self::Mode4 => [false, true, true, false],
        };
        match hand {
            Hand::Right => right,
            Hand::Left => right.map(|moved| !moved),
        }
    }
}

/// Freezes the stick of the throwing hand while that hand is away.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HandOff {
    /// Which stick does what.
    pub mode: StickMode,
    /// Which hand throws.
    pub hand: Hand,
    left_at: Sticks,
}

impl HandOff {
    /// A pilot of this mode who throws with this hand.
    pub fn new(mode: StickMode, hand: Hand) -> Self {
        Self {
            mode,
            hand,
            left_at: Sticks::default(),
        }
    }

    /// The message with the stick of the absent hand where it was left. While
    /// `away`, that is the position of the last message before it left (centred,
    /// throttle shut, when there was none).
    pub fn apply(&mut self, mut message: ControlMessage, away: bool) -> ControlMessage {
        message.hand_off = away;
        if !away {
            self.left_at = message.sticks;
            return message;
        }
        let left_at = self.left_at;
        let moved = self.mode.moved_by(self.hand);
        if moved[0] {
            message.sticks.roll = left_at.roll;
        }
        if moved[1] {
            message.sticks.pitch = left_at.pitch;
        }
        if moved[2] {
            message.sticks.yaw = left_at.yaw;
        }
        if moved[3] {
            message.sticks.throttle = left_at.throttle;
        }
        message
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn message(roll: f64, pitch: f64, yaw: f64, throttle: f64) -> ControlMessage {
        ControlMessage {
            sticks: Sticks {
                roll,
                pitch,
                yaw,
                throttle,
            },
            ..ControlMessage::default()
        }
    }

    #[test]
    fn a_right_hand_away_in_mode_2_leaves_roll_and_pitch_where_they_were() {
        let mut hand = HandOff::new(StickMode::Mode2, Hand::Right);
        assert_eq!(
            hand.apply(message(0.1, 0.2, 0.0, 0.5), false).sticks.roll,
            0.1
        );
        let held = hand.apply(message(-0.9, -0.9, 0.4, 0.8), true);
        assert_eq!(held.sticks, message(0.1, 0.2, 0.4, 0.8).sticks);
        assert!(held.hand_off);
        let back = hand.apply(message(-0.9, -0.9, 0.4, 0.8), false);
        assert_eq!(back.sticks.roll, -0.9);
        assert!(!back.hand_off);
    }

    #[test]
    fn a_hand_that_was_never_on_the_stick_left_it_centred() {
        let mut hand = HandOff::default();
        let held = hand.apply(message(-0.9, -0.9, 0.4, 0.8), true);
        assert_eq!(held.sticks, message(0.0, 0.0, 0.4, 0.8).sticks);
    }

    #[test]
    fn every_mode_gives_each_axis_to_exactly_one_hand() {
        use StickMode::{Mode1, Mode2, Mode3, Mode4};
        for mode in [Mode1, Mode2, Mode3, Mode4] {
            let (left, right) = (mode.moved_by(Hand::Left), mode.moved_by(Hand::Right));
            for axis in 0..4 {
                assert_ne!(left[axis], right[axis]);
            }
        }
        // Mode 1: the right stick has the throttle and the ailerons.
        assert_eq!(Mode1.moved_by(Hand::Right), [true, false, false, true]);
    }
}
