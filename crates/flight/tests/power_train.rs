//! Battery, controller, motor and propeller together, against hand sums.
#![allow(missing_docs)]

use std::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::{Battery, Controller, Motor, Power, Propeller, Rotation};
use larkfield_flight::power::{
    CalibrationError, PowerInputs, PowerModel, PowerOutput, PowerState, SlipstreamPlace,
    resting_cell_v,
};
use larkfield_proof::{Chapter, Checks};

const DENSITY_KG_M3: f64 = 1.225;
const VISCOSITY_PA_S: f64 = 1.789e-5;

/// Train of a 0.7 kg trainer: 1000 rpm/V, 0.1 ohm, 0.8 A without load; three
/// cells of 10 milliohm, 1300 mAh; 9 x 4.5 in propeller.
fn train() -> Power {
    Power {
        motor: Motor {
            speed_constant_rad_s_v: 1000.0 * PI / 30.0,
            resistance_ohm: 0.1,
            no_load_current_a: 0.8,
            current_limit_a: 18.0,
            rotor_inertia_kg_m2: 3.0e-6,
        },
        propeller: Propeller {
            diameter_m: 9.0 * 0.0254,
            pitch_m: 4.5 * 0.0254,
            blades: 2,
            geometry: Vec::new(),
            brake: false,
            rotation: Rotation::Clockwise,
            mounted_backward: false,
            mass_kg: 0.010,
        },
        battery: Battery {
            cells: 3,
            capacity_c: 1.3 * 3600.0,
            cell_resistance_ohm: 0.010,
            current_limit_a: 30.0,
            charge: 1.0,
        },
        controller: Controller {
            current_limit_a: 20.0,
            response_s: 0.1,
            cutoff_cell_v: 3.2,
        },
        hub_m: DVec3::new(0.2, 0.0, 0.0),
        thrust_direction: DVec3::X,
        pusher: false,
    }
}

fn model(power: &Power) -> PowerModel {
    PowerModel::new(power, DENSITY_KG_M3, VISCOSITY_PA_S)
}

fn inputs(throttle: f64, dt_s: f64, speed_m_s: f64) -> PowerInputs {
    PowerInputs {
        throttle,
        dt_s,
        hub_velocity_m_s: DVec3::new(speed_m_s, 0.0, 0.0),
        body_rate_rad_s: DVec3::ZERO,
    }
}

/// Runs for a time; gives the last state and output.
fn run(
    model: &PowerModel,
    state: PowerState,
    drive: PowerInputs,
    seconds: f64,
) -> (PowerState, PowerOutput) {
    let mut state = state;
    let mut last = model.step(&mut state, &drive);
    let steps = (seconds / drive.dt_s).round() as usize;
    for _ in 1..steps {
        last = model.step(&mut state, &drive);
    }
    (state, last)
}

/// By hand, 20 A at full throttle: sag 3 x 10 milliohm x 20 A = 0.6 V from
/// 3 x 4.20 = 12.6 V; back voltage 12.0 - 20 x 0.1 = 10.0 V; 10 000 rpm;
/// input 240 W, shaft (20 - 0.8) x 10 = 192 W.
#[test]
fn hand_sum_at_twenty_amperes() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Motor, battery and propeller at 20 A",
        "first-order electric motor: speed constant, winding resistance, no-load current (Drela, MIT, 2007; from memory), summed by hand",
    );
    let model = model(&train())
        .calibrated(None, Some(20.0))
        .expect("a real propeller");
    let point = model.static_point(1.0);
    checks.near("current, A", point.battery_current_a, 20.0, 0.01);
    checks.near("voltage, V", point.voltage_v, 12.0, 0.001);
    checks.near("rpm", point.rpm, 10_000.0, 5.0);
    checks.near("input, W", point.electrical_w, 240.0, 0.1);
    checks.near("shaft, W", point.shaft_w, 192.0, 0.1);
    // The stepped train settles on the same point.
    let (state, last) = run(&model, model.initial_state(), inputs(1.0, 0.002, 0.0), 3.0);
    let used = 3.0 * 20.0 / (1.3 * 3600.0);
    println!(
        "charge used {:.4} of capacity, at most {used:.4}",
        state.charge_used_c / 4680.0
    );
    checks.near("stepped voltage, V", last.voltage_v, 12.0, 0.05);
    checks.near("stepped current, A", last.battery_current_a, 20.0, 0.25);
    checks.near("motor load", last.motor_load, 20.0 / 18.0, 0.015);
    checks.finish();
}

