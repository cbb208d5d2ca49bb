//! Foam wings at and past the stall: memory, aspect ratio, reversed flow.
#![allow(missing_docs)]

mod support;

use std::f64::consts::PI;

use glam::{DQuat, DVec3};
use larkfield_airframe::{EdgeShape, Fold, Section};
use larkfield_flight::section::{FlapTheory, SectionModel};
use larkfield_flight::{CarriedMotion, Controls};
use larkfield_proof::{Chapter, Checks, Figure};
use support::{Tunnel, foam, steady, still_air, straight_wing};

const CHORD_M: f64 = 0.2;
const SPEED_M_S: f64 = 8.0;

fn wing(aspect: f64, section: Section) -> Tunnel {
    let span_m = aspect * CHORD_M;
    let plane = straight_wing(span_m, CHORD_M, section);
    Tunnel::new(&plane, span_m * CHORD_M, span_m, SPEED_M_S)
}

/// Lift coefficients on the way up and down again, one for each degree, while
/// the nose turns at a rate.
fn ramp(wing: &Tunnel, top_deg: f64, deg_s: f64) -> (Vec<f64>, Vec<f64>) {
    let tick_s = 0.002;
    let mut state = wing.model.state_at_rest();
    let mut at = |alpha: f64, rate: f64| {
        let motion = CarriedMotion {
            position_m: DVec3::new(0.0, 0.0, -100.0),
            velocity_m_s: DVec3::X * SPEED_M_S,
            attitude: DQuat::from_rotation_y(alpha),
            rates_rad_s: DVec3::Y * rate,
        };
        let controls = Controls::default();
        let report = (wing.model).carry(&mut state, &motion, &controls, &still_air(), tick_s);
        (wing.coefficients(alpha, report.force_n, report.moment_n_m)).lift
    };
    for _ in 0..2000 {
        at(0.0, 0.0);
    }
    let steps = (top_deg / (deg_s * tick_s)).ceil() as u32;
    let each = f64::from(steps) / top_deg;
    let (mut up, mut down) = (vec![0.0], Vec::new());
    let rate = deg_s.to_radians();
    for (lifts, sign) in [(&mut up, 1.0), (&mut down, -1.0)] {
        let mut next = 1.0;
        for k in 1..=steps {
            let part = f64::from(k) / f64::from(steps);
            let alpha = top_deg * if sign > 0.0 { part } else { 1.0 - part };
            let lift = at(alpha.to_radians(), sign * rate);
            if f64::from(k) >= next * each {
                lifts.push(lift);
                next += 1.0;
            }
        }
    }
    down.reverse();
    down.push(up[up.len() - 1]);
    (up, down)
}

fn most(lifts: &[f64]) -> f64 {
    lifts.iter().copied().fold(f64::MIN, f64::max)
}

/// Highest lift between 0 and 40 degrees, settled.
fn static_most(wing: &Tunnel) -> f64 {
    (2..=80)
        .map(|half| 0.5 * f64::from(half))
        .map(|deg| wing.at(deg.to_radians(), 0.0, DVec3::ZERO).lift)
        .fold(f64::MIN, f64::max)
}

/// The first maximum of lift: where the curve stops rising.
fn first_maximum(wing: &Tunnel) -> (f64, f64) {
    let at = |deg: f64| wing.at(deg.to_radians(), 0.0, DVec3::ZERO).lift;
    let mut deg = 4.0;
    while deg < 45.0 && at(deg + 0.5) > at(deg) {
        deg += 0.5;
    }
    (at(deg), deg)
}

#[test]
fn a_quick_pull_overshoots_and_a_slow_one_does_not() {
    let mut checks = Checks::new(
        Chapter::Unsteady,
        "Largest lift of a pull over that of steady flow",
        "separation that lags (Goman and Khrabrov, J. Aircraft 31(5), 1994): sign; dynamic stall \
         raises lift by 10 to 100 % at reduced pitch rates of 0.01 to 0.05 (McCroskey, NASA \
         TM-81264, 1981); both from memory",
    );
    let wing = wing(6.0, foam());
    let steady = static_most(&wing);
    // Reduced rate: alpha' c/2V.
    let reduced = |deg_s: f64| deg_s.to_radians() * CHORD_M / (2.0 * SPEED_M_S);
    for deg_s in [40.0, 80.0, 120.0] {
        let (up, _) = ramp(&wing, 40.0, deg_s);
        checks.between(
            &format!("reduced rate {:.3}", reduced(deg_s)),
            most(&up) / steady,
            1.10,
            2.0,
        );
    }
    let (up, _) = ramp(&wing, 40.0, 1.0);
    let slow = reduced(1.0);
    checks.near(
        &format!("reduced rate {slow:.5}"),
        most(&up) / steady,
        1.0,
        0.02,
    );
    // What steady flow is said to be, at every degree of a slow change.
    checks.source("definition: a slow enough change of angle is steady flow");
    let (up, _) = ramp(&wing, 30.0, 0.5);
    for (deg, ours) in up.iter().enumerate().skip(1) {
        let angle = deg as f64;
        let settled = wing.at(angle.to_radians(), 0.0, DVec3::ZERO).lift;
        let at = Figure {
            figure: "lift while the angle rises by half a degree a second",
            line: "aspect ratio 6",
            x: "angle of attack, deg",
            y: "lift coefficient",
        };
        checks.point(&at, angle, *ours, settled, 0.04);
    }
    checks.finish();
}

