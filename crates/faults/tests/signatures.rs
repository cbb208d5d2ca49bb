//! The mark that each fault leaves on loads and commands, by direction. What is
//! expected follows from statics about the balance point or from the trade's
//! rules of thumb (common practice, no source), never from a run of ours.

use std::path::Path;

use larkfield_airframe::{Airframe, MassProperties, SurfaceKind};
use larkfield_faults::{Injected, NotHere, Person, Scene, library};
use larkfield_files::airframe::read_airframe;
use larkfield_flight::{AirProperties, FlightModel};
use larkfield_pilot::{
    Ability, ControlMessage, Habits, Launch, Mishaps, RadioSetup, Sticks, Throw, Trims,
};
use larkfield_preflight::bench::{Bench, Case, Condition, Sample};
use larkfield_preflight::trim::{Guess, Path as Held, trim};
use larkfield_weather::WindScript;

/// Slow and fast for planes of this size, m/s.
const SLOW_M_S: f64 = 7.0;
const FAST_M_S: f64 = 14.0;
/// An angle of attack below the stall.
const ALPHA_RAD: f64 = 0.06;
/// The standard atmosphere at sea level (ICAO Doc 7488).
const AIR: AirProperties = AirProperties {
    density_kg_m3: 1.225,
    viscosity_pa_s: 1.789e-5,
};

