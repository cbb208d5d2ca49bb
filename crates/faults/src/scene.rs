//! What a flight starts from, as far as faults can change it.

use larkfield_airframe::{Airframe, Power};
use larkfield_pilot::{Launch, RadioSetup, Throw, Trims};

/// Plane, radio and launch.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// The plane as it is, not as the pilot believes it to be.
    pub airframe: Airframe,
    /// Transmitter and link.
    pub radio: RadioSetup,
    /// The launch that is meant.
    pub launch: Launch,
    /// How far each command is out of trim.
    pub trim_error: Trims,
}

/// A fault that this plane or this launch cannot have.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no {missing} here; {remedy}")]
pub struct NotHere {
    /// What it would act on.
    pub missing: &'static str,
    /// What would be right.
    pub remedy: &'static str,
}

impl Scene {
    pub(crate) fn power(&mut self) -> Result<&mut Power, NotHere> {
        self.airframe.power.as_mut().ok_or(NotHere {
            missing: "motor",
            remedy: "choose a plane with one",
        })
    }

    pub(crate) fn throw(&mut self) -> Result<&mut Throw, NotHere> {
        match &mut self.launch {
            Launch::Throw(throw) => Ok(throw),
            Launch::Ground(_) => Err(NotHere {
                missing: "throw",
                remedy: "choose a lesson that begins with one",
            }),
        }
    }
}
