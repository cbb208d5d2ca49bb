//! A drill in the window is the drill of the terminal: the same hands, the same
//! surfaces, the same score, whatever the frames are.

use std::path::Path;

use larkfield_drill::briefing::Word;
use larkfield_drill::control::{AtTransmitter, ControlCheck, stick_of};
use larkfield_drill::decision::{Point, drawn};
use larkfield_drill::power::Act;
use larkfield_pilot::{ControlMessage, RadioSetup, StickMode};
use larkfield_radio::Function;
use larkfield_rehearsal::{PilotChoice, Request};
use larkfield_window::drill::{
    BriefingExercise, ControlExercise, DecisionExercise, Done, Exercise, OrientationExercise,
    PowerExercise, Stage,
};
use larkfield_window::seen::Seen;
use larkfield_window::session::Session;

fn session(airframe: &str) -> Session {
    let shipped = |file: String| {
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../..")
            .join(file)
    };
    Session::open(Request {
        lesson: Some(shipped("assets/lessons/first_launch.ron".to_owned())),
        airframe: Some(shipped(format!("shared/airframes/{airframe}.ron"))),
        pilot: Some(PilotChoice::AtKeys),
        ..Request::default()
    })
    .unwrap_or_else(|failure| panic!("{:#}", failure.error))
}

fn holding(function: Function, to: f64) -> ControlMessage {
    let mut message = ControlMessage::default();
    *stick_of(&mut message, function) = to;
    message
}

/// Hands that stay like this for a while.
fn hold(exercise: &mut dyn Exercise, frame_s: f64, message: ControlMessage, time_s: f64) {
    for _ in 0..(time_s / frame_s).round() as u32 {
        exercise.go_on(&Done {
            message,
            frame_s,
            ..Done::default()
        });
    }
}

/// Everything looked at, then this place of the list called.
fn look_and_call(exercise: &mut dyn Exercise, frame_s: f64, pick: i32) {
    for function in Function::ALL {
        for to in [1.0, -1.0] {
            let to = if function == Function::Throttle {
                0.5 + 0.5 * to
            } else {
                to
            };
            hold(exercise, frame_s, holding(function, to), 1.0);
        }
    }
    let running = holding(Function::Throttle, 0.5);
    hold(exercise, frame_s, running, 1.0);
    exercise.go_on(&Done {
        message: running,
        frame_s,
        transmitter: true,
        ..Done::default()
    });
    hold(exercise, frame_s, running, 1.5);
    exercise.go_on(&Done {
        frame_s,
        pick,
        ..Done::default()
    });
    exercise.go_on(&Done {
        frame_s,
        call: true,
        ..Done::default()
    });
}

#[test]
fn a_control_check_in_the_window_is_that_of_the_terminal() {
    let session = session("curlew");
    let airframe = session.inputs().model.airframe().clone();
    for frame_s in [0.02, 0.1] {
        let mut exercise = ControlExercise::new(&session, 4, 9);
        for pick in [0, 1, 2, 0] {
            look_and_call(&mut exercise, frame_s, pick);
        }
        let windowed = exercise.check().report();
        assert_eq!(windowed.rounds.len(), 4);
        assert!(exercise.words().result.contains("of 100 points"));
        // The same calls after the same looks, without a window.
        let setup = RadioSetup::for_airframe(&airframe);
        let faults = windowed.rounds.iter().map(|round| round.fault).collect();
        let mut check = ControlCheck::new(&airframe, &setup, StickMode::Mode2, faults, 9);
        for round in &windowed.rounds {
            let on = |message| AtTransmitter { message, on: true };
            for function in Function::ALL {
                for to in [1.0, -1.0] {
                    let to = if function == Function::Throttle {
                        0.5 + 0.5 * to
                    } else {
                        to
                    };
                    check.act(&on(holding(function, to)), 1.0);
                }
            }
            let running = holding(Function::Throttle, 0.5);
            check.act(&on(running), 1.0);
            check.act(
                &AtTransmitter {
                    message: running,
                    on: false,
                },
                1.5,
            );
            check.call(round.call);
        }
        let plain = check.report();
        for (a, b) in windowed.rounds.iter().zip(&plain.rounds) {
            assert_eq!((a.verdict, &a.left), (b.verdict, &b.left));
            assert!(
                (a.points - b.points).abs() < 0.5,
                "{} {}",
                a.points,
                b.points
            );
        }
    }
}

