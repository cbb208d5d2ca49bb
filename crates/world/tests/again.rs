//! Flying on from a moment, and flying again from the tape of a pilot's hands,
//! give the same flight to the last bit.

#[path = "common/flights.rs"]
mod flights;

use flights::{breeze, calm, drop, launch, trainer};
use glam::{DQuat, DVec3};
use larkfield_pilot::{
    ControlMessage, HandOff, PilotKind, ScriptedPilot, Sticks, Switches, Tape, TimedMessage, Unseen,
};
use larkfield_recording::EventKind;
use larkfield_world::{FieldSetup, FieldWorld, FlightResult, FlightSetup, Motion, TICK_S};

/// Everything a flight left, in a form that tells apart every bit pattern.
fn bytes(result: &FlightResult) -> String {
    format!("{result:?}")
}

const TICKS: u64 = 4000;

/// Flies on from snapshots taken at every so many ticks, each in a world of its
/// own in which others fly, too, and compares the ends.
fn goes_on_the_same(setup: &FlightSetup, every: u64) {
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup.clone());
    let mut snapshots = Vec::new();
    for tick in 0..TICKS {
        if tick % every == 0 {
            snapshots.push((tick, world.snapshot(id).unwrap()));
        }
        world.step(1);
    }
    let original = bytes(&world.take_result(id).unwrap());
    for (tick, snapshot) in &snapshots {
        let mut other = FieldWorld::new(FieldSetup::default());
        other.add_flight(launch(&trainer(), &calm(), PilotKind::HandsOff, 3));
        other.step(77);
        let id = other.add_snapshot(snapshot);
        let twin = other.add_snapshot(snapshot);
        other.step(TICKS - tick);
        for id in [id, twin] {
            let again = bytes(&other.take_result(id).unwrap());
            assert!(again == original, "from tick {tick} it went differently");
        }
    }
}

#[test]
fn a_launch_goes_on_from_any_moment() {
    goes_on_the_same(&launch(&trainer(), &breeze(1), PilotKind::Beginner, 4), 450);
}

#[test]
fn a_plane_that_breaks_up_on_the_ground_goes_on_from_any_moment() {
    let mut motion = Motion::at_rest(DVec3::new(0.0, 0.0, -2.5));
    motion.attitude = DQuat::from_xyzw(0.3, 0.2, 0.1, 0.9).normalize();
    motion.velocity_m_s = DVec3::new(7.0, 1.0, 2.0);
    goes_on_the_same(&drop(&trainer(), motion), 97);
}

/// A person's flight: throttle, hold back, let go at the given time, a few
/// sticks, and what an instructor does unseen.
fn hands(time_s: f64, throw_s: f64) -> ControlMessage {
    ControlMessage {
        sticks: Sticks {
            roll: 0.2 * libm::sin(3.0 * time_s),
            pitch: 0.1 + 0.05 * libm::cos(5.0 * time_s),
            yaw: 0.0,
            throttle: (time_s / 0.7).min(0.8),
        },
        switches: Switches {
            throttle_cut: false,
            second_rates: false,
            throw_held: time_s > 0.3 && time_s < throw_s,
        },
        unseen: Unseen {
            power_lost: time_s > throw_s + 4.0,
            gust: time_s > throw_s + 2.0 && time_s < throw_s + 2.2,
        },
        ..ControlMessage::default()
    }
}

fn person() -> FlightSetup {
    let mut setup = launch(&trainer(), &breeze(2), PilotKind::Person, 5);
    setup.pilot = ScriptedPilot::person(HandOff::default());
    setup
}

fn fly_by_hand(throw_s: f64, ticks: u64) -> FlightResult {
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(person());
    for tick in 0..ticks {
        assert!(world.give_message(id, hands(tick as f64 * TICK_S, throw_s)));
        world.step(1);
    }
    world.take_result(id).unwrap()
}

fn time_of(result: &FlightResult, wanted: &EventKind) -> Option<f64> {
    let events = result.recording.events.iter();
    events
        .filter(|event| event.kind == *wanted)
        .map(|event| event.time_s)
        .next()
}

#[test]
fn the_arm_moves_when_the_person_lets_go_and_not_before() {
    for throw_s in [2.0, 9.5] {
        let result = fly_by_hand(throw_s, 6000);
        let began_s = time_of(&result, &EventKind::ThrowBegan).unwrap();
        assert!((began_s - throw_s).abs() <= TICK_S, "{began_s} {throw_s}");
        let released_s = time_of(&result, &EventKind::Released).unwrap();
        // An arm needs 2 reach / speed: a few tenths of a second.
        let swing_s = released_s - began_s;
        assert!((0.1..0.6).contains(&swing_s), "{swing_s}");
        let still = result.recording.samples.iter();
        let before = still.filter(|sample| sample.time_s < throw_s);
        let moved_m = before.map(|sample| sample.north_m - result.recording.samples[0].north_m);
        assert_eq!(moved_m.fold(0.0, |a: f64, b| a.max(b.abs())), 0.0);
    }
}

#[test]
fn an_instructor_is_unseen_and_takes_the_power() {
    let result = fly_by_hand(2.0, 6000);
    let lost_s = time_of(&result, &EventKind::PowerLost).unwrap();
    assert!((lost_s - 6.0).abs() <= 2.0 * TICK_S, "{lost_s}");
    let last = result.recording.samples.last().unwrap();
    assert!(last.current_a.abs() < 0.01, "{}", last.current_a);
    // The gust: 3 m/s along and across in its middle, 0.75 s after the switch.
    let mut without = FieldWorld::new(FieldSetup::default());
    let id = without.add_flight(person());
    for tick in 0..6000 {
        let mut message = hands(tick as f64 * TICK_S, 2.0);
        message.unseen.gust = false;
        without.give_message(id, message);
        without.step(1);
    }
    let calm = without.take_result(id).unwrap();
    let at = |result: &FlightResult, time_s: f64| {
        let sample = result.recording.samples[(time_s / 0.02).round() as usize];
        DVec3::new(
            sample.wind_north_m_s,
            sample.wind_east_m_s,
            -sample.wind_up_m_s,
        )
    };
    assert_eq!(at(&result, 3.9), at(&calm, 3.9));
    let more_m_s = (at(&result, 4.75) - at(&calm, 4.75)).length();
    // Turbulence differs a little where the plane was blown to.
    assert!((more_m_s - 19.0_f64.sqrt()).abs() < 0.3, "{more_m_s}");
}

#[test]
fn the_tape_of_a_person_flies_the_same_flight() {
    let original = fly_by_hand(3.0, TICKS);
    let mut setup = person();
    let tape = Tape::of_all(original.controls.clone());
    assert!(tape.decides_throw());
    setup.pilot = ScriptedPilot::playback(tape);
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup);
    world.step(TICKS);
    let again = world.take_result(id).unwrap();
    assert!(bytes(&again) == bytes(&original));
    assert!(original.recording.samples.last().unwrap().height_m > 3.0);
}

#[test]
fn the_tape_of_a_scripted_pilot_flies_the_same_flight() {
    let setup = launch(&trainer(), &breeze(3), PilotKind::Competent, 6);
    let fly = |setup: FlightSetup| {
        let mut world = FieldWorld::new(FieldSetup::default());
        let id = world.add_flight(setup);
        world.step(TICKS);
        world.take_result(id).unwrap()
    };
    let original = fly(setup.clone());
    let tape: Vec<TimedMessage> = original.controls.clone();
    let again = fly(FlightSetup {
        pilot: ScriptedPilot::playback(Tape::of_all(tape)),
        ..setup
    });
    assert!(bytes(&again) == bytes(&original));
}
