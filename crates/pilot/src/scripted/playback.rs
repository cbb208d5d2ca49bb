//! Sticks from a recording.

use std::sync::Arc;

use crate::ControlMessage;

/// A message and when it was given.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TimedMessage {
    /// Time since the start of the run.
    pub time_s: f64,
    /// The message.
    pub message: ControlMessage,
}

/// What the hands do between two messages of a tape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Between {
    /// Sticks and trims move on the straight line, as they do between samples
    /// of a recording; switches are those of the earlier one.
    #[default]
    Line,
    /// Nothing, until the next message: for a tape of every message there was.
    Hold,
}

/// Messages by time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tape {
    /// The messages.
    pub messages: Arc<[TimedMessage]>,
    /// What happens between them.
    pub between: Between,
}

impl Tape {
    /// Every message that there was.
    pub fn of_all(messages: impl Into<Arc<[TimedMessage]>>) -> Self {
        Self {
            messages: messages.into(),
            between: Between::Hold,
        }
    }

    /// Whether somebody held the plane back until it was to be thrown.
    pub fn decides_throw(&self) -> bool {
        (self.messages.iter()).any(|entry| entry.message.switches.throw_held)
    }
}

/// Samples of a recording: the hands move on straight lines between them.
impl From<Vec<TimedMessage>> for Tape {
    fn from(messages: Vec<TimedMessage>) -> Self {
        Self {
            messages: messages.into(),
            between: Between::Line,
        }
    }
}

/// Repeats a tape.
#[derive(Debug, Clone, PartialEq)]
pub struct Playback {
    tape: Tape,
    /// Index of the last message at or before the previous time asked for.
    next: usize,
}

impl Playback {
    /// A tape, sorted by time; entries whose time is not finite are left out.
    pub fn new(tape: impl Into<Tape>) -> Self {
        let mut tape: Tape = tape.into();
        let usable = tape.messages.iter().all(|m| m.time_s.is_finite());
        if !usable || !tape.messages.is_sorted_by(|a, b| a.time_s <= b.time_s) {
            let mut sorted: Vec<TimedMessage> = (tape.messages.iter())
                .filter(|m| m.time_s.is_finite())
                .copied()
                .collect();
            sorted.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
            tape.messages = sorted.into();
        }
        Self { tape, next: 0 }
    }

    /// The message of a time; before the first and after the last they hold.
    /// An empty tape leaves everything centred and shut.
    pub fn at(&mut self, time_s: f64) -> ControlMessage {
        let tape = &self.tape.messages;
        while self.next > 0 && tape.get(self.next).is_none_or(|m| m.time_s > time_s) {
            self.next -= 1;
        }
        while tape.get(self.next + 1).is_some_and(|m| m.time_s <= time_s) {
            self.next += 1;
        }
        let Some(before) = tape.get(self.next) else {
            return ControlMessage::default();
        };
        let mut message = before.message;
        if let Some(after) = tape.get(self.next + 1)
            && self.tape.between == Between::Line
            && time_s > before.time_s
        {
            let share = (time_s - before.time_s) / (after.time_s - before.time_s);
            let (from, to) = (&before.message.trims, &after.message.trims);
            message.sticks = message.sticks.toward(after.message.sticks, share);
            message.trims.roll = from.roll + (to.roll - from.roll) * share;
            message.trims.pitch = from.pitch + (to.pitch - from.pitch) * share;
            message.trims.yaw = from.yaw + (to.yaw - from.yaw) * share;
        }
        message
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Sticks;

    fn entry(time_s: f64, roll: f64) -> TimedMessage {
        TimedMessage {
            time_s,
            message: ControlMessage {
                sticks: Sticks {
                    roll,
                    ..Sticks::default()
                },
                ..ControlMessage::default()
            },
        }
    }

    #[test]
    fn sticks_are_on_the_straight_line_between_two_messages() {
        let mut tape = Playback::new(vec![entry(2.0, 0.5), entry(1.0, 0.0), entry(f64::NAN, 9.0)]);
        for (time_s, roll) in [
            (0.0, 0.0),
            (1.0, 0.0),
            (1.5, 0.25),
            (2.0, 0.5),
            (9.0, 0.5),
            (1.2, 0.1),
        ] {
            let given = tape.at(time_s).sticks.roll;
            assert!((given - roll).abs() < 1e-12, "{time_s}: {given} {roll}");
        }
    }

    #[test]
    fn a_tape_of_all_messages_holds_each_until_the_next() {
        let mut tape = Playback::new(Tape::of_all(vec![entry(1.0, 0.0), entry(2.0, 0.5)]));
        for (time_s, roll) in [(0.0, 0.0), (1.998, 0.0), (2.0, 0.5), (9.0, 0.5)] {
            assert_eq!(tape.at(time_s).sticks.roll, roll, "{time_s}");
        }
    }

    #[test]
    fn an_empty_tape_is_centred_and_shut() {
        assert_eq!(Playback::new(Vec::new()).at(1.0), ControlMessage::default());
    }
}
