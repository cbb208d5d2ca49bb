//! What must not matter, and what must add up.

#![allow(missing_docs)]

use glam::{DMat3, DQuat, DVec3, EulerRot};
use larkfield_airframe::{Airframe, Rotation, Side};
use larkfield_flight::{
    AirProperties, Controls, FlightModel, FlightState, LocalWind, Surroundings,
};
use larkfield_proof::{Chapter, Checks};

const AIR: AirProperties = AirProperties {
    density_kg_m3: 1.225,
    viscosity_pa_s: 1.79e-5,
};
const G: f64 = 9.80665;

fn trainer() -> Airframe {
    let path = format!(
        "{}/../../shared/airframes/marram.ron",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(&path).expect("shipped airframe");
    larkfield_files::airframe::read_airframe(&text, &path).expect("readable airframe")
}

fn around(wind_m_s: DVec3) -> Surroundings {
    Surroundings {
        wind: LocalWind::uniform(wind_m_s),
        ground_z_m: 0.0,
        gravity_m_s2: G,
    }
}

fn start(model: &FlightModel, wind_m_s: DVec3) -> FlightState {
    let mut state = model.state_at_rest();
    state.position_m = DVec3::new(0.0, 0.0, -60.0);
    state.attitude = DQuat::from_euler(EulerRot::ZYX, 0.3, 0.05, 0.1);
    state.velocity_m_s = state.attitude * DVec3::new(9.0, 0.2, 0.5) + wind_m_s;
    state.rates_rad_s = DVec3::new(0.1, 0.02, -0.05);
    state
}

/// Sticks that move, so that servos and motor take part.
fn sticks(time_s: f64, mirror: f64) -> Controls {
    Controls {
        roll: 0.0,
        pitch: 0.1 * (2.0 * time_s).sin(),
        yaw: mirror * 0.3 * (1.3 * time_s).sin(),
        throttle: 0.45,
    }
}

fn fly(model: &FlightModel, wind_m_s: DVec3, mirror: f64, seconds: f64, dt: f64) -> FlightState {
    let mut state = start(model, wind_m_s);
    if mirror < 0.0 {
        state = mirrored(state);
    }
    let air = around(wind_m_s);
    let ticks = (seconds / dt).round() as u32;
    for k in 0..ticks {
        model.step(&mut state, &sticks(f64::from(k) * dt, mirror), &air, dt);
    }
    state
}

fn mirrored(mut s: FlightState) -> FlightState {
    s.position_m.y = -s.position_m.y;
    s.velocity_m_s.y = -s.velocity_m_s.y;
    s.rates_rad_s = DVec3::new(-s.rates_rad_s.x, s.rates_rad_s.y, -s.rates_rad_s.z);
    s.attitude = DQuat::from_xyzw(-s.attitude.x, s.attitude.y, -s.attitude.z, s.attitude.w);
    s
}

/// A uniform wind moves the ground track by wind times time and nothing else.
#[test]
fn uniform_wind_only_carries() {
    let model = FlightModel::new(&trainer(), AIR).expect("model");
    let wind = DVec3::new(-3.0, 2.0, 0.0);
    let calm = fly(&model, DVec3::ZERO, 1.0, 5.0, 0.002);
    let blown = fly(&model, wind, 1.0, 5.0, 0.002);
    let mut checks = Checks::new(
        Chapter::RigidBody,
        "A uniform wind only carries",
        "Galileo: the laws of motion are the same in air that moves evenly",
    );
    let moved = blown.position_m - calm.position_m;
    checks.near("track north, m", moved.x, 5.0 * wind.x, 1e-3);
    checks.near("track east, m", moved.y, 5.0 * wind.y, 1e-3);
    checks.near("height, m", moved.z, 0.0, 1e-3);
    checks.near(
        "attitude",
        blown.attitude.angle_between(calm.attitude),
        0.0,
        1e-3,
    );
    checks.finish();
    assert!(
        calm.position_m.x.abs() > 10.0,
        "the plane must have gone somewhere"
    );
}

/// The mirrored plane with mirrored sticks flies the mirrored flight.
#[test]
fn mirror() {
    let plane = trainer();
    let mut other = plane.clone();
    let flip = DVec3::new(1.0, -1.0, 1.0);
    for panel in &mut other.panels {
        panel.side = match panel.side {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
            Side::Centre => Side::Centre,
        };
        let upright = panel.side == Side::Centre;
        for s in &mut panel.stations {
            s.leading_edge_m *= flip;
            if upright {
                s.incidence_rad = -s.incidence_rad;
            }
        }
    }
    for c in &mut other.components {
        c.position_m *= flip;
    }
    for b in &mut other.bodies {
        b.y_m = -b.y_m;
    }
    if let Some(p) = &mut other.power {
        p.hub_m *= flip;
        p.thrust_direction *= flip;
        p.propeller.rotation = match p.propeller.rotation {
            Rotation::Clockwise => Rotation::Anticlockwise,
            Rotation::Anticlockwise => Rotation::Clockwise,
        };
    }
    let (a, b) = (
        FlightModel::new(&plane, AIR).expect("model"),
        FlightModel::new(&other, AIR).expect("model"),
    );
    let one = fly(&a, DVec3::ZERO, 1.0, 5.0, 0.002);
    let two = mirrored(fly(&b, DVec3::ZERO, -1.0, 5.0, 0.002));
    let mut checks = Checks::new(
        Chapter::RigidBody,
        "The mirrored plane flies the mirrored flight",
        "symmetry of the laws of motion",
    );
    checks.near(
        "position, m",
        (one.position_m - two.position_m).length(),
        0.0,
        1e-3,
    );
    checks.near(
        "attitude",
        one.attitude.angle_between(two.attitude),
        0.0,
        1e-3,
    );
    checks.near(
        "rates, rad/s",
        (one.rates_rad_s - two.rates_rad_s).length(),
        0.0,
        1e-3,
    );
    checks.finish();
    assert!(
        one.rates_rad_s.z.abs() + one.position_m.y.abs() > 0.5,
        "it must have turned"
    );
}

/// Energy gained is work done, within 1 % of what went through.
#[test]
fn energy_adds_up() {
    let model = FlightModel::new(&trainer(), AIR).expect("model");
    let mut state = start(&model, DVec3::ZERO);
    let air = around(DVec3::ZERO);
    let mut first = None;
    let (mut work, mut gross) = (0.0, 0.0);
    for k in 0..5000 {
        let before = model.energy_j(&state, G);
        let report = model.step(&mut state, &sticks(f64::from(k) * 0.002, 1.0), &air, 0.002);
        if first.is_none() {
            first = Some(before);
        }
        work += report.air_work_j + report.thrust_work_j;
        gross += report.air_work_j.abs() + report.thrust_work_j.abs();
    }
    let gained = model.energy_j(&state, G) - first.expect("flown");
    let mut checks = Checks::new(
        Chapter::RigidBody,
        "Energy gained is work done",
        "conservation of energy; allowed 1 % of what went through",
    );
    checks.near(
        "energy change less work, J",
        gained - work,
        0.0,
        0.01 * gross,
    );
    checks.finish();
    assert!(gross > 10.0, "something must have been worked: {gross} J");
}

/// No air: no moment, free fall by the textbook.
#[test]
fn no_air() {
    let mut plane = trainer();
    plane.power = None;
    let model = FlightModel::new(
        &plane,
        AirProperties {
            density_kg_m3: 0.0,
            viscosity_pa_s: 1.79e-5,
        },
    )
    .expect("model");
    let mut state = model.state_at_rest();
    state.velocity_m_s = DVec3::new(8.0, 0.0, 0.0);
    for _ in 0..1000 {
        model.step(
            &mut state,
            &Controls::default(),
            &around(DVec3::ZERO),
            0.002,
        );
    }
    let mut checks = Checks::new(
        Chapter::RigidBody,
        "Without air",
        "free fall, s = g t^2 / 2",
    );
    checks.near("fall in 2 s, m", state.position_m.z, 0.5 * G * 4.0, 1e-9);
    checks.near("rates, rad/s", state.rates_rad_s.length(), 0.0, 1e-12);
    checks.finish();
}

/// Torque-free tumbling keeps its angular momentum in world axes.
#[test]
fn tumbling_keeps_its_momentum() {
    let mut plane = trainer();
    plane.power = None;
    let air = AirProperties {
        density_kg_m3: 0.0,
        viscosity_pa_s: 1.79e-5,
    };
    let model = FlightModel::new(&plane, air).expect("model");
    let mut state = model.state_at_rest();
    state.rates_rad_s = DVec3::new(1.0, 2.0, 3.0);
    let inertia: DMat3 = model.mass().inertia_kg_m2;
    let momentum = |s: &FlightState| s.attitude * (inertia * s.rates_rad_s);
    let before = momentum(&state);
    for _ in 0..5000 {
        model.step(
            &mut state,
            &Controls::default(),
            &around(DVec3::ZERO),
            0.002,
        );
    }
    let drift = (momentum(&state) - before).length() / before.length();
    let mut checks = Checks::new(
        Chapter::RigidBody,
        "Tumbling without air",
        "conservation of angular momentum in world axes",
    );
    checks.near("momentum drift in 10 s", drift, 0.0, 1e-3);
    checks.finish();
    assert!(
        (state.rates_rad_s - DVec3::new(1.0, 2.0, 3.0)).length() > 0.1,
        "it must have tumbled"
    );
}

/// Halving the tick moves a flight of five seconds by under one per cent.
#[test]
fn half_the_tick() {
    let model = FlightModel::new(&trainer(), AIR).expect("model");
    let coarse = fly(&model, DVec3::ZERO, 1.0, 5.0, 0.002);
    let fine = fly(&model, DVec3::ZERO, 1.0, 5.0, 0.001);
    let path = (fine.position_m - DVec3::new(0.0, 0.0, -60.0)).length();
    let mut checks = Checks::new(
        Chapter::RigidBody,
        "Half the tick",
        "the same flight with half the tick; allowed 1 %",
    );
    checks.near(
        "end point, m",
        coarse.position_m.distance(fine.position_m),
        0.0,
        0.01 * path,
    );
    checks.near(
        "attitude, rad",
        coarse.attitude.angle_between(fine.attitude),
        0.0,
        0.01,
    );
    checks.finish();
}
