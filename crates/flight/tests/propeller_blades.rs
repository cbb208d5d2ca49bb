//! Blades at any angle and of any kind: mirrored, backward, odd, without jumps.
#![allow(missing_docs)]

#[path = "support/blade.rs"]
mod blade;

use std::f64::consts::PI;

use blade::{measured_propeller, model};
use larkfield_airframe::{BladeStation, Propeller, Rotation};
use larkfield_flight::power::{DiskFlow, PropellerModel, Section};
use larkfield_proof::{Chapter, Checks};

/// A propeller of the other hand in the mirror: same thrust and torque, all
/// that points out of the plane of the flow reversed.
#[test]
fn mirror_image_mirrors_the_loads() {
    let right = model(&measured_propeller());
    let left = model(&Propeller {
        rotation: Rotation::Anticlockwise,
        ..measured_propeller()
    });
    for axial in [-6.0, 0.0, 8.0, 20.0] {
        let flow = DiskFlow {
            axial_m_s: axial,
            cross_m_s: 3.0,
            omega_rad_s: 500.0,
            ..DiskFlow::default()
        };
        let (a, b) = (right.loads(flow), left.loads(flow));
        assert_eq!(a.thrust_n, b.thrust_n);
        assert_eq!(a.torque_n_m, b.torque_n_m);
        assert_eq!(a.along_n, b.along_n);
        assert_eq!(a.across_n, -b.across_n);
        assert_eq!(a.moment_along_n_m, -b.moment_along_n_m);
        assert_eq!(a.moment_across_n_m, b.moment_across_n_m);
        assert_eq!(a.damping_n_m_s, b.damping_n_m_s);
    }
}

/// A screw turned round stays a screw of the same hand: thrust keeps its
/// direction, with the camber wrong and the sharp edge first, so less of it.
/// A motor turning backward pushes backward.
#[test]
fn mounted_backward_and_turned_backward() {
    let normal = model(&measured_propeller());
    let backward = model(&Propeller {
        mounted_backward: true,
        ..measured_propeller()
    });
    let forward = normal.coefficients(6000.0, 0.0).0;
    let wrong_way_on = backward.coefficients(6000.0, 0.0).0;
    let reversed = normal
        .loads(DiskFlow {
            omega_rad_s: -6000.0 * PI / 30.0,
            ..DiskFlow::default()
        })
        .thrust_n;
    println!(
        "CT {forward:.4}, mounted backward {wrong_way_on:.4}, thrust reversed {reversed:.3} N"
    );
    assert!(wrong_way_on > 0.15 * forward && wrong_way_on < 0.7 * forward);
    assert!(reversed < 0.0);
}

/// No jump anywhere round the circle of running conditions, vortex ring and
/// stall included: of a continuous function a step four times finer changes
/// about a quarter as much at most; across a jump it changes as much.
#[test]
fn loads_are_continuous_all_round() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Largest change of loads in a step, 1600 over 400 steps round",
        "a continuous function changes a quarter as much in a quarter of a step, across a jump as much",
    );
    let propeller = model(&measured_propeller());
    let largest = |steps: u32, speed: f64| {
        let at = |i: u32| {
            let angle = 2.0 * PI * f64::from(i) / f64::from(steps);
            propeller.loads(DiskFlow {
                axial_m_s: speed * angle.sin(),
                cross_m_s: 0.0,
                omega_rad_s: speed * angle.cos() / (0.75 * 0.127),
                ..DiskFlow::default()
            })
        };
        (0..steps).fold((0.0_f64, 0.0_f64), |(thrust, torque), i| {
            let (a, b) = (at(i), at(i + 1));
            (
                thrust.max((b.thrust_n - a.thrust_n).abs()),
                torque.max((b.torque_n_m - a.torque_n_m).abs()),
            )
        })
    };
    for speed in [2.0, 15.0, 60.0, 300.0] {
        let (coarse, fine) = (largest(400, speed), largest(1600, speed));
        checks.near(
            &format!("thrust, {speed} m/s"),
            fine.0 / coarse.0,
            0.25,
            0.1,
        );
        checks.near(
            &format!("torque, {speed} m/s"),
            fine.1 / coarse.1,
            0.25,
            0.1,
        );
    }
    checks.finish();
}

