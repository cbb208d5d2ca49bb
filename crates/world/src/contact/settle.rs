//! How a plane stands on level ground before anything moves.

use glam::{DQuat, DVec3};
use larkfield_pilot::attitude::from_euler;

use super::shape::ContactShape;
use crate::motion::Motion;

/// Balls this much below the plane of three others still count as on it: file
/// coordinates are rounded to millimetres.
const FLUSH_M: f64 = 1e-6;
/// A plane on its back does not stand; one that sits nose high does.
const LEAST_UPRIGHT: f64 = 0.3;
/// Rounds of finding the lowest points of balls of different size, whose
/// lowest points depend on the attitude found.
const ROUNDS: usize = 8;

/// Where a plane stands still: over a place on the ground, its nose in a
/// direction, on the three points between which its balance point lies, sagged
/// into its springs. When several triples carry it, it stands on the most
/// upright. `None` when no three points carry it.
pub fn standing(
    shapes: &[ContactShape],
    weight_n: f64,
    (north_m, east_m): (f64, f64),
    heading_rad: f64,
) -> Option<Motion> {
    let mut best: Option<Stance> = None;
    for a in 0..shapes.len() {
        for b in a + 1..shapes.len() {
            for c in b + 1..shapes.len() {
                let triple = [&shapes[a], &shapes[b], &shapes[c]];
                if let Some(stance) = Stance::on(triple, shapes, weight_n)
                    && best.is_none_or(|best| stance.down.z > best.down.z + FLUSH_M)
                {
                    best = Some(stance);
                }
            }
        }
    }
    let stance = best?;
    // Nose up lowers the tail: down in body axes is (-sin, cos sin, cos cos).
    let pitch_rad = libm::asin((-stance.down.x).clamp(-1.0, 1.0));
    let bank_rad = libm::atan2(stance.down.y, stance.down.z);
    let attitude: DQuat = from_euler(heading_rad, pitch_rad, bank_rad);
    Some(Motion {
        attitude,
        ..Motion::at_rest(DVec3::new(north_m, east_m, -stance.height_m))
    })
}

/// A plane on three points.
#[derive(Debug, Clone, Copy)]
struct Stance {
    /// Down in body axes.
    down: DVec3,
    /// Balance point above the ground.
    height_m: f64,
}

impl Stance {
    fn on(triple: [&ContactShape; 3], shapes: &[ContactShape], weight_n: f64) -> Option<Self> {
        // A load of the balance point outside the triangle cannot be carried;
        // checked first without sag, because most triples end here.
        let mut down = DVec3::Z;
        let mut sag_m = [0.0; 3];
        let mut height_m = 0.0;
        for _ in 0..ROUNDS {
            let mut lowest_m = [DVec3::ZERO; 3];
            for (index, shape) in triple.iter().enumerate() {
                lowest_m[index] = shape.centre_m + down * (shape.radius_m - sag_m[index]);
            }
            let [p, q, r] = lowest_m;
            let across = (q - p).cross(r - p);
            if across.length() < 1e-9 {
                return None;
            }
            let mut normal = across.normalize();
            if normal.z < 0.0 {
                normal = -normal;
            }
            if normal.z < LEAST_UPRIGHT {
                return None;
            }
            down = normal;
            height_m = down.dot(p);
            // Shares of the load: the foot of the balance point as a mean of
            // the three points.
            let foot = down * height_m;
            let area = (q - p).cross(r - p).dot(down);
            let share =
                |one: DVec3, other: DVec3| (one - foot).cross(other - foot).dot(down) / area;
            let shares = [share(q, r), share(r, p), share(p, q)];
            if !shares.iter().all(|share| *share >= -1e-9) {
                return None;
            }
            for (index, shape) in triple.iter().enumerate() {
                sag_m[index] = shape.sag_m(shares[index] * weight_n);
            }
        }
        // Nobody else may be below the ground, springs apart: they give way.
        let sunk = shapes.iter().any(|shape| {
            let below_m = down.dot(shape.centre_m) + shape.radius_m - height_m;
            below_m > FLUSH_M + shape.sag_m(weight_n)
        });
        (!sunk && height_m > 0.0).then_some(Self { down, height_m })
    }
}
