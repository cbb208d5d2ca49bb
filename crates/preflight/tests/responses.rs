//! What the good planes do when a stick is moved, flown tick by tick from a
//! trimmed glide, against strip theory and the signs of the trade.
#![allow(missing_docs)]

use std::path::Path as FilePath;

use glam::{DQuat, DVec3};
use larkfield_airframe::{Airframe, Panel, Side, SurfaceKind};
use larkfield_flight::{AirProperties, Controls, FlightModel, FlightState};
use larkfield_preflight::ReferenceSizes;
use larkfield_preflight::bench::{Bench, Case, Condition};
use larkfield_preflight::trim::{Guess, Path, stall, trim};

const TICK_S: f64 = 0.002;

fn plane(name: &str) -> Airframe {
    let path = FilePath::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../shared/airframes")
        .join(format!("{name}.ron"));
    larkfield_files::airframe::load_airframe(&path).unwrap_or_else(|e| panic!("{e}"))
}

fn model(airframe: &Airframe) -> FlightModel {
    // Sea level of the standard atmosphere (ISO 2533).
    let air = AirProperties {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.789e-5,
    };
    FlightModel::new(airframe, air).expect("it can be flown")
}

/// Gliding straight at a multiple of the stall speed.
fn gliding(airframe: &Airframe, model: &FlightModel, over_stall: f64) -> (FlightState, Controls) {
    let sizes = ReferenceSizes::of(airframe).expect("a wing");
    let mut bench = Bench::new(model, Case::NOMINAL);
    let slow = stall(&mut bench, sizes.area_m2, None).expect("a stall");
    let speed = over_stall * slow.speed_m_s;
    let t = trim(
        &mut bench,
        sizes.chord_m,
        speed,
        0.0,
        Path::Straight,
        Guess::default(),
    )
    .expect("a trimmed glide");
    let _ = bench.sample(&t.condition);
    let mut state = bench.state().clone();
    let half = 0.5 * (libm::asin(t.excess) + t.condition.alpha_rad);
    state.attitude = DQuat::from_xyzw(0.0, libm::sin(half), 0.0, libm::cos(half));
    state.velocity_m_s = state.attitude * t.condition.velocity_m_s();
    (state, t.condition.controls)
}

/// Body rates every tick after the sticks move.
fn fly(
    model: &FlightModel,
    (mut state, controls): (FlightState, Controls),
    add: Controls,
    seconds: f64,
) -> (FlightState, Vec<DVec3>) {
    let moved = Controls {
        roll: controls.roll + add.roll,
        pitch: controls.pitch + add.pitch,
        yaw: controls.yaw + add.yaw,
        throttle: controls.throttle,
    };
    let ticks = (seconds / TICK_S) as usize;
    let rates = (0..ticks)
        .map(|_| {
            model.step(&mut state, &moved, &Bench::surroundings(), TICK_S);
            assert!(state.is_finite());
            state.rates_rad_s
        })
        .collect();
    (state, rates)
}

fn stick(roll: f64, pitch: f64, yaw: f64) -> Controls {
    Controls {
        roll,
        pitch,
        yaw,
        throttle: 0.0,
    }
}

fn largest(rates: &[DVec3], of: impl Fn(&DVec3) -> f64) -> f64 {
    rates
        .iter()
        .map(of)
        .fold(0.0, |a, b| if b.abs() > a.abs() { b } else { a })
}

#[test]
fn every_plane_holds_its_trimmed_glide() {
    for name in ["marram", "curlew", "sandpiper", "ternwing"] {
        let airframe = plane(name);
        let model = model(&airframe);
        let start = gliding(&airframe, &model, 1.3);
        let speed = start.0.velocity_m_s.length();
        let (end, rates) = fly(&model, start, stick(0.0, 0.0, 0.0), 2.0);
        let after = end.velocity_m_s.length();
        println!("{name}: {speed:.3} m/s, {after:.3} m/s after 2 s");
        assert!((after / speed - 1.0).abs() < 0.05, "{name}");
        let most = largest(&rates, |r| r.length());
        assert!(most < 0.1, "{name} turns at {most} rad/s by itself");
    }
}

#[test]
fn elevons_pitch_and_roll_apart_and_the_right_way() {
    let airframe = plane("ternwing");
    let model = model(&airframe);
    let start = || gliding(&airframe, &model, 1.3);
    let by_name = |state: &FlightState, name: &str| {
        let index = airframe.controls.iter().position(|c| c.name == name);
        let index = index.unwrap_or_else(|| panic!("no {name}"));
        state.surfaces[index].deflection_rad
    };
    let before = start().0;
    let rest = [
        by_name(&before, "elevon_left"),
        by_name(&before, "elevon_right"),
    ];

    let (up, rates) = fly(&model, start(), stick(0.0, 0.4, 0.0), 0.3);
    // Trailing edges up is negative.
    assert!(by_name(&up, "elevon_left") < rest[0] - 0.03);
    assert!(by_name(&up, "elevon_right") < rest[1] - 0.03);
    let pitching = largest(&rates, |r| r.y);
    assert!(pitching > 0.2, "{pitching}");
    assert!(largest(&rates, |r| r.x).abs() < 0.02 * pitching);

    let (right, rates) = fly(&model, start(), stick(0.4, 0.0, 0.0), 0.3);
    assert!(by_name(&right, "elevon_left") > rest[0] + 0.02);
    assert!(by_name(&right, "elevon_right") < rest[1] - 0.02);
    let rolling = largest(&rates, |r| r.x);
    assert!(rolling > 0.3, "{rolling}");
    // Sideslip of the rolled plane makes a little pitch, no more.
    assert!(largest(&rates, |r| r.y).abs() < 0.15 * rolling);

    // Left alone, the mirror image.
    let (_, left) = fly(&model, start(), stick(-0.4, 0.0, 0.0), 0.3);
    assert!((largest(&left, |r| r.x) / rolling + 1.0).abs() < 0.02);
}

