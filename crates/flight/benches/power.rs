//! Cost of the power train: making the model, one tick, one strip's wash.

#![allow(missing_docs, reason = "the macro makes an undocumented function")]

use std::f64::consts::PI;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use glam::DVec3;
use larkfield_airframe::{Battery, Controller, Motor, Power, Propeller, Rotation};
use larkfield_flight::power::{DiskFlow, PowerInputs, PowerModel, SlipstreamPlace};

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
            diameter_m: 0.2286,
            pitch_m: 0.1143,
            blades: 2,
            geometry: Vec::new(),
            brake: false,
            rotation: Rotation::Clockwise,
            mounted_backward: false,
            mass_kg: 0.010,
        },
        battery: Battery {
            cells: 3,
            capacity_c: 4680.0,
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

fn power(c: &mut Criterion) {
    let power = train();
    c.bench_function("power model", |b| {
        b.iter(|| PowerModel::new(black_box(&power), 1.225, 1.789e-5));
    });
    let model = PowerModel::new(&power, 1.225, 1.789e-5);
    let drive = PowerInputs {
        throttle: 0.7,
        dt_s: 0.002,
        hub_velocity_m_s: DVec3::new(9.0, 0.5, 1.0),
        body_rate_rad_s: DVec3::new(0.1, 0.2, 0.3),
    };
    let mut state = model.initial_state();
    // Run up first; the bench then restarts each tick from the same state, so
    // that the battery never empties.
    for _ in 0..1000 {
        let _ = model.step(&mut state, &drive);
    }
    c.bench_function("power step", |b| {
        b.iter(|| {
            let mut now = black_box(state);
            model.step(&mut now, black_box(&drive))
        });
    });
    let flow = DiskFlow {
        axial_m_s: 9.0,
        cross_m_s: 1.0,
        omega_rad_s: state.omega_rad_s,
        ..DiskFlow::default()
    };
    c.bench_function("propeller loads", |b| {
        b.iter(|| model.propeller().loads(black_box(flow)))
    });
    let wake = model.step(&mut state, &drive).slipstream;
    let places: Vec<_> = (0..40)
        .map(|i| {
            let point = DVec3::new(-0.1 - 0.02 * f64::from(i), -0.5 + 0.025 * f64::from(i), 0.0);
            SlipstreamPlace::new(
                wake.hub_m,
                wake.direction,
                wake.disk_radius_m,
                point,
                0.0125,
            )
        })
        .collect();
    c.bench_function("slipstream at 40 strips", |b| {
        b.iter(|| {
            let wake = black_box(wake);
            places.iter().fold(DVec3::ZERO, |sum, place| {
                let wash = wake.at(place);
                sum + wash.velocity_m_s * wash.immersed
            })
        });
    });
    c.bench_function("static point", |b| {
        b.iter(|| model.static_point(black_box(0.8)))
    });
}

criterion_group!(benches, power);
criterion_main!(benches);
