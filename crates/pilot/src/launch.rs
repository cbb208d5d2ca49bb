//! How a flight begins: from a hand or from the ground.

use crate::{Throw, ThrowRefused};

/// How a flight begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Launch {
    /// Out of a hand.
    Throw(Throw),
    /// Off the ground by itself.
    Ground(GroundStart),
}

/// A plane that stands on its gear or lies on its belly and leaves by its own
/// power. Places are measured from the launch point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundStart {
    /// Where the balance point stands, north.
    pub north_m: f64,
    /// Where the balance point stands, east.
    pub east_m: f64,
    /// Direction of the nose, clockwise from north.
    pub heading_rad: f64,
    /// Throttle for the run, 0 to 1.
    pub throttle: f64,
    /// Time in which the throttle opens evenly: opened at once, a tail-dragger
    /// swings and noses over (two seconds or more: common practice, no source).
    pub opening_s: f64,
}

impl Default for GroundStart {
    /// At the launch point, heading north, nine tenths of the throttle within
    /// two seconds.
    fn default() -> Self {
        Self {
            north_m: 0.0,
            east_m: 0.0,
            heading_rad: 0.0,
            throttle: 0.9,
            opening_s: 2.0,
        }
    }
}

impl GroundStart {
    /// Refuses numbers outside what a field and a thumb can do; fields as in
    /// [`ThrowRefused::OutOfRange`].
    ///
    /// # Errors
    /// All reasons, in the order of the fields.
    pub fn check(&self) -> Result<(), Vec<ThrowRefused>> {
        let degrees = self.heading_rad * 180.0 / crate::attitude::PI;
        crate::throw::refuse_outside(&[
            ("north", self.north_m, -1000.0, 1000.0, "m"),
            ("east", self.east_m, -1000.0, 1000.0, "m"),
            ("heading", degrees, -360.0, 720.0, "deg"),
            ("throttle", self.throttle, 0.0, 1.0, "of full"),
            ("opening", self.opening_s, 0.0, 10.0, "s"),
        ])
    }
}

impl Launch {
    /// Direction in which the plane is to leave, clockwise from north.
    pub fn heading_rad(&self) -> f64 {
        match self {
            Self::Throw(throw) => throw.heading_rad,
            Self::Ground(start) => start.heading_rad,
        }
    }

    /// Throttle of the launch, 0 to 1.
    pub fn throttle(&self) -> f64 {
        match self {
            Self::Throw(throw) => throw.throttle,
            Self::Ground(start) => start.throttle,
        }
    }

    /// The throw, when it is one.
    pub fn throw(&self) -> Option<&Throw> {
        match self {
            Self::Throw(throw) => Some(throw),
            Self::Ground(_) => None,
        }
    }

    /// The throw, to be changed, when it is one.
    pub fn throw_mut(&mut self) -> Option<&mut Throw> {
        match self {
            Self::Throw(throw) => Some(throw),
            Self::Ground(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_thumb_can_do_is_refused() {
        assert!(GroundStart::default().check().is_ok());
        let wrong = GroundStart {
            opening_s: f64::NAN,
            throttle: 1.5,
            ..GroundStart::default()
        };
        assert_eq!(wrong.check().err().map(|all| all.len()), Some(2));
    }
}
