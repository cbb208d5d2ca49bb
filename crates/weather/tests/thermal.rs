//! A thermal against what it has to be: up inside, down around, as much of one
//! as of the other, carried by the wind and climbing.

use glam::DVec3;
use larkfield_weather::{Feature, Thermal, Wind, WindScript};

const RADIUS_M: f64 = 12.0;
const UP_M_S: f64 = 2.2;

fn thermal() -> Thermal {
    Thermal {
        start_time_s: 5.0,
        north_m: 40.0,
        east_m: -30.0,
        core_radius_m: RADIUS_M,
        up_m_s: UP_M_S,
        depth_m: None,
    }
}

fn wind(thermal: Thermal, speed_m_s: f64) -> Wind {
    let script = WindScript {
        features: vec![Feature::Thermal(thermal)],
        // From the west: it blows east.
        ..WindScript::uniform(speed_m_s, 1.5 * core::f64::consts::PI)
    };
    Wind::new(&script, 0).unwrap_or_else(|e| panic!("{e}"))
}

/// Time at which its middle is at a height, s: it climbs at the core's speed
/// over 2.2, and its top, 24 m above its middle, leaves the ground at 5 s.
fn middle_at(height_m: f64) -> f64 {
    5.0 + (height_m + 24.0) / (UP_M_S / 2.2)
}

fn place(away_m: f64, turn: f64, height_m: f64) -> DVec3 {
    DVec3::new(
        40.0 + away_m * libm::cos(turn),
        -30.0 + away_m * libm::sin(turn),
        -height_m,
    )
}

/// Reference: continuity. As much air goes down in the ring as goes up in the
/// core, at every height and time.
#[test]
fn no_air_is_made_at_any_height() {
    let wind = wind(thermal(), 0.0);
    for (height_m, time_s) in [
        (40.0, middle_at(40.0)),
        (52.0, middle_at(40.0)),
        (3.0, middle_at(10.0)),
        (20.0, middle_at(37.0)),
    ] {
        let now = wind.at(time_s);
        let (mut net, mut up) = (0.0, 0.0);
        let (rings, turns) = (2000, 8);
        for ring in 0..rings {
            let step_m = 2.0 * RADIUS_M / f64::from(rings);
            let away_m = (f64::from(ring) + 0.5) * step_m;
            for turn in 0..turns {
                let turn = f64::from(turn) * core::f64::consts::TAU / f64::from(turns);
                let rising = -now.velocity_m_s(place(away_m, turn, height_m)).z;
                let area_m2 = away_m * step_m * core::f64::consts::TAU / f64::from(turns);
                net += rising * area_m2;
                up += rising.max(0.0) * area_m2;
            }
        }
        assert!(up > 10.0, "at {height_m} m: {up}");
        assert!(net.abs() < 1e-4 * up, "at {height_m} m: {net} of {up}");
    }
}

/// Reference: continuity again, place by place.
#[test]
fn its_flow_has_no_divergence() {
    let wind = wind(
        Thermal {
            depth_m: Some(70.0),
            ..thermal()
        },
        3.0,
    );
    let now = wind.at(30.0);
    let step = 1e-3;
    let (mut met, mut steepest): (u32, f64) = (0, 0.0);
    for i in 0..4000 {
        let i = f64::from(i);
        // Carried 75 m to the east by now.
        let at = place(30.0 * libm::sin(0.7 * i).abs(), 1.3 * i, 0.5 + 0.01 * i) + DVec3::Y * 75.0;
        let slope = |axis: DVec3| {
            let ahead = now.velocity_m_s(at + axis * step);
            ((ahead - now.velocity_m_s(at - axis * step)) / (2.0 * step)).dot(axis)
        };
        let divergence = slope(DVec3::X) + slope(DVec3::Y) + slope(DVec3::Z);
        assert!(divergence.abs() < 1e-6, "{i}: {divergence}");
        steepest = steepest.max(slope(DVec3::Z).abs());
        met += u32::from(slope(DVec3::Z) != 0.0);
    }
    assert!(met > 1000 && steepest > 0.02, "{met} {steepest}");
}

