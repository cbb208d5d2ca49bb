//! The control check: surfaces go where hands on a real plane would see them go,
//! every fault can be seen and told from every other, and no way of answering
//! wrongly passes.

use std::path::Path;

use larkfield_airframe::Airframe;
use larkfield_drill::control::{
    AtTransmitter, Bench, Call, ControlCheck, End, Round, SetupFault, Verdict, drawn, from_behind,
    stick_of,
};
use larkfield_files::airframe::load_airframe;
use larkfield_pilot::{RadioSetup, StickMode};
use larkfield_radio::Function;

const PLANES: [&str; 4] = ["curlew", "marram", "sandpiper", "ternwing"];

fn plane(name: &str) -> Airframe {
    let path = format!("../../shared/airframes/{name}.ron");
    load_airframe(&Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).expect("a shipped file")
}

fn holding(function: Function, to: f64) -> AtTransmitter {
    let mut at = AtTransmitter::default();
    *stick_of(&mut at.message, function) = to;
    at
}

fn bench(airframe: &Airframe, fault: Option<SetupFault>, seed: u64) -> Bench {
    let setup = RadioSetup::for_airframe(airframe);
    Bench::new(airframe, &setup, StickMode::Mode2, fault, seed)
}

/// Deflection of a named surface with a stick held, in degrees.
fn held_deg(airframe: &Airframe, function: Function, to: f64, surface: &str) -> f64 {
    let mut bench = bench(airframe, None, 1);
    bench.pass(2.0, &holding(function, to));
    let index = (airframe.controls.iter())
        .position(|s| s.name.contains(surface))
        .expect("a surface of that name");
    bench.deflections_rad()[index].to_degrees()
}

/// Free play: a surface may be so far from where its servo is.
const PLAY_DEG: f64 = 0.51;
/// Dead band of a servo, 1 % of the travel.
const DEAD_DEG: f64 = 0.2;

#[test]
fn surfaces_of_a_sound_plane_go_where_its_builder_said() {
    // By hand from the file of the plane: at full stick the default radio asks
    // for 75 % of the travel in roll and pitch and for all of it in yaw; 16
    // degrees up and 10 down at the ailerons, 18 up and 15 down at the
    // elevator, 25 at the rudder. Directions: stick right, right aileron up,
    // rudder right; stick toward you, elevator up (common practice, no source).
    let curlew = plane("curlew");
    let table = [
        (Function::Aileron, 1.0, "aileron_right", -12.0),
        (Function::Aileron, 1.0, "aileron_left", 7.5),
        (Function::Aileron, -1.0, "aileron_right", 7.5),
        (Function::Elevator, 1.0, "elevator", -13.5),
        (Function::Elevator, -1.0, "elevator", 11.25),
        (Function::Rudder, 1.0, "rudder", -25.0),
        (Function::Rudder, -1.0, "rudder", 25.0),
        // Half stick with 30 % expo: 0.5 (0.7 + 0.3 / 4) = 0.3875 of 75 %.
        (Function::Elevator, 0.5, "elevator", -18.0 * 0.3875 * 0.75),
    ];
    for (function, to, surface, expected_deg) in table {
        let deg = held_deg(&curlew, function, to, surface);
        assert!(
            (deg - expected_deg).abs() <= PLAY_DEG + DEAD_DEG,
            "{function:?} {to}: {surface} {deg} instead of {expected_deg}"
        );
    }
    // Marram has no ailerons: the stick they would be on moves the rudder.
    let marram = plane("marram");
    assert!(held_deg(&marram, Function::Aileron, 1.0, "rudder") < -10.0);
    // Ternwing's mixed pair: both up for nose up, and the right one up, the left
    // one down of where they rest, for a roll to the right.
    let ternwing = plane("ternwing");
    let rest = |surface| held_deg(&ternwing, Function::Aileron, 0.0, surface);
    let at = |function, surface| held_deg(&ternwing, function, 1.0, surface) - rest(surface);
    assert!(at(Function::Elevator, "left") < -5.0 && at(Function::Elevator, "right") < -5.0);
    assert!(at(Function::Aileron, "left") > 3.0 && at(Function::Aileron, "right") < -3.0);
}

