//! Polygons of an aeroplane in airframe axes.

use glam::DVec3;
use larkfield_airframe::{Airframe, ContactKind, ControlSurface, Panel, Station, SurfaceKind};

/// Polygons of the plane in airframe axes, with a class for each.
pub(super) fn outlines(airframe: &Airframe) -> Vec<(&'static str, Vec<DVec3>)> {
    let mut found = Vec::new();
    for body in &airframe.bodies {
        let corner = |s: &larkfield_airframe::BodyStation, y: f64, z: f64| {
            DVec3::new(
                s.x_m,
                body.y_m + y * 0.5 * s.width_m,
                s.z_m + z * 0.5 * s.height_m,
            )
        };
        for pair in body.stations.windows(2) {
            let [a, b] = pair else { continue };
            for (p, q) in [
                ((-1.0, -1.0), (1.0, -1.0)),
                ((1.0, -1.0), (1.0, 1.0)),
                ((1.0, 1.0), (-1.0, 1.0)),
                ((-1.0, 1.0), (-1.0, -1.0)),
            ] {
                found.push((
                    "body",
                    vec![
                        corner(a, p.0, p.1),
                        corner(a, q.0, q.1),
                        corner(b, q.0, q.1),
                        corner(b, p.0, p.1),
                    ],
                ));
            }
        }
    }
    for panel in &airframe.panels {
        let upright = matches!(panel.kind, SurfaceKind::Fin | SurfaceKind::EndPlate);
        let back = |s: &larkfield_airframe::Station| {
            let (sine, cosine) = (libm::sin(s.incidence_rad), libm::cos(s.incidence_rad));
            let turned = if upright {
                DVec3::new(-cosine, -sine, 0.0)
            } else {
                DVec3::new(-cosine, 0.0, sine)
            };
            s.leading_edge_m + turned * s.chord_m
        };
        let mut polygon: Vec<DVec3> = panel.stations.iter().map(|s| s.leading_edge_m).collect();
        polygon.extend(panel.stations.iter().rev().map(back));
        found.push(("panel", polygon));
    }
    for control in &airframe.controls {
        if let Some(panel) = airframe.panels.get(control.panel) {
            found.push(("hinged", hinged(panel, control)));
        }
    }
    for wheel in airframe
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::Wheel)
    {
        found.push((
            "wheel",
            ring(wheel.position_m, DVec3::X, DVec3::Z, wheel.radius_m),
        ));
    }
    if let Some(power) = &airframe.power {
        let side = power
            .thrust_direction
            .cross(DVec3::Z)
            .normalize_or(DVec3::Y);
        let up = side.cross(power.thrust_direction);
        found.push((
            "propeller",
            ring(power.hub_m, side, up, 0.5 * power.propeller.diameter_m),
        ));
    }
    found
}

/// Points of a circle spanned by two unit vectors.
fn ring(centre_m: DVec3, a: DVec3, b: DVec3, radius_m: f64) -> Vec<DVec3> {
    const POINTS: u32 = 36;
    (0..POINTS)
        .map(|k| {
            let angle = core::f64::consts::TAU * f64::from(k) / f64::from(POINTS);
            centre_m + (a * libm::cos(angle) + b * libm::sin(angle)) * radius_m
        })
        .collect()
}

/// The part of a panel behind a hinge, between the ends of the hinge line.
fn hinged(panel: &Panel, control: &ControlSurface) -> Vec<DVec3> {
    let upright = matches!(panel.kind, SurfaceKind::Fin | SurfaceKind::EndPlate);
    let length = |a: &Station, b: &Station| {
        let d = b.leading_edge_m - a.leading_edge_m;
        DVec3::new(0.0, d.y, d.z).length()
    };
    let pairs = || {
        panel
            .stations
            .windows(2)
            .filter_map(|w| Some((w.first()?, w.get(1)?)))
    };
    let span: f64 = pairs().map(|(a, b)| length(a, b)).sum();
    let at = |share: f64, chord_share: f64| {
        let mut left = share * span;
        let mut found = DVec3::ZERO;
        for (a, b) in pairs() {
            let piece = length(a, b);
            let t = if piece > 0.0 { left / piece } else { 0.0 };
            let incidence = a.incidence_rad + t * (b.incidence_rad - a.incidence_rad);
            let (sine, cosine) = (libm::sin(incidence), libm::cos(incidence));
            let aft = if upright {
                DVec3::new(-cosine, -sine, 0.0)
            } else {
                DVec3::new(-cosine, 0.0, sine)
            };
            let chord = a.chord_m + t * (b.chord_m - a.chord_m);
            found = a.leading_edge_m.lerp(b.leading_edge_m, t) + aft * (chord * chord_share);
            if t <= 1.0 {
                break;
            }
            left -= piece;
        }
        found
    };
    vec![
        at(control.span_from, 1.0 - control.flap_fraction_from),
        at(control.span_to, 1.0 - control.flap_fraction_to),
        at(control.span_to, 1.0),
        at(control.span_from, 1.0),
    ]
}