#[test]
fn one_reversed_elevon_servo_swaps_the_sticks() {
    let mut airframe = plane("ternwing");
    for c in &mut airframe.controls {
        c.servo.reversed = c.name == "elevon_left";
    }
    let good = plane("ternwing");
    let sound = model(&good);
    let model = model(&airframe);
    let start = || gliding(&good, &sound, 1.3);
    // What the moved stick adds to the same flight with sticks left.
    let added = |add: Controls| {
        let (_, still) = fly(&model, start(), stick(0.0, 0.0, 0.0), 0.2);
        let (_, moved) = fly(&model, start(), add, 0.2);
        let change: Vec<DVec3> = moved.iter().zip(&still).map(|(m, s)| *m - *s).collect();
        (largest(&change, |r| r.x), largest(&change, |r| r.y))
    };
    // Right one up, left one down: it rolls right.
    let (roll, pitch) = added(stick(0.0, 0.4, 0.0));
    assert!(roll > 2.0 * pitch.abs(), "roll {roll}, pitch {pitch}");
    // Right one up, left one up as well: it pitches up.
    let (roll, pitch) = added(stick(0.4, 0.0, 0.0));
    assert!(pitch > 2.0 * roll.abs(), "roll {roll}, pitch {pitch}");
}

/// Helix angle p b / 2V of a full roll command by strip theory: the rolling
/// moment of the hinged strips balances that of all strips meeting the air at
/// p y / V. Flap effect of thin aerofoil theory (Glauert 1926), of which a
/// sealed hinge at model size leaves about 80 % (common practice, no source).
fn strip_theory(airframe: &Airframe) -> f64 {
    let mut driving = 0.0;
    let mut damping = 0.0;
    let mut half_span: f64 = 0.0;
    let chord_at = |p: &Panel, share: f64| {
        let (a, b) = (p.stations[0], p.stations[p.stations.len() - 1]);
        (
            a.chord_m + share * (b.chord_m - a.chord_m),
            (a.leading_edge_m.y + share * (b.leading_edge_m.y - a.leading_edge_m.y)).abs(),
        )
    };
    for (index, panel) in airframe.panels.iter().enumerate() {
        if panel.kind != SurfaceKind::Wing || panel.side != Side::Right {
            continue;
        }
        let steps = 2000;
        for k in 0..steps {
            let share = (f64::from(k) + 0.5) / f64::from(steps);
            let (chord, y) = chord_at(panel, share);
            half_span = half_span.max(y);
            damping += chord * y * y;
            for c in airframe.controls.iter().filter(|c| c.panel == index) {
                if share < c.span_from || share > c.span_to {
                    continue;
                }
                let t = (share - c.span_from) / (c.span_to - c.span_from);
                let e = c.flap_fraction_from + t * (c.flap_fraction_to - c.flap_fraction_from);
                let theta = (2.0 * e - 1.0).acos();
                let effect = (core::f64::consts::PI - theta + theta.sin()) / core::f64::consts::PI;
                let travel = 0.5 * (c.travel_positive_rad + c.travel_negative_rad);
                driving += 0.8 * effect * travel * c.mix.roll.abs() * chord * y;
            }
        }
    }
    half_span * driving / damping
}

#[test]
fn full_aileron_rolls_as_strip_theory_says() {
    for name in ["curlew", "ternwing"] {
        let airframe = plane(name);
        let model = model(&airframe);
        let start = gliding(&airframe, &model, 1.4);
        let speed = start.0.velocity_m_s.length();
        let (_, rates) = fly(&model, start, stick(1.0, 0.0, 0.0), 0.5);
        let helix = largest(&rates, |r| r.x) * 0.5 * model.span_m() / speed;
        let theory = strip_theory(&airframe);
        println!("{name}: p b / 2V {helix:.4}, strip theory {theory:.4}");
        // Induced flow takes about as much of the driving as of the damping
        // moment; sideslip takes a little more while it rolls.
        assert!(helix > 0.75 * theory && helix < 1.15 * theory, "{name}");
        // Least helix angle that pilots call enough: 0.07 (Gilruth and Turner,
        // NACA Report 715, 1941, from memory).
        assert!(helix >= 0.07, "{name} {helix}");
    }
}