/// Everything that a whole check sees of a plane: deflections in degrees and
/// what the motor does, after each of the things that hands do.
fn all_seen(airframe: &Airframe, fault: Option<SetupFault>, seed: u64) -> Vec<f64> {
    let mut seen = Vec::new();
    let mut bench = bench(airframe, fault, seed);
    let mut look = |bench: &Bench| {
        seen.extend(bench.deflections_rad().iter().map(|rad| rad.to_degrees()));
        if let Some(motor) = bench.motor() {
            seen.push(motor.pull_n * 10.0);
        }
    };
    look(&bench);
    for function in Function::ALL {
        for to in [1.0_f64, 0.5, -1.0] {
            let at = holding(
                function,
                if function == Function::Throttle {
                    to.max(0.0)
                } else {
                    to
                },
            );
            bench.pass(0.15, &at);
            look(&bench);
            bench.pass(1.5, &at);
            look(&bench);
            bench.pass(1.5, &AtTransmitter::default());
        }
    }
    let running = holding(Function::Throttle, 0.6);
    bench.pass(1.0, &running);
    bench.pass(
        1.0,
        &AtTransmitter {
            on: false,
            ..running
        },
    );
    look(&bench);
    seen
}

/// The largest difference between two lists.
fn apart(a: &[f64], b: &[f64]) -> f64 {
    assert_eq!(a.len(), b.len());
    a.iter()
        .zip(b)
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max)
}

#[test]
fn every_fault_shows_and_no_two_look_alike() {
    for name in PLANES {
        let airframe = plane(name);
        for seed in 0..2 {
            let sound = all_seen(&airframe, None, seed);
            let mut faulty: Vec<(SetupFault, Vec<f64>)> = Vec::new();
            for fault in SetupFault::ALL.into_iter().filter(|f| f.fits(&airframe)) {
                let seen = all_seen(&airframe, Some(fault), seed);
                // An eye at arm's length sees two degrees on such a surface, or
                // a fifth of a newton of pull (common practice, no source).
                let shows = apart(&sound, &seen);
                assert!(shows > 2.0, "{name}: {fault:?} does not show ({shows})");
                for (other, others) in &faulty {
                    let differ = apart(others, &seen);
                    assert!(differ > 2.0, "{name}: {fault:?} looks like {other:?}");
                }
                faulty.push((fault, seen));
            }
            assert!(faulty.len() >= 12, "{name}: only {} faults", faulty.len());
        }
    }
}

/// Hands that look at everything: every stick at both its ends, the transmitter
/// off with the motor running.
fn whole_check(round: &mut Round) {
    for function in Function::ALL {
        for to in [1.0, -1.0] {
            let to = if function == Function::Throttle {
                0.5 + 0.5 * to
            } else {
                to
            };
            round.act(&holding(function, to), 1.0);
            round.act(&AtTransmitter::default(), 0.3);
        }
    }
    for throttle in [1.0, 0.5, 0.0] {
        let running = holding(Function::Throttle, throttle);
        round.act(&running, 0.6);
        round.act(
            &AtTransmitter {
                on: false,
                ..running
            },
            1.5,
        );
    }
}

fn round(airframe: &Airframe, fault: Option<SetupFault>) -> Round {
    let setup = RadioSetup::for_airframe(airframe);
    Round::new(airframe, &setup, StickMode::Mode2, fault, 4)
}

#[test]
fn a_whole_check_with_the_right_call_is_worth_everything() {
    for name in PLANES {
        let airframe = plane(name);
        for fault in SetupFault::ALL.into_iter().filter(|f| f.fits(&airframe)) {
            let mut round = round(&airframe, Some(fault));
            whole_check(&mut round);
            let called = round.call(Call::Fault(fault));
            assert_eq!(called.verdict, Verdict::Right, "{name}: {fault:?}");
            // A motor that never runs cannot be stopped by a fail-safe.
            let only_that = called.left.iter().all(|end| *end == End::WithoutRadio);
            assert!(only_that, "{name}: {fault:?} leaves {:?}", called.left);
            assert!(called.points >= 80.0, "{name}: {fault:?} {}", called.points);
        }
        let mut round = round(&airframe, None);
        whole_check(&mut round);
        let called = round.call(Call::Fit);
        assert_eq!(
            (called.verdict, called.points),
            (Verdict::Right, 100.0),
            "{name}"
        );
    }
}