/// Half duty: the battery gives half the motor current, and the motor sees
/// half the voltage: I (0.1 + 0.25 x 0.03) = 6.3 - back voltage.
#[test]
fn partial_throttle_is_an_ideal_chopper() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Half throttle",
        "an ideal chopper: battery gives half the motor current, the motor sees half the voltage; summed by hand",
    );
    let model = model(&train());
    let point = model.static_point(0.5);
    let back = point.omega_rad_s / train().motor.speed_constant_rad_s_v;
    let current = (6.3 - back) / (0.1 + 0.25 * 0.03);
    checks.near("motor current, A", point.motor_current_a, current, 1e-6);
    checks.near(
        "battery current, A",
        point.battery_current_a,
        0.5 * current,
        1e-6,
    );
    checks.finish();
}

/// 4.20 V full, 3.7 V nominal, nothing left below 3.0 V (battery makers'
/// figures in common use; no source).
#[test]
fn resting_voltage_of_a_cell() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Resting voltage of a cell",
        "battery makers' figures in common use; common practice, no source",
    );
    checks.near("full", resting_cell_v(1.0), 4.20, 1e-9);
    checks.near("half", resting_cell_v(0.5), 3.84, 0.06);
    checks.near("a tenth", resting_cell_v(0.1), 3.7, 0.06);
    assert!(resting_cell_v(-0.02) < 3.0);
    assert_eq!(resting_cell_v(-5.0), 0.0);
    let mut before = resting_cell_v(0.0);
    for i in 1..=1000 {
        let now = resting_cell_v(f64::from(i) / 1000.0);
        assert!(now >= before, "falls at {i}");
        before = now;
    }
    checks.finish();
}

/// Input power is shaft power and heat at every instant, and shaft work is
/// work on the air and energy of the turning parts over a run-up.
#[test]
fn energy_balances() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Shaft work of a run-up",
        "conservation of energy: work on the air plus energy of the turning parts",
    );
    let model = model(&train());
    let mut state = model.initial_state();
    let dt_s = 0.001;
    let (mut shaft_j, mut air_j) = (0.0, 0.0);
    for i in 0..2000 {
        let throttle = if i < 1200 { 0.9 } else { 0.35 };
        let out = model.step(&mut state, &inputs(throttle, dt_s, 6.0));
        let sum = out.shaft_w + out.winding_loss_w + out.friction_loss_w;
        assert!(
            (out.electrical_w - sum).abs() <= 1e-9 * (1.0 + sum),
            "step {i}"
        );
        assert!(
            out.propulsive_w <= out.aerodynamic_w + 1e-9,
            "propeller makes energy, step {i}"
        );
        shaft_j += out.shaft_w * dt_s;
        air_j += out.aerodynamic_w * dt_s;
    }
    let stored = 0.5 * model.inertia_kg_m2() * state.omega_rad_s * state.omega_rad_s;
    checks.near("shaft work, J", shaft_j, air_j + stored, 0.005 * shaft_j);
    checks.finish();
}

/// Reaction over a run-up equals what the air took plus the angular momentum
/// the rotor gained; a clockwise propeller rolls the airframe left.
#[test]
fn reaction_holds_rotor_acceleration() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Reaction of a run-up",
        "conservation of angular momentum",
    );
    let model = model(&train());
    let mut state = model.initial_state();
    let mut impulse = 0.0;
    let mut air = 0.0;
    for _ in 0..500 {
        let out = model.step(&mut state, &inputs(1.0, 0.001, 0.0));
        impulse += out.reaction_n_m * 0.001;
        if out.omega_rad_s > 0.0 {
            air += out.aerodynamic_w / out.omega_rad_s * 0.001;
        }
        assert!(out.moment_n_m.x <= 0.0);
    }
    let gained = model.inertia_kg_m2() * state.omega_rad_s;
    checks.near(
        "angular impulse, N m s",
        -impulse,
        air + gained,
        0.01 * (air + gained),
    );
    checks.finish();
}

