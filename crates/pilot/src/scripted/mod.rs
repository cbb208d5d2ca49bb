//! Pilots that fly by themselves, as people do: late, by eye, through sticks.

mod ability;
mod aim;
mod captain;
mod flyer;
mod hands_off;
mod ladder;
mod legs;
mod pitch;
mod plan;
mod playback;
mod scene;
mod steer;
mod wind_guess;

pub use ability::{Ability, Habits};
use aim::{Aim, Course, Line};
pub use flyer::Flyer;
pub use hands_off::HandsOff;
pub use ladder::Skill;
pub use plan::{
    Boundary, Circuit, Departure, LandingTechnique, Maneuver, PlaneFeel, Side, Task, Undercarriage,
};
pub use playback::{Between, Playback, Tape, TimedMessage};

use crate::{ControlMessage, HandOff, PersonPilot, Truth};

/// Which pilot a lesson asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PilotKind {
    /// Small, timely corrections.
    #[default]
    Competent,
    /// Late, over-controls, reverses when the plane comes toward them.
    Beginner,
    /// Somewhere between the first day and mastery.
    Learner(Skill),
    /// Sets the launch throttle and does nothing else.
    HandsOff,
    /// Sticks from a recording.
    Playback,
    /// Somebody at the sticks.
    Person,
}

/// A pilot. `Clone`: the copy flies the same; that of a person keeps doing what
/// the person last did.
#[derive(Debug, Clone, PartialEq)]
pub enum ScriptedPilot {
    /// Small, timely corrections.
    Competent(Box<Flyer>),
    /// Late, over-controls, reverses when the plane comes toward them.
    Beginner(Box<Flyer>),
    /// Somewhere between the first day and mastery.
    Learner(Skill, Box<Flyer>),
    /// Sets the launch throttle and does nothing else.
    HandsOff(Box<HandsOff>),
    /// Sticks from a recording.
    Playback(Playback),
    /// Somebody at the sticks.
    Person(PersonPilot),
}

impl ScriptedPilot {
    /// A competent pilot; seeds differ a little.
    pub fn competent(task: Task, seed: u64) -> Self {
        let (ability, habits) = (Ability::competent(), Habits::competent());
        Self::Competent(Box::new(Flyer::new(ability, habits, task, seed)))
    }

    /// A beginner; seeds differ a lot.
    pub fn beginner(task: Task, seed: u64) -> Self {
        let (ability, habits) = (Ability::beginner(), Habits::beginner());
        Self::Beginner(Box::new(Flyer::new(ability, habits, task, seed)))
    }

    /// Somebody who has come so far.
    pub fn learner(task: Task, skill: Skill, seed: u64) -> Self {
        let (ability, habits) = (skill.ability(), skill.habits());
        Self::Learner(skill, Box::new(Flyer::new(ability, habits, task, seed)))
    }

    /// The person who flies by eye, where it is one.
    pub fn flyer(&self) -> Option<&Flyer> {
        match self {
            Self::Competent(flyer) | Self::Beginner(flyer) | Self::Learner(_, flyer) => Some(flyer),
            Self::HandsOff(_) | Self::Playback(_) | Self::Person(_) => None,
        }
    }

    /// The same, to be changed.
    pub fn flyer_mut(&mut self) -> Option<&mut Flyer> {
        match self {
            Self::Competent(flyer) | Self::Beginner(flyer) | Self::Learner(_, flyer) => Some(flyer),
            Self::HandsOff(_) | Self::Playback(_) | Self::Person(_) => None,
        }
    }

    /// Opens the throttle when the task says so and leaves everything alone.
    pub fn hands_off(task: Task) -> Self {
        Self::HandsOff(Box::new(HandsOff::new(task)))
    }

    /// Repeats messages by time.
    pub fn playback(tape: impl Into<Tape>) -> Self {
        Self::Playback(Playback::new(tape))
    }

    /// Somebody at the sticks, centred and shut until told otherwise.
    pub fn person(hand: HandOff) -> Self {
        Self::Person(PersonPilot::new(hand))
    }

    /// What the hands do now. Times must not go backward; the interval between
    /// calls does not matter (a pilot decides every 20 ms by itself).
    pub fn act(&mut self, time_s: f64, truth: &Truth) -> ControlMessage {
        match self {
            Self::Competent(flyer) | Self::Beginner(flyer) | Self::Learner(_, flyer) => {
                flyer.act(time_s, truth)
            }
            Self::HandsOff(pilot) => pilot.act(time_s, truth),
            Self::Playback(tape) => tape.at(time_s),
            Self::Person(person) => person.act(truth.hand_off),
        }
    }

    /// Somebody else at the same sticks, which are as they are now.
    #[must_use]
    pub fn taken_over(&self, now: ControlMessage) -> Self {
        let hand = match self {
            Self::Competent(flyer) | Self::Beginner(flyer) | Self::Learner(_, flyer) => {
                flyer.hand()
            }
            Self::Person(person) => person.hand(),
            // A recording does not say; most people throw so.
            Self::HandsOff(_) | Self::Playback(_) => HandOff::default(),
        };
        Self::Person(PersonPilot::taking_over(hand, now))
    }

    /// Which kind it is.
    pub fn kind(&self) -> PilotKind {
        match self {
            Self::Competent(_) => PilotKind::Competent,
            Self::Beginner(_) => PilotKind::Beginner,
            Self::Learner(skill, _) => PilotKind::Learner(*skill),
            Self::HandsOff(_) => PilotKind::HandsOff,
            Self::Playback(_) => PilotKind::Playback,
            Self::Person(_) => PilotKind::Person,
        }
    }
}
