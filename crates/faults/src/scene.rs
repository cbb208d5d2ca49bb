//! What a flight starts from, as far as faults can change it.

use larkfield_airframe::{Airframe, Power};
use larkfield_pilot::{Ability, Habits, Launch, Mishaps, RadioSetup, Throw, Trims};
use larkfield_weather::WindScript;

/// Plane, radio, launch, air and pilot.
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
    /// What gives way in flight.
    pub mishaps: Mishaps,
    /// The wind of the day.
    pub wind: WindScript,
    /// The scripted pilot; `None` when somebody else has the sticks.
    pub person: Option<Person>,
}

/// A scripted pilot, as far as faults can change one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Person {
    /// Eyes and hands.
    pub ability: Ability,
    /// What is done in a situation.
    pub habits: Habits,
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

    pub(crate) fn person(&mut self) -> Result<&mut Person, NotHere> {
        self.person.as_mut().ok_or(NotHere {
            missing: "scripted pilot",
            remedy: "fly it with --pilot competent or beginner",
        })
    }

    /// Direction in which the flight begins, clockwise from north.
    pub(crate) fn heading_rad(&self) -> f64 {
        match &self.launch {
            Launch::Throw(throw) => throw.heading_rad,
            Launch::Ground(start) => start.heading_rad,
        }
    }

    /// The wind, where it blows.
    pub(crate) fn blowing(&mut self) -> Result<&mut WindScript, NotHere> {
        let blows = self.wind.points.iter().any(|point| point.speed_m_s > 0.0);
        if blows {
            Ok(&mut self.wind)
        } else {
            Err(NotHere {
                missing: "wind",
                remedy: "choose a wind file that blows, with --wind",
            })
        }
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
