//! Mass, balance and inertia against textbook sums, to 0.1 % or better.
//!
//! Formulas: Meriam and Kraige, Engineering Mechanics: Dynamics, tables D/3
//! and D/4 (properties of plane figures and homogeneous solids) and the
//! parallel-axis theorem; from memory, no edition at hand. Mean aerodynamic
//! chord of a trapezium: Etkin and Reid, Dynamics of Flight, 3rd edition,
//! appendix C; from memory.

use glam::{DMat3, DVec3};
use larkfield_airframe::{
    Airframe, Body, BodyStation, Colour, Component, ComponentKind, EdgeShape, Geometry, GripPoint,
    MassProperties, Measured, Panel, Section, Side, Station, SurfaceKind,
};

const WHITE: Colour = Colour {
    red: 255,
    green: 255,
    blue: 255,
};

/// Largest relative difference allowed.
const CLOSE: f64 = 1e-3;

#[track_caller]
fn close(what: &str, ours: f64, reference: f64, scale: f64) {
    let difference = (ours - reference).abs();
    println!(
        "{what}: ours {ours:e}, reference {reference:e}, allowed {:e}",
        CLOSE * scale
    );
    // Written so that NaN fails.
    assert!(
        difference <= CLOSE * scale,
        "{what}: {ours:e} not {reference:e}"
    );
}

#[track_caller]
fn close_tensor(what: &str, ours: DMat3, reference: DMat3) {
    let scale = reference
        .x_axis
        .x
        .max(reference.y_axis.y)
        .max(reference.z_axis.z);
    for (i, (a, b)) in (ours.to_cols_array().into_iter())
        .zip(reference.to_cols_array())
        .enumerate()
    {
        close(&format!("{what} [{i}]"), a, b, scale);
    }
}

fn empty() -> Airframe {
    Airframe {
        name: "test".into(),
        build_note: String::new(),
        panels: Vec::new(),
        controls: Vec::new(),
        bodies: Vec::new(),
        components: Vec::new(),
        power: None,
        grip: GripPoint {
            position_m: DVec3::ZERO,
        },
        contacts: Vec::new(),
        break_limits: Vec::new(),
        measured: Measured::default(),
        assumed: Vec::new(),
    }
}

fn panel(side: Side, kind: SurfaceKind, stations: [(DVec3, f64, f64); 2]) -> Panel {
    Panel {
        name: format!("{side:?}"),
        kind,
        side,
        stations: stations
            .into_iter()
            .map(|(leading_edge_m, chord_m, incidence_rad)| Station {
                leading_edge_m,
                chord_m,
                incidence_rad,
            })
            .collect(),
        thickness_m: 0.006,
        areal_density_kg_m2: 0.24,
        section: Section::FoamSheet {
            edges: EdgeShape::Rounded,
            fold: None,
        },
        material: String::new(),
        colour_top: WHITE,
        colour_bottom: WHITE,
    }
}

fn component(mass_kg: f64, position_m: DVec3, size_m: DVec3) -> Component {
    Component {
        name: format!("{mass_kg}"),
        kind: ComponentKind::Other,
        mass_kg,
        position_m,
        size_m,
    }
}

/// A solid box about its middle: m/12 (b2 + c2), and so on.
fn solid_box(mass_kg: f64, size_m: DVec3) -> DMat3 {
    let s = size_m * size_m;
    DMat3::from_diagonal(DVec3::new(s.y + s.z, s.x + s.z, s.x + s.y) * (mass_kg / 12.0))
}

#[test]
fn a_flat_wing_is_a_rectangular_plate() {
    let (chord, half) = (0.2, 0.5);
    let mut plane = empty();
    for (side, y) in [(Side::Left, -half), (Side::Right, half)] {
        plane.panels.push(panel(
            side,
            SurfaceKind::Wing,
            [
                (DVec3::ZERO, chord, 0.0),
                (DVec3::new(0.0, y, 0.0), chord, 0.0),
            ],
        ));
    }
    let got = MassProperties::of(&plane);
    close("mass", got.mass_kg, 0.24 * 0.2, 0.048);
    close("balance", got.cg_m.x, -0.1, 0.1);
    close_tensor(
        "plate",
        got.inertia_kg_m2,
        solid_box(0.048, DVec3::new(chord, 2.0 * half, 0.006)),
    );
}

