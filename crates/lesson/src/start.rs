//! Starting in the air, so that a lesson about landing need not climb first.

use glam::DVec3;
use larkfield_pilot::attitude::{PI, wrap};

use crate::problem::require_range;
use crate::{CircuitFrame, Problem};

/// A start in steady level flight, wings level.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum AirStart {
    /// Anywhere.
    At {
        /// North of the launch point.
        north_m: f64,
        /// East of the launch point.
        east_m: f64,
        /// Above the ground.
        height_m: f64,
        /// Direction of the nose, clockwise from north.
        heading_rad: f64,
    },
    /// On the downwind leg at circuit height.
    Downwind {
        /// Distance still to fly to the place beside the touch point.
        before_m: f64,
    },
    /// On the landing line, toward the touch point.
    Final {
        /// Distance still to fly to the touch point.
        before_m: f64,
        /// Above the ground.
        height_m: f64,
    },
}

impl AirStart {
    /// Place of the balance point in world axes and direction of the nose.
    /// `None` for a place in a circuit that there is not.
    pub fn place(&self, frame: Option<&CircuitFrame>) -> Option<(DVec3, f64)> {
        let above = |ground_m: DVec3, height_m: f64| ground_m - DVec3::Z * height_m;
        Some(match *self {
            Self::At {
                north_m,
                east_m,
                height_m,
                heading_rad,
            } => (DVec3::new(north_m, east_m, -height_m), heading_rad),
            Self::Downwind { before_m } => {
                let frame = frame?;
                let ground_m = frame.at(before_m, frame.spacing_m);
                (
                    above(ground_m, frame.height_m),
                    wrap(frame.heading_rad + PI),
                )
            }
            Self::Final { before_m, height_m } => {
                let frame = frame?;
                (above(frame.at(-before_m, 0.0), height_m), frame.heading_rad)
            }
        })
    }

    pub(crate) fn check(&self, has_landing: bool, found: &mut Vec<Problem>) {
        let mut range = |field: &str, value: f64, limits| {
            require_range(found, format!("air_start.{field}"), value, limits);
        };
        match *self {
            Self::At {
                north_m,
                east_m,
                height_m,
                heading_rad,
            } => {
                range("north", north_m, (-500.0, 500.0, "m"));
                range("east", east_m, (-500.0, 500.0, "m"));
                range("height", height_m, (3.0, 120.0, "m"));
                range("heading", heading_rad, (-4.0 * PI, 4.0 * PI, "rad"));
                return;
            }
            Self::Downwind { before_m } => range("before", before_m, (0.0, 300.0, "m")),
            Self::Final { before_m, height_m } => {
                range("before", before_m, (5.0, 300.0, "m"));
                range("height", height_m, (2.0, 120.0, "m"));
            }
        }
        if !has_landing {
            found.push(Problem::new(
                "air_start",
                "the start is in a circuit, but the lesson has no landing",
                "add a `landing` with the box to land in, or start at a place",
            ));
        }
    }
}
