//! The propeller against momentum theory, closed forms and hand sums.
#![allow(missing_docs)]

#[path = "support/blade.rs"]
mod blade;

use std::f64::consts::PI;

use blade::{DENSITY_KG_M3, measured_propeller, model, named_propeller, rows};
use larkfield_airframe::{BladeStation, Propeller};
use larkfield_flight::power::{DiskFlow, induced_speed, mass_flow_speed};
use larkfield_proof::{Chapter, Checks, Table};

/// Actuator disk: static thrust cannot exceed (2 rho A P^2)^(1/3).
#[test]
fn static_thrust_stays_below_the_actuator_disk() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Figure of merit: static thrust over the actuator disk's",
        "actuator disk (Glauert, 1935; from memory): thrust cannot exceed (2 rho A P^2)^(1/3); \
         real ones reach 0.40 to 1 of it",
    );
    let mut propellers = vec![("measured blade".to_string(), measured_propeller())];
    for (diameter, pitch, blades) in [
        (5.0, 3.0, 2),
        (6.0, 4.0, 3),
        (8.0, 3.8, 2),
        (9.0, 6.0, 2),
        (10.0, 7.0, 2),
        (12.0, 3.8, 4),
    ] {
        propellers.push((
            format!("{diameter}x{pitch} in, {blades} blades"),
            Propeller {
                diameter_m: diameter * 0.0254,
                pitch_m: pitch * 0.0254,
                blades,
                ..named_propeller()
            },
        ));
    }
    for (name, propeller) in &propellers {
        let propeller = model(propeller);
        let area = PI * propeller.radius_m() * propeller.radius_m();
        for rpm in [1000.0, 3000.0, 6000.0, 12000.0] {
            let omega = rpm * PI / 30.0;
            let loads = propeller.loads(DiskFlow {
                omega_rad_s: omega,
                ..DiskFlow::default()
            });
            let power = loads.torque_n_m * omega;
            let bound = (2.0 * DENSITY_KG_M3 * area * power * power).cbrt();
            let merit = loads.thrust_n / bound;
            checks.near(&format!("{name} {rpm} rpm"), merit, 0.70, 0.30);
        }
    }
    checks.finish();
}

/// Momentum theory: T = 2 rho A (V + w) w (Glauert, 1935; from memory).
#[test]
fn induced_speed_carries_the_thrust() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Thrust by momentum of the wake, N",
        "momentum theory T = 2 rho A (V + w) w (Glauert, 1935; from memory)",
    );
    let propeller = model(&measured_propeller());
    let area = PI * propeller.radius_m() * propeller.radius_m();
    for (rpm, speed) in [(6000.0, 0.0), (6000.0, 5.0), (5000.0, 10.0), (3000.0, 3.0)] {
        let loads = propeller.loads(DiskFlow {
            axial_m_s: speed,
            cross_m_s: 0.0,
            omega_rad_s: rpm * PI / 30.0,
            ..DiskFlow::default()
        });
        let momentum = 2.0 * DENSITY_KG_M3 * area * (speed + loads.induced_m_s) * loads.induced_m_s;
        let what = format!("{rpm} rpm, {speed} m/s");
        checks.near(&what, momentum, loads.thrust_n, 0.02 * loads.thrust_n);
    }
    checks.finish();
}

