//! Flies the library on a plane, for what its pilot remembers of a crash: with
//! launch power and without, hands off, and with a touch of each stick. What that
//! says is for `larkfield-diagnosis`.

use std::sync::Arc;

use larkfield_diagnosis::{Lineup, Tried};
use larkfield_faults::{Fault, Injected, Origin, library};
use larkfield_flight::FlightModel;
use larkfield_pilot::{ControlMessage, ScriptedPilot, Sticks, Tape, TimedMessage};
use larkfield_recording::{FlightStage, Sample};
use larkfield_weather::Wind;
use larkfield_world::{FieldSetup, FieldWorld, FlightId, Start};

use crate::failure::Failure;
use crate::faults::{build_in, set_up};
use crate::flown::Ready;
use crate::inputs::Inputs;

/// Hands off, a plane that goes wrong has done so by then.
const WATCHED_S: f64 = 3.0;
/// A touch of a stick: when since the release, how long, how far, and how long
/// until it has done its work.
const TOUCH_FROM_S: f64 = 0.3;
const TOUCH_S: f64 = 0.6;
const TOUCH: f64 = 0.5;
const ANSWERED_S: f64 = 0.3;

/// Flies the library on this plane. `go_on` is called with the share that is
/// done; when it returns false, nothing comes back.
///
/// # Errors
/// A lesson that does not begin with a throw, a wind that cannot blow.
pub fn line_up(
    inputs: &Inputs,
    seed: u64,
    mut go_on: impl FnMut(f64) -> bool,
) -> Result<Option<Lineup>, Failure> {
    let sound = try_out(inputs, seed, &[])?.ok_or_else(|| {
        Failure::input("this needs a lesson that begins with a throw; leave --lesson out")
    })?;
    // Hands off, nobody can tell what the hands usually do.
    let all: Vec<&'static Fault> = library()
        .filter(|fault| fault.origin != Origin::Pilot)
        .collect();
    let mut lineup = Lineup::default();
    for (asked, fault) in all.iter().enumerate() {
        if !go_on(asked as f64 / all.len() as f64) {
            return Ok(None);
        }
        let names: Vec<String> = match fault.sizes {
            Some(_) => vec![fault.name.to_owned(), format!("{}=large", fault.name)],
            None => vec![fault.name.to_owned()],
        };
        let mut seen = Vec::new();
        for name in &names {
            if let Ok(injected) = Injected::parse(name)
                && let Some(tried) = try_out(inputs, seed, &[injected])?
            {
                seen.push(tried.beside(&sound));
            }
        }
        lineup.add(fault, seen);
    }
    Ok(Some(lineup))
}

/// Flies a plane with faults; `None` when this plane or throw cannot have them.
fn try_out(inputs: &Inputs, seed: u64, faults: &[Injected]) -> Result<Option<Tried>, Failure> {
    let (plane, script) = (inputs.designed.clone(), inputs.script.clone());
    let Ok((airframe, script)) = build_in(faults, plane, &inputs.lesson, script) else {
        return Ok(None);
    };
    let wind = Wind::new(&script, seed).map_err(|e| Failure::input(e.to_string()))?;
    let wind = Arc::new(wind);
    let Ok(model) = inputs.model.of_another(&airframe).map(Arc::new) else {
        return Ok(None);
    };
    let launch = inputs.lesson.launch.throttle();
    let rolls = Sticks {
        roll: TOUCH,
        ..Sticks::default()
    };
    let pulls = Sticks {
        pitch: TOUCH,
        ..Sticks::default()
    };
    let none = Sticks::default();
    let mut world = FieldWorld::new(FieldSetup::default());
    let mut ids = Vec::new();
    for (throttle, from_s, touch) in [
        (launch, 0.0, none),
        (0.0, 0.0, none),
        (launch, TOUCH_FROM_S, rolls),
        (launch, TOUCH_FROM_S, pulls),
    ] {
        let Some(id) = add(
            inputs, seed, faults, &model, &wind, &mut world, throttle, from_s, touch,
        )?
        else {
            return Ok(None);
        };
        ids.push(id);
    }
    world.run_to_end(|time_s| time_s < 8.0);
    let flights: Vec<Vec<Sample>> = (ids.into_iter())
        .filter_map(|id| world.take_result(id))
        .map(|result| free(&result.recording.samples))
        .collect();
    let [powered, unpowered, rolled, pitched] = flights.as_slice() else {
        return Ok(None);
    };
    Ok(Some(Tried::of(
        powered,
        unpowered,
        rolled,
        pitched,
        TOUCH_FROM_S + TOUCH_S + ANSWERED_S,
    )))
}

/// Adds a flight with the sticks still but for one touch after the release.
#[allow(clippy::too_many_arguments, reason = "one flight of many alike")]
fn add(
    inputs: &Inputs,
    seed: u64,
    faults: &[Injected],
    model: &Arc<FlightModel>,
    wind: &Arc<Wind>,
    world: &mut FieldWorld,
    throttle: f64,
    from_s: f64,
    touch: Sticks,
) -> Result<Option<FlightId>, Failure> {
    let mut setup = Ready::of(inputs, seed)?.setup;
    setup.model = model.clone();
    setup.wind = wind.clone();
    set_up(faults, model.airframe(), &inputs.lesson, &mut setup);
    setup.throw_waits = false;
    let Start::Thrown(path) = &setup.start else {
        return Ok(None);
    };
    let released_s = path.release_s();
    let message = |sticks: Sticks| ControlMessage {
        sticks: Sticks { throttle, ..sticks },
        ..ControlMessage::default()
    };
    let at = |time_s: f64, sticks: Sticks| TimedMessage {
        time_s,
        message: message(sticks),
    };
    setup.pilot = ScriptedPilot::playback(Tape::of_all(vec![
        at(0.0, Sticks::default()),
        at(released_s + from_s, touch),
        at(released_s + from_s + TOUCH_S, Sticks::default()),
    ]));
    Ok(Some(world.add_flight(setup)))
}

/// Samples in the air, from the release on.
fn free(samples: &[Sample]) -> Vec<Sample> {
    let flies = |sample: &&Sample| sample.stage == FlightStage::Free;
    let first = samples
        .iter()
        .find(flies)
        .map_or(0.0, |sample| sample.time_s);
    (samples.iter())
        .skip_while(|sample| sample.stage != FlightStage::Free)
        .take_while(|sample| sample.time_s <= first + WATCHED_S)
        .copied()
        .collect()
}
