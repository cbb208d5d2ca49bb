//! Which points of a body touch the ground in a tick, and on what.

use glam::{DQuat, DVec3};
use larkfield_airframe::{ContactKind, Leg};
use larkfield_lesson::{Ground, GroundKind};

use super::body::ContactBody;
use super::grass;
use super::law::{Grip, Normal, Touch};
use super::shape::ContactShape;
use crate::motion::{Motion, TickMotion};

/// A wheel whose axle points this far out of the ground's plane lies on its
/// side and slides: the sine of 45 degrees.
const WHEEL_ON_ITS_SIDE: f64 = 0.707;
/// Straight up or down, x has no direction on the ground.
const UPRIGHT: f64 = 0.95;

/// Fills the body's list of touches for a tick. `look_ahead_m` is how far above
/// the ground a hard point may begin the tick and still reach it.
pub(super) fn gather(plane: &mut ContactBody, tick: &TickMotion, look_ahead_m: f64, tick_s: f64) {
    let mut touches = std::mem::take(&mut plane.touches);
    touches.clear();
    plane.any_hard = false;
    let start = &tick.start;
    let up = start.attitude.conjugate() * DVec3::NEG_Z;
    for (index, shape) in plane.shapes.iter().enumerate() {
        // Heights by one product each: most points of a plane are far above.
        let height_m = shape.centre_m.dot(up) - start.position_m.z - shape.radius_m;
        let give_m = shape.leg.map_or(0.0, |leg| leg.travel_m);
        if height_m > look_ahead_m + give_m || plane.gone.contains(&shape.part) {
            continue;
        }
        let bottom_m = shape.centre_m - up * shape.radius_m;
        let ground = plane.ground_under(start, bottom_m);
        let (along, grip) = grip_of(shape, up, plane.steer, &ground);
        let mut add = |at_m: DVec3, normal: Normal| {
            let frame = (up, along);
            touches.push(Touch::new(
                Some(index),
                at_m,
                frame,
                (normal, grip),
                &plane.inverse,
            ));
        };
        let Some(leg) = shape.leg else {
            plane.any_hard = true;
            let allowed_m_s = height_m.max(0.0) / tick_s;
            add(bottom_m, Normal::Hard { allowed_m_s });
            continue;
        };
        if let Some(normal) = press(&leg, height_m, bottom_m, tick, tick_s) {
            add(bottom_m, normal);
        }
        // At the end of its travel a leg is hard.
        let stop_m = shape.hard_centre_m() - up * shape.radius_m;
        let height_m = stop_m.dot(up) - start.position_m.z;
        if height_m <= look_ahead_m {
            plane.any_hard = true;
            let allowed_m_s = height_m.max(0.0) / tick_s;
            add(stop_m, Normal::Hard { allowed_m_s });
        }
    }
    grass::gather(plane, start, up, tick_s, &mut touches);
    plane.touches = touches;
}

/// A leg's impulse as a function of the speed of approach at the end of the
/// tick: dt (k (d + dt v) + c v) / 2 ... at the mean of both speeds.
fn press(
    leg: &Leg,
    height_m: f64,
    bottom_m: DVec3,
    tick: &TickMotion,
    tick_s: f64,
) -> Option<Normal> {
    let approach_m_s = tick.start.point_velocity_m_s(bottom_m).z;
    if height_m > approach_m_s.max(0.0) * tick_s {
        return None;
    }
    let resistance = 0.5 * tick_s * leg.stiffness_n_m + leg.damping_n_s_m;
    Some(Normal::Leg {
        base_n_s: tick_s * (0.5 * resistance * approach_m_s - leg.stiffness_n_m * height_m),
        slope_kg: 0.5 * tick_s * resistance,
    })
}

/// Direction along and what holds a shape.
fn grip_of(shape: &ContactShape, up: DVec3, steer: f64, ground: &Ground) -> (DVec3, Grip) {
    let usual = Ground::usual(GroundKind::MownGrass);
    let sliding = ground.friction / usual.friction;
    let mut forward = DVec3::X;
    if shape.kind == ContactKind::Wheel {
        let (sine, cosine) = libm::sincos(steer * shape.steering_rad);
        forward = DVec3::new(cosine, sine, 0.0);
        let axle = DVec3::new(-sine, cosine, 0.0);
        if axle.dot(up).abs() < WHEEL_ON_ITS_SIDE && forward.dot(up).abs() < UPRIGHT {
            let rolling = ground.rolling_friction / usual.rolling_friction;
            let grip = Grip::Roll {
                along: shape.friction_along * rolling,
                across: shape.friction * sliding,
            };
            return (on_ground(forward, up), grip);
        }
    }
    let along = if forward.dot(up).abs() < UPRIGHT {
        on_ground(forward, up)
    } else {
        on_ground(DVec3::Z, up)
    };
    let friction_along = if shape.kind == ContactKind::Wheel {
        shape.friction
    } else {
        shape.friction_along
    };
    let grip = Grip::Slide {
        along: friction_along * sliding,
        across: shape.friction * sliding,
    };
    (along, grip)
}

/// The part of a direction that lies on the ground, as a unit vector.
pub(super) fn on_ground(direction: DVec3, up: DVec3) -> DVec3 {
    (direction - up * direction.dot(up)).normalize()
}

impl ContactBody {
    /// The ground under a point given in body axes.
    pub(super) fn ground_under(&self, motion: &Motion, point_m: DVec3) -> Ground {
        let place_m = motion.point_m(point_m);
        *self.terrain.at(place_m.x, place_m.y)
    }
}

/// A small turn about an axis in world coordinates, exact to third order.
pub(super) fn small_turn(turn_rad: DVec3) -> DQuat {
    let half = turn_rad * 0.5;
    DQuat::from_xyzw(half.x, half.y, half.z, 1.0 - 0.5 * half.length_squared()).normalize()
}
