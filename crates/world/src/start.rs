//! How flights begin.

use glam::DVec3;
use larkfield_airframe::Airframe;
use larkfield_flight::{CarriedMotion, Controls, FlightModel};
use larkfield_lesson::{Conditions, Field, Lesson};
use larkfield_pilot::attitude::from_euler;
use larkfield_pilot::{GroundStart, HandPath, Launch, PlaneFeel};
use larkfield_recording::FlightStage;
use larkfield_weather::Wind;

use crate::aircraft::{Aircraft, GRAVITY_M_S2};
use crate::contact::{contact_shapes, standing};
use crate::field::TICK_S;
use crate::motion::Motion;
use crate::throw::Hand;

/// How a flight begins.
#[derive(Debug, Clone, PartialEq)]
pub enum Start {
    /// In somebody's hand.
    Thrown(Box<HandPath>),
    /// Free, wherever and however the plane is.
    Free(Motion),
    /// Standing on the ground.
    Standing(Motion),
    /// In steady flight: air, motor and servos have settled.
    Flying {
        /// Pose and velocities.
        motion: Motion,
        /// Throttle, 0 to 1.
        throttle: f64,
    },
}

impl Start {
    /// The stage in which the run begins.
    pub(crate) fn stage(&self) -> FlightStage {
        match self {
            Self::Thrown(_) => FlightStage::InHand,
            Self::Free(_) | Self::Flying { .. } => FlightStage::Free,
            Self::Standing(_) => FlightStage::Ground,
        }
    }

    /// Where the thrower stands, world axes. Nobody throws off the ground or in
    /// the air; the place is used by nobody then.
    pub fn feet_m(&self) -> DVec3 {
        match self {
            Self::Thrown(path) => path.feet_m(),
            Self::Free(_) | Self::Standing(_) | Self::Flying { .. } => DVec3::ZERO,
        }
    }

    /// Where a hand holds the plane, airframe axes.
    pub(crate) fn grip_m(&self, airframe: &Airframe) -> DVec3 {
        match self {
            Self::Thrown(path) => path.throw().grip_m(airframe),
            Self::Free(_) | Self::Standing(_) | Self::Flying { .. } => airframe.grip.position_m,
        }
    }

    /// Puts a plane where it begins; returns the hand that holds it.
    pub(crate) fn put(&self, plane: &mut Aircraft, wind: &Wind, throw_waits: bool) -> Option<Hand> {
        match self {
            Self::Thrown(path) => {
                let held = path.at(0.0);
                plane.state.position_m = held.position_m;
                plane.state.velocity_m_s = held.velocity_m_s;
                plane.state.attitude = held.attitude;
                plane.state.rates_rad_s = held.rates_rad_s;
                Some(if throw_waits {
                    Hand::awaiting(**path)
                } else {
                    Hand::new(**path)
                })
            }
            Self::Free(motion) | Self::Standing(motion) => {
                move_to(plane, motion);
                None
            }
            Self::Flying { motion, throttle } => {
                settle(plane, wind, motion, *throttle);
                None
            }
        }
    }
}

fn move_to(plane: &mut Aircraft, motion: &Motion) {
    plane.state.position_m = motion.position_m;
    plane.state.velocity_m_s = motion.velocity_m_s;
    plane.state.attitude = motion.attitude;
    plane.state.rates_rad_s = motion.rates_rad_s;
}

/// A lesson on a day: what every flight of it has in common.
#[derive(Debug, Clone, Copy)]
pub struct LessonDay<'a> {
    /// The lesson.
    pub lesson: &'a Lesson,
    /// The field.
    pub field: &'a Field,
    /// Wind and undercarriage.
    pub conditions: &'a Conditions,
    /// What the pilot knows of the plane.
    pub feel: PlaneFeel,
}

impl LessonDay<'_> {
    /// How the flight of a seed begins.
    pub(crate) fn start(&self, model: &FlightModel, wind: &Wind, seed: u64) -> Start {
        if let Some(start) = self.in_the_air(wind) {
            return start;
        }
        match &self.lesson.launch {
            Launch::Throw(meant) => {
                let thrown = self.lesson.thrower.perform(meant, seed);
                Start::Thrown(Box::new(HandPath::new(meant, &thrown, DVec3::ZERO)))
            }
            Launch::Ground(start) => stand(start, model),
        }
    }

    /// The start of a lesson that begins in level flight: at the speed of level
    /// flight through the air of that place.
    fn in_the_air(&self, wind: &Wind) -> Option<Start> {
        let frame = self.lesson.frame(self.field, self.conditions);
        let (position_m, heading_rad) = self.lesson.air_start?.place(frame.as_ref())?;
        let (sine, cosine) = libm::sincos(heading_rad);
        let ahead = DVec3::new(cosine, sine, 0.0);
        let motion = Motion {
            position_m,
            velocity_m_s: wind.sample(position_m, 0.0) + ahead * self.feel.level_speed_m_s,
            attitude: from_euler(heading_rad, self.feel.level_pitch_rad, 0.0),
            rates_rad_s: DVec3::ZERO,
        };
        Some(Start::Flying {
            motion,
            throttle: self.feel.level_throttle,
        })
    }
}

/// A plane on the ground where a lesson puts it; a plane that no three points
/// carry lies at the height of its lowest point and falls over by itself.
fn stand(start: &GroundStart, model: &FlightModel) -> Start {
    let mass = model.mass();
    let shapes = contact_shapes(model.airframe(), mass.cg_m);
    let place_m = (start.north_m, start.east_m);
    let weight_n = mass.mass_kg * GRAVITY_M_S2;
    let motion = standing(&shapes, weight_n, place_m, start.heading_rad).unwrap_or_else(|| {
        let lowest_m = shapes
            .iter()
            .map(|shape| shape.centre_m.z + shape.radius_m)
            .fold(0.0, f64::max);
        Motion {
            attitude: from_euler(start.heading_rad, 0.0, 0.0),
            ..Motion::at_rest(DVec3::new(start.north_m, start.east_m, -lowest_m))
        }
    });
    Start::Standing(motion)
}

/// Carries a plane through the air of its place until nothing changes any more.
fn settle(plane: &mut Aircraft, wind: &Wind, motion: &Motion, throttle: f64) {
    const TICKS: u32 = 500;
    move_to(plane, motion);
    plane.meet(&wind.at(0.0));
    let controls = Controls {
        throttle,
        ..Controls::default()
    };
    let carried = CarriedMotion {
        position_m: motion.position_m,
        velocity_m_s: motion.velocity_m_s,
        attitude: motion.attitude,
        rates_rad_s: motion.rates_rad_s,
    };
    for _ in 0..TICKS {
        plane.report =
            plane
                .model
                .carry(&mut plane.state, &carried, &controls, &plane.around, TICK_S);
    }
}