/// Windmill measurements drawn together by Buhl (NREL/TP-500-36834, 2005; from
/// memory): CT = 8/9 - 4a/9 + 14a^2/9 for a above 0.4 without tip loss; below
/// it 4a(1-a). Vortex ring: induced speed 1.3 to 1.9 times that of hover
/// (Johnson, Helicopter Theory, 1980; from memory).
#[test]
fn mass_flow_bridges_windmill_and_vortex_ring() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Thrust coefficient of a windmill, and the vortex ring",
        "Buhl, NREL/TP-500-36834, 2005, and Johnson, Helicopter Theory, 1980; both from memory",
    );
    for (a, allowed) in [
        (0.1, 0.01),
        (0.2, 0.01),
        (0.3, 0.02),
        (0.5, 0.10),
        (0.7, 0.20),
        (1.0, 0.10),
    ] {
        let ours = 4.0 * a * mass_flow_speed(10.0, -10.0 * a) / 10.0;
        let reference = if a > 0.4 {
            8.0 / 9.0 - 4.0 / 9.0 * a + 14.0 / 9.0 * a * a
        } else {
            4.0 * a * (1.0 - a)
        };
        checks.near(&format!("a = {a}"), ours, reference, allowed);
    }
    // Hover needs 1 m/s; descending at 1.4 m/s.
    let ring = induced_speed(1.0, -1.4);
    checks.near("w over hover at descent 1.4", ring, 1.6, 0.3);
    checks.near("w in hover", induced_speed(1.0, 0.0), 1.0, 1e-6);
    // (V + w) w = 1 with V = 1.5: w = 0.5.
    checks.near("w in climb 1.5", induced_speed(1.0, 1.5), 0.5, 1e-6);
    checks.finish();
}

/// Far above the advance of no thrust the air turns the propeller: thrust and
/// torque both negative; the measured power falls towards that (0.0073 at J
/// 0.782 and a slope of -0.094 a unit of J: no power at 0.86).
#[test]
fn windmills() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Advance ratio of no power",
        "UIUC Propeller Database, run rd0838 continued: CP 0.0073 at J 0.782 with a slope of -0.094 a unit of J",
    );
    let propeller = model(&measured_propeller());
    let (ct, cp) = propeller.coefficients(4997.0, 1.2);
    println!("J 1.2: CT {ct:.4} CP {cp:.4}, both must be negative");
    assert!(ct < 0.0 && cp < 0.0);
    let (mut low, mut high) = (0.7, 1.2);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if propeller.coefficients(4997.0, middle).1 > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    checks.near("J of no power, 4997 rpm", low, 0.86, 0.05);
    checks.finish();
}

/// Locked propeller: drag over dynamic pressure and blade area 0.1 + cos^2 of
/// the blade angle at 0.7 R (Hoerner, Fluid-Dynamic Drag, 1965, chapter XIII;
/// from memory).
#[test]
fn stopped_blades_drag() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Drag of a stopped propeller on its blade area",
        "Hoerner, Fluid-Dynamic Drag, 1965, chapter XIII; from memory: 0.1 + cos^2 of the blade angle at 0.7 R",
    );
    let propeller = model(&measured_propeller());
    let table = rows(&Table::read("propeller_geometry.csv"));
    let area: f64 = table
        .windows(2)
        .map(|p| 0.5 * (p[0][1] + p[1][1]) * (p[1][0] - p[0][0]))
        .sum::<f64>()
        * 2.0
        * 0.127
        * 0.127;
    let twist = table.iter().find(|r| r[0] == 0.70).expect("station")[2].to_radians();
    for speed in [8.0, 14.0] {
        let loads = propeller.loads(DiskFlow {
            axial_m_s: speed,
            ..DiskFlow::default()
        });
        let drag = -loads.thrust_n / (0.5 * DENSITY_KG_M3 * speed * speed * area);
        let reference = 0.1 + twist.cos() * twist.cos();
        checks.near(&format!("{speed} m/s"), drag, reference, 0.25 * reference);
        assert!(
            loads.torque_n_m < 0.0,
            "air must try to turn it the made way"
        );
    }
    checks.finish();
}

