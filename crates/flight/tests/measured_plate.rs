//! A measured thin flat wing of aspect ratio 2, up to and past the stall.
//! Reference and limits: tests/reference/measured_plate_wing.csv (Pelletier and
//! Mueller 2000, as its header says).

#![allow(missing_docs)]

mod support;

use glam::DVec3;
use larkfield_airframe::{EdgeShape, Section, SurfaceKind};
use larkfield_flight::{AirProperties, FlightModel, LocalWind, Surroundings};
use larkfield_proof::{Chapter, Checks, Figure, Table};
use support::{airframe, mirrored, station};

#[test]
fn low_aspect_ratio_plate() {
    let (span, chord) = (0.4, 0.2);
    let mut panels = mirrored(
        "wing",
        SurfaceKind::Wing,
        &[
            station(0.0, 0.0, 0.0, chord),
            station(0.0, 0.5 * span, 0.0, chord),
        ],
    );
    for p in &mut panels {
        p.thickness_m = 0.02 * chord;
        p.section = Section::FoamSheet {
            edges: EdgeShape::Rounded,
            fold: None,
        };
    }
    let rho = 1.225;
    let nu = 1.81e-5 / rho;
    let v = 140_000.0 * nu / chord;
    let model = FlightModel::new(
        &airframe(panels, 0.05),
        AirProperties {
            density_kg_m3: rho,
            viscosity_pa_s: nu * rho,
        },
    )
    .expect("model");
    let around = Surroundings {
        wind: LocalWind::default(),
        ground_z_m: 0.0,
        gravity_m_s2: 9.80665,
    };
    let q = 0.5 * rho * v * v * span * chord;
    let at = |deg: f64| {
        let a = deg.to_radians();
        let mut state = model.state_at_rest();
        state.position_m.z = -100.0;
        state.velocity_m_s = DVec3::new(v * a.cos(), 0.0, v * a.sin());
        let f = model.settled_loads(&mut state, 0.0, &around).air_force_n;
        (
            (-f.z * a.cos() + f.x * a.sin()) / q,
            (-f.x * a.cos() - f.z * a.sin()) / q,
        )
    };
    let table = Table::read("measured_plate_wing.csv");
    let mut checks = Checks::against(
        Chapter::PlateWing,
        "Measured plate wing of aspect ratio 2",
        &table,
    );
    let figure = |y| Figure {
        figure: y,
        line: "aspect ratio 2, Re 140 000",
        x: "angle of attack, deg",
        y,
    };
    for row in &table.rows {
        let deg = table.number(row, "alpha_deg");
        let (cl, cd) = at(deg);
        let (rl, rd) = (
            table.number(row, "lift_coefficient"),
            table.number(row, "drag_coefficient"),
        );
        checks.point(&figure("lift coefficient"), deg, cl, rl, 0.08);
        checks.point(
            &figure("drag coefficient"),
            deg,
            cd,
            rd,
            (0.2 * rd).max(0.03),
        );
    }
    checks.finish();
}
