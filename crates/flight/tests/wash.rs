//! Plates in the propeller's wash, against the actuator disk.
#![allow(missing_docs)]

mod support;

use std::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::{Airframe, Section};
use larkfield_flight::FlightModel;
use larkfield_proof::{Chapter, Checks};
use support::{AIR, Tunnel, shipped, still_air, straight_wing};

const INCIDENCE_RAD: f64 = 0.06;
const BEHIND_M: f64 = 0.35;

/// A plate on the shaft line behind the shipped trainer's propeller, blowing
/// straight back.
fn blown_plate(span_m: f64, chord_m: f64) -> Airframe {
    let mut plane = straight_wing(span_m, chord_m, Section::ThinIdeal);
    for panel in &mut plane.panels {
        for station in &mut panel.stations {
            station.incidence_rad = INCIDENCE_RAD;
        }
    }
    plane.power = shipped("marram").power;
    let power = plane.power.as_mut().expect("it has a motor");
    power.hub_m = DVec3::new(BEHIND_M - 0.25 * chord_m, 0.0, 0.0);
    power.thrust_direction = DVec3::X;
    plane
}

/// Lift in the wash of a plane at rest, N, and its thrust, N.
fn at_rest(plane: &Airframe) -> (f64, f64) {
    let model = FlightModel::new(plane, AIR).expect("model");
    let mut state = model.state_at_rest();
    state.position_m.z = -50.0;
    let loads = model.settled_loads(&mut state, 1.0, &still_air());
    (-loads.air_force_n.z, loads.thrust_n)
}

#[test]
fn a_small_plate_in_the_wash_feels_the_speed_of_the_wash() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "A plate in the wash of a plane that stands still",
        "actuator disk with a wake that contracts as a vortex tube: w (1 + x/sqrt(x^2 + R^2)), w = \
         sqrt(T/(2 rho A)) (McCormick, Aerodynamics, Aeronautics and Flight Mechanics; from memory)",
    );
    checks.note(
        "A plate nearly as wide as the wash carries less than one in an endless stream of that \
         speed, because the edge of a jet cannot hold pressure (about 12 % for the small plate \
         here, by Glauert's correction for open wind tunnels). That is not modelled.",
    );
    let (span_m, chord_m) = (0.10, 0.05);
    let plane = blown_plate(span_m, chord_m);
    let (blown_n, thrust_n) = at_rest(&plane);
    let power = plane.power.as_ref().expect("a motor");
    let radius_m = 0.5 * power.propeller.diameter_m;
    let disk_m2 = PI * radius_m * radius_m;
    let induced = (thrust_n / (2.0 * AIR.density_kg_m3 * disk_m2)).sqrt();
    let along = BEHIND_M / BEHIND_M.hypot(radius_m);
    let wash_m_s = induced * (1.0 + along);
    let mut unpowered = plane.clone();
    unpowered.power = None;
    let tunnel = Tunnel::new(&unpowered, span_m * chord_m, span_m, wash_m_s);
    let pressure = 0.5 * AIR.density_kg_m3 * wash_m_s * wash_m_s;
    let alone_n = tunnel.at(0.0, 0.0, DVec3::ZERO).lift * pressure * span_m * chord_m;
    checks.share("lift, N", blown_n, alone_n, 0.15);

    // A wing that reaches far outside: only what is inside is blown, and it
    // carries less than the same strips of an endless wing at that speed.
    let (wide_n, _) = at_rest(&blown_plate(0.8, chord_m));
    let narrow_m = 2.0 * radius_m * (1.0 / (1.0 + along)).sqrt();
    let endless_n = 2.0 * PI * INCIDENCE_RAD * pressure * narrow_m * chord_m;
    checks.between(
        "a wide wing, share of two-dimensional lift",
        wide_n / endless_n,
        0.4,
        1.0,
    );
    checks.finish();
}

/// In flight the wash adds lift where it blows, and not elsewhere.
#[test]
fn power_adds_lift_to_the_blown_part_only() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Lift that power adds to a wing",
        "the blown part has at most the dynamic pressure of the far wake: gain of lift between \
         nothing and (V_j/V)^2 - 1 on the blown share of the span (Koning, in Durand, \
         Aerodynamic Theory IV, 1935; from memory)",
    );
    let (span_m, chord_m, speed) = (0.9, 0.15, 9.0);
    let plane = blown_plate(span_m, chord_m);
    let model = FlightModel::new(&plane, AIR).expect("model");
    let lift = |throttle: f64| {
        let mut state = model.state_at_rest();
        state.position_m.z = -50.0;
        state.velocity_m_s = DVec3::X * speed;
        let loads = model.settled_loads(&mut state, throttle, &still_air());
        (-loads.air_force_n.z, loads.thrust_n)
    };
    // The throttle at which the propeller neither pulls nor drags.
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if lift(middle).1 < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let (without_n, _) = lift(low);
    let (with_n, thrust_n) = lift(1.0);
    let radius_m = 0.5 * plane.power.as_ref().expect("a motor").propeller.diameter_m;
    let disk_m2 = PI * radius_m * radius_m;
    // Momentum: T = rho A (V + w) 2 w.
    let half = 0.5 * speed;
    let induced = (half * half + thrust_n / (2.0 * AIR.density_kg_m3 * disk_m2)).sqrt() - half;
    let far = speed + 2.0 * induced;
    let narrow_m = 2.0 * radius_m * ((speed + induced) / far).sqrt();
    let most = ((far / speed).powi(2) - 1.0) * narrow_m / span_m;
    checks.between(
        "share of lift added",
        with_n / without_n - 1.0,
        0.2 * most,
        most,
    );
    checks.finish();
}
