//! The shipped trainer and its mis-built variants thrown by hand, hands off.
//!
//! Expectations are those of the trade for a first launch (common practice, no
//! source): a sound trainer thrown at about its minimum speed flies away, each
//! build error shows its own way, and half the error shows less.

mod support;

use glam::EulerRot;
use larkfield_airframe::Airframe;
use larkfield_flight::{Controls, FlightModel};
use support::{AIR, shipped, still_air, thrown};

const DT: f64 = 0.002;

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
    let model = FlightModel::new(plane, AIR).expect("model");
    let controls = Controls {
        throttle: 0.75,
        ..Controls::default()
    };
    let mut state = thrown(&model, 6.0, 10.0, &controls, DT);
    let mut moments = Vec::new();
    for k in 0..2500 {
        let report = model.step(&mut state, &controls, &still_air(), DT);
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
    let flight = toss(&shipped("marram"));
    let end = at(&flight, 3.0);
    println!("{end:?}");
    assert!(end.height_m > 1.8 + 1.0, "{end:?}");
    assert!(end.climb_m_s > 0.0, "{end:?}");
    assert!(worst(&flight, 3.0, |m| m.stalled) < 0.2);
    assert!(worst(&flight, 1.5, |m| m.bank_deg.abs()) < 15.0);
}

#[test]
fn the_tail_heavy_one_rears() {
    let (good, bad) = (
        toss(&shipped("marram")),
        toss(&shipped("marram-tail-heavy")),
    );
    let rise = |f: &[Moment]| worst(f, 1.5, |m| m.pitch_deg);
    println!(
        "pitch within 1.5 s: good {:.1}, tail-heavy {:.1}",
        rise(&good),
        rise(&bad)
    );
    assert!(rise(&bad) > 30.0 && rise(&bad) > rise(&good) + 10.0);

    // Half the error, half way between the balance points.
    let mut half = shipped("marram");
    let x = |name: &str| {
        larkfield_airframe::MassProperties::of(&shipped(name))
            .cg_m
            .x
    };
    half.measured.balance_x_m = Some(0.5 * (x("marram") + x("marram-tail-heavy")));
    let middle = rise(&toss(&half));
    assert!(middle < rise(&bad) && middle > rise(&good), "{middle}");
}

#[test]
fn the_under_powered_one_sinks() {
    let flight = toss(&shipped("marram-under-powered"));
    let end = at(&flight, 2.0);
    println!("{end:?}");
    assert!(end.height_m < 1.8, "{end:?}");
}

#[test]
fn the_warped_one_rolls_its_own_way() {
    let bank = |plane: &Airframe| at(&toss(plane), 1.0).bank_deg;
    let (good_plane, bad_plane) = (shipped("marram"), shipped("marram-warped"));
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