/// Mirror image: everything about the shaft changes sign, thrust does not.
#[test]
fn mirror_image() {
    let mut other = train();
    other.propeller.rotation = Rotation::Anticlockwise;
    let (right, left) = (model(&train()), model(&other));
    // Seen in the mirror of the plane of symmetry.
    let drive = |side: f64| PowerInputs {
        throttle: 0.8,
        dt_s: 0.002,
        hub_velocity_m_s: DVec3::new(9.0, 1.5 * side, 2.0),
        body_rate_rad_s: DVec3::new(0.3 * side, 0.5, -0.2 * side),
    };
    let (_, a) = run(&right, right.initial_state(), drive(1.0), 0.5);
    let (_, b) = run(&left, left.initial_state(), drive(-1.0), 0.5);
    let force = DVec3::new(a.force_n.x, -a.force_n.y, a.force_n.z);
    let moment = DVec3::new(-a.moment_n_m.x, a.moment_n_m.y, -a.moment_n_m.z);
    assert!(
        (force - b.force_n).length() < 1e-12,
        "{force} {}",
        b.force_n
    );
    assert!(
        (moment - b.moment_n_m).length() < 1e-12,
        "{moment} {}",
        b.moment_n_m
    );
    assert!((a.angular_momentum_kg_m2_s + b.angular_momentum_kg_m2_s).length() < 1e-15);
    assert!((a.slipstream.swirl_rad_s + b.slipstream.swirl_rad_s).abs() < 1e-9);
    assert!(a.angular_momentum_kg_m2_s.x > 0.0 && a.moment_n_m.x < 0.0);
}

/// Nose up by 10 degrees, clockwise: nose goes left (negative yaw), and the
/// propeller pushes up, with the crossflow.
#[test]
fn climbing_yaws_left() {
    let model = model(&train());
    let mut drive = inputs(0.9, 0.002, 0.0);
    drive.hub_velocity_m_s = DVec3::new(8.0 * 0.985, 0.0, 8.0 * 0.174);
    let (_, out) = run(&model, model.initial_state(), drive, 1.0);
    println!("force {}, moment {}", out.force_n, out.moment_n_m);
    assert!(out.moment_n_m.z < 0.0);
    assert!(out.force_n.z < 0.0);
}

/// Halving the tick moves the run-up by little: second order.
#[test]
fn halving_the_tick() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Ticks of the motor",
        "the same run-up with a tick of a quarter of a millisecond",
    );
    let model = model(&train());
    for at_s in [0.04, 0.1, 0.3] {
        let omega = |dt_s: f64| {
            run(&model, model.initial_state(), inputs(1.0, dt_s, 4.0), at_s)
                .0
                .omega_rad_s
        };
        let fine = omega(0.00025);
        checks.near(
            &format!("omega after {at_s} s, 4 ms"),
            omega(0.004),
            fine,
            0.01 * fine,
        );
        checks.near(
            &format!("omega after {at_s} s, 2 ms"),
            omega(0.002),
            fine,
            0.003 * fine,
        );
        checks.near(
            &format!("omega after {at_s} s, 1 ms"),
            omega(0.001),
            fine,
            0.001 * fine,
        );
    }
    checks.finish();
}

/// Any inertia, any tick to 20 ms: bounded, and at rest where it should be.
#[test]
fn quick_rotors_stay_stable() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Rotors of any inertia",
        "the same train's own static point, a root of the algebraic equations, reached by stepping",
    );
    for (mass_kg, rotor) in [(0.0, 0.0), (1e-4, 1e-8), (0.004, 1e-6), (0.03, 2e-5)] {
        let mut power = train();
        power.propeller.mass_kg = mass_kg;
        power.motor.rotor_inertia_kg_m2 = rotor;
        let model = model(&power);
        let expected = model.static_point(1.0).omega_rad_s;
        for dt_s in [0.001, 0.002, 0.005, 0.020] {
            let mut state = model.initial_state();
            let mut most = 0.0_f64;
            for _ in 0..(1.5 / dt_s) as usize {
                let _ = model.step(&mut state, &inputs(1.0, dt_s, 0.0));
                assert!(state.omega_rad_s.is_finite());
                most = most.max(state.omega_rad_s);
            }
            let what = format!("{mass_kg} kg, {rotor} kg m2, {dt_s} s");
            checks.near(&what, state.omega_rad_s, expected, 0.01 * expected);
            assert!(most < 1.15 * expected, "{what}: overshoots to {most}");
            // And stops again.
            let (stopped, _) = run(&model, state, inputs(0.0, dt_s, 0.0), 5.0);
            assert!(
                stopped.omega_rad_s.abs() < 60.0,
                "{what}: {}",
                stopped.omega_rad_s
            );
        }
    }
    checks.finish();
}

