//! A pilot of flesh and blood: whatever the hands last did.

use crate::{ControlMessage, HandOff};

/// The sticks of a person, who decides outside of the model. While the throwing
/// hand is at the plane its stick stays where it was left, as for every pilot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PersonPilot {
    hand: HandOff,
    given: ControlMessage,
}

impl PersonPilot {
    /// A person of this mode and hand whose sticks are centred, throttle shut.
    pub fn new(hand: HandOff) -> Self {
        Self {
            hand,
            given: ControlMessage::default(),
        }
    }

    /// Somebody who takes over the sticks as they are now.
    pub fn taking_over(hand: HandOff, now: ControlMessage) -> Self {
        let mut person = Self::new(hand);
        person.give(now);
        // The throwing hand, if it is away, left its stick here.
        person.act(false);
        person
    }

    /// Which stick does what, and which hand throws.
    pub fn hand(&self) -> HandOff {
        self.hand
    }

    /// What the hands do from now on.
    pub fn give(&mut self, message: ControlMessage) {
        self.given = message;
    }

    /// What reaches the sticks now; `hand_off`: the throwing hand is away.
    pub fn act(&mut self, hand_off: bool) -> ControlMessage {
        self.hand.apply(self.given, hand_off)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Hand, StickMode, Sticks};

    #[test]
    fn a_person_keeps_the_stick_of_the_absent_hand_where_it_was() {
        let mut person = PersonPilot::new(HandOff::new(StickMode::Mode2, Hand::Right));
        let sticks = |pitch, throttle| ControlMessage {
            sticks: Sticks {
                pitch,
                throttle,
                ..Sticks::default()
            },
            ..ControlMessage::default()
        };
        person.give(sticks(0.1, 0.0));
        assert_eq!(person.act(false).sticks.pitch, 0.1);
        person.give(sticks(0.8, 0.7));
        let away = person.act(true);
        assert_eq!((away.sticks.pitch, away.sticks.throttle), (0.1, 0.7));
        assert!(away.hand_off);
        assert_eq!(person.act(false).sticks.pitch, 0.8);
    }
}
