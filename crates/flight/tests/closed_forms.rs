//! Ideal wings against lifting-line theory, the ground and apparent mass.
//!
//! The ideal section has 2 pi a radian and no friction, so what is compared is
//! how strips influence each other and how forces are summed.
#![allow(missing_docs)]

mod support;

use std::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::Section;
use larkfield_flight::{AirProperties, Controls, FlightModel};
use larkfield_proof::{Chapter, Checks, Figure};
use support::{GRAVITY_M_S2, Tunnel, elliptic_half, still_air, straight_wing, wing_of};

const SPAN_M: f64 = 1.2;

fn elliptic(aspect: f64) -> Tunnel {
    // The tips are cut where their chord is a thirtieth of the root's.
    let area_m2 = SPAN_M * SPAN_M / aspect;
    let root_m = 4.0 * area_m2 / (PI * SPAN_M);
    let plane = wing_of(&elliptic_half(SPAN_M, root_m), Section::ThinIdeal);
    Tunnel::new(&plane, area_m2, SPAN_M, 10.0)
}

fn straight(aspect: f64) -> Tunnel {
    let chord_m = SPAN_M / aspect;
    let plane = straight_wing(SPAN_M, chord_m, Section::ThinIdeal);
    Tunnel::new(&plane, SPAN_M * chord_m, SPAN_M, 10.0)
}

/// Lift slope a radian, induced drag at 4 degrees over that of the least
/// possible, roll damping.
fn measure(tunnel: &Tunnel, aspect: f64) -> (f64, f64, f64) {
    let (alpha, step) = (4f64.to_radians(), 0.5f64.to_radians());
    let lift = |a: f64| tunnel.at(a, 0.0, DVec3::ZERO).lift;
    let slope = (lift(alpha + step) - lift(alpha - step)) / (2.0 * step);
    let at = tunnel.at(alpha, 0.0, DVec3::ZERO);
    let efficiency = at.lift * at.lift / (PI * aspect * at.drag);
    let roll = |p: f64| tunnel.at(alpha, 0.0, DVec3::new(p, 0.0, 0.0)).roll;
    (slope, efficiency, (roll(0.02) - roll(-0.02)) / 0.04)
}

/// Prandtl's elliptic wing: slope 2 pi A/(A + 2), induced drag CL^2/(pi A); a
/// roll adds the second term of his series: damping -(pi/4) A/(A + 4), that of
/// two wings of half the aspect ratio. Lifting lines overrate low aspect
/// ratios: Helmbold's slope has 2 + sqrt(A^2 + 4) for A + 2, and so for the
/// halves.
#[test]
fn elliptic_wings() {
    let mut checks = Checks::new(
        Chapter::FiniteWings,
        "Elliptic wings in closed form",
        "Prandtl's lifting line, with Helmbold's slope for low aspect ratios (Anderson, \
         Fundamentals of Aerodynamics, chapter 5; from memory)",
    );
    for aspect in [2.0, 4.0, 6.0, 8.0, 12.0] {
        let (slope, efficiency, damping) = measure(&elliptic(aspect), aspect);
        let figure = |y| Figure {
            figure: y,
            line: "elliptic wings",
            x: "aspect ratio",
            y,
        };
        let helmbold = 2.0 * PI * aspect / (2.0 + (aspect * aspect + 4.0).sqrt());
        let at = figure("lift slope a radian");
        checks.point(&at, aspect, slope, helmbold, 0.04 * helmbold);
        let at = figure("span efficiency");
        checks.point(&at, aspect, efficiency, 1.0, 0.05);
        let half = 0.5 * aspect;
        let damped = -0.25 * PI * half / (2.0 + (half * half + 4.0).sqrt());
        let at = figure("roll damping Clp");
        checks.point(&at, aspect, damping, damped, 0.08 * damped.abs());
    }
    checks.finish();
}

/// Induced drag of straight wings of constant chord, as 1 + delta.
#[test]
fn span_efficiency_of_straight_wings() {
    let mut checks = Checks::new(
        Chapter::FiniteWings,
        "Span efficiency of straight wings",
        "Glauert, Elements of Aerofoil and Airscrew Theory, 1926, from memory: delta 0.02 to 0.04 \
         at aspect ratio 4, 0.04 to 0.06 at 6, 0.06 to 0.09 at 9",
    );
    checks.note(
        "Induced drag of straight wings comes out 7 to 8 % below Glauert's series, as it does in \
         the vortex lattice of the reference (span efficiency 1.03 at aspect ratio 4): both sum \
         the force at the strips, where the last strip at each tip is too coarse for the roll-up.",
    );
    // The limit is that of the reference data for induced drag, 10 %.
    for (aspect, delta) in [(4.0, 0.03), (6.0, 0.05), (9.0, 0.075)] {
        let (_, efficiency, _) = measure(&straight(aspect), aspect);
        let what = format!("aspect ratio {aspect}, 1/e");
        checks.share(&what, 1.0 / efficiency, 1.0 + delta, 0.10);
    }
    checks.finish();
}