#[test]
fn it_goes_up_inside_and_down_around() {
    let wind = wind(thermal(), 0.0);
    let now = wind.at(middle_at(60.0));
    let up = |away_m: f64| -now.velocity_m_s(place(away_m, 0.4, 60.0)).z;
    assert!((up(0.0) - UP_M_S).abs() < 1e-9, "{}", up(0.0));
    assert!(up(0.9 * RADIUS_M) > 0.0);
    assert!(up(RADIUS_M).abs() < 1e-9);
    let mut most: f64 = 0.0;
    for i in 0..1000 {
        most = most.max(-up(f64::from(i) * 0.03));
    }
    // A quarter of the core's speed comes down at most, at 1.41 core radii.
    assert!((most - 0.25 * UP_M_S).abs() < 1e-3, "{most}");
    assert!((up(2_f64.sqrt() * RADIUS_M) + most).abs() < 1e-3);
    assert_eq!(up(2.0 * RADIUS_M), 0.0);
    // Out at the top, in at the bottom.
    let out = |height_m: f64| now.velocity_m_s(place(8.0, 0.0, height_m)).x;
    assert!(
        out(72.0) > 0.1 && out(48.0) < -0.1,
        "{} {}",
        out(72.0),
        out(48.0)
    );
    assert_eq!(now.velocity_m_s(place(8.0, 0.0, 60.0 + 24.1)), DVec3::ZERO);
}

#[test]
fn it_leaves_the_ground_climbs_and_drifts_with_the_wind() {
    let wind = wind(thermal(), 4.0);
    let calm = wind.sample(DVec3::Z, -100.0);
    assert!((calm - DVec3::Y * 4.0).length() < 1e-9);
    for i in 0..200 {
        let at = place(f64::from(i) * 0.1, f64::from(i), 0.05 * f64::from(i));
        assert_eq!(wind.sample(at, 4.99), calm);
        // Nothing blows through the ground.
        assert_eq!(wind.sample(DVec3 { z: 0.0, ..at }, 30.0), calm);
    }
    for height_m in [30.0, 60.0, 100.0] {
        let time_s = middle_at(height_m);
        let carried_m = 4.0 * (time_s - 5.0);
        let middle = place(0.0, 0.0, height_m) + DVec3::Y * carried_m;
        let there = wind.sample(middle, time_s);
        assert!(
            (there - calm - DVec3::new(0.0, 0.0, -UP_M_S)).length() < 1e-9,
            "{there}"
        );
    }
}

#[test]
fn nothing_jumps_as_time_goes_by_or_a_plane_goes_through() {
    let wind = wind(thermal(), 4.0);
    let mut before = wind.sample(place(0.0, 0.0, 30.0), 0.0);
    for i in 1..60_000 {
        let time_s = 0.002 * f64::from(i);
        let here = wind.sample(place(10.0 * time_s - 300.0, 1.2, 30.0), time_s);
        // 20 mm of flight: less than a gradient of 1 m/s in a metre.
        assert!((here - before).length() < 0.02);
        before = here;
    }
}

#[test]
fn impossible_thermals_are_refused_by_name() {
    let sound = thermal();
    for (bad, name) in [
        (
            Thermal {
                core_radius_m: 0.0,
                ..sound
            },
            "core radius",
        ),
        (
            Thermal {
                up_m_s: -1.0,
                ..sound
            },
            "up-draught",
        ),
        (
            Thermal {
                up_m_s: f64::NAN,
                ..sound
            },
            "up-draught",
        ),
        (
            Thermal {
                depth_m: Some(0.0),
                ..sound
            },
            "depth",
        ),
        (
            Thermal {
                north_m: f64::NAN,
                ..sound
            },
            "north",
        ),
    ] {
        let script = WindScript {
            features: vec![Feature::Thermal(bad)],
            ..WindScript::calm()
        };
        let text = Wind::new(&script, 0).map(|_| ()).err();
        let text = text.map(|e| e.to_string()).unwrap_or_default();
        assert!(text.contains(name), "{name}: {text}");
    }
}