#[test]
fn incidence_turns_the_tensor_of_the_plate() {
    // Nose up by a about y: the leading edge rises, so in (x forward, z down)
    // the body x axis becomes (cos a, 0, -sin a).
    let a = 0.5_f64;
    let mut plane = empty();
    plane.panels.push(panel(
        Side::Right,
        SurfaceKind::Wing,
        [(DVec3::ZERO, 0.3, a), (DVec3::new(0.0, 0.4, 0.0), 0.3, a)],
    ));
    let got = MassProperties::of(&plane);
    let turn = DMat3::from_cols(
        DVec3::new(a.cos(), 0.0, -a.sin()),
        DVec3::Y,
        DVec3::new(a.sin(), 0.0, a.cos()),
    );
    let flat = solid_box(0.24 * 0.3 * 0.4, DVec3::new(0.3, 0.4, 0.006));
    close_tensor("tilted", got.inertia_kg_m2, turn * flat * turn.transpose());
    // Not trivial: the product is a good part of the largest moment.
    assert!(got.inertia_kg_m2.x_axis.z.abs() > 0.1 * got.inertia_kg_m2.z_axis.z);
    close("behind", got.cg_m.x, -0.15 * a.cos(), 0.15);
    close("below", got.cg_m.z, 0.15 * a.sin(), 0.15);
}

#[test]
fn a_fin_is_an_upright_plate_that_turns_to_starboard() {
    let a = 0.2_f64;
    let mut plane = empty();
    plane.panels.push(panel(
        Side::Centre,
        SurfaceKind::Fin,
        [(DVec3::ZERO, 0.1, a), (DVec3::new(0.0, 0.0, -0.3), 0.1, a)],
    ));
    let got = MassProperties::of(&plane);
    close("up", got.cg_m.z, -0.15, 0.15);
    close("aft", got.cg_m.x, -0.05 * a.cos(), 0.05);
    // Leading edge to starboard leaves the middle to port of it.
    close("to port", got.cg_m.y, -0.05 * a.sin(), 0.05);
}

#[test]
fn dihedral_halves_are_inclined_rods_across_and_plates_along() {
    // Chord c, half length s at dihedral g: about the root line a half has
    // Ixx = m s2 / 3, which dihedral does not change; the pair's balance point
    // is s/2 sin g up.
    let (c, s, g) = (0.15, 0.6, 0.3_f64);
    let mut plane = empty();
    for (side, sign) in [(Side::Left, -1.0), (Side::Right, 1.0)] {
        plane.panels.push(panel(
            side,
            SurfaceKind::Wing,
            [
                (DVec3::ZERO, c, 0.0),
                (DVec3::new(0.0, sign * s * g.cos(), -s * g.sin()), c, 0.0),
            ],
        ));
    }
    let m = 2.0 * 0.24 * c * s;
    let up = s / 2.0 * g.sin();
    let t2 = 0.006_f64.powi(2) / 12.0;
    let got = MassProperties::of(&plane);
    close("height", got.cg_m.z, -up, up);
    let across = m * s * s / 3.0;
    let along = m * c * c / 12.0;
    let (s2, c2) = (g.sin().powi(2), g.cos().powi(2));
    close_tensor(
        "vee",
        got.inertia_kg_m2,
        DMat3::from_diagonal(DVec3::new(
            across - m * up * up + m * t2,
            across * s2 - m * up * up + along + m * t2 * c2,
            across * c2 + along + m * t2 * s2,
        )),
    );
}

