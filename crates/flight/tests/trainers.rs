//! The shipped trainer and its mis-built variants thrown by hand, hands off.
//!
//! Expectations are those of the trade for a first launch (common practice, no
//! source): a sound trainer thrown at about its minimum speed flies away, each
//! build error shows its own way, and half the error shows less.

mod support;

use glam::{DQuat, DVec3, EulerRot};
use larkfield_airframe::Airframe;
use larkfield_flight::{
    AirProperties, CarriedMotion, Controls, FlightModel, LocalWind, Surroundings,
};

const DT: f64 = 0.002;

fn read(file: &str) -> Airframe {
    let path = format!(
        "{}/../../shared/airframes/{file}.ron",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(&path).expect("shipped airframe");
    larkfield_files::airframe::read_airframe(&text, &path).expect("readable airframe")
}

#[derive(Debug, Clone, Copy)]
struct Moment {
    time_s: f64,
    height_m: f64,
    pitch_deg: f64,
    bank_deg: f64,
    climb_m_s: f64,
    stalled: f64,
}

/// Thrown at 6 m/s from 1.8 m in calm air, 10 degrees up, 75 % throttle, sticks still.
fn toss(plane: &Airframe) -> Vec<Moment> {
    let model = FlightModel::new(
        plane,
        AirProperties {
            density_kg_m3: 1.225,
            viscosity_pa_s: 1.79e-5,
        },
    )
    .expect("model");
    let around = Surroundings {
        wind: LocalWind::default(),
        ground_z_m: 0.0,
        gravity_m_s2: 9.80665,
    };
    let controls = Controls {
        throttle: 0.75,
        ..Controls::default()
    };
    let pitch = 10f64.to_radians();
    let velocity = 6.0 * DVec3::new(pitch.cos(), 0.0, -pitch.sin());
    let mut state = model.state_at_rest();
    for k in 0..500 {
        let motion = CarriedMotion {
            position_m: DVec3::new(0.0, 0.0, -1.8),
            velocity_m_s: velocity * (f64::from(k) / 499.0),
            attitude: DQuat::from_euler(EulerRot::ZYX, 0.0, pitch, 0.0),
            rates_rad_s: DVec3::ZERO,
        };
        model.carry(&mut state, &motion, &controls, &around, DT);
    }
    let mut moments = Vec::new();
    for k in 0..2500 {
        let report = model.step(&mut state, &controls, &around, DT);
        assert!(state.is_finite());
        let (_, p, b) = state.attitude.to_euler(EulerRot::ZYX);
        moments.push(Moment {
            time_s: f64::from(k) * DT,
            height_m: -state.position_m.z,
            pitch_deg: p.to_degrees(),
            bank_deg: b.to_degrees(),
            climb_m_s: -state.velocity_m_s.z,
            stalled: 0.5 * (report.stalled_left + report.stalled_right),
        });
        if state.position_m.z > 0.0 {
            break;
        }
    }
    moments
}

fn at(moments: &[Moment], time_s: f64) -> Moment {
    *moments
        .iter()
        .find(|m| m.time_s >= time_s)
        .unwrap_or(&moments[moments.len() - 1])
}

fn worst(moments: &[Moment], until_s: f64, of: impl Fn(&Moment) -> f64) -> f64 {
    moments
        .iter()
        .filter(|m| m.time_s <= until_s)
        .map(of)
        .fold(f64::MIN, f64::max)
}

#[test]
fn the_good_one_flies_away() {
    let flight = toss(&read("marram"));
    let end = at(&flight, 3.0);
    println!("{end:?}");
    assert!(end.height_m > 1.8 + 1.0, "{end:?}");
    assert!(end.climb_m_s > 0.0, "{end:?}");
    assert!(worst(&flight, 3.0, |m| m.stalled) < 0.2);
    assert!(worst(&flight, 1.5, |m| m.bank_deg.abs()) < 15.0);
}

#[test]
fn the_tail_heavy_one_rears() {
    let (good, bad) = (toss(&read("marram")), toss(&read("marram-tail-heavy")));
    let rise = |f: &[Moment]| worst(f, 1.5, |m| m.pitch_deg);
    println!(
        "pitch within 1.5 s: good {:.1}, tail-heavy {:.1}",
        rise(&good),
        rise(&bad)
    );
    assert!(rise(&bad) > 30.0 && rise(&bad) > rise(&good) + 10.0);

    // Half the error, half way between the balance points.
    let mut half = read("marram");
    let x = |name: &str| larkfield_airframe::MassProperties::of(&read(name)).cg_m.x;
    half.measured.balance_x_m = Some(0.5 * (x("marram") + x("marram-tail-heavy")));
    let middle = rise(&toss(&half));
    assert!(middle < rise(&bad) && middle > rise(&good), "{middle}");
}

#[test]
fn the_under_powered_one_sinks() {
    let flight = toss(&read("marram-under-powered"));
    let end = at(&flight, 2.0);
    println!("{end:?}");
    assert!(end.height_m < 1.8, "{end:?}");
}

#[test]
fn the_warped_one_rolls_its_own_way() {
    let bank = |plane: &Airframe| at(&toss(plane), 1.0).bank_deg;
    let (good_plane, bad_plane) = (read("marram"), read("marram-warped"));
    let (good, bad) = (bank(&good_plane), bank(&bad_plane));
    // Half the warp: stations half way between those of the two files.
    let mut half = good_plane.clone();
    for (panel, warped) in half.panels.iter_mut().zip(&bad_plane.panels) {
        for (s, w) in panel.stations.iter_mut().zip(&warped.stations) {
            s.incidence_rad = 0.5 * (s.incidence_rad + w.incidence_rad);
        }
    }
    let middle = bank(&half);
    println!("bank after 1 s: good {good:.1}, half {middle:.1}, warped {bad:.1}");
    assert!((bad - good).abs() > 10.0);
    assert!((middle - good) * (bad - good) > 0.0 && (middle - good).abs() < (bad - good).abs());
}
