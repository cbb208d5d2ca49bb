//! Frames decide when a message is given, never what it does: what was flown in
//! the window is, played back without it, the same recording byte for byte.

use std::path::{Path, PathBuf};
use std::time::Instant;

use larkfield_pilot::ControlMessage;
use larkfield_recording::EventKind;
use larkfield_rehearsal::{PilotChoice, Ready, Request};
use larkfield_window::hands::{Hands, Pushed};
use larkfield_window::session::{BACK_S, Session};

fn shipped(relative: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .join(relative)
}

fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

fn person() -> Request {
    Request {
        lesson: Some(shipped("assets/lessons/first_launch.ron")),
        pilot: Some(PilotChoice::AtKeys),
        seed: 3,
        ..Request::default()
    }
}

/// What hands do at a time: hold, throw, pull, then bank to and fro.
fn pushed(time_s: f64) -> Pushed {
    Pushed {
        throw_held: time_s < 0.8,
        pitch: if (2.0..2.4).contains(&time_s) {
            1.0
        } else {
            0.0
        },
        roll: if time_s > 3.0 {
            (time_s * 2.0).sin().signum()
        } else {
            0.0
        },
        ..Pushed::default()
    }
}

/// Flies with frames of these lengths, over and over; the sticks move as the
/// frames let them.
fn fly(session: &mut Session, frames_s: &[f64]) {
    let mut hands: Hands = session.hands();
    let mut time_s = 0.0;
    for frame_s in frames_s.iter().cycle() {
        hands.push(&pushed(time_s), *frame_s);
        session.advance(*frame_s, hands.message());
        time_s += frame_s;
        if session.flown().is_some() {
            return;
        }
        assert!(time_s < 600.0, "the flight does not end");
    }
}

/// The flight of a run folder from its controls, with frames of other lengths.
fn played_back(folder: &Path) -> Session {
    let played = Request {
        pilot: Some(PilotChoice::Playback(folder.join("controls.csv"))),
        ..person()
    };
    let mut again = Session::open(played).expect("its own controls");
    while again.flown().is_none() {
        again.advance(0.1, ControlMessage::default());
    }
    again
}

fn bytes(folder: &Path, name: &str) -> Vec<u8> {
    std::fs::read(folder.join(name)).unwrap_or_default()
}

#[test]
fn a_flight_in_the_window_is_the_same_without_it() {
    for (name, frames_s) in [
        ("sixty", vec![1.0 / 60.0]),
        ("six", vec![1.0 / 6.0]),
        ("uneven", vec![0.001, 0.04, 0.0, 0.017, 0.3, 0.0021]),
    ] {
        let mut session = Session::open(person()).expect("shipped files");
        fly(&mut session, &frames_s);
        let folder = session.keep(Some(&scratch(name))).expect("a folder");
        let twin = played_back(&folder)
            .keep(Some(&scratch(&format!("{name}-twin"))))
            .expect("a folder");
        for file in ["recording.csv", "events.csv", "controls.csv", "score.json"] {
            let (flown, replayed) = (bytes(&folder, file), bytes(&twin, file));
            assert!(!flown.is_empty(), "{name}: {file} is empty");
            assert!(flown == replayed, "{name}: {file} differs");
        }
    }
}

#[test]
fn nothing_is_thrown_until_the_hand_lets_go() {
    let mut session = Session::open(person()).expect("shipped files");
    for _ in 0..200 {
        session.advance(0.05, ControlMessage::default());
    }
    assert!(session.waits_for_throw());
    assert!(session.flown().is_none(), "waiting is no attempt");
}

#[test]
fn from_earlier_is_the_same_flight_up_to_there() {
    let mut session = Session::open(person()).expect("shipped files");
    fly(&mut session, &[0.02]);
    let whole = session.flown().expect("over").recording.samples.clone();
    session.earlier().expect("moments were kept");
    let from_s = session.view().expect("a flight").time_s;
    let end_s = whole.last().map_or(0.0, |sample| sample.time_s);
    assert!(end_s - from_s >= BACK_S - 1e-9, "{from_s} of {end_s}");
    assert!(end_s - from_s < BACK_S + 1.0, "{from_s} of {end_s}");
    while session.flown().is_none() {
        session.advance(0.05, ControlMessage::default());
    }
    let other = &session.flown().expect("over").recording.samples;
    let same = whole
        .iter()
        .take_while(|sample| sample.time_s <= from_s)
        .count();
    assert!(same > 10, "only {same} samples");
    assert_eq!(whole[..same], other[..same]);
    // With the sticks let go the rest is another flight.
    assert_ne!(whole.last(), other.last());
    // And all of it can be played back from its beginning.
    let folder = session.keep(Some(&scratch("earlier"))).expect("a folder");
    let again = played_back(&folder);
    assert_eq!(&again.flown().expect("over").recording.samples, other);
}

#[test]
fn an_instructor_at_the_keys_takes_the_power_away() {
    let mut session = Session::open(person()).expect("shipped files");
    let mut hands = session.hands();
    let mut time_s = 0.0;
    while session.flown().is_none() {
        hands.push(&pushed(time_s), 0.02);
        hands.surprise(time_s > 2.5, false);
        session.advance(0.02, hands.message());
        time_s += 0.02;
        assert!(time_s < 600.0, "the flight does not end");
    }
    let events = &session.flown().expect("over").recording.events;
    let lost = events
        .iter()
        .find(|event| event.kind == EventKind::PowerLost);
    let lost_s = lost.map_or(f64::NAN, |event| event.time_s);
    // A link later than the key, and no sooner.
    assert!((2.5..2.75).contains(&lost_s), "{lost_s}");
    // Another attempt begins with power.
    session.again().expect("the same files");
    assert!(!session.hands().unseen().power_lost);
}

#[test]
fn again_is_the_same_attempt_and_next_is_another() {
    let mut session = Session::open(person()).expect("shipped files");
    let first = Ready::of(session.inputs(), 3)
        .expect("a flight")
        .setup
        .start;
    // The shortest of three, because other programs may be at work as well.
    let mut again_s = f64::INFINITY;
    for _ in 0..3 {
        let began = Instant::now();
        session.again().expect("the same files");
        again_s = again_s.min(began.elapsed().as_secs_f64());
    }
    println!("again after {again_s:.3} s");
    assert!(again_s < 0.5, "again takes {again_s} s");
    assert_eq!(session.seed(), 3);
    session.next_attempt().expect("another wind");
    assert_eq!(session.seed(), 4);
    let second = Ready::of(session.inputs(), 4)
        .expect("a flight")
        .setup
        .start;
    assert_ne!(first, second);
}

#[test]
fn a_plane_of_nonsense_is_refused_with_its_file() {
    let folder = scratch("nonsense");
    std::fs::create_dir_all(&folder).expect("a folder");
    let file = folder.join("plane.ron");
    std::fs::write(&file, "(schema: 1, wings: 9)").expect("a file");
    let request = Request {
        airframe: Some(file),
        ..person()
    };
    let failure = Session::open(request).err().expect("refused");
    assert!(format!("{:#}", failure.error).contains("plane.ron"));
}
