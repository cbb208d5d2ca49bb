//! The hand's motion against its own closed form: position, velocity and
//! attitude belong together, nothing jumps, and the release is exact.

use glam::DVec3;
use larkfield_airframe::{
    Airframe, Battery, Controller, GripPoint, Measured, Motor, Power, Propeller, Rotation,
};
use larkfield_pilot::attitude::{direction, to_euler};
use larkfield_pilot::{HandPath, PowerTiming, Throw, ThrowKind, ThrowRefused, ThrowerStyle};

/// Standing, with a run-up, and by an unsteady arm.
fn paths() -> Vec<HandPath> {
    let standing = Throw::default();
    let running = Throw {
        speed_m_s: 8.5,
        run_up_m_s: 2.5,
        heading_rad: 2.0,
        path_rad: 0.2,
        ..standing
    };
    let nervous = ThrowerStyle::NervousBeginner.perform(&running, 11);
    let launch_m = DVec3::new(3.0, -2.0, 0.0);
    let mut paths = vec![
        HandPath::new(&standing, &standing, DVec3::ZERO),
        HandPath::new(&running, &running, launch_m),
        HandPath::new(&running, &nervous, launch_m),
    ];
    paths.extend(swings());
    paths
}

/// Throws of the other kinds: standing, with a run-up, by an unsteady arm.
fn swings() -> Vec<HandPath> {
    let kinds = [ThrowKind::Underhand, ThrowKind::SideArm, ThrowKind::Helper];
    kinds
        .into_iter()
        .flat_map(|kind| {
            let standing = Throw {
                kind,
                speed_m_s: 6.0,
                bank_rad: 0.2,
                heading_rad: -1.0,
                release_height_m: 1.2,
                reach_m: kind.usual_reach_m(),
                turn: kind.usual_turn(),
                ..Throw::default()
            };
            let running = Throw {
                run_up_m_s: 2.0,
                path_rad: 0.2,
                ..standing
            };
            let nervous = ThrowerStyle::NervousBeginner.perform(&running, 3);
            [
                HandPath::new(&standing, &standing, DVec3::ZERO),
                HandPath::new(&running, &running, DVec3::ZERO),
                HandPath::new(&running, &nervous, DVec3::ZERO),
            ]
        })
        .collect()
}

fn straight(path: &HandPath) -> bool {
    matches!(path.throw().kind, ThrowKind::Overhand | ThrowKind::Helper)
}

#[test]
fn velocity_is_the_derivative_of_position() {
    let step_s = 1e-5;
    for path in paths() {
        let mut t = 0.0;
        let mut fastest = 0.0_f64;
        while t < path.release_s() + 0.5 {
            let ahead = path.at(t + step_s).position_m;
            let behind = path.at(t - step_s).position_m;
            let slope = (ahead - behind) / (2.0 * step_s);
            let velocity = path.at(t).velocity_m_s;
            // Central difference of a profile with third derivatives of up to
            // 60 V / T^2: error below 60 * 9 / 0.04 * step^2 / 6 = 2e-7, and
            // rounding of 1e-15 * 10 m / step = 1e-9.
            assert!(
                (slope - velocity).length() < 1e-6,
                "{t}: {slope} {velocity}"
            );
            fastest = fastest.max(velocity.length());
            t += 0.0037;
        }
        assert!(fastest > 5.0, "the path has to move: {fastest}");
    }
}

#[test]
fn rates_are_the_derivative_of_the_attitude() {
    let step_s = 1e-5;
    let mut fastest = 0.0_f64;
    for path in paths() {
        let mut t = 0.0;
        while t < path.release_s() + 0.2 {
            let turned = path.at(t - step_s).attitude.conjugate() * path.at(t + step_s).attitude;
            let seen = DVec3::new(turned.x, turned.y, turned.z) / step_s;
            let rates = path.at(t).rates_rad_s;
            assert!((seen - rates).length() < 1e-5, "{t}: {seen} {rates}");
            fastest = fastest.max(rates.length());
            t += 0.0037;
        }
    }
    assert!(
        fastest > 0.1,
        "an unsteady arm has to turn the plane: {fastest}"
    );
}