#[test]
fn ailerons_yaw_the_wrong_way_first_and_differential_helps() {
    // The side that goes up carries more lift, so its induced drag holds it back.
    let good = plane("curlew");
    let mut plain = good.clone();
    for c in &mut plain.controls {
        if c.mix.roll != 0.0 {
            let mean = 0.5 * (c.travel_positive_rad + c.travel_negative_rad);
            c.travel_positive_rad = mean;
            c.travel_negative_rad = mean;
        }
    }
    let yaw = |airframe: &Airframe| {
        let model = model(airframe);
        let start = gliding(airframe, &model, 1.15);
        let (_, rates) = fly(&model, start, stick(1.0, 0.0, 0.0), 0.25);
        assert!(rates[rates.len() - 1].x > 0.3, "it rolls right");
        rates.iter().map(|r| r.z).fold(0.0, f64::min)
    };
    let (by_plain, by_differential) = (yaw(&plain), yaw(&good));
    println!("yaw rate with plain ailerons {by_plain:.4}, with differential {by_differential:.4}");
    assert!(by_plain < -0.01, "{by_plain}");
    assert!(by_differential > by_plain, "{by_differential}");
}

#[test]
fn rudders_turn_the_planes_that_have_them() {
    for (name, banks) in [("marram", true), ("sandpiper", true), ("curlew", false)] {
        let airframe = plane(name);
        let model = model(&airframe);
        let start = gliding(&airframe, &model, 1.3);
        let (end, rates) = fly(&model, start, stick(0.0, 0.0, 0.6), 1.2);
        assert!(rates[100].z > 0.0, "{name} yaws right");
        let bank = libm::asin((end.attitude * DVec3::Y).z).to_degrees();
        println!("{name}: bank {bank:.1} deg after 1.2 s of rudder");
        // Dihedral turns yaw into bank where the rudder has to do it alone.
        assert!(!banks || bank > 15.0, "{name}");
    }
}

#[test]
fn side_force_grows_smoothly_with_sideslip_under_power() {
    // A fin ends on a tailplane and stands in the slipstream: the settled
    // state must not jump. Wind from the right pushes to the left, and twice
    // the sideslip pushes about twice as hard, as long as the fin stays in it.
    for name in ["marram", "curlew", "sandpiper", "ternwing"] {
        let airframe = plane(name);
        let model = model(&airframe);
        let mut bench = Bench::new(&model, Case::NOMINAL);
        let speed = 8.0;
        let mut force = |beta_deg: f64| {
            let mut c = Condition::straight(speed, 0.04, 0.0, 0.7);
            c.beta_rad = beta_deg.to_radians();
            bench.sample(&c).force_n.y
        };
        let forces: Vec<f64> = (-4..=4).map(|k| force(2.0 * f64::from(k))).collect();
        let mean = (forces[8] - forces[0]) / 8.0;
        println!("{name} {forces:.3?}");
        assert!(mean < 0.0, "{name}");
        for pair in forces.windows(2) {
            let step = pair[1] - pair[0];
            assert!(
                step < 0.0 && step > 2.5 * mean,
                "{name}: {step} beside {mean}"
            );
        }
    }
}

/// The trainer with its tailplane bent up by 35 degrees and its rudder gone.
fn with_v_tail() -> Airframe {
    let mut airframe = plane("marram");
    let (sine, cosine) = (libm::sin(0.61), libm::cos(0.61));
    for panel in &mut airframe.panels {
        if panel.kind == SurfaceKind::Tailplane {
            for station in &mut panel.stations {
                let out = station.leading_edge_m.y;
                station.leading_edge_m.y = out * cosine;
                station.leading_edge_m.z -= out.abs() * sine;
            }
        }
    }
    airframe.controls.retain(|c| c.mix.pitch != 0.0);
    for c in &mut airframe.controls {
        // A correctly set-up V-tail: see the table of mixes of the airframe model.
        c.mix.pitch = -0.5;
        c.mix.yaw = if c.name.ends_with("_right") {
            0.5
        } else {
            -0.5
        };
    }
    airframe
}

#[test]
fn a_v_tail_pitches_and_yaws_apart_and_the_right_way() {
    let airframe = with_v_tail();
    let model = model(&airframe);
    let start = || gliding(&airframe, &model, 1.3);
    let (_, still) = fly(&model, start(), stick(0.0, 0.0, 0.0), 0.3);
    let added = |add: Controls| {
        let (_, moved) = fly(&model, start(), add, 0.3);
        let change: Vec<DVec3> = moved.iter().zip(&still).map(|(m, s)| *m - *s).collect();
        (largest(&change, |r| r.y), largest(&change, |r| r.z))
    };
    let (pitch, yaw) = added(stick(0.0, 0.5, 0.0));
    assert!(
        pitch > 0.2 && yaw.abs() < 0.02 * pitch,
        "pitch {pitch}, yaw {yaw}"
    );
    let (pitch, yaw) = added(stick(0.0, 0.0, 0.5));
    assert!(
        yaw > 0.05 && pitch.abs() < 0.2 * yaw,
        "pitch {pitch}, yaw {yaw}"
    );
}
