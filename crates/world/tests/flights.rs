//! Whole launches of the shipped trainer: what the events and samples tell.

#[path = "common/flights.rs"]
mod flights;

use flights::{breeze, calm, launch, launch_at, trainer};
use larkfield_pilot::PilotKind;
use larkfield_recording::{EventKind, FlightStage};
use larkfield_world::{FieldSetup, FieldWorld, FlightResult, FlightSetup};

fn fly(setup: FlightSetup) -> FlightResult {
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup);
    assert!(world.run_to_end(|_| true));
    world.take_result(id).unwrap()
}

#[test]
fn a_competent_pilot_launches_and_climbs() {
    let model = trainer();
    for (seed, wind) in [(1, calm()), (2, breeze(2))] {
        let result = fly(launch(&model, &wind, PilotKind::Competent, seed));
        let kinds: Vec<_> = result.recording.events.iter().map(|e| &e.kind).collect();
        assert_eq!(kinds[0], &EventKind::ThrowBegan);
        assert_eq!(kinds[1], &EventKind::Released);
        assert!(matches!(kinds.last(), Some(EventKind::Ended { .. })));
        let phases = kinds
            .iter()
            .filter(|k| matches!(k, EventKind::PhaseDone { .. }));
        assert_eq!(phases.count(), 3, "{kinds:?}");
        assert!(result.damage.broken.is_empty());
        let samples = &result.recording.samples;
        let last = samples.last().unwrap();
        assert_eq!(last.stage, FlightStage::Ended);
        assert!(last.height_m >= 30.0);
    }
}

/// Samples come at their times, from the first moment in the hand on, and
/// events in order.
#[test]
fn samples_and_events_are_in_order() {
    let result = fly(launch(&trainer(), &breeze(3), PilotKind::Beginner, 3));
    let recording = &result.recording;
    let last = recording.samples.len() - 1;
    for (index, sample) in recording.samples.iter().enumerate().take(last) {
        let due_s = index as f64 * recording.interval_s;
        assert!(
            (sample.time_s - due_s).abs() < 1e-9,
            "{} s, due {due_s} s",
            sample.time_s
        );
    }
    assert_eq!(recording.samples[0].stage, FlightStage::InHand);
    assert!(
        recording.samples[40].propeller_rad_s > 300.0,
        "power comes before the throw"
    );
    for pair in recording.events.windows(2) {
        assert!(pair[0].time_s <= pair[1].time_s, "{pair:?}");
    }
}

/// Without power the plane comes down; it touches, stops its propeller if that
/// still turns, lies still, and the run ends.
#[test]
fn a_glide_ends_on_the_ground() {
    let result = fly(launch_at(&trainer(), &calm(), PilotKind::HandsOff, 1, 0.0));
    let events = &result.recording.events;
    let touch = events.iter().find_map(|event| match &event.kind {
        EventKind::TouchedGround { sink_m_s, .. } => Some((event.time_s, *sink_m_s)),
        _ => None,
    });
    let (time_s, sink_m_s) = touch.expect("never touched the ground");
    // At least as long as a stone thrown flat from 1.8 m: 0.6 s.
    let released = events
        .iter()
        .find(|e| e.kind == EventKind::Released)
        .unwrap();
    assert!(time_s - released.time_s > 0.6, "{time_s} s");
    assert!(sink_m_s > 0.1 && sink_m_s < 6.0, "{sink_m_s} m/s");
    let last = result.recording.samples.last().unwrap();
    assert!(last.height_m < 0.5 && last.contact_work_j < 0.0);
    assert!(last.propeller_rad_s.abs() < 30.0);
}
