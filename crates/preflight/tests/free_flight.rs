//! Modes found by numerical linearisation against the same modes seen in free
//! flight, and against closed forms.
#![allow(missing_docs)]

use std::path::Path as FilePath;

use glam::{DQuat, DVec3};
use larkfield_airframe::{Component, ComponentKind};
use larkfield_flight::{AirProperties, FlightModel, FlightState};
use larkfield_preflight::ReferenceSizes;
use larkfield_preflight::bench::{Bench, Case};
use larkfield_preflight::modes::{Mode, ModeKind, modes};
use larkfield_preflight::trim::{Guess, Path, Trim, stall, trim};
use larkfield_proof::{Chapter, Checks};

const TICK_S: f64 = 0.002;

fn model() -> FlightModel {
    let path = FilePath::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/airframes/marram.ron");
    let airframe = larkfield_files::airframe::load_airframe(&path).expect("a shipped file");
    // Sea level of the standard atmosphere (ISO 2533).
    let air = AirProperties {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.789e-5,
    };
    FlightModel::new(&airframe, air).expect("it flies")
}

/// A trimmed glide at half more than the stall speed, its modes, and a state
/// in it.
fn gliding(model: &FlightModel) -> (Trim, Vec<Mode>, FlightState) {
    let sizes = ReferenceSizes::of(model.airframe()).expect("a wing");
    let mut bench = Bench::new(model, Case::NOMINAL);
    let slow = stall(&mut bench, sizes.area_m2, None).expect("a stall");
    let trimmed = trim(
        &mut bench,
        sizes.chord_m,
        1.5 * slow.speed_m_s,
        0.0,
        Path::Straight,
        Guess::default(),
    )
    .expect("a glide");
    let _ = bench.sample(&trimmed.condition);
    let mut state = bench.state().clone();
    let found = modes(&mut bench, &trimmed);
    let pitch = libm::asin(trimmed.excess) + trimmed.condition.alpha_rad;
    state.attitude = DQuat::from_rotation_y(pitch);
    state.velocity_m_s = state.attitude * trimmed.condition.velocity_m_s();
    state.position_m.z = -400.0;
    (trimmed, found, state)
}

fn fly(
    model: &FlightModel,
    trimmed: &Trim,
    mut state: FlightState,
    seconds: f64,
    see: impl Fn(&FlightState) -> f64,
) -> Vec<(f64, f64)> {
    let ticks = (seconds / TICK_S) as u32;
    (0..ticks)
        .map(|k| {
            let controls = trimmed.condition.controls;
            model.step(&mut state, &controls, &Bench::surroundings(), TICK_S);
            (f64::from(k + 1) * TICK_S, see(&state))
        })
        .collect()
}

/// Period and damping ratio from the extremes of a trace: time between every
/// second one, and how each swing shrinks beside the one before.
fn swings(trace: &[(f64, f64)], from_s: f64) -> (f64, f64) {
    let extremes: Vec<(f64, f64)> = (trace.windows(3))
        .filter(|w| w[1].0 > from_s && (w[1].1 - w[0].1) * (w[2].1 - w[1].1) < 0.0)
        .map(|w| w[1])
        .take(4)
        .collect();
    let [a, b, c, ..] = extremes.as_slice() else {
        return (f64::NAN, f64::NAN);
    };
    let shrink = ((b.1 - c.1) / (a.1 - b.1)).abs();
    // A swing shrinks by exp(-pi zeta / sqrt(1 - zeta^2)).
    let decrement = -shrink.ln() / std::f64::consts::PI;
    let damping = decrement / (1.0 + decrement * decrement).sqrt();
    (c.0 - a.0, damping)
}

fn mode(found: &[Mode], kind: ModeKind) -> (f64, f64) {
    let one = found.iter().find(|m| m.kind == kind);
    let of = |part: Option<f64>| part.unwrap_or(f64::NAN);
    one.map_or((f64::NAN, f64::NAN), |m| {
        (of(m.period_s), of(m.damping_ratio))
    })
}