#[test]
fn surfaces_follow_the_sticks_in_what_is_drawn_and_what_is_written() {
    let session = session("curlew");
    // A plane with nothing wrong, to see the way a stick moves it.
    let seed = (0..100)
        .find(|seed| {
            larkfield_drill::control::drawn(session.inputs().model.airframe(), *seed, 0).is_none()
        })
        .expect("one of a hundred has nothing wrong");
    let mut exercise = ControlExercise::new(&session, 1, seed);
    let stage = Stage::at_stand(&session);
    let mut seen = Seen::default();
    for _ in 0..60 {
        exercise.go_on(&Done {
            message: holding(Function::Elevator, 1.0),
            frame_s: 0.02,
            ..Done::default()
        });
    }
    exercise.show(&stage, &mut seen);
    let airframe = session.inputs().model.airframe();
    for (surface, deflection_rad) in airframe.controls.iter().zip(&seen.deflections_rad) {
        let up = surface.name.contains("elevator");
        assert_eq!(*deflection_rad < -0.1, up, "{}", surface.name);
    }
    let words = exercise.words();
    assert!(words.facts.contains("elevator left: up"), "{}", words.facts);
    assert!(words.list.contains("> fit"), "{}", words.list);
    // The eyes are behind the plane, its right wing on their right.
    let tail = seen.plane.point(bevy::math::Vec3::NEG_X);
    let nose = seen.plane.point(bevy::math::Vec3::X);
    assert!(tail.distance(stage.eyes_m) < nose.distance(stage.eyes_m));
    let right = seen.plane.point(bevy::math::Vec3::Y) - seen.plane.place_m;
    assert!(stage.ahead.cross(bevy::math::Vec3::Y).dot(right) > 0.9);
}

#[test]
fn orientation_and_before_power_are_scored_as_elsewhere() {
    let mut exercise = OrientationExercise::new(8, 3);
    let mut frames = 0;
    while exercise.drill().view().is_some() {
        let stick = exercise.drill().view().map(|view| view.stick());
        let to = match stick {
            Some(larkfield_drill::orientation::Side::Right) => 1.0,
            _ => -1.0,
        };
        // Centred for half a second, the answer, then centred until the next.
        for frame in 0..200 {
            let message = if frame == 25 {
                holding(Function::Aileron, to)
            } else {
                ControlMessage::default()
            };
            exercise.go_on(&Done {
                message,
                frame_s: 0.02,
                ..Done::default()
            });
            if frame > 25 && exercise.words().coach.starts_with("Which way") {
                break;
            }
            frames += 1;
        }
        assert!(frames < 5000, "the drill does not end");
    }
    let report = exercise.drill().report();
    assert_eq!((report.points, report.wrong), (100.0, 0));

    let mut exercise = PowerExercise::new(1);
    let mut act = |wanted: Act| {
        // From wherever the mark is, once round at most.
        for _ in 0..Act::ALL.len() {
            if exercise
                .words()
                .list
                .contains(&format!("> {}", wanted.in_words()))
            {
                break;
            }
            exercise.go_on(&Done {
                pick: 1,
                ..Done::default()
            });
        }
        exercise.go_on(&Done {
            call: true,
            ..Done::default()
        });
    };
    act(Act::Connect);
    act(Act::StayDown);
    act(Act::Disconnect);
    let words = exercise.words();
    assert!(words.result.contains("DANGER"), "{}", words.result);
    assert!(
        words.result.contains("0 of 100 points. Not yet."),
        "{}",
        words.result
    );
}

/// Moves the mark to an entry and chooses it.
fn choose(exercise: &mut dyn Exercise, entry: &str) {
    for _ in 0..20 {
        if exercise.words().list.contains(&format!("> {entry}")) {
            exercise.go_on(&Done {
                call: true,
                ..Done::default()
            });
            return;
        }
        exercise.go_on(&Done {
            pick: 1,
            ..Done::default()
        });
    }
    panic!("{entry} is not in {}", exercise.words().list);
}

#[test]
fn days_are_decided_as_elsewhere() {
    let mut exercise = DecisionExercise::new(5, 4);
    for round in 0..5 {
        for point in Point::ALL {
            choose(&mut exercise, point.name());
            let day = drawn(4, round);
            assert!(exercise.words().coach.contains(&day.seen(point)));
            // Once more: it speaks against flying.
            if day.against().contains(&point) {
                choose(&mut exercise, point.name());
            }
        }
        let call = if drawn(4, round).against().is_empty() {
            "decide: go"
        } else {
            "decide: no"
        };
        choose(&mut exercise, call);
    }
    let words = exercise.words();
    assert!(
        words.result.contains("100 of 100 points. Good."),
        "{}",
        words.result
    );
}

#[test]
fn a_helper_is_briefed_as_elsewhere() {
    let mut exercise = BriefingExercise::new(1, 2);
    let say = |exercise: &mut BriefingExercise, word: Word| {
        if Word::AGREED.contains(&word) {
            choose(
                exercise,
                &format!("agree: {}", word.name().replace('_', " ")),
            );
        } else {
            choose(exercise, word.in_words());
        }
    };
    for word in Word::AGREED {
        say(&mut exercise, word);
    }
    for word in [
        Word::Ready,
        Word::Stop,
        Word::Ready,
        Word::Power,
        Word::Stop,
        Word::Shut,
    ] {
        say(&mut exercise, word);
    }
    for word in [Word::Ready, Word::Power, Word::Throw] {
        say(&mut exercise, word);
    }
    let words = exercise.words();
    assert!(
        words.result.contains("100 of 100 points. Good."),
        "{}",
        words.result
    );
    let mut exercise = BriefingExercise::new(1, 2);
    say(&mut exercise, Word::Power);
    assert!(exercise.words().coach.contains("DANGER"));
}