fn plane(name: &str) -> Airframe {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/airframes");
    let path = root.join(format!("{name}.ron"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path:?}: {e}"));
    read_airframe(&text, name).unwrap_or_else(|e| panic!("{e}"))
}

fn scene(name: &str) -> Scene {
    let airframe = plane(name);
    Scene {
        radio: RadioSetup::for_airframe(&airframe),
        airframe,
        launch: Launch::Throw(Throw::default()),
        trim_error: Trims::default(),
        mishaps: Mishaps::default(),
        wind: WindScript::uniform(3.0, 0.0),
        person: Some(Person {
            ability: Ability::competent(),
            habits: Habits::competent(),
        }),
    }
}

fn with(name: &str, fault: &str) -> Scene {
    let mut scene = scene(name);
    let fault = Injected::parse(fault).unwrap_or_else(|e| panic!("{e}"));
    fault.apply(&mut scene).unwrap_or_else(|e| panic!("{e}"));
    scene
}

fn model(scene: &Scene) -> FlightModel {
    FlightModel::new(&scene.airframe, AIR).unwrap_or_else(|e| panic!("{e}"))
}

fn sample(scene: &Scene, condition: &Condition) -> Sample {
    Bench::new(&model(scene), Case::NOMINAL).sample(condition)
}

/// Straight flight at a speed with these commands.
fn straight(speed_m_s: f64, pitch: f64, yaw: f64, throttle: f64) -> Condition {
    let mut condition = Condition::straight(speed_m_s, ALPHA_RAD, pitch, throttle);
    condition.controls.yaw = yaw;
    condition
}

fn gliding(speed_m_s: f64) -> Condition {
    straight(speed_m_s, 0.0, 0.0, 0.0)
}

/// Pitch command that holds level flight, motor idle.
fn elevator_to_trim(scene: &Scene, speed_m_s: f64) -> f64 {
    let model = model(scene);
    let chord_m = 0.223; // Of the trainer, from the head of its file.
    let mut bench = Bench::new(&model, Case::NOMINAL);
    trim(
        &mut bench,
        chord_m,
        speed_m_s,
        0.0,
        Held::LiftIsWeight,
        Guess::default(),
    )
    .unwrap_or_else(|| panic!("no trim at {speed_m_s} m/s"))
    .pitch()
}

/// Change of pitching moment from one angle of attack to the next.
fn pitch_stiffness(scene: &Scene) -> f64 {
    let at = |alpha_rad| {
        let condition = Condition::straight(9.0, alpha_rad, 0.0, 0.0);
        sample(scene, &condition).moment_n_m.y
    };
    at(0.08) - at(0.02)
}

#[test]
fn balance_shows_in_stiffness_and_in_elevator_that_grows_when_slow() {
    let (good, tail, nose) = (
        scene("marram"),
        with("marram", "tail-heavy"),
        with("marram", "nose-heavy"),
    );
    // The moment of added lift about the balance point: stiffer with the
    // balance ahead.
    assert!(pitch_stiffness(&nose) < pitch_stiffness(&good));
    assert!(pitch_stiffness(&good) < pitch_stiffness(&tail));
    let needs = |scene: &Scene, speed| elevator_to_trim(scene, speed);
    let extra = |speed| needs(&nose, speed) - needs(&good, speed);
    assert!(extra(SLOW_M_S) > 0.0, "nose-heavy needs up elevator");
    assert!(extra(SLOW_M_S) > 1.3 * extra(11.0), "most of it when slow");
    assert!(needs(&tail, SLOW_M_S) < needs(&good, SLOW_M_S));
}

#[test]
fn wrong_tail_incidence_needs_about_the_same_elevator_at_all_speeds() {
    let (good, tail) = (scene("marram"), with("marram", "tail-incidence"));
    let extra = |speed| elevator_to_trim(&tail, speed) - elevator_to_trim(&good, speed);
    let (slow, fast) = (extra(SLOW_M_S), extra(11.0));
    assert!(slow > 0.0 && fast > 0.0, "{slow} {fast}");
    // A moment from an angle goes with the square of speed, as the elevator's.
    assert!((slow / fast - 1.0).abs() < 0.25, "{slow} {fast}");
}

#[test]
fn a_warp_rolls_left_with_the_square_of_speed_and_a_heavy_wing_with_the_lift() {
    let warped = with("marram", "wing-warp");
    let roll = |speed| sample(&warped, &gliding(speed)).moment_n_m.x;
    let ratio = roll(FAST_M_S) / roll(SLOW_M_S);
    assert!(roll(SLOW_M_S) < 0.0);
    assert!((ratio - 4.0).abs() < 1.0, "{ratio}");

    let heavy = sample(&with("marram", "wing-heavy=8 mm"), &gliding(SLOW_M_S));
    let good = sample(&scene("marram"), &gliding(SLOW_M_S));
    // The same force about a point 8 mm further to starboard. Straight flow
    // does not depend on that point; 1 % is for what settles in the wake.
    let expected_n_m = -heavy.force_n.z * 0.008;
    let error = (heavy.moment_n_m.x - good.moment_n_m.x) / expected_n_m - 1.0;
    assert!(error.abs() < 0.01, "{error}");
}

#[test]
fn a_skewed_fin_turns_the_nose_left_with_the_motor_idle() {
    let skewed = sample(&with("marram", "skewed-fin"), &gliding(SLOW_M_S));
    let good = sample(&scene("marram"), &gliding(SLOW_M_S));
    assert!(skewed.moment_n_m.z < good.moment_n_m.z - 1e-3);
}

#[test]
fn overweight_weighs_what_it_says() {
    let mass = |scene: &Scene| MassProperties::of(&scene.airframe).mass_kg;
    let ratio = mass(&with("marram", "overweight=20 %")) / mass(&scene("marram"));
    assert!((ratio - 1.2).abs() < 1e-12);
}

/// Pitching moment of half the elevator.
fn elevator_power(scene: &Scene) -> f64 {
    let at = |pitch| sample(scene, &straight(9.0, pitch, 0.0, 0.0)).moment_n_m.y;
    at(0.5) - at(-0.5)
}

fn rudder_power(scene: &Scene) -> f64 {
    let at = |yaw| sample(scene, &straight(9.0, 0.0, yaw, 0.0)).moment_n_m.z;
    at(0.5) - at(-0.5)
}

#[test]
fn reversed_and_rescaled_controls_answer_so() {
    let good = elevator_power(&scene("marram"));
    assert!(good > 0.0);
    let reversed = elevator_power(&with("marram", "elevator-reversed"));
    assert!((reversed / good + 1.0).abs() < 0.15, "{reversed} {good}");
    for (fault, stronger) in [
        ("throws-large", true),
        ("throws-small", false),
        ("hinge-gap", false),
    ] {
        let power = elevator_power(&with("marram", fault));
        assert!(power > 0.0, "{fault}: the sign stays");
        assert_eq!(power > 1.05 * good, stronger, "{fault}: {power} {good}");
        assert_eq!(power < 0.95 * good, !stronger, "{fault}: {power} {good}");
    }
    // Without ailerons the roll stick is the rudder.
    for fault in ["roll-reversed", "rudder-reversed"] {
        assert!(rudder_power(&scene("marram")) > 0.0);
        assert!(rudder_power(&with("marram", fault)) < 0.0, "{fault}");
    }
}

#[test]
fn one_reversed_elevon_rolls_with_the_pitch_stick() {
    let answer = |scene: &Scene, pitch: f64, roll: f64| {
        let at = |share: f64| {
            let mut condition = straight(9.0, share * pitch, 0.0, 0.0);
            condition.controls.roll = share * roll;
            sample(scene, &condition).moment_n_m
        };
        at(0.5) - at(-0.5)
    };
    let (good, reversed) = (scene("ternwing"), with("ternwing", "elevon-reversed"));
    assert!(answer(&good, 1.0, 0.0).x.abs() < 0.05 * answer(&good, 1.0, 0.0).y);
    assert!(answer(&reversed, 1.0, 0.0).x.abs() > answer(&reversed, 1.0, 0.0).y.abs());
    assert!(answer(&reversed, 0.0, 1.0).y.abs() > answer(&good, 0.0, 1.0).y.abs());
    let swapped = with("ternwing", "elevon-plugs-swapped");
    assert!(answer(&swapped, 1.0, 0.0).y > 0.0 && answer(&good, 1.0, 0.0).y > 0.0);
    assert!(answer(&swapped, 0.0, 1.0).x < 0.0 && answer(&good, 0.0, 1.0).x > 0.0);
}

/// What full throttle adds.
fn of_throttle(scene: &Scene) -> Sample {
    sample(scene, &straight(SLOW_M_S, 0.0, 0.0, 1.0))
}

#[test]
fn thrust_line_propeller_and_battery_show_with_power_only() {
    let good = of_throttle(&scene("marram"));
    let high = of_throttle(&with("marram", "thrust-line-high"));
    assert!(high.moment_n_m.y > good.moment_n_m.y, "nose up with power");
    let left = of_throttle(&with("marram", "thrust-line-left"));
    assert!(
        left.moment_n_m.z < good.moment_n_m.z,
        "nose left with power"
    );
    let backward = of_throttle(&with("marram", "propeller-backward"));
    assert!(backward.along_n < good.along_n - 0.1, "it pulls less");
    let used = of_throttle(&with("marram", "battery-used=large"));
    assert!(used.voltage_v < good.voltage_v && used.along_n < good.along_n);
}

#[test]
fn a_crooked_wing_rolls_as_in_a_sideslip_where_its_tips_are_bent_up() {
    // With its starboard tip ahead the wing meets the air as in a sideslip with
    // the wind from starboard, and dihedral rolls it away from that (the
    // dihedral effect; Etkin and Reid, Dynamics of Flight, 3rd edition, 1996,
    // section 3.12).
    let roll = |fault: &str| sample(&with("marram", fault), &gliding(9.0)).moment_n_m.x;
    assert!(roll("wing-crooked=4 deg") < -1e-3);
    assert!(roll("wing-crooked=8 deg") < roll("wing-crooked=4 deg"));
    // Square again, the same distances from both tips to the tail.
    let crooked = with("marram", "wing-crooked=4 deg").airframe;
    let ahead = |right: bool| {
        let tips = (crooked.panels.iter())
            .filter(|panel| panel.kind == SurfaceKind::Wing)
            .flat_map(|panel| &panel.stations)
            .filter(|station| (station.leading_edge_m.y > 0.0) == right);
        tips.max_by(|a, b| {
            a.leading_edge_m
                .y
                .abs()
                .total_cmp(&b.leading_edge_m.y.abs())
        })
        .map(|tip| tip.leading_edge_m.x)
    };
    // Twice half a span of 0.61 m times the sine of 4 degrees: 85 mm.
    let apart_m = ahead(true)
        .zip(ahead(false))
        .map(|(right, left)| right - left);
    assert!(
        (apart_m.unwrap_or(0.0) - 0.085).abs() < 0.006,
        "{apart_m:?}"
    );
}

#[test]
fn inverted_expo_is_sharpest_in_the_middle() {
    let half = |scene: &Scene| {
        let message = ControlMessage {
            sticks: Sticks {
                pitch: 0.5,
                ..Sticks::default()
            },
            ..ControlMessage::default()
        };
        scene.radio.encode(&message).pitch / scene.radio.rates.pitch
    };
    // s ((1 - e) + e s^2) at s = 0.5: 0.65 for e = -0.4.
    assert!((half(&with("marram", "expo-inverted=40 %")) - 0.65).abs() < 1e-12);
    assert!(half(&scene("marram")) < 0.5);
}

#[test]
fn throws_differ_from_what_was_meant_by_the_size() {
    let throw = |fault: &str| match with("marram", fault).launch {
        Launch::Throw(throw) => throw,
        Launch::Ground(_) => panic!("{fault}: it is thrown"),
    };
    let meant = Throw::default();
    let soft = throw("soft-throw=50 %").speed_m_s / meant.speed_m_s;
    assert!((soft - 0.5).abs() < 1e-12);
    let degree = core::f64::consts::PI / 180.0;
    for (fault, pitch, bank) in [
        ("nose-high-throw=20 deg", 20.0, 0.0),
        ("nose-low-throw=10 deg", -10.0, 0.0),
        ("banked-throw=15 deg", 0.0, 15.0),
    ] {
        let thrown = throw(fault);
        let off = |a: f64, b: f64, degrees: f64| (a - b - degrees * degree).abs();
        assert!(off(thrown.pitch_rad, meant.pitch_rad, pitch) < 1e-9);
        assert!(off(thrown.path_rad, meant.path_rad, pitch) < 1e-9);
        assert!(off(thrown.bank_rad, meant.bank_rad, bank) < 1e-9);
    }
}

#[test]
fn every_fault_at_its_limits_leaves_a_plane_that_can_be_calculated() {
    for fault in library() {
        let mut fits = false;
        for name in ["marram", "curlew", "sandpiper", "ternwing"] {
            let sizes: Vec<String> = match &fault.sizes {
                None => vec![fault.name.to_owned()],
                Some(sizes) => [sizes.least, sizes.most]
                    .map(|size| format!("{}={size} {}", fault.name, sizes.unit.symbol()))
                    .to_vec(),
            };
            for text in sizes {
                let injected = Injected::parse(&text).unwrap_or_else(|e| panic!("{e}"));
                let mut scene = scene(name);
                match injected.apply(&mut scene) {
                    Ok(()) => {
                        fits = true;
                        let loads = sample(&scene, &gliding(9.0));
                        assert!(loads.moment_n_m.is_finite(), "{text} on {name}");
                    }
                    Err(NotHere { missing, .. }) => assert!(!missing.is_empty()),
                }
            }
        }
        assert!(fits, "{} fits no plane", fault.name);
    }
}

#[test]
fn a_battery_that_slides_takes_the_balance_along_by_its_share_of_the_mass() {
    for measured in [false, true] {
        let mut before = scene("marram");
        let mass = MassProperties::of(&before.airframe);
        if measured {
            before.airframe.measured.mass_kg = Some(1.1 * mass.mass_kg);
            before.airframe.measured.balance_x_m = Some(mass.cg_m.x);
        }
        let mut after = before.clone();
        let slides = Injected::parse("battery-shifts=40 mm").unwrap_or_else(|e| panic!("{e}"));
        slides.apply(&mut after).unwrap_or_else(|e| panic!("{e}"));
        // Statics: 115 g of battery (its file) moved by 40 mm in the sum of masses,
        // which a weighed plane scales as a whole.
        let back_m = 0.040 * 0.115 / mass.summed_mass_kg;
        let [from, to] = [&before, &after].map(|scene| MassProperties::of(&scene.airframe).cg_m.x);
        assert!((from - to - back_m).abs() < 1e-9, "{from} {to} {back_m}");
    }
}