/// A weak battery: three cells of 40 milliohm sag by over 0.4 V a cell, and
/// the controller cuts a nearly empty one; it stays cut until the throttle
/// closes.
#[test]
fn weak_battery_sags_and_is_cut() {
    let mut checks = Checks::new(
        Chapter::Power,
        "A weak battery",
        "Ohm's law, by hand: 3 cells of 40 milliohm",
    );
    let mut power = train();
    power.battery.cell_resistance_ohm = 0.040;
    let weak = model(&power);
    let point = weak.static_point(1.0);
    let by_hand = 12.6 - point.battery_current_a * 0.12;
    checks.near("voltage, V", point.voltage_v, by_hand, 1e-9);
    assert!((12.6 - point.voltage_v) / 3.0 > 0.4);

    power.battery.charge = 0.06;
    let empty = model(&power);
    let (state, out) = run(&empty, empty.initial_state(), inputs(1.0, 0.002, 0.0), 2.0);
    assert!(state.cut_off);
    assert!(out.battery_current_a == 0.0);
    // Stick unchanged: nothing.
    let (state, out) = run(&empty, state, inputs(1.0, 0.002, 0.0), 3.0);
    assert!(state.cut_off && out.thrust_n < 0.05);
    // Closed and opened a little: runs again.
    let (state, _) = run(&empty, state, inputs(0.0, 0.002, 0.0), 1.0);
    assert!(!state.cut_off);
    let (state, out) = run(&empty, state, inputs(0.25, 0.002, 0.0), 1.0);
    assert!(!state.cut_off && out.thrust_n > 0.05);
    checks.finish();
}

/// With the throttle shut at 12 m/s a free propeller windmills and a braked
/// one stands nearly still. A turning one drags more than a stopped one
/// (Hoerner, 1965, chapter XIII; from memory) unless it turns freely enough.
#[test]
fn windmill_and_brake() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Torque of a windmill",
        "equilibrium with the motor's friction: no-load current over the speed constant",
    );
    let free = model(&train());
    let mut power = train();
    power.propeller.brake = true;
    let braked = model(&power);
    let glide = |model: &PowerModel| {
        let (state, _) = run(model, model.initial_state(), inputs(1.0, 0.002, 12.0), 1.0);
        run(model, state, inputs(0.0, 0.002, 12.0), 4.0)
    };
    let (free_state, free_out) = glide(&free);
    let (braked_state, braked_out) = glide(&braked);
    println!(
        "free {:.0} rad/s {:.3} N, braked {:.1} rad/s {:.3} N",
        free_state.omega_rad_s, free_out.thrust_n, braked_state.omega_rad_s, braked_out.thrust_n
    );
    assert!(free_state.omega_rad_s > 100.0);
    assert!(braked_state.omega_rad_s.abs() < 30.0);
    assert!(free_out.thrust_n < 0.0 && braked_out.thrust_n < 0.0);
    // Wake of a windmill is slower than the flight.
    assert!(free_out.slipstream.axial_velocity_m_s(0.5) < 12.0);
    // Balance of the windmill: air torque drives the friction of the motor,
    // I0/Kv = 0.8 / 104.7 N m.
    let friction = 0.8 / train().motor.speed_constant_rad_s_v;
    checks.near(
        "torque of the air, N m",
        free_out.aerodynamic_w / free_out.omega_rad_s,
        -friction,
        0.02 * friction,
    );
    checks.finish();
}

/// Faults are data: a propeller mounted backward turns as fast and pulls
/// little; a motor with swapped wires pushes back.
#[test]
fn backward_propeller_and_motor() {
    let good = model(&train()).static_point(1.0);
    let mut power = train();
    power.propeller.mounted_backward = true;
    let wrong = model(&power).static_point(1.0);
    let swapped = model(&train()).with_motor_reversed(true).static_point(1.0);
    println!(
        "good {:.0} rpm {:.2} N; backward {:.0} rpm {:.2} N; swapped {:.0} rpm {:.2} N",
        good.rpm, good.thrust_n, wrong.rpm, wrong.thrust_n, swapped.rpm, swapped.thrust_n
    );
    assert!(wrong.rpm > 0.9 * good.rpm);
    assert!(wrong.thrust_n > 0.0 && wrong.thrust_n < 0.7 * good.thrust_n);
    assert!(swapped.rpm < 0.0 && swapped.thrust_n < 0.0);
}