/// The slope that the rotor step relies on, against differences.
#[test]
fn torque_slope_is_the_slope_of_torque() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Slope of torque, N m s",
        "central differences of the torque itself",
    );
    let propeller = model(&measured_propeller());
    for (axial_m_s, omega_rad_s) in [
        (0.0, 300.0),
        (8.0, 600.0),
        (14.0, 300.0),
        (-5.0, 400.0),
        (10.0, -200.0),
        (3.0, 60.0),
    ] {
        let at = |omega_rad_s: f64| {
            propeller.loads(DiskFlow {
                axial_m_s,
                cross_m_s: 0.0,
                omega_rad_s,
                ..DiskFlow::default()
            })
        };
        let difference =
            (at(omega_rad_s + 0.01).torque_n_m - at(omega_rad_s - 0.01).torque_n_m) / 0.02;
        let scale = 1e-5;
        // Speed (Reynolds number) is held in the analytic slope.
        checks.near(
            &format!("{axial_m_s} m/s, {omega_rad_s} rad/s"),
            at(omega_rad_s).torque_slope_n_m_s,
            difference,
            0.12 * difference.abs() + scale,
        );
    }
    checks.finish();
}

/// Section: zero lift where it was told, slope near 2 pi, symmetric section
/// symmetric, a plate square to the flow about 1.3 (Viterna, AR 10; from
/// memory), and no jump through a full turn.
#[test]
fn section_at_any_angle() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Blade section",
        "thin aerofoil theory; a plate square to the flow 1.3 (Viterna, aspect ratio 10; from memory)",
    );
    let section = Section::new(-0.1);
    let at = |angle: f64, section: &Section| section.force(angle.sin(), angle.cos(), 1e5, 0.1, 0.0);
    checks.near(
        "lift at its zero-lift angle",
        at(-0.1, &section).lift,
        0.0,
        1e-3,
    );
    let slope = (at(0.0, &section).lift - at(-0.05, &section).lift) / 0.05;
    checks.near("lift slope", slope, 2.0 * PI, 0.1 * 2.0 * PI);
    checks.near(
        "drag square to the flow",
        at(0.5 * PI, &section).drag,
        1.3,
        0.1,
    );
    let even = Section::new(0.0);
    let mut before = at(-PI, &section);
    for i in -720..=720 {
        let angle = PI * f64::from(i) / 720.0;
        let now = at(angle, &section);
        assert!(now.drag > 0.0);
        assert!(
            (now.lift - before.lift).abs() < 0.06,
            "lift jumps at {angle}"
        );
        before = now;
        let (a, b) = (at(angle, &even), at(-angle, &even));
        // Both stall limits differ: compare where neither matters.
        if angle.abs() < 0.1 {
            assert!((a.lift + b.lift).abs() < 0.01);
        }
    }
    checks.finish();
}

/// Odd data makes finite loads.
#[test]
fn bad_data_gives_finite_loads() {
    let odd = Propeller {
        diameter_m: f64::NAN,
        pitch_m: f64::INFINITY,
        blades: 0,
        geometry: vec![
            BladeStation {
                radius_fraction: f64::NAN,
                chord_fraction: -1.0,
                twist_rad: 9.0,
                zero_lift_rad: Some(f64::NAN),
            };
            3
        ],
        mass_kg: -1.0,
        ..measured_propeller()
    };
    for propeller in [
        model(&odd),
        PropellerModel::new(&measured_propeller(), -1.0, 0.0),
    ] {
        let loads = propeller.loads(DiskFlow {
            axial_m_s: 5.0,
            cross_m_s: 1.0,
            omega_rad_s: 500.0,
            ..DiskFlow::default()
        });
        assert!(loads.thrust_n.is_finite() && loads.torque_n_m.is_finite());
        assert!(loads.induced_m_s.is_finite());
    }
}
