//! A cart on four wheels and what tests do with it.
#![allow(dead_code)]

use bevy::prelude::App;
use glam::{DMat3, DVec3};
use larkfield_airframe::{BreakPart, ContactKind, Leg};
use larkfield_world::{ContactShape, Motion};

use super::{FreeBody, TICK_S, ball, tick};

pub const MASS_KG: f64 = 0.9;
/// Height of the balance point over the ground, half the track, wheels ahead
/// and behind.
pub const HEIGHT_M: f64 = 0.12;
pub const HALF_TRACK_M: f64 = 0.15;
pub const WHEELBASE_HALF_M: f64 = 0.2;
pub const WHEEL_RADIUS_M: f64 = 0.03;
pub const ROLLING: f64 = 0.08;
pub const SIDE_GRIP: f64 = 0.6;

pub fn wheel(x_m: f64, y_m: f64) -> ContactShape {
    let centre_m = DVec3::new(x_m, y_m, HEIGHT_M - WHEEL_RADIUS_M);
    ContactShape {
        kind: ContactKind::Wheel,
        friction_along: ROLLING,
        ..ball(
            "wheel",
            centre_m,
            WHEEL_RADIUS_M,
            SIDE_GRIP,
            BreakPart::Gear,
        )
    }
}

/// A cart on four rigid wheels.
pub fn cart() -> (FreeBody, Vec<ContactShape>) {
    let mut shapes = Vec::new();
    for x_m in [-WHEELBASE_HALF_M, WHEELBASE_HALF_M] {
        for y_m in [-HALF_TRACK_M, HALF_TRACK_M] {
            shapes.push(wheel(x_m, y_m));
        }
    }
    let inertia_kg_m2 = DMat3::from_diagonal(DVec3::new(0.03, 0.03, 0.05));
    let body = FreeBody {
        mass_kg: MASS_KG,
        inertia_kg_m2,
        push_n: DVec3::ZERO,
    };
    (body, shapes)
}

pub fn on_wheels(velocity_m_s: DVec3) -> Motion {
    Motion {
        velocity_m_s,
        ..Motion::at_rest(DVec3::new(0.0, 0.0, -HEIGHT_M))
    }
}

pub fn run(app: &mut App, seconds: f64) {
    for _ in 0..(seconds / TICK_S) as usize {
        tick(app);
    }
}

pub fn assert_near(ours: f64, expected: f64, share: f64, what: &str) {
    let apart = (ours - expected).abs();
    assert!(
        apart <= share * expected.abs(),
        "{what}: {ours}, by hand {expected}"
    );
}

/// One mass on four equal legs that cannot tilt, dropped from a height.
pub fn on_legs(damping_n_s_m: f64, stiffness_n_m: f64) -> (FreeBody, Vec<ContactShape>) {
    let (body, shapes) = cart();
    let leg = Leg {
        stiffness_n_m,
        damping_n_s_m,
        travel_m: 0.08,
    };
    let legged = |shape: ContactShape| ContactShape {
        leg: Some(leg),
        ..shape
    };
    (body, shapes.into_iter().map(legged).collect())
}
