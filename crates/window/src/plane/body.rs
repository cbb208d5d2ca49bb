//! Fuselages and what stands under them.

use glam::DVec3;
use larkfield_airframe::{Airframe, Body, ContactKind, ContactPoint};

use super::faces::{Faces, linear};

/// Colour of wheels, legs and motors.
const DARK: [f32; 4] = [0.02, 0.02, 0.025, 1.0];
/// Wheels of such planes are about this wide (common practice, no source).
const WHEEL_WIDTH_M: f64 = 0.012;
/// Legs are of wire about this thick (common practice, no source).
const WIRE_M: f64 = 0.0025;
/// Corners of a wheel.
const CORNERS: u32 = 14;

/// A box fuselage.
pub fn body_faces(body: &Body, balance_m: DVec3) -> Faces {
    let mut faces = Faces::default();
    let colour = linear(body.colour);
    let mut end = colour;
    for channel in &mut end[..3] {
        *channel *= 0.6;
    }
    let ring = |index: usize| {
        let station = &body.stations[index];
        let centre = DVec3::new(station.x_m, body.y_m, station.z_m) - balance_m;
        let (w, h) = (0.5 * station.width_m, 0.5 * station.height_m);
        [(-w, -h), (w, -h), (w, h), (-w, h)].map(|(y, z)| centre + DVec3::new(0.0, y, z))
    };
    let count = body.stations.len();
    if count < 2 {
        return faces;
    }
    for index in 1..count {
        let (front, back) = (ring(index - 1), ring(index));
        let middle = (front[0] + front[2] + back[0] + back[2]) * 0.25;
        for i in 0..4 {
            let j = (i + 1) % 4;
            let outward = (front[i] + front[j] + back[i] + back[j]) * 0.25 - middle;
            faces.quad_facing([front[i], front[j], back[j], back[i]], outward, colour);
        }
    }
    let forward = body.stations[0].x_m - body.stations[count - 1].x_m;
    faces.quad_facing(ring(0), DVec3::X * forward, end);
    faces.quad_facing(ring(count - 1), DVec3::X * -forward, end);
    faces
}

/// Wheels and the wire that carries them, up to the height of the balance
/// point.
pub fn gear_faces(airframe: &Airframe, balance_m: DVec3) -> Faces {
    let mut faces = Faces::default();
    let wheels = airframe
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::Wheel);
    for wheel in wheels {
        let centre = wheel.position_m - balance_m;
        push_wheel(&mut faces, centre, wheel);
        let foot = DVec3::new(centre.x, centre.y * 0.2, 0.0);
        push_wire(&mut faces, centre, foot);
    }
    faces
}

fn push_wheel(faces: &mut Faces, centre: DVec3, wheel: &ContactPoint) {
    let half = DVec3::Y * (0.5 * WHEEL_WIDTH_M);
    let rim = |i: u32| {
        let angle = f64::from(i) * std::f64::consts::TAU / f64::from(CORNERS);
        centre + DVec3::new(angle.cos(), 0.0, angle.sin()) * wheel.radius_m
    };
    for i in 0..CORNERS {
        let (a, b) = (rim(i), rim(i + 1));
        faces.quad_facing(
            [a - half, b - half, b + half, a + half],
            (a + b) * 0.5 - centre,
            DARK,
        );
        for side in [half, -half] {
            faces.quad_facing(
                [centre + side, a + side, (a + b) * 0.5 + side, b + side],
                side,
                DARK,
            );
        }
    }
}

fn push_wire(faces: &mut Faces, from: DVec3, to: DVec3) {
    let across = DVec3::X * (0.5 * WIRE_M);
    let side = (to - from).cross(DVec3::X).normalize_or(DVec3::Y) * (0.5 * WIRE_M);
    for offset in [across, -across] {
        let corners = [from - side, to - side, to + side, from + side].map(|p| p + offset);
        faces.quad_facing(corners, offset, DARK);
    }
    for offset in [side, -side] {
        let corners = [from - across, to - across, to + across, from + across].map(|p| p + offset);
        faces.quad_facing(corners, offset, DARK);
    }
}