#[test]
fn thin_plates_show_no_hysteresis() {
    let mut checks = Checks::new(
        Chapter::PlateWing,
        "Hysteresis of a slow loop to 30 degrees, largest difference of lift",
        "thin flat plates at low Reynolds number show none (Pelletier and Mueller, J. Aircraft \
         37(5), 2000; from memory); limit: the scatter of such measurements, about 0.03",
    );
    for aspect in [2.0, 3.0, 6.0] {
        let (up, down) = ramp(&wing(aspect, foam()), 30.0, 0.5);
        let pairs = up.iter().zip(&down);
        let gap = pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        checks.near(&format!("aspect ratio {aspect}"), gap, 0.0, 0.03);
    }
    checks.finish();
}

#[test]
fn stall_by_aspect_ratio_and_camber() {
    let mut checks = Checks::new(
        Chapter::PlateWing,
        "Stall of flat and cambered plate wings",
        "trend of Pelletier and Mueller, J. Aircraft 37(5), 2000, and Ananda, Sukumar and Selig, \
         2015: low aspect ratio stalls later; from memory, wide limits",
    );
    let (flat_three, at_three) = first_maximum(&wing(3.0, foam()));
    checks.between("aspect ratio 3: largest lift", flat_three, 0.65, 0.95);
    checks.between("aspect ratio 3: its angle, deg", at_three, 10.0, 20.0);
    let angles: Vec<f64> = [1.0, 2.0, 4.0, 6.0]
        .map(|aspect| first_maximum(&wing(aspect, foam())).1)
        .to_vec();
    println!("angles of most lift at aspect ratio 1, 2, 4, 6: {angles:?}");
    checks.between("aspect ratio 1: its angle, deg", angles[0], 23.0, 45.0);
    checks.between("aspect ratio 6: its angle, deg", angles[3], 8.0, 16.0);
    // 4 % camber as a crease in the middle: fold x (1 - x) = 0.04.
    let folded = Section::FoamSheet {
        edges: EdgeShape::Rounded,
        fold: Some(Fold {
            chord_fraction: 0.5,
            angle_rad: 0.16,
        }),
    };
    let (cambered, _) = first_maximum(&wing(3.0, folded));
    checks.between(
        "aspect ratio 3, camber 4 %: lift more than flat",
        cambered - flat_three,
        0.15,
        0.55,
    );
    checks.finish();
}

#[test]
fn reversed_flow() {
    let mut checks = Checks::new(
        Chapter::Sections,
        "A plate flown backwards",
        "a thin plate is the same both ways round: slope 2 pi, force at a quarter from its new \
         leading edge, which is half a chord behind ours; thin aerofoil theory, sharp blunt rear \
         edge first takes up to a fifth",
    );
    let model = SectionModel::new(&foam(), 0.03, f64::INFINITY);
    let step = 2f64.to_radians();
    let (ahead, _, nose_up) = steady(&model, PI + step, 8.0e4);
    let (behind, _, _) = steady(&model, PI - step, 8.0e4);
    checks.share("slope", (ahead - behind) / (2.0 * step), 2.0 * PI, 0.2);
    // Behind the quarter chord; the normal force acts against our lift axis.
    checks.near("centre of pressure", nose_up / ahead, 0.5, 0.05);
    checks.finish();
}

#[test]
fn friction_of_a_thin_sheet() {
    let mut checks = Checks::new(
        Chapter::Sections,
        "Friction of both sides of a very thin sheet",
        "Blasius, 1.328/sqrt(Re) a side",
    );
    let model = SectionModel::new(&foam(), 1.0e-4, f64::INFINITY);
    for reynolds in [5.0e4, 1.0e5, 2.0e5] {
        let (_, drag, _) = steady(&model, 0.0, reynolds);
        let blasius = 2.0 * 1.328 / f64::sqrt(reynolds);
        checks.share(&format!("Re {reynolds}"), drag, blasius, 0.02);
    }
    checks.finish();
}

/// Integrals of thin aerofoil theory over the chord by the midpoint rule,
/// slope -1 behind the hinge.
#[test]
fn flap_effectiveness() {
    let mut checks = Checks::new(
        Chapter::Sections,
        "Flap effectiveness by chord fraction",
        "thin aerofoil theory (Glauert, 1926), its integrals taken numerically",
    );
    for fraction in [0.1, 0.2, 0.3, 0.4, 0.5] {
        let (mut a0, mut a1, mut a2) = (0.0, 0.0, 0.0);
        let count = 200_000;
        for k in 0..count {
            let theta = PI * (f64::from(k) + 0.5) / f64::from(count);
            let x = 0.5 * (1.0 - theta.cos());
            let slope = if x > 1.0 - fraction { -1.0 } else { 0.0 };
            let d = PI / f64::from(count);
            a0 -= slope * d / PI;
            a1 += 2.0 / PI * slope * theta.cos() * d;
            a2 += 2.0 / PI * slope * (2.0 * theta).cos() * d;
        }
        let flap = FlapTheory::new(fraction, 1.0);
        checks.near(
            &format!("{fraction} of the chord: shift of zero lift"),
            flap.lift_effect,
            a0 + 0.5 * a1,
            1e-4,
        );
        checks.near(
            &format!("{fraction} of the chord: quarter-chord moment"),
            flap.moment_effect,
            0.25 * PI * (a2 - a1),
            1e-4,
        );
    }
    checks.finish();
}
