//! Cost of one aeroplane, about 40 strips with propeller and ground effect: all
//! its forces alone, and a whole tick with them.

use std::hint::black_box;

use criterion::{Criterion, criterion_main};
use glam::DVec3;
use larkfield_flight::{AirProperties, Controls, FlightModel, LocalWind, Surroundings};

fn trainer() -> Option<FlightModel> {
    let path = format!(
        "{}/../../shared/airframes/marram.ron",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(&path).ok()?;
    let plane = larkfield_files::airframe::read_airframe(&text, &path).ok()?;
    let air = AirProperties {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.79e-5,
    };
    FlightModel::new(&plane, air).ok()
}

fn step(c: &mut Criterion) {
    let Some(model) = trainer() else {
        println!("the shipped trainer cannot be read; nothing measured");
        return;
    };
    let controls = Controls {
        throttle: 0.6,
        ..Controls::default()
    };
    let around = Surroundings {
        wind: LocalWind::default(),
        ground_z_m: 0.0,
        gravity_m_s2: 9.80665,
    };
    println!("{} strips", model.strip_count());
    for (name, height_m) in [("high", 50.0), ("in ground effect", 0.6)] {
        let mut state = model.state_at_rest();
        state.velocity_m_s = DVec3::new(9.0, 0.0, 0.5);
        c.bench_function(&format!("all forces, {name}"), |b| {
            let mut state = state.clone();
            state.position_m = DVec3::new(0.0, 0.0, -height_m);
            // By reference: to be given away, the loads would be copied once more.
            b.iter(|| {
                let loads = model.tick_loads(&mut state, &controls, &around, 0.002);
                black_box(&loads);
            });
        });
        c.bench_function(&format!("tick, {name}"), |b| {
            b.iter(|| {
                state.position_m = DVec3::new(0.0, 0.0, -height_m);
                state.velocity_m_s.z = 0.5;
                model.step(&mut state, &controls, &around, 0.002)
            });
        });
    }
}

#[allow(missing_docs, reason = "the macro writes the function")]
mod group {
    use super::step;
    criterion::criterion_group!(benches, step);
}
use group::benches;
criterion_main!(benches);
