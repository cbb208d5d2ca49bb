//! Plain wings with the ideal thin section against a vortex lattice.
//!
//! Reference: tests/reference/finite_wings.csv (its header names the library,
//! version and settings). The ideal section has no drag and no stall, so what
//! is compared is the influence of strips on each other and the way forces
//! are summed, nothing of the foam.

#![allow(missing_docs)]

mod support;

use glam::DVec3;
use larkfield_airframe::{Airframe, SurfaceKind};
use larkfield_proof::{Chapter, Checks, Figure, Table};
use support::{Tunnel, airframe, mirrored, station};

fn wing(case: &str, span: f64, chord: f64) -> Airframe {
    let half = 0.5 * span;
    let right = if case.starts_with("taper") {
        // Taper 0.6 about a straight quarter chord.
        let root = 2.0 * chord / 1.6;
        let tip = 0.6 * root;
        vec![
            station(0.0, 0.0, 0.0, root),
            station(0.25 * (root - tip), half, 0.0, tip),
        ]
    } else if case.starts_with("dihedral") {
        let d = 5f64.to_radians();
        vec![
            station(0.0, 0.0, 0.0, chord),
            station(0.0, half * d.cos(), half * d.sin(), chord),
        ]
    } else if case.starts_with("polyhedral") {
        let d = 20f64.to_radians();
        let knee = 0.6 * half;
        let rest = half - knee;
        vec![
            station(0.0, 0.0, 0.0, chord),
            station(0.0, knee, 0.0, chord),
            station(0.0, knee + rest * d.cos(), rest * d.sin(), chord),
        ]
    } else {
        vec![
            station(0.0, 0.0, 0.0, chord),
            station(0.0, half, 0.0, chord),
        ]
    };
    // Moments about the quarter chord of the root, in height too.
    let root_chord = right[0].chord_m;
    let mut plane = airframe(
        mirrored("wing", SurfaceKind::Wing, &right),
        0.25 * root_chord,
    );
    plane.components[0].position_m = DVec3::ZERO;
    plane.components[0].mass_kg = 1.0e4;
    plane
}

#[test]
fn wings_alone() {
    let table = Table::read("finite_wings.csv");
    let mut checks = Checks::against(
        Chapter::FiniteWings,
        "Wings alone against a vortex lattice",
        &table,
    );
    for row in &table.rows {
        let case = row[0].clone();
        let n = |name: &str| table.number(row, name);
        let (area, span, mac) = (n("area_m2"), n("span_m"), n("mac_m"));
        let mean = area / span;
        let mut probe = Tunnel::new(&wing(&case, span, mean), area, span, 12.0);
        probe.chord_m = mac;
        let a = 4f64.to_radians();
        let h = 0.5f64.to_radians();
        let zero = DVec3::ZERO;
        let at = probe.at(a, 0.0, zero);
        let (up, down) = (probe.at(a + h, 0.0, zero), probe.at(a - h, 0.0, zero));
        let slope = (up.lift - down.lift) / (2.0 * h);
        let pitch = (up.pitch - down.pitch) / (2.0 * h);
        let root_quarter = 0.25
            * if case.starts_with("taper") {
                2.0 * mean / 1.6
            } else {
                mean
            };
        let neutral = root_quarter - pitch / slope * mac;
        let per_roll = |d: f64| probe.at(a, 0.0, DVec3::new(d, 0.0, 0.0));
        let per_yaw = |d: f64| probe.at(a, 0.0, DVec3::new(0.0, 0.0, d));
        let (right, left) = (probe.at(a, h, zero), probe.at(a, -h, zero));
        let (p1, p0) = (per_roll(0.02), per_roll(-0.02));
        let (r1, r0) = (per_yaw(0.02), per_yaw(-0.02));
        let mut compare = |y: &str, ours: f64, reference: f64, allowed: f64| {
            // Straight wings of constant chord make a line over aspect ratio.
            if case.starts_with("rect") {
                let at = Figure {
                    figure: y,
                    line: "straight wings",
                    x: "aspect ratio",
                    y,
                };
                checks.point(&at, n("aspect_ratio"), ours, reference, allowed);
            } else {
                checks.near(&format!("{case} {y}"), ours, reference, allowed);
            }
        };
        let mut share = |y: &str, ours: f64, column: &str, share: f64| {
            compare(y, ours, n(column), share * n(column).abs());
        };
        share("CL at 4 deg", at.lift, "CL_at_4deg", 0.04);
        share("CLa a radian", slope, "CLa_per_rad", 0.04);
        share("CDi at 4 deg", at.drag, "CDi_at_4deg", 0.10);
        share("Clp", (p1.roll - p0.roll) / 0.04, "Clp_per_rad", 0.08);
        share("Cnp", (p1.yaw - p0.yaw) / 0.04, "Cnp_per_rad", 0.25);
        share("Clr", (r1.roll - r0.roll) / 0.04, "Clr_per_rad", 0.25);
        if n("Clb_per_rad").abs() > 0.01 {
            let clb = (right.roll - left.roll) / (2.0 * h);
            share("Clb", clb, "Clb_per_rad", 0.12);
        }
        compare(
            "neutral point, m aft",
            neutral,
            n("neutral_point_x_m"),
            0.02 * mac,
        );
    }
    checks.finish();
}
