//! Scripts as a flight meets them: steady wind, gusts, bad numbers, repetition.

use glam::DVec3;
use larkfield_proof::{Chapter, Checks};
use larkfield_weather::{
    Feature, Gust, GustExtent, TurbulenceScript, WeatherError, Wind, WindPoint, WindScript,
};
use std::f64::consts::PI;

fn turbulent() -> WindScript {
    WindScript {
        roughness_m: Some(0.03),
        stated_height_m: 2.0,
        points: vec![
            WindPoint {
                time_s: 0.0,
                speed_m_s: 3.0,
                from_rad: 1.0,
            },
            WindPoint {
                time_s: 20.0,
                speed_m_s: 5.0,
                from_rad: 1.6,
            },
        ],
        turbulence: Some(TurbulenceScript {
            intensity: 1.0,
            seed: 4,
        }),
        features: vec![Feature::Gust(Gust {
            start_time_s: 5.0,
            amplitude_m_s: DVec3::new(1.0, 2.0, -1.5),
            extent: GustExtent::DurationS(3.0),
        })],
        tree_lines: Vec::new(),
    }
}

fn gusty(speed_m_s: f64, amplitude_m_s: DVec3, extent: GustExtent) -> WindScript {
    WindScript {
        features: vec![Feature::Gust(Gust {
            start_time_s: 2.0,
            amplitude_m_s,
            extent,
        })],
        // From the west: it blows east.
        ..WindScript::uniform(speed_m_s, 1.5 * PI)
    }
}

fn ready(script: &WindScript) -> Wind {
    Wind::new(script, 0).expect("a valid script")
}

#[test]
fn a_uniform_wind_is_exactly_uniform() {
    let wind = ready(&WindScript::uniform(3.7, 0.6));
    let expected = DVec3::new(-3.7 * 0.6_f64.cos(), -3.7 * 0.6_f64.sin(), 0.0);
    let first = wind.sample(DVec3::ZERO, 0.0);
    assert!((first - expected).length() < 1e-12);
    for i in -50..50 {
        let i = f64::from(i);
        let place_m = DVec3::new(31.0 * i, -7.0 * i, 0.9 * i);
        assert_eq!(wind.sample(place_m, 1.7 * i), first);
    }
    assert_eq!(
        ready(&WindScript::calm())
            .sample(DVec3::NEG_Z, 1.0)
            .length(),
        0.0
    );
}

/// Reference: 14 CFR 25.341(a)(2) shape, U/2 (1 - cos(2 pi s/length)), worked at
/// eighths of the length.
#[test]
fn a_gust_is_one_minus_cosine_and_travels_with_the_wind() {
    let mut checks = Checks::new(
        Chapter::Turbulence,
        "One discrete gust",
        "14 CFR 25.341(a)(2), worked at eighths of its length",
    );
    let amplitude = DVec3::new(0.0, 4.0, 0.0);
    let shape = [
        0.0, 0.146_447, 0.5, 0.853_553, 1.0, 0.853_553, 0.5, 0.146_447, 0.0,
    ];
    for extent in [GustExtent::DurationS(2.0), GustExtent::LengthM(10.0)] {
        let wind = ready(&gusty(5.0, amplitude, extent));
        for (eighth, part) in shape.iter().enumerate() {
            let time_s = 2.0 + 0.25 * eighth as f64;
            for east_m in [-30.0, 0.0, 20.0] {
                // 5 m/s: 20 m further east it is met 4 s later.
                let place_m = DVec3::new(-9.0, east_m, -2.0);
                let met = wind.sample(place_m, time_s + east_m / 5.0).y - 5.0;
                checks.near("gust", met, 4.0 * part, 1e-5);
            }
        }
        assert_eq!(wind.sample(DVec3::ZERO, 1.9).y, 5.0);
        assert_eq!(wind.sample(DVec3::ZERO, 4.1).y, 5.0);
    }
    checks.finish();
}

#[test]
fn in_a_calm_a_gust_is_everywhere_at_once_and_needs_a_duration() {
    let mut checks = Checks::new(
        Chapter::Turbulence,
        "Peak of a gust in a calm",
        "14 CFR 25.341(a)(2): at half its length a gust has its full strength",
    );
    let amplitude = DVec3::new(2.0, 0.0, 0.0);
    let wind = ready(&gusty(0.0, amplitude, GustExtent::DurationS(2.0)));
    for north_m in [-500.0, 0.0, 500.0] {
        let place_m = DVec3::new(north_m, 0.0, -1.0);
        checks.near("peak", wind.sample(place_m, 3.0).x, 2.0, 1e-12);
    }
    let refused = Wind::new(&gusty(0.0, amplitude, GustExtent::LengthM(9.0)), 0);
    assert!(matches!(
        refused.map(|_| ()),
        Err(WeatherError::GustNotCarried { index: 0, .. })
    ));
    checks.finish();
}