/// Paddles set along the shaft and not turning are fins: two blades all round
/// count as one. Force = 2 pi V U_cross rho/2 * (area of one blade), thin
/// aerofoil theory without induced flow; low Reynolds number takes up to 25 %.
#[test]
fn side_force_of_fins() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Side force of paddles along the shaft, N",
        "thin aerofoil theory, two blades as one fin; low Reynolds number takes up to 25 %",
    );
    let geometry = [0.2, 1.0]
        .map(|radius_fraction| BladeStation {
            radius_fraction,
            chord_fraction: 0.2,
            twist_rad: 0.5 * PI,
            zero_lift_rad: Some(0.0),
        })
        .to_vec();
    let propeller = model(&Propeller {
        geometry,
        ..measured_propeller()
    });
    let loads = propeller.loads(DiskFlow {
        axial_m_s: 30.0,
        cross_m_s: 1.0,
        omega_rad_s: 0.0,
        ..DiskFlow::default()
    });
    let blade_area = 0.8 * 0.2 * 0.127 * 0.127;
    let reference = 2.0 * PI * 30.0 * 1.0 * 0.5 * DENSITY_KG_M3 * blade_area;
    checks.near(
        "along the crossflow",
        loads.along_n,
        0.88 * reference,
        0.15 * reference,
    );
    checks.near("across it", loads.across_n, 0.0, 1e-6 * reference);
    checks.finish();
}

/// Edgewise flow at rest: Glauert's w = T / (2 rho A sqrt(w^2 + U^2)) (Durand,
/// Aerodynamic Theory IV, 1935; from memory). Thrust at the same turning rate
/// rises: less induced flow, larger angles.
#[test]
fn crossflow_thins_the_wake() {
    let mut checks = Checks::new(
        Chapter::Propeller,
        "Induced speed in crossflow, m/s",
        "Glauert's w = T / (2 rho A sqrt(w^2 + U^2)) (Durand, Aerodynamic Theory IV, 1935; from memory)",
    );
    let propeller = model(&measured_propeller());
    let area = PI * propeller.radius_m() * propeller.radius_m();
    let mut before = 0.0;
    // Beyond the induced speed the equivalent axial flow comes near the vortex
    // ring and the method loses accuracy.
    for (cross, allowed) in [(0.0, 0.01), (4.0, 0.02), (8.0, 0.10)] {
        let mut flow = DiskFlow {
            axial_m_s: 0.0,
            cross_m_s: cross,
            omega_rad_s: 600.0,
            wake_m_s: 0.0,
        };
        for _ in 0..40 {
            flow.wake_m_s = propeller.loads(flow).induced_m_s;
        }
        let loads = propeller.loads(flow);
        let w = loads.induced_m_s;
        let glauert =
            loads.thrust_n / (2.0 * DENSITY_KG_M3 * area * (w * w + cross * cross).sqrt());
        checks.near(
            &format!("{cross} m/s across"),
            w,
            glauert,
            allowed * glauert,
        );
        assert!(loads.thrust_n > before);
        before = loads.thrust_n;
    }
    checks.finish();
}

/// Nose up, turning clockwise from behind: the blade going down, at the
/// right, pulls more, and the nose goes left (the P-factor of flying
/// handbooks). With x forward and z down crossflow is -z, so the moment about
/// it is positive. Force is along the crossflow; tilting is resisted.
#[test]
fn asymmetric_blade_loading() {
    let propeller = model(&measured_propeller());
    let flow = DiskFlow {
        axial_m_s: 8.0,
        cross_m_s: 1.4,
        omega_rad_s: 600.0,
        ..DiskFlow::default()
    };
    let loads = propeller.loads(flow);
    println!("{loads:?}");
    assert!(loads.moment_along_n_m > 0.0);
    assert!(loads.along_n > 0.0);
    assert!(loads.damping_n_m_s < 0.0);
    // The centre of thrust stays inside the disk: offset under half a radius.
    assert!(loads.moment_along_n_m < 0.5 * propeller.radius_m() * loads.thrust_n);
    // Nothing at all without crossflow.
    let straight = propeller.loads(DiskFlow {
        cross_m_s: 0.0,
        ..flow
    });
    assert_eq!(straight.along_n, 0.0);
    assert_eq!(straight.moment_along_n_m, 0.0);
}
