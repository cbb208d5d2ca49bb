//! Flights of a rehearsal: flown in one world, scored as they will be read.

use larkfield_lesson::{Conditions, Performance, Score, score};
use larkfield_pilot::{PilotKind, ScriptedPilot, TimedMessage};
use larkfield_radio::{Switch, SwitchJob};
use larkfield_recording::Recording;
use larkfield_recording::table::as_written;
use larkfield_world::{FieldSetup, FieldWorld, FlightId, FlightSetup, LessonDay};

use crate::failure::Failure;
use crate::inputs::{Inputs, Today};

/// A flight that is over.
pub struct Flown {
    /// Samples and events, as they come back from their files.
    pub recording: Recording,
    /// Every change of what the pilot's hands did.
    pub controls: Vec<TimedMessage>,
    /// Its score.
    pub score: Score,
    /// Where the thrower stood; north, east, down.
    pub thrower_feet_m: [f64; 3],
    /// Wind and undercarriage.
    pub conditions: Conditions,
}

/// Flies one flight for each seed, all in one world, and scores them. Returns
/// none when `go_on`, asked about every simulated second, says no.
///
/// # Errors
/// A wind that cannot blow.
pub fn fly(
    inputs: &Inputs,
    performance: &Performance,
    seeds: &[u64],
    go_on: impl FnMut(f64) -> bool,
) -> Result<Vec<Flown>, Failure> {
    let mut world = FieldWorld::new(FieldSetup::default());
    let mut ids = Vec::new();
    for seed in seeds {
        let (setup, feet_m, conditions) = setup_of(inputs, *seed)?;
        ids.push((world.add_flight(setup), feet_m, conditions));
    }
    if !world.run_to_end(go_on) {
        return Ok(Vec::new());
    }
    let flights = ids.into_iter().filter_map(|(id, feet_m, conditions)| {
        taken(&mut world, id, feet_m, conditions, inputs, performance)
    });
    Ok(flights.collect())
}

/// The flight of a seed, where its thrower stands, and its conditions.
///
/// # Errors
/// A wind that cannot blow.
pub fn setup_of(
    inputs: &Inputs,
    seed: u64,
) -> Result<(FlightSetup, [f64; 3], Conditions), Failure> {
    let Today { wind, conditions } = inputs.day_of(seed)?;
    let day = LessonDay {
        lesson: &inputs.lesson,
        field: &inputs.field,
        conditions: &conditions,
        feel: inputs.feel,
    };
    let mut setup = FlightSetup::for_lesson(
        &day,
        inputs.model.clone(),
        wind,
        seed,
        inputs.sticks.clone(),
    );
    if let Some(radio) = &inputs.radio {
        setup.radio = radio.radio_setup(inputs.model.airframe());
        if inputs.lesson.pilot == PilotKind::Person {
            setup.pilot = ScriptedPilot::person(radio.hand_off());
            let throws = |switch: &Switch| switch.job == SwitchJob::Throw;
            // Without such a switch the throw has the lesson's own time.
            setup.throw_waits &= radio.switches.iter().any(throws);
        }
    }
    let feet_m = setup.start.feet_m().to_array();
    Ok((setup, feet_m, conditions))
}

/// Takes a flight off its world and scores it.
pub fn taken(
    world: &mut FieldWorld,
    id: FlightId,
    thrower_feet_m: [f64; 3],
    conditions: Conditions,
    inputs: &Inputs,
    performance: &Performance,
) -> Option<Flown> {
    let result = world.take_result(id)?;
    // Scored as it will be read again, so that a score can be checked.
    let recording = as_written(&result.recording);
    let score = score(
        &inputs.lesson,
        &inputs.field,
        &recording,
        performance,
        &conditions,
    );
    Some(Flown {
        recording,
        controls: result.controls,
        score,
        thrower_feet_m,
        conditions,
    })
}