#[test]
fn a_triangle_balances_at_a_third() {
    // Right triangle, root chord c, height s: centroid c/3 behind a straight
    // leading edge and s/3 out; central moments m s2/18, m c2/18 and the
    // product of inertia -m c s / 36 (lamina).
    let (c, s) = (0.3, 0.4);
    let mut plane = empty();
    plane.panels.push(panel(
        Side::Right,
        SurfaceKind::Wing,
        [(DVec3::ZERO, c, 0.0), (DVec3::new(0.0, s, 0.0), 0.0, 0.0)],
    ));
    let got = MassProperties::of(&plane);
    let m = 0.24 * c * s / 2.0;
    close("mass", got.mass_kg, m, m);
    close("behind", got.cg_m.x, -c / 3.0, c);
    close("out", got.cg_m.y, s / 3.0, s);
    let t2 = 0.006_f64.powi(2) / 12.0;
    // x runs forward, so the corner with mass in (aft, inboard) makes sum x y
    // positive: aft and out fall together only along the sloping edge.
    let product = m * c * s / 36.0;
    let reference = DMat3::from_cols(
        DVec3::new(m * (s * s / 18.0 + t2), -product, 0.0),
        DVec3::new(-product, m * (c * c / 18.0 + t2), 0.0),
        DVec3::new(0.0, 0.0, m * (s * s + c * c) / 18.0),
    );
    close_tensor("triangle", got.inertia_kg_m2, reference);
}

#[test]
fn a_sheet_tube_is_a_box_less_the_box_inside() {
    let (length, width, height, t) = (0.5, 0.06, 0.08, 0.006);
    let station = |x_m| BodyStation {
        x_m,
        z_m: 0.03,
        width_m: width,
        height_m: height,
    };
    let mut plane = empty();
    plane.bodies.push(Body {
        name: "body".into(),
        y_m: 0.0,
        stations: vec![station(0.1), station(-0.1), station(0.1 - length)],
        thickness_m: t,
        areal_density_kg_m2: 0.24,
        material: String::new(),
        colour: WHITE,
    });
    let density = 0.24 / t;
    let outer = DVec3::new(length, width, height);
    let inner = DVec3::new(length, width - 2.0 * t, height - 2.0 * t);
    let mass = |s: DVec3| density * s.x * s.y * s.z;
    let got = MassProperties::of(&plane);
    close(
        "mass",
        got.mass_kg,
        mass(outer) - mass(inner),
        mass(outer) - mass(inner),
    );
    close("aft", got.cg_m.x, 0.1 - length / 2.0, 0.15);
    close("low", got.cg_m.z, 0.03, 0.03);
    close_tensor(
        "tube",
        got.inertia_kg_m2,
        solid_box(mass(outer), outer) - solid_box(mass(inner), inner),
    );
}

#[test]
fn boxes_rods_and_points_add_up_by_parallel_axes() {
    let mut plane = empty();
    let rod = component(
        0.012,
        DVec3::new(-0.3, 0.0, 0.02),
        DVec3::new(0.0, 0.9, 0.0),
    );
    plane.components.push(rod.clone());
    close_tensor(
        "rod",
        MassProperties::of(&plane).inertia_kg_m2,
        DMat3::from_diagonal(DVec3::new(1.0, 0.0, 1.0) * (0.012 * 0.81 / 12.0)),
    );

    let point = component(0.05, DVec3::new(0.2, -0.1, -0.04), DVec3::ZERO);
    plane.components = vec![rod, point];
    let got = MassProperties::of(&plane);
    // Two bodies about their common centre: reduced mass times the tensor of
    // the line between them.
    let reduced = 0.012 * 0.05 / 0.062;
    let d = DVec3::new(0.5, -0.1, -0.06);
    let outer = DMat3::from_cols(d * d.x, d * d.y, d * d.z);
    let between = (DMat3::from_diagonal(DVec3::splat(d.length_squared())) - outer) * reduced;
    let own = DMat3::from_diagonal(DVec3::new(1.0, 0.0, 1.0) * (0.012 * 0.81 / 12.0));
    close_tensor("pair", got.inertia_kg_m2, between + own);
    close(
        "balance",
        got.cg_m.x,
        (0.012 * -0.3 + 0.05 * 0.2) / 0.062,
        0.1,
    );
    // The stated sign: off the diagonal the negative of sum m x y.
    close(
        "sign",
        got.inertia_kg_m2.x_axis.y,
        -reduced * d.x * d.y,
        reduced * 0.05,
    );

    plane.components = vec![component(0.1, DVec3::ZERO, DVec3::new(0.1, 0.03, 0.02))];
    close_tensor(
        "box",
        MassProperties::of(&plane).inertia_kg_m2,
        solid_box(0.1, DVec3::new(0.1, 0.03, 0.02)),
    );
}