#[test]
fn nothing_jumps_and_acceleration_vanishes_at_both_ends() {
    for path in paths() {
        let dt = 1e-3;
        let mut before = path.at(0.0);
        let mut t = dt;
        while t < path.release_s() + 0.3 {
            let now = path.at(t);
            let reach = path.throw().speed_m_s * dt * 1.01 + 1e-12;
            assert!(
                (now.position_m - before.position_m).length() <= reach,
                "{t}"
            );
            // Peak slope of the profile is 1.875 / T (at u = 1/2); the arm's
            // push takes 2 L / V. A swing adds up to V^2 / R, R = 0.75 m.
            let swing_s = 2.0 * path.throw().reach_m / path.throw().speed_m_s;
            let arm_m_s = path.throw().speed_m_s;
            let turning = if straight(&path) {
                0.0
            } else {
                arm_m_s * arm_m_s / 0.75
            };
            let steepest = (1.875 * arm_m_s / swing_s * 1.5 + turning) * dt;
            assert!(
                (now.velocity_m_s - before.velocity_m_s).length() <= steepest,
                "{t}"
            );
            before = now;
            t += dt;
        }
        // Near both ends the velocity changes with the third power of time.
        let near = 1e-3;
        let start = path.at(path.begins_s() + near).velocity_m_s.length();
        assert!(start < 1e-4, "{start}");
        let before = path.at(path.release_s() - near).velocity_m_s;
        let released = path.at(path.release_s()).velocity_m_s;
        let faster = released.length() - before.length();
        // With a run-up the turning arm also changes the sum of both speeds.
        let plain = straight(&path) || path.throw().run_up_m_s == 0.0;
        assert!(faster.abs() < if plain { 1e-4 } else { 0.01 }, "{faster}");
        let end = released - before;
        // A swing still turns: V^2 / R, its arm's share of V without the run-up.
        let arm_m_s = path.throw().speed_m_s;
        let turned = if straight(&path) {
            1e-4
        } else {
            arm_m_s * arm_m_s / 0.75 * near
        };
        assert!(end.length() < turned, "{end}");
    }
}

#[test]
fn the_release_is_exactly_the_throw_asked_for() {
    for path in paths() {
        let throw = path.throw();
        let released = path.at(path.release_s());
        let wanted = direction(throw.heading_rad, throw.path_rad) * throw.speed_m_s;
        assert_eq!(released.velocity_m_s, wanted);
        assert!((released.position_m.z + throw.release_height_m).abs() < 1e-12);
        if straight(&path) {
            assert!(released.rates_rad_s.length() < 1e-12);
        } else {
            // An arm of 0.75 m turns by V / R; the plane keeps a share of it.
            let arm_m_s = throw.speed_m_s - throw.run_up_m_s;
            let kept = released.rates_rad_s.length() / throw.turn;
            assert!(
                kept > 0.99 * arm_m_s / 0.75 && kept < 1.01 * throw.speed_m_s / 0.75,
                "{kept} rad/s"
            );
        }
        let (heading_rad, pitch_rad, bank_rad) = to_euler(released.attitude);
        for (ours, asked) in [
            (heading_rad, throw.heading_rad),
            (pitch_rad, throw.pitch_rad),
            (bank_rad, throw.bank_rad),
        ] {
            assert!((ours - asked).abs() < 1e-12, "{ours} {asked}");
        }
        // A tick that ends a little late still has the same velocity.
        assert_eq!(path.at(path.release_s() + 0.001).velocity_m_s, wanted);
        // Every usual tick hits the release.
        let ticks = path.release_s() / 0.02;
        assert!((ticks - ticks.round()).abs() < 1e-9);
        assert_eq!(path.at(0.0).velocity_m_s, DVec3::ZERO);
    }
}

/// A right hand that swings around the body from the right sends the nose left
/// and the port wing down; one that swings up beside the leg sends it up.
#[test]
fn a_swing_turns_the_plane_the_way_the_arm_goes() {
    for path in swings() {
        let throw = path.throw();
        let rates = path.at(path.release_s() + 0.01).rates_rad_s;
        match throw.kind {
            ThrowKind::SideArm => assert!(rates.z < -0.4 && rates.x < -0.1, "{rates}"),
            ThrowKind::Underhand => assert!(rates.y > 0.1 && rates.z.abs() < 0.2, "{rates}"),
            _ => assert!(rates.length() < 1e-12, "{rates}"),
        }
        // The plane comes from behind; side-arm around the shoulder, whose
        // middle is one arm to the left of the release, underhand from below.
        let start = path.at(0.0).position_m - path.at(path.release_s()).position_m;
        let ahead = direction(throw.heading_rad, 0.0);
        let starboard = direction(throw.heading_rad + 0.5 * std::f64::consts::PI, 0.0);
        assert!(start.dot(ahead) < -0.5, "{start}");
        if throw.run_up_m_s > 0.0 {
            continue;
        }
        let swept_rad = throw.reach_m / 0.75;
        if throw.kind == ThrowKind::SideArm {
            let aside_m = 0.75 * (1.0 - swept_rad.cos());
            assert!((start.dot(starboard) + aside_m).abs() < 0.01, "{start}");
            let feet_m = path.feet_m() - path.at(path.release_s()).position_m;
            assert!((feet_m.dot(starboard) + 0.95).abs() < 0.01, "{feet_m}");
        }
    }
}

