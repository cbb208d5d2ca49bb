//! Pilots that fly by themselves, as people do: late, by eye, through sticks.

mod ability;
mod flyer;
mod hands_off;
mod playback;

pub use ability::{Ability, Habits};
pub use flyer::Flyer;
pub use hands_off::HandsOff;
pub use playback::{Playback, TimedMessage};

use larkfield_airframe::Airframe;

use crate::{ControlMessage, PowerTiming, RadioSetup, Steering, Throw, Truth};

/// Which pilot a lesson asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PilotKind {
    /// Small, timely corrections.
    #[default]
    Competent,
    /// Late, over-controls, reverses when the plane comes toward them.
    Beginner,
    /// Sets the launch throttle and does nothing else.
    HandsOff,
    /// Sticks from a recording.
    Playback,
}

/// What the pilot was told before the flight, and knows of the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Task {
    /// Direction of the launch and of the climb: into wind, clockwise from north.
    pub heading_rad: f64,
    /// Launch throttle.
    pub throttle: f64,
    /// When to open it.
    pub power: PowerTiming,
    /// Height to climb to.
    pub climb_to_m: f64,
    /// Throttle once there.
    pub cruise_throttle: f64,
    /// What the roll stick steers.
    pub steering: Steering,
}

impl Task {
    /// Fly away from this throw and climb to a height, with a plane whose roll
    /// stick steers `steering`.
    pub fn after(throw: &Throw, climb_to_m: f64, steering: Steering) -> Self {
        Self {
            heading_rad: throw.heading_rad,
            throttle: throw.throttle,
            power: throw.power,
            climb_to_m,
            cruise_throttle: 0.55_f64.min(throw.throttle),
            steering,
        }
    }

    /// The same, asking the airframe what the roll stick steers.
    pub fn with_airframe(throw: &Throw, climb_to_m: f64, airframe: &Airframe) -> Self {
        Self::after(
            throw,
            climb_to_m,
            RadioSetup::for_airframe(airframe).steering,
        )
    }

    /// Where the throttle stick belongs before the flight proper: nothing of
    /// the plane in the air is needed for it. `free_s`: time since the pilot
    /// noticed the release.
    fn launch_throttle(&self, free_s: Option<f64>) -> f64 {
        match (self.power, free_s) {
            (PowerTiming::Before, _) => self.throttle,
            (PowerTiming::After { delay_s }, Some(free_s)) if free_s >= delay_s => self.throttle,
            (PowerTiming::After { .. }, _) => 0.0,
        }
    }
}

/// A pilot that needs nobody. `Clone`: the copy flies the same.
#[derive(Debug, Clone, PartialEq)]
pub enum ScriptedPilot {
    /// Small, timely corrections.
    Competent(Box<Flyer>),
    /// Late, over-controls, reverses when the plane comes toward them.
    Beginner(Box<Flyer>),
    /// Sets the launch throttle and does nothing else.
    HandsOff(HandsOff),
    /// Sticks from a recording.
    Playback(Playback),
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

    /// Opens the throttle when the task says so and leaves everything alone.
    pub fn hands_off(task: Task) -> Self {
        Self::HandsOff(HandsOff::new(task))
    }

    /// Repeats messages by time.
    pub fn playback(messages: impl Into<std::sync::Arc<[TimedMessage]>>) -> Self {
        Self::Playback(Playback::new(messages))
    }

    /// What the hands do now. Times must not go backward; the interval between
    /// calls does not matter (a pilot decides every 20 ms by itself).
    pub fn act(&mut self, time_s: f64, truth: &Truth) -> ControlMessage {
        match self {
            Self::Competent(flyer) | Self::Beginner(flyer) => flyer.act(time_s, truth),
            Self::HandsOff(pilot) => pilot.act(time_s, truth),
            Self::Playback(tape) => tape.at(time_s),
        }
    }

    /// Which kind it is.
    pub fn kind(&self) -> PilotKind {
        match self {
            Self::Competent(_) => PilotKind::Competent,
            Self::Beginner(_) => PilotKind::Beginner,
            Self::HandsOff(_) => PilotKind::HandsOff,
            Self::Playback(_) => PilotKind::Playback,
        }
    }
}