#[test]
fn nothing_blows_through_the_ground() {
    let mut checks = Checks::new(
        Chapter::Turbulence,
        "Up-gust over the ground",
        "the strength written in the script, 3 m/s, which the ground no longer takes away at 1 m",
    );
    let up = DVec3::new(0.0, 0.0, -3.0);
    let wind = ready(&gusty(5.0, up, GustExtent::DurationS(2.0)));
    assert_eq!(wind.sample(DVec3::ZERO, 3.0).z, 0.0);
    checks.near("at 1 m", wind.sample(DVec3::NEG_Z, 3.0).z, -3.0, 1e-12);
    let rough = ready(&turbulent());
    for i in 0..500 {
        let i = f64::from(i);
        let at_ground = DVec3::new(0.3 * i, -0.1 * i, 0.0);
        assert_eq!(rough.sample(at_ground, 0.1 * i).z, 0.0);
        let low = rough.sample(at_ground - 1e-3 * DVec3::Z, 0.1 * i);
        assert!(low.z.abs() < 1e-3, "{low}");
    }
    checks.finish();
}

#[test]
fn no_input_gives_anything_but_a_finite_wind() {
    let wind = ready(&turbulent());
    let odd = [
        0.0,
        -0.0,
        1e-320,
        0.5,
        -0.5,
        -250.0,
        1e5,
        -1e9,
        1e300,
        f64::MAX,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NAN,
    ];
    for x in odd {
        for y in odd {
            for z in odd {
                for time_s in [0.0, 6.0, -1e4, 1e300, f64::NEG_INFINITY, f64::NAN] {
                    let velocity = wind.sample(DVec3::new(x, y, z), time_s);
                    assert!(velocity.is_finite(), "{x} {y} {z} {time_s}: {velocity}");
                    assert!(velocity.length() < 30.0, "{x} {y} {z} {time_s}: {velocity}");
                }
            }
        }
    }
}

#[test]
fn same_seed_same_bytes_other_seed_other_air() {
    let script = turbulent();
    let bits = |wind: &Wind| -> Vec<u64> {
        (0..300)
            .flat_map(|i| {
                let i = f64::from(i);
                let place_m = DVec3::new(1.3 * i - 100.0, 0.2 * i, -0.1 * i);
                wind.sample(place_m, 0.07 * i).to_array().map(f64::to_bits)
            })
            .collect()
    };
    let first = Wind::new(&script, 11).expect("valid");
    let again = Wind::new(&script, 11).expect("valid");
    let other = Wind::new(&script, 12).expect("valid");
    assert_eq!(bits(&first), bits(&again));
    assert_ne!(bits(&first), bits(&other));
    let mut reseeded = script.clone();
    if let Some(turbulence) = &mut reseeded.turbulence {
        turbulence.seed = 5;
    }
    assert_ne!(
        bits(&first),
        bits(&Wind::new(&reseeded, 11).expect("valid"))
    );
}

/// What a place meets does not depend on what was asked before, nor on who asks.
#[test]
fn order_and_company_do_not_matter() {
    let wind = ready(&turbulent());
    let place_m = DVec3::new(12.0, -3.0, -7.0);
    let alone = wind.sample(place_m, 6.5);
    let instant = wind.at(6.5);
    for i in 0..100 {
        let _ = instant.velocity_m_s(DVec3::new(f64::from(i), 0.0, -2.0));
        let _ = wind.sample(place_m, f64::from(i));
    }
    assert_eq!(instant.velocity_m_s(place_m), alone);
    let threads: Vec<DVec3> = std::thread::scope(|scope| {
        let asked: Vec<_> = (0..3)
            .map(|_| scope.spawn(|| wind.sample(place_m, 6.5)))
            .collect();
        asked.into_iter().filter_map(|a| a.join().ok()).collect()
    });
    assert_eq!(threads, vec![alone; 3]);
}

#[test]
fn impossible_scripts_are_refused_by_name() {
    let mut loud = turbulent();
    loud.turbulence = Some(TurbulenceScript {
        intensity: f64::NAN,
        seed: 0,
    });
    let text = Wind::new(&loud, 0).map(|_| ()).unwrap_err().to_string();
    assert!(text.contains("turbulence intensity"), "{text}");
    let nan = DVec3::new(f64::NAN, 0.0, 0.0);
    assert!(Wind::new(&gusty(3.0, nan, GustExtent::DurationS(1.0)), 0).is_err());
    assert!(Wind::new(&gusty(3.0, DVec3::X, GustExtent::DurationS(0.0)), 0).is_err());
    assert!(Wind::new(&gusty(3.0, DVec3::X, GustExtent::LengthM(-1.0)), 0).is_err());
}