#[test]
fn a_helper_is_told_in_the_agreed_words_before_the_arm_moves() {
    let helped = Throw {
        kind: ThrowKind::Helper,
        ..Throw::default()
    };
    let path = HandPath::new(&helped, &helped, DVec3::ZERO);
    let said: Vec<&str> = path.words().iter().map(|word| word.word).collect();
    assert_eq!(said, ["ready", "throttle", "go"]);
    let go_s = path.words()[2].time_s;
    assert!(path.begins_s() >= go_s + 0.5 && path.begins_s() < go_s + 0.6);
    let pusher = Throw {
        power: PowerTiming::After { delay_s: 0.3 },
        ..helped
    };
    let path = HandPath::new(&pusher, &pusher, DVec3::ZERO);
    let said: Vec<&str> = path.words().iter().map(|word| word.word).collect();
    assert_eq!(said, ["ready", "go"]);
    assert!(
        HandPath::new(&Throw::default(), &Throw::default(), DVec3::ZERO)
            .words()
            .is_empty()
    );
}

#[test]
fn each_kind_has_its_own_fastest() {
    let fast = |kind| Throw {
        kind,
        speed_m_s: 11.0,
        ..Throw::default()
    };
    assert!(fast(ThrowKind::Overhand).check().is_ok());
    let refused = fast(ThrowKind::Underhand).check().err().unwrap_or_default();
    assert!(
        refused
            .iter()
            .any(|reason| reason.to_string().contains("10 m/s")),
        "{refused:?}"
    );
}

#[test]
fn the_reach_is_what_the_throw_says() {
    let throw = Throw::default();
    let path = HandPath::new(&throw, &throw, DVec3::ZERO);
    let travel = path.at(path.release_s()).position_m - path.at(0.0).position_m;
    assert!(
        (travel.length() - throw.reach_m).abs() < 1e-12,
        "{}",
        travel.length()
    );
}

#[test]
fn after_release_the_hand_stops_and_the_plane_leaves_it() {
    let throw = Throw::default();
    let path = HandPath::new(&throw, &throw, DVec3::ZERO);
    let grip_m = DVec3::new(0.05, 0.0, 0.03);
    let at_release = path.hand_m(path.release_s(), grip_m);
    let held_m = path.at(path.release_s()).position_m;
    // The grip turns with the plane but keeps its distance from the balance point.
    assert!(((at_release - held_m).length() - grip_m.length()).abs() < 1e-12);
    // The hand covers V T / 2 in its quarter second.
    let stopped = path.hand_m(path.release_s() + 1.0, grip_m);
    assert!(((stopped - at_release).length() - throw.speed_m_s * 0.25 / 2.0).abs() < 1e-9);
}

#[test]
fn the_hand_is_off_its_stick_until_it_is_back() {
    let throw = Throw {
        hand_back_s: 0.7,
        ..Throw::default()
    };
    let path = HandPath::new(&throw, &throw, DVec3::ZERO);
    assert!(path.hand_off(0.0) && path.hand_off(path.release_s() + 0.69));
    assert!(!path.hand_off(path.release_s() + 0.71));
    let helped = HandPath::new(&Throw::default(), &Throw::default(), DVec3::ZERO);
    assert!(!helped.hand_off(0.0));
}