#[test]
fn modes_are_those_seen_in_free_flight() {
    let mut checks = Checks::new(
        Chapter::Modes,
        "Modes of the trainer as free flight shows them",
        "its own flight, tick by tick, with lags of air and servos that the linear modes leave \
         out; limits 10 % of a period, 0.05 of a damping ratio",
    );
    let model = model();
    let (trimmed, found, state) = gliding(&model);

    let mut faster = state.clone();
    faster.velocity_m_s *= 1.03;
    let speed = fly(&model, &trimmed, faster, 25.0, |s| s.velocity_m_s.length());
    let (period_s, damping) = swings(&speed, 1.0);
    let linear = mode(&found, ModeKind::Phugoid);
    checks.share("phugoid: period, s", linear.0, period_s, 0.10);
    checks.near("phugoid: damping ratio", linear.1, damping, 0.05);

    let mut slipping = state.clone();
    slipping.velocity_m_s += slipping.attitude * DVec3::Y * 0.4;
    let yawing = fly(&model, &trimmed, slipping, 8.0, |s| s.rates_rad_s.z);
    let (period_s, damping) = swings(&yawing, 0.0);
    let linear = mode(&found, ModeKind::DutchRoll);
    checks.share("Dutch roll: period, s", linear.0, period_s, 0.10);
    checks.near("Dutch roll: damping ratio", linear.1, damping, 0.05);
    checks.finish();
}

/// Lanchester's phugoid is flown at one angle of attack. A light plane turns
/// its nose too slowly for that: as the path curves the angle changes, which
/// lengthens the period by the root of 1 - Cm_q/(2 mu h), mu = 2 m/(rho S c), h
/// the static margin. With lead at its balance point mu grows and the closed
/// form is the limit. His damping ratio is that of level flight under constant
/// thrust; in a glide, where m V gamma' = L - W cos gamma pulls back by
/// g sin gamma as well, u' = -2 D u/(m V) - g gamma makes it half as much again.
#[test]
fn a_heavy_plane_has_lanchesters_phugoid() {
    let mut checks = Checks::new(
        Chapter::Modes,
        "Phugoid of the trainer filled with lead",
        "Lanchester, Aerodonetics, 1908, from memory: period sqrt(2) pi V/g, damping ratio \
         1/(sqrt(2) L/D) in level flight and by the same equations half as much again in a glide",
    );
    checks.note(
        "Light planes do not have Lanchester's phugoid: pitch damping lengthens the trainer's \
         period to nearly twice his, in the linear modes and in free flight alike. With lead at \
         the balance point his is the limit.",
    );
    for factor in [1.0, 30.0, 300.0] {
        let mut airframe = model().airframe().clone();
        let (cg_m, mass_kg) = (model().mass().cg_m, model().mass().mass_kg);
        airframe.components.push(Component {
            name: "lead".into(),
            kind: ComponentKind::Ballast,
            mass_kg: mass_kg * (factor - 1.0) + 1e-9,
            position_m: cg_m,
            size_m: DVec3::ZERO,
        });
        airframe.measured.mass_kg = None;
        let heavy = FlightModel::new(&airframe, model().air()).expect("it flies");
        let (trimmed, found, _) = gliding(&heavy);
        let lanchester_s =
            std::f64::consts::SQRT_2 * std::f64::consts::PI * trimmed.condition.speed_m_s / 9.80665;
        // In a glide the path falls by one over lift over drag.
        let sine = -trimmed.excess;
        let fall = sine / (1.0 - sine * sine).sqrt();
        let (period_s, damping) = mode(&found, ModeKind::Phugoid);
        // His period has no damping in it.
        let undamped_s = period_s * (1.0 - damping * damping).sqrt();
        println!(
            "mass times {factor}: period {undamped_s:.2} s, Lanchester {lanchester_s:.2} s; damping \
             {damping:.4}, {:.4}",
            1.5 * fall / std::f64::consts::SQRT_2
        );
        if factor > 100.0 {
            checks.share("period without damping, s", undamped_s, lanchester_s, 0.05);
            let expected = 1.5 * fall / std::f64::consts::SQRT_2;
            checks.share("damping ratio", damping, expected, 0.10);
        }
    }
    checks.finish();
}