#[test]
fn no_wrong_way_of_answering_passes() {
    let airframe = plane("curlew");
    let reversed = SetupFault::ElevatorReversed;
    // Called fit with a fault: nothing, however well it was looked at.
    let mut missed = round(&airframe, Some(reversed));
    whole_check(&mut missed);
    let missed = missed.call(Call::Fit);
    assert_eq!((missed.verdict, missed.points), (Verdict::Missed, 0.0));
    // A fault of a sound plane.
    let mut alarm = round(&airframe, None);
    whole_check(&mut alarm);
    let alarm = alarm.call(Call::Fault(reversed));
    assert_eq!((alarm.verdict, alarm.points), (Verdict::FalseAlarm, 0.0));
    // Another one.
    let mut other = round(&airframe, Some(reversed));
    whole_check(&mut other);
    let other = other.call(Call::Fault(SetupFault::RudderReversed));
    assert_eq!(other.verdict, Verdict::NamedWrong);
    assert!(other.points < 80.0);
    // Right without a look.
    let guess = round(&airframe, None).call(Call::Fit);
    assert_eq!((guess.verdict, guess.points), (Verdict::Guessed, 0.0));
    let guess = round(&airframe, Some(reversed)).call(Call::Fault(reversed));
    assert_eq!((guess.verdict, guess.points), (Verdict::Guessed, 0.0));
    // A waggle of 0.2 s at each end is no look.
    let mut waggle = round(&airframe, None);
    for function in Function::ALL {
        for to in [1.0, -1.0] {
            waggle.act(&holding(function, to), 0.2);
            waggle.act(&AtTransmitter::default(), 0.1);
        }
    }
    assert_eq!(waggle.call(Call::Fit).verdict, Verdict::Guessed);
}

#[test]
fn always_the_same_answer_never_passes_a_check() {
    let calls = [Call::Fit]
        .into_iter()
        .chain(SetupFault::ALL.map(Call::Fault));
    for call in calls {
        for seed in 0..5 {
            let airframe = plane("curlew");
            let setup = RadioSetup::for_airframe(&airframe);
            let faults: Vec<_> = (0..5).map(|n| drawn(&airframe, seed, n)).collect();
            // A check may, rarely, have the same answer five times.
            if faults.iter().all(|fault| *fault == faults[0]) {
                continue;
            }
            let mut check = ControlCheck::new(&airframe, &setup, StickMode::Mode2, faults, seed);
            while check.round().is_some() {
                // Every look is worth its points, and the call is what it is.
                for function in Function::ALL {
                    for to in [1.0, -1.0] {
                        check.act(&holding(function, to), 0.5);
                    }
                }
                check.call(call);
            }
            let report = check.report();
            assert!(
                !report.passed,
                "{call:?} passes with seed {seed}: {}",
                report.points
            );
        }
    }
}

#[test]
fn rounds_that_nobody_calls_count_as_nothing() {
    let airframe = plane("marram");
    let setup = RadioSetup::for_airframe(&airframe);
    let mut check = ControlCheck::new(&airframe, &setup, StickMode::Mode2, vec![None; 4], 1);
    for function in Function::ALL {
        for to in [1.0, -1.0] {
            check.act(&holding(function, to), 0.5);
        }
    }
    let running = holding(Function::Throttle, 0.5);
    check.act(&running, 1.0);
    check.act(
        &AtTransmitter {
            on: false,
            ..running
        },
        2.0,
    );
    check.act(&holding(Function::Throttle, 0.0), 1.0);
    check.call(Call::Fit);
    let report = check.report();
    assert_eq!((report.points, report.passed), (25.0, false));
}

#[test]
fn letters_and_words_say_the_same() {
    let airframe = plane("curlew");
    let mut bench = bench(&airframe, None, 1);
    bench.pass(2.0, &holding(Function::Aileron, 1.0));
    let text = from_behind(&airframe, &bench.deflections_rad(), bench.motor());
    // From behind the right wing is on the right; its aileron stands a row
    // higher than its wing, the left one a row lower.
    let rows: Vec<&str> = text
        .lines()
        .take_while(|line| !line.starts_with("tail"))
        .collect();
    let row_of = |right: bool| {
        rows.iter().position(|row| {
            let middle = 32;
            row.char_indices()
                .any(|(i, c)| c == '=' && (i > middle) == right)
        })
    };
    let (left, right) = (row_of(false), row_of(true));
    assert!(right < left && right.is_some(), "{text}");
    assert!(text.contains("aileron right"), "{text}");
    assert!(
        text.contains("up 12 degrees") && text.contains("down 7 degrees"),
        "{text}"
    );
    assert!(text.contains("motor") && text.contains("still"), "{text}");
}
