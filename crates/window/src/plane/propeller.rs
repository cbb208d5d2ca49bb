//! A propeller: blades while it turns slowly, a disk when the eye no longer
//! follows.

use glam::DVec3;
use larkfield_airframe::Power;

use super::faces::Faces;

/// Corners of the disk.
const CORNERS: u32 = 32;
/// Blades look this wide for their radius (common practice, no source).
const BLADE_SHARE: f64 = 0.12;
/// Slower than this single blades are seen (an eye follows about 15 changes a
/// second, from memory, and there are two blades).
pub const BLUR_RAD_S: f64 = 50.0;

/// A circle around the hub, seen from both sides, from the hub.
pub fn disk_faces(power: &Power) -> Faces {
    let mut faces = Faces::default();
    let (right, up) = across(power.thrust_direction);
    let radius_m = 0.5 * power.propeller.diameter_m;
    let rim = |i: u32| {
        let angle = f64::from(i) * std::f64::consts::TAU / f64::from(CORNERS);
        (right * angle.cos() + up * angle.sin()) * radius_m
    };
    for i in 0..CORNERS {
        // The outer half of the blades is seen most; a faint ring shows the disk.
        let (a, b) = (rim(i), rim(i + 1));
        faces.triangle([DVec3::ZERO, a, b], [0.05, 0.05, 0.06, 0.16]);
        faces.triangle([DVec3::ZERO, b, a], [0.05, 0.05, 0.06, 0.16]);
        let ring = [a * 0.94, a, b, b * 0.94];
        let back = [ring[3], ring[2], ring[1], ring[0]];
        faces.quad(ring, [0.9, 0.75, 0.1, 0.5]);
        faces.quad(back, [0.9, 0.75, 0.1, 0.5]);
    }
    faces
}

/// Blades, from the hub.
pub fn blade_faces(power: &Power) -> Faces {
    let mut faces = Faces::default();
    let (right, up) = across(power.thrust_direction);
    let radius_m = 0.5 * power.propeller.diameter_m;
    let blades = power.propeller.blades.max(1);
    for blade in 0..blades {
        let angle = f64::from(blade) * std::f64::consts::TAU / f64::from(blades);
        let along = right * angle.cos() + up * angle.sin();
        let side = power.thrust_direction.cross(along) * (0.5 * BLADE_SHARE * radius_m);
        let corners = [
            -side,
            along * radius_m - side * 0.5,
            along * radius_m + side * 0.5,
            side,
        ];
        for outward in [power.thrust_direction, -power.thrust_direction] {
            let lifted = corners.map(|corner| corner + outward * 0.001);
            faces.quad_facing(lifted, outward, [0.03, 0.03, 0.03, 1.0]);
        }
    }
    faces
}

fn across(axis: DVec3) -> (DVec3, DVec3) {
    let axis = axis.normalize_or(DVec3::X);
    let right = axis.any_orthonormal_vector();
    (right, axis.cross(right))
}