/// Induced drag near the ground at the same lift, over that far from it.
#[test]
fn induced_drag_near_the_ground() {
    let mut checks = Checks::new(
        Chapter::GroundEffect,
        "Induced drag over height",
        "Wieselsberger, NACA TM 77, 1922, 1 - (1 - 1.32 h/b)/(1.05 + 7.4 h/b) up to h/b 0.25, and \
         McCormick, Aerodynamics, Aeronautics and Flight Mechanics, (16 h/b)^2/(1 + (16 h/b)^2); \
         both from memory",
    );
    checks.note(
        "The two published formulas contradict each other near the ground: at a tenth of the span \
         Wieselsberger leaves 0.51 of the induced drag, McCormick 0.72. Ours sums the image of \
         every strip, as Wieselsberger does for an elliptic load, and is held to him there; \
         McCormick's single horseshoe is used from half a span up, where both agree within 0.06.",
    );
    let mut tunnel = straight(6.0);
    // Drag over lift squared, so that lift itself may change.
    let factor = |tunnel: &Tunnel| {
        let at = tunnel.at(4f64.to_radians(), 0.0, DVec3::ZERO);
        at.drag / (at.lift * at.lift)
    };
    let free = factor(&tunnel);
    let figure = |line| Figure {
        figure: "induced drag over that far from the ground",
        line,
        x: "height over span",
        y: "ratio",
    };
    for height in [0.05, 0.07, 0.1, 0.15, 0.2, 0.25, 0.35, 0.5, 0.8, 1.2] {
        tunnel.height_m = height * SPAN_M;
        let ours = factor(&tunnel) / free;
        let square = (16.0 * height).powi(2);
        if height >= 0.5 {
            let at = figure("McCormick");
            checks.point(&at, height, ours, square / (1.0 + square), 0.10);
        }
        if height <= 0.25 {
            let influence = (1.0 - 1.32 * height) / (1.05 + 7.4 * height);
            let at = figure("Wieselsberger");
            checks.point(&at, height, ours, 1.0 - influence, 0.05);
        }
    }
    checks.finish();
}

/// A plate that is let go flat in still air falls more slowly than a stone:
/// it carries air with it. The first tick shows by how much.
#[test]
fn apparent_mass_of_a_plate() {
    let mut checks = Checks::new(
        Chapter::Unsteady,
        "Apparent mass of a plate moved square to itself",
        "cylinder of air around the chord, rho pi c^2/4 a metre, times the coefficient of a \
         rectangular plate (DNV-RP-C205, appendix D; from memory)",
    );
    for (aspect, reference) in [
        (1.0, 0.579),
        (2.0, 0.757),
        (4.0, 0.872),
        (6.25, 0.917),
        (10.0, 0.947),
    ] {
        let chord_m = 0.2;
        let span_m = aspect * chord_m;
        let plane = straight_wing(span_m, chord_m, Section::ThinIdeal);
        // Heavy air, so that it shows.
        let air = AirProperties {
            density_kg_m3: 5.0,
            viscosity_pa_s: 1.8e-5,
        };
        let mut plane = plane;
        // Balanced in the middle, where the air's inertia acts: no pitching.
        plane.measured.balance_x_m = Some(-0.5 * chord_m);
        let model = FlightModel::new(&plane, air).expect("model");
        let mut state = model.state_at_rest();
        state.position_m.z = -50.0;
        let tick_s = 1e-5;
        model.step(&mut state, &Controls::default(), &still_air(), tick_s);
        let acceleration = state.velocity_m_s.z / tick_s;
        let carried_kg = model.mass().mass_kg * (GRAVITY_M_S2 / acceleration - 1.0);
        let cylinder_kg = 5.0 * 0.25 * PI * chord_m * chord_m * span_m;
        let at = Figure {
            figure: "apparent mass over the cylinder around the chord",
            line: "rectangular plates",
            x: "aspect ratio",
            y: "ratio",
        };
        checks.point(&at, aspect, carried_kg / cylinder_kg, reference, 0.04);
    }
    checks.finish();
}

/// Level turns: the wing carries weight over the cosine of the bank, so the
/// stall speed goes with the root of that.
#[test]
fn stall_speed_in_a_turn() {
    let mut checks = Checks::new(
        Chapter::PlateWing,
        "Stall speed in level turns over that in straight flight",
        "load factor 1/cos(bank): equilibrium of forces in a level turn",
    );
    let (span_m, chord_m) = (1.2, 0.2);
    let plane = straight_wing(span_m, chord_m, support::foam());
    // Maximum lift in a turn of this bank: nose turns at g tan(bank)/V.
    let most_lift = |tunnel: &Tunnel, bank: f64| {
        let v = tunnel.speed_m_s;
        let turn = GRAVITY_M_S2 * bank.tan() / v;
        let (pitching, yawing) = (turn * bank.sin(), turn * bank.cos());
        let rates = DVec3::new(0.0, pitching * tunnel.chord_m, yawing * span_m) / (2.0 * v);
        (8..=20)
            .map(|deg| tunnel.at(f64::from(deg).to_radians(), 0.0, rates).lift)
            .fold(f64::MIN, f64::max)
    };
    let weight_n = 4.0;
    let stall = |bank: f64| {
        let mut tunnel = Tunnel::new(&plane, span_m * chord_m, span_m, 7.0);
        for _ in 0..8 {
            let pressure = 0.5 * support::AIR.density_kg_m3 * tunnel.area_m2;
            let lift = weight_n / bank.cos();
            tunnel.speed_m_s = (lift / (pressure * most_lift(&tunnel, bank))).sqrt();
        }
        tunnel.speed_m_s
    };
    let straight = stall(0.0);
    for deg in [30.0_f64, 45.0, 60.0] {
        let bank = deg.to_radians();
        let ours = stall(bank) / straight;
        checks.share(
            &format!("bank {deg} deg"),
            ours,
            (1.0 / bank.cos()).sqrt(),
            0.04,
        );
    }
    checks.finish();
}
