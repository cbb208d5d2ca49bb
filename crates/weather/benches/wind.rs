//! Cost of sampling the wind, turbulence on.
#![allow(missing_docs, reason = "criterion_group! makes a public function")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use glam::DVec3;
use larkfield_weather::{
    Feature, Thermal, TreeLine, TurbulenceScript, Wind, WindPoint, WindScript,
};

fn breeze() -> WindScript {
    WindScript {
        points: vec![
            WindPoint {
                time_s: 0.0,
                speed_m_s: 2.0,
                from_rad: 0.3,
            },
            WindPoint {
                time_s: 60.0,
                speed_m_s: 4.0,
                from_rad: 0.8,
            },
        ],
        stated_height_m: 2.0,
        roughness_m: Some(0.03),
        features: Vec::new(),
        tree_lines: Vec::new(),
        turbulence: Some(TurbulenceScript {
            intensity: 1.0,
            seed: 1,
        }),
    }
}

fn ready(script: &WindScript) -> Wind {
    Wind::new(script, 7).expect("a valid script")
}

fn bench(criterion: &mut Criterion) {
    let wind = ready(&breeze());
    let places: Vec<DVec3> = (0..256)
        .map(|i| {
            let i = f64::from(i);
            DVec3::new(0.7 * i, 40.0 - 0.3 * i, -1.0 - 0.1 * i)
        })
        .collect();

    let instant = wind.at(12.3);
    let mut next = places.iter().cycle();
    criterion.bench_function("one place, time prepared", |bencher| {
        bencher.iter(|| {
            next.next()
                .map(|place| instant.velocity_m_s(black_box(*place)))
        });
    });
    criterion.bench_function("preparing a time", |bencher| {
        bencher.iter(|| wind.at(black_box(12.3)));
    });
    criterion.bench_function("one place and time", |bencher| {
        bencher.iter(|| wind.sample(black_box(places[9]), black_box(12.3)));
    });
    criterion.bench_function("four places of one time", |bencher| {
        bencher.iter(|| {
            let instant = wind.at(black_box(12.3));
            let mut sum = DVec3::ZERO;
            for place in &places[..4] {
                sum += instant.velocity_m_s(black_box(*place));
            }
            sum
        });
    });
}

/// The same air without turbulence, so that what is added shows.
fn bench_features(criterion: &mut Criterion) {
    let smooth = WindScript {
        turbulence: None,
        ..breeze()
    };
    let trees = WindScript {
        tree_lines: vec![TreeLine {
            north_m: 0.0,
            east_m: 0.0,
            direction_rad: 1.5,
            length_m: 300.0,
            height_m: 10.0,
            porosity: 0.3,
        }],
        ..smooth.clone()
    };
    let thermal = WindScript {
        features: vec![Feature::Thermal(Thermal {
            start_time_s: -40.0,
            north_m: 0.0,
            east_m: 0.0,
            core_radius_m: 15.0,
            up_m_s: 2.0,
            depth_m: None,
        })],
        ..smooth.clone()
    };
    let high = |north_m: f64, east_m: f64, height_m: f64| DVec3::new(north_m, east_m, -height_m);
    for (name, script, place_m) in [
        ("smooth air", &smooth, high(-60.0, 0.0, 6.0)),
        ("eddies behind trees", &trees, high(-60.0, 0.0, 6.0)),
        ("above the eddies", &trees, high(-60.0, 0.0, 25.0)),
        ("far from the trees", &trees, high(-600.0, 0.0, 6.0)),
        ("in a thermal", &thermal, high(0.0, 0.0, 10.0)),
        ("far from a thermal", &thermal, high(600.0, 0.0, 10.0)),
    ] {
        let wind = ready(script);
        let instant = wind.at(0.0);
        criterion.bench_function(name, |bencher| {
            bencher.iter(|| instant.velocity_m_s(black_box(place_m)));
        });
    }
}

criterion_group!(benches, bench, bench_features);
criterion_main!(benches);
