//! Everything a person does to an aeroplane, and how it gets there: sticks and
//! switches, the radio, what eyes can see, the throw, scripted pilots.
//!
//! A pilot here has no instruments. It sees a [`Sight`], late and noisy, and
//! answers with a [`ControlMessage`]; the [`Radio`] turns that into the commands
//! the servos and the controller get. Everything is a function of time, not of
//! the number of ticks, and everything is `Clone`: a copy continues like the
//! original.

mod arm;
pub mod attitude;
mod hand;
mod hand_path;
mod launch;
mod mishap;
mod noise;
mod person;
mod radio;
pub mod scripted;
mod sight;
mod sticks;
mod throw;
mod thrower;

pub use arm::Arm;
pub use hand::{Hand, HandOff, StickMode};
pub use hand_path::{ABORT_WORD, HandPath, Word};
pub use launch::{GroundStart, Launch};
pub use mishap::{Mishap, Mishaps};
pub use noise::Noise;
pub use person::PersonPilot;
pub use radio::{Axes, FailSafe, Radio, RadioSetup, Steering, Wiring};
pub use scripted::{
    Ability, Boundary, Circuit, Departure, Habits, LandingTechnique, Maneuver, PilotKind,
    PlaneFeel, ScriptedPilot, Side, Skill, Tape, Task, TimedMessage, Undercarriage,
};
pub use sight::{Acuity, Eyes, Sight, Truth};
pub use sticks::{ControlMessage, Sticks, Switches, Trims, Unseen};
pub use throw::{PowerTiming, Throw, ThrowKind, ThrowRefused};
pub use thrower::ThrowerStyle;
