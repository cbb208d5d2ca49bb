//! Flights with faults, in the lesson and the wind in which they show.

use std::path::Path;

use larkfield_recording::{EventKind, FlightStage, Sample};
use larkfield_rehearsal::{Flown, Inputs, PilotChoice, Request, fly, performance_of};

/// Where a fault is flown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Where {
    pub lesson: &'static str,
    pub wind: &'static str,
}

/// A throw in a calm.
pub const THROW: Where = Where {
    lesson: "first_launch",
    wind: "calm",
};
/// The same into a breeze.
pub const BREEZE: Where = Where {
    lesson: "first_launch",
    wind: "breeze_2",
};
/// Throw, circuit and landing.
pub const CIRCUIT: Where = Where {
    lesson: "launch_circuit_landing",
    wind: "breeze_2",
};

pub fn inputs(
    airframe: &str,
    place: Where,
    pilot: PilotChoice,
    faults: &[&str],
) -> Result<Inputs, String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let file = |folder: &str, name: &str| Some(root.join(format!("{folder}/{name}.ron")));
    Inputs::resolve(&Request {
        lesson: file("assets/lessons", place.lesson),
        airframe: file("shared/airframes", airframe),
        wind: file("assets/winds", place.wind),
        pilot: Some(pilot),
        faults: faults.iter().map(|fault| (*fault).to_owned()).collect(),
        unlocked: true,
        ..Request::default()
    })
    .map_err(|failure| format!("{:#}", failure.error))
}

pub fn flown(airframe: &str, place: Where, pilot: PilotChoice, faults: &[&str]) -> Flown {
    flown_on(&[1], airframe, place, pilot, faults).remove(0)
}

/// One flight for each seed.
pub fn flown_on(
    seeds: &[u64],
    airframe: &str,
    place: Where,
    pilot: PilotChoice,
    faults: &[&str],
) -> Vec<Flown> {
    let inputs = inputs(airframe, place, pilot, faults).unwrap_or_else(|e| panic!("{e}"));
    let performance = performance_of(&inputs.model);
    fly(&inputs, &performance, seeds, |_| true)
        .unwrap_or_else(|failure| panic!("{:#}", failure.error))
}

/// When it was let go.
pub fn released_s(flown: &Flown) -> f64 {
    let released = |event: &&larkfield_recording::Event| event.kind == EventKind::Released;
    (flown.recording.events.iter().find(released)).map_or(0.0, |event| event.time_s)
}

/// Samples in the air, from the release on, for so many seconds.
pub fn first(flown: &Flown, seconds: f64) -> Vec<Sample> {
    let from_s = released_s(flown);
    (flown.recording.samples.iter())
        .filter(|s| s.stage == FlightStage::Free)
        .filter(|s| s.time_s >= from_s && s.time_s <= from_s + seconds)
        .copied()
        .collect()
}
