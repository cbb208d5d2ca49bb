//! What would have saved a flight: found from copies of earlier moments, and
//! checked by flying the corrected sticks from the first tick.

use std::path::Path;

use larkfield_hindsight::{Correction, DELAY_S, STEP_S, look_back, trouble_in};
use larkfield_pilot::{ControlMessage, ScriptedPilot, Tape, TimedMessage};
use larkfield_rehearsal::{Flown, Inputs, PilotChoice, Ready, Request, fly, performance_of};
use larkfield_world::{FieldSetup, FieldWorld, FlightSetup};

fn inputs(airframe: &str, pilot: PilotChoice) -> Inputs {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    Inputs::resolve(&Request {
        lesson: Some(root.join("assets/lessons/first_launch.ron")),
        airframe: Some(root.join(format!("shared/airframes/{airframe}.ron"))),
        pilot: Some(pilot),
        unlocked: true,
        ..Request::default()
    })
    .unwrap_or_else(|failure| panic!("{:#}", failure.error))
}

fn flown(inputs: &Inputs, seed: u64) -> Flown {
    let performance = performance_of(&inputs.model);
    fly(inputs, &performance, &[seed], |_| true)
        .unwrap_or_else(|failure| panic!("{:#}", failure.error))
        .remove(0)
}

fn setup(inputs: &Inputs, seed: u64) -> FlightSetup {
    let ready = Ready::of(inputs, seed);
    ready.unwrap_or_else(|f| panic!("{:#}", f.error)).setup
}

/// The tail-heavy plane, thrown and left alone, stalls and breaks.
fn crash() -> (Inputs, u64, Flown) {
    let inputs = inputs("marram-tail-heavy", PilotChoice::HandsOff);
    for seed in 1..30 {
        let mut flown = flown(&inputs, seed);
        if trouble_in(&flown.recording.events, 0.0).is_some() {
            let looked = flown.look_back(&inputs, seed, |_| true);
            looked.unwrap_or_else(|f| panic!("{:#}", f.error));
            return (inputs, seed, flown);
        }
    }
    panic!("it never breaks");
}

/// Flies a tape from the first tick; when trouble comes, and when it ends.
fn fly_tape(inputs: &Inputs, seed: u64, tape: Vec<TimedMessage>) -> (Option<f64>, f64) {
    let mut setup = setup(inputs, seed);
    setup.pilot = ScriptedPilot::playback(Tape::of_all(tape));
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup);
    world.run_to_end(|_| true);
    let recording = world.take_result(id).expect("flown").recording;
    let end_s = recording.samples.last().map_or(0.0, |sample| sample.time_s);
    (trouble_in(&recording.events, 0.0).map(|t| t.time_s), end_s)
}

/// The pilot's own messages up to a moment, then the throttle smoothly open: a
/// second from shut to open, everything else as it was.
fn with_power_from(controls: &[TimedMessage], from_s: f64) -> Vec<TimedMessage> {
    let own = controls.iter().filter(|m| m.time_s < from_s);
    let mut tape: Vec<TimedMessage> = own.copied().collect();
    let mut message: ControlMessage = tape.last().expect("sticks before it").message;
    for step in 0..60 {
        message.sticks.throttle = (message.sticks.throttle + 0.02).min(1.0);
        tape.push(TimedMessage {
            time_s: from_s + 0.02 * f64::from(step),
            message,
        });
    }
    tape
}

#[test]
fn the_last_moment_of_more_power_is_the_last_one_in_a_flight_from_its_beginning() {
    let (inputs, seed, flown) = crash();
    let hindsight = flown.hindsight.as_ref().expect("it broke");
    println!("{}", hindsight.in_words());
    let power = (hindsight.corrections.iter())
        .find(|last| last.correction == Correction::AddPower)
        .and_then(|last| last.decided_s)
        .expect("more power saves a plane that stalls with little of it");
    // Decided upon then, the sticks move a delay later: the plane is unharmed
    // for the four seconds that count as saved.
    let holds_s = power + DELAY_S;
    let tape = with_power_from(&flown.controls, holds_s);
    let (trouble_s, end_s) = fly_tape(&inputs, seed, tape);
    let saved = trouble_s.is_none_or(|trouble_s| trouble_s >= holds_s + 4.0);
    assert!(saved, "{trouble_s:?} after {holds_s}");
    assert!(end_s > holds_s + 1.0);
    // One step later it is too late.
    let late_s = holds_s + STEP_S;
    let tape = with_power_from(&flown.controls, late_s);
    let (trouble_s, _) = fly_tape(&inputs, seed, tape);
    let lost = trouble_s.is_some_and(|trouble_s| trouble_s < late_s + 4.0);
    assert!(lost, "{trouble_s:?} after {late_s}");
}

#[test]
fn doing_nothing_saves_nobody_who_did_nothing() {
    let (_, _, flown) = crash();
    let hindsight = flown.hindsight.expect("it broke");
    // The pilot had let go of every stick from the beginning, so letting go is
    // the same flight once more.
    for last in &hindsight.corrections {
        let idle = [Correction::LeaveAlone, Correction::EaseElevator];
        if idle.contains(&last.correction) {
            assert_eq!(last.decided_s, None, "{:?}", last.correction);
        }
    }
    let trouble = trouble_in(&flown.recording.events, 0.0).expect("it broke");
    assert!((hindsight.trouble.time_s - trouble.time_s).abs() < 1e-3);
    for decided_s in hindsight
        .corrections
        .iter()
        .filter_map(|last| last.decided_s)
    {
        assert!(
            decided_s >= hindsight.released_s - 1e-9,
            "before the release"
        );
        assert!(decided_s + DELAY_S < trouble.time_s, "after it broke");
    }
}

#[test]
fn the_same_flight_gives_the_same_answer_by_whoever_flew_it() {
    let (inputs, seed, flown) = crash();
    // What a person did is played back: nothing but the sticks is needed.
    let mut played = setup(&inputs, seed);
    played.pilot = ScriptedPilot::playback(Tape::of_all(flown.controls.clone()));
    let again = look_back(played, |_| true).expect("it breaks again");
    assert_eq!(flown.hindsight, Some(again));
    // Asked to stop, it finds nothing.
    assert_eq!(look_back(setup(&inputs, seed), |_| false), None);
}

#[test]
fn a_flight_that_went_well_is_left_alone() {
    let inputs = inputs("marram", PilotChoice::Competent);
    let mut flown = flown(&inputs, 1);
    let looked = flown.look_back(&inputs, 1, |_| true);
    looked.unwrap_or_else(|f| panic!("{:#}", f.error));
    assert_eq!(flown.hindsight, None);
}
