//! Cost of sampling the wind, turbulence on.
#![allow(missing_docs, reason = "criterion_group! makes a public function")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use glam::DVec3;
use larkfield_weather::{TurbulenceScript, Wind, WindPoint, WindScript};

fn breeze() -> Wind {
    let script = WindScript {
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
        turbulence: Some(TurbulenceScript {
            intensity: 1.0,
            seed: 1,
        }),
    };
    Wind::new(&script, 7).expect("a valid script")
}

fn bench(criterion: &mut Criterion) {
    let wind = breeze();
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

criterion_group!(benches, bench);
criterion_main!(benches);