/// Bench values are met exactly, impossible ones refused with the reason.
#[test]
fn calibration() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Bench values",
        "the thrust and current on the bench; the stall current is 12.6 V over 0.13 ohm",
    );
    let plain = model(&train());
    let ours = plain.static_point(1.0);
    let both = plain
        .clone()
        .calibrated(Some(0.9 * ours.thrust_n), Some(12.0))
        .expect("possible");
    let point = both.static_point(1.0);
    checks.near(
        "thrust, N",
        point.thrust_n,
        0.9 * ours.thrust_n,
        0.005 * ours.thrust_n,
    );
    checks.near("current, A", point.battery_current_a, 12.0, 0.03);
    let thrust = plain
        .clone()
        .calibrated(Some(0.8 * ours.thrust_n), None)
        .expect("possible");
    checks.near(
        "thrust alone, N",
        thrust.static_point(1.0).thrust_n,
        0.8 * ours.thrust_n,
        1e-3,
    );
    // 12.6 V over 0.13 ohm: 96.9 A stalled.
    let refused = plain
        .clone()
        .calibrated(None, Some(120.0))
        .expect_err("too much");
    let CalibrationError::CurrentOutOfReach {
        least_a,
        greatest_a,
    } = refused
    else {
        panic!("{refused}")
    };
    checks.near("least, A", least_a, 0.8, 1e-9);
    checks.near("most, A", greatest_a, 96.923, 1e-2);
    assert!(matches!(
        plain
            .clone()
            .calibrated(Some(2.0 * ours.thrust_n), Some(10.0)),
        Err(CalibrationError::AboveActuatorDisk { .. })
    ));
    assert_eq!(
        plain
            .calibrated(Some(f64::NAN), None)
            .expect_err("not a number"),
        CalibrationError::NotPositive
    );
    checks.finish();
}

/// Actuator disk: far wake has twice the induced speed and, at rest, half the
/// area; its momentum is the thrust; its angular momentum the torque.
#[test]
fn slipstream_carries_thrust_and_torque() {
    let mut checks = Checks::new(
        Chapter::Power,
        "Momentum of the slipstream",
        "actuator disk (Glauert, 1935; from memory): momentum of the far wake is the thrust, its area half the disk at rest",
    );
    let model = model(&train());
    for speed in [0.0, 8.0] {
        let (_, out) = run(
            &model,
            model.initial_state(),
            inputs(1.0, 0.002, speed),
            1.5,
        );
        let s = out.slipstream;
        let far = 100.0;
        let (radius, velocity) = (s.radius_m(far), s.axial_velocity_m_s(far));
        let flow = DENSITY_KG_M3 * PI * radius * radius * velocity;
        checks.near(
            "thrust, N",
            flow * (velocity - speed),
            out.thrust_n,
            0.02 * out.thrust_n,
        );
        let torque = flow * s.swirl_rate_rad_s(far) * 0.5 * radius * radius;
        let taken = out.aerodynamic_w / out.omega_rad_s;
        checks.near("torque, N m", torque, taken, 0.02 * taken);
        if speed == 0.0 {
            let share = (radius / s.disk_radius_m).powi(2);
            checks.near("area of the far wake", share, 0.5, 0.01);
        }
        let place =
            |point: DVec3| SlipstreamPlace::new(s.hub_m, s.direction, s.disk_radius_m, point, 0.01);
        let middle = s.at(&place(DVec3::new(-0.3, 0.0, 0.02)));
        let outside = s.at(&place(DVec3::new(-0.3, 0.4, 0.0)));
        checks.near("immersed, middle", middle.immersed, 1.0, 1e-12);
        checks.near("immersed, outside", outside.immersed, 0.0, 1e-12);
        assert!(middle.velocity_m_s.x < 0.0);
        // Clockwise from behind: below the shaft the air goes to port.
        assert!(middle.velocity_m_s.y < 0.0);
    }
    checks.finish();
}

/// Nothing odd gets through: NaN, infinities, negative steps.
#[test]
fn odd_inputs_stay_finite() {
    let model = model(&train());
    let mut state = model.initial_state();
    for throttle in [f64::NAN, -3.0, 7.0, f64::INFINITY] {
        for dt_s in [f64::NAN, -1.0, 0.0, 9.0] {
            let out = model.step(&mut state, &inputs(throttle, dt_s, 5.0));
            assert!(out.force_n.is_finite() && out.moment_n_m.is_finite());
            assert!(state.omega_rad_s.is_finite() && state.duty.is_finite());
        }
    }
    let still = model.step(&mut model.initial_state(), &inputs(0.0, 0.002, 0.0));
    assert_eq!(still.force_n, DVec3::ZERO);
    assert_eq!(still.slipstream.axial_velocity_m_s(0.3), 0.0);
}