#[test]
fn measurements_override_and_are_reported_beside_the_sums() {
    let mut plane = empty();
    plane.components = vec![
        component(0.1, DVec3::new(0.2, 0.0, 0.0), DVec3::ZERO),
        component(0.1, DVec3::new(-0.2, 0.0, 0.0), DVec3::ZERO),
    ];
    plane.measured.mass_kg = Some(0.25);
    plane.measured.balance_x_m = Some(-0.01);
    let got = MassProperties::of(&plane);
    assert_eq!(got.mass_kg, 0.25);
    assert_eq!(got.summed_mass_kg, 0.2);
    assert_eq!(got.cg_m, DVec3::new(-0.01, 0.0, 0.0));
    assert_eq!(got.summed_cg_m.x, 0.0);
    assert_eq!(
        (got.measured_mass_kg, got.measured_cg_x_m),
        (Some(0.25), Some(-0.01))
    );
    // m d2 for the heavier plane of the same shape.
    close("scaled", got.inertia_kg_m2.z_axis.z, 0.25 * 0.04, 0.01);
    assert_eq!(MassProperties::of(&empty()).mass_kg, 0.0);
}

#[test]
fn a_tapered_wing_has_the_textbook_mean_chord() {
    let (root, taper, half, sweep_aft) = (0.25, 0.6, 0.6, 0.08);
    let mut plane = empty();
    for (side, y) in [(Side::Left, -half), (Side::Right, half)] {
        plane.panels.push(panel(
            side,
            SurfaceKind::Wing,
            [
                (DVec3::ZERO, root, 0.0),
                (DVec3::new(-sweep_aft, y, 0.0), root * taper, 0.0),
            ],
        ));
        plane.panels.push(panel(
            side,
            SurfaceKind::Tailplane,
            [
                (DVec3::new(-0.7, 0.0, 0.0), 0.12, 0.0),
                (DVec3::new(-0.7, y / 3.0, 0.0), 0.12, 0.0),
            ],
        ));
    }
    let Some(got) = Geometry::of(&plane) else {
        panic!("no wing")
    };
    let area = half * root * (1.0 + taper);
    let mean = 2.0 / 3.0 * root * (1.0 + taper + taper * taper) / (1.0 + taper);
    let out = half / 3.0 * (1.0 + 2.0 * taper) / (1.0 + taper);
    let edge = -sweep_aft * out / half;
    close("area", got.wing.area_m2, area, area);
    close("span", got.wing.span_m, 1.2, 1.2);
    close("aspect ratio", got.wing.aspect_ratio, 1.44 / area, 5.0);
    close("mean chord", got.wing.mean_chord_m, mean, mean);
    close(
        "its leading edge",
        got.wing.mean_chord_leading_edge_x_m,
        edge,
        0.1,
    );
    let arm = 0.7 + 0.03 - (-edge + mean / 4.0);
    let tail_area = 2.0 * half / 3.0 * 0.12;
    close("arm", got.tail_arm_m.unwrap_or(f64::NAN), arm, arm);
    close(
        "tail volume",
        got.tail_volume.unwrap_or(f64::NAN),
        tail_area * arm / (area * mean),
        0.5,
    );
    assert_eq!(got.fin, None);
}