#[test]
fn the_same_seed_throws_the_same_and_spreads_are_as_stated() {
    let asked = Throw {
        hand_back_s: 0.7,
        ..Throw::default()
    };
    assert_eq!(ThrowerStyle::Exact.perform(&asked, 5), asked);
    let nervous = ThrowerStyle::NervousBeginner;
    assert_eq!(nervous.perform(&asked, 5), nervous.perform(&asked, 5));
    assert_ne!(nervous.perform(&asked, 5), nervous.perform(&asked, 6));
    for (style, share, bias) in [
        (ThrowerStyle::SteadyHelper, 0.04, 0.0),
        (ThrowerStyle::Solo, 0.05, 0.0),
        (nervous, 0.08, -0.06),
    ] {
        let count = 20_000;
        let errors: Vec<f64> = (0..count)
            .map(|seed| style.perform(&asked, seed).speed_m_s / asked.speed_m_s - 1.0)
            .collect();
        let mean = errors.iter().sum::<f64>() / count as f64;
        let variance = errors.iter().map(|e| (e - mean) * (e - mean)).sum::<f64>() / count as f64;
        assert!((mean - bias).abs() < 0.002, "{style:?} {mean}");
        assert!(
            (variance.sqrt() / share - 1.0).abs() < 0.03,
            "{style:?} {variance}"
        );
    }
    assert_eq!(
        ThrowerStyle::SteadyHelper.perform(&asked, 1).hand_back_s,
        0.0
    );
}

fn airframe(hub_x_m: f64, pusher: bool) -> Airframe {
    Airframe {
        name: String::new(),
        build_note: String::new(),
        panels: Vec::new(),
        controls: Vec::new(),
        bodies: Vec::new(),
        components: Vec::new(),
        power: Some(Power {
            motor: Motor {
                speed_constant_rad_s_v: 100.0,
                resistance_ohm: 0.1,
                no_load_current_a: 0.5,
                current_limit_a: 15.0,
                rotor_inertia_kg_m2: 1e-6,
            },
            propeller: Propeller {
                diameter_m: 0.2,
                pitch_m: 0.1,
                blades: 2,
                geometry: Vec::new(),
                brake: false,
                rotation: Rotation::Clockwise,
                mounted_backward: false,
                mass_kg: 0.01,
            },
            battery: Battery {
                cells: 2,
                capacity_c: 3600.0,
                cell_resistance_ohm: 0.01,
                current_limit_a: 20.0,
                charge: 1.0,
            },
            controller: Controller {
                current_limit_a: 20.0,
                response_s: 0.1,
                cutoff_cell_v: 3.0,
            },
            hub_m: DVec3::new(hub_x_m, 0.0, 0.0),
            thrust_direction: DVec3::X,
            pusher,
        }),
        grip: GripPoint {
            position_m: DVec3::new(-0.05, 0.0, 0.03),
        },
        contacts: Vec::new(),
        break_limits: Vec::new(),
        measured: Measured::default(),
        assumed: Vec::new(),
    }
}

#[test]
fn a_pusher_under_power_and_a_hand_in_the_propeller_are_refused() {
    let before = Throw::default();
    let after = Throw {
        power: PowerTiming::After { delay_s: 0.3 },
        ..before
    };
    assert_eq!(before.check_with(&airframe(0.2, false)), Ok(()));
    assert_eq!(
        before.check_with(&airframe(-0.4, true)),
        Err(ThrowRefused::PusherUnderPower)
    );
    // A propeller behind the hand cuts whatever the file calls it.
    assert_eq!(
        before.check_with(&airframe(-0.4, false)),
        Err(ThrowRefused::PusherUnderPower)
    );
    assert_eq!(after.check_with(&airframe(-0.4, true)), Ok(()));
    // Grip 50 mm behind the leading edge, disk 20 mm behind it: 30 mm apart.
    let refused = before.check_with(&airframe(-0.02, false)).err();
    let Some(ThrowRefused::HandInPropeller { gap_mm, .. }) = refused else {
        panic!("{refused:?}");
    };
    assert!((gap_mm - 30.0).abs() < 1e-9);
}

#[test]
fn impossible_numbers_are_refused_by_name_and_nan_too() {
    let throw = Throw {
        speed_m_s: 40.0,
        bank_rad: f64::NAN,
        throttle: -0.1,
        ..Throw::default()
    };
    let refused = throw.check().err().unwrap_or_default();
    let named: Vec<&str> = refused
        .iter()
        .map(|reason| match reason {
            ThrowRefused::OutOfRange { field, .. } => *field,
            _ => "",
        })
        .collect();
    assert_eq!(named, ["speed", "bank", "throttle"]);
    assert_eq!(Throw::default().check(), Ok(()));
}
