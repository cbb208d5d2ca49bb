//! Flights of a rehearsal: set up, flown in one world, scored as they will be
//! read.

use larkfield_diagnosis::Diagnosis;
use larkfield_hindsight::{Hindsight, look_back, trouble_in};
use larkfield_lesson::{Conditions, Performance, Score, score};
use larkfield_pilot::{PilotKind, ScriptedPilot, Tape, TimedMessage};
use larkfield_radio::{Switch, SwitchJob};
use larkfield_recording::Recording;
use larkfield_recording::table::as_written;
use larkfield_world::{FieldSetup, FieldWorld, FlightResult, FlightSetup, LessonDay};

use crate::causes::causes_of;
use crate::effect::Effect;
use crate::failure::Failure;
use crate::faults::set_up;
use crate::inputs::{Inputs, Today};

/// A flight that can begin.
pub struct Ready {
    /// What the field needs to know of it.
    pub setup: FlightSetup,
    /// Where the thrower stands; north, east, down.
    pub thrower_feet_m: [f64; 3],
    /// Wind and undercarriage.
    pub conditions: Conditions,
}

/// A flight that is over.
#[derive(Clone)]
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
    /// What would have saved it, once somebody has looked
    /// ([`Flown::look_back`]).
    pub hindsight: Option<Hindsight>,
    /// Why it did not pass, once somebody has looked
    /// ([`Flown::find_causes`]).
    pub diagnosis: Option<Diagnosis>,
    /// What the faults that it was flown with did, once somebody has looked
    /// ([`Effect::of`]).
    pub effect: Option<Effect>,
}

impl Ready {
    /// The flight of a seed.
    ///
    /// # Errors
    /// A wind that cannot blow, or in which the lesson is not flown.
    pub fn of(inputs: &Inputs, seed: u64) -> Result<Self, Failure> {
        let Today { wind, conditions } = inputs.day_of(seed)?;
        let day = LessonDay {
            lesson: &inputs.lesson,
            field: &inputs.field,
            conditions: &conditions,
            feel: inputs.feel,
        };
        let sticks = inputs.sticks.clone();
        let mut setup = FlightSetup::for_lesson(&day, inputs.model.clone(), wind, seed, sticks);
        if let Some(radio) = &inputs.radio {
            setup.radio = radio.radio_setup(inputs.model.airframe());
            if inputs.lesson.pilot == PilotKind::Person {
                setup.pilot = ScriptedPilot::person(radio.hand_off());
                let throws = |switch: &Switch| switch.job == SwitchJob::Throw;
                // Without such a switch the throw has the lesson's own time.
                setup.throw_waits &= radio.switches.iter().any(throws);
            }
        }
        set_up(
            &inputs.faults,
            inputs.model.airframe(),
            &inputs.lesson,
            &mut setup,
        );
        Ok(Self {
            thrower_feet_m: setup.start.feet_m().to_array(),
            setup,
            conditions,
        })
    }
}

impl Flown {
    /// Scores what a flight left, as it will be read again, so that a score can
    /// be checked.
    pub fn scored(
        inputs: &Inputs,
        performance: &Performance,
        result: FlightResult,
        thrower_feet_m: [f64; 3],
        conditions: Conditions,
    ) -> Self {
        let recording = as_written(&result.recording);
        let score = score(
            &inputs.lesson,
            &inputs.field,
            &recording,
            performance,
            &conditions,
        );
        Self {
            recording,
            controls: result.controls,
            score,
            thrower_feet_m,
            conditions,
            hindsight: None,
            diagnosis: None,
            effect: None,
        }
    }

    /// Finds out what would have saved it, where there was something to save.
    /// Takes a few seconds. A person's flight is played back from what their
    /// hands did.
    ///
    /// # Errors
    /// A wind that cannot blow, which blew before.
    pub fn look_back(
        &mut self,
        inputs: &Inputs,
        seed: u64,
        go_on: impl FnMut(f64) -> bool,
    ) -> Result<(), Failure> {
        if trouble_in(&self.recording.events, 0.0).is_none() {
            return Ok(());
        }
        let mut setup = Ready::of(inputs, seed)?.setup;
        if inputs.lesson.pilot == PilotKind::Person {
            setup.pilot = ScriptedPilot::playback(Tape::of_all(self.controls.clone()));
        }
        self.hindsight = look_back(setup, go_on);
        Ok(())
    }

    /// What to do next, the most useful first: people, then a plane that is not as
    /// it should be, then the pilot.
    #[must_use]
    pub fn next_steps(&self) -> Vec<String> {
        let mut steps = self.score.next.clone();
        if let Some(step) = (self.diagnosis.as_ref()).and_then(Diagnosis::first_step) {
            let at = usize::from(self.score.zeroed_by.is_some()).min(steps.len());
            steps.insert(at, step);
        }
        steps
    }

    /// Finds out why a flight did not pass. Takes a few seconds.
    pub fn find_causes(&mut self, inputs: &Inputs, go_on: impl FnMut(f64) -> bool) {
        if !self.score.passed {
            // A flight that tells nothing has no causes.
            self.diagnosis = causes_of(inputs, &self.recording.samples, true, go_on).ok();
        }
    }
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
        let ready = Ready::of(inputs, *seed)?;
        let id = world.add_flight(ready.setup);
        ids.push((id, ready.thrower_feet_m, ready.conditions));
    }
    if !world.run_to_end(go_on) {
        return Ok(Vec::new());
    }
    let mut flights = Vec::new();
    for (id, feet_m, conditions) in ids {
        if let Some(result) = world.take_result(id) {
            flights.push(Flown::scored(
                inputs,
                performance,
                result,
                feet_m,
                conditions,
            ));
        }
    }
    Ok(flights)
}
