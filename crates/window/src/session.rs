//! One person's attempts at a lesson: flights that follow real time, and what
//! is kept of them. Nothing here draws, and nothing here knows what a frame is
//! but its length.
//!
//! A message is given between ticks and noted by the tick that first uses it,
//! so the same messages played back give the same flight whatever the frames
//! were.

use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use glam::DVec3;
use larkfield_debrief::debrief_page;
use larkfield_lesson::{Conditions, Performance, PersonBody};
use larkfield_pilot::{ControlMessage, PilotKind, PowerTiming};
use larkfield_recording::{EventKind, FlightStage};
use larkfield_rehearsal::{
    Failure, Flown, Inputs, PilotChoice, Ready, Request, add_flight, begin, page_input,
    performance_of,
};
use larkfield_weather::Wind;
use larkfield_world::{FieldSetup, FieldWorld, FlightId, FlightSnapshot, FlightView, TICK_S};

use crate::after::{self, Look, Looking};
use crate::hands::Hands;
use crate::track::Track;

/// A frame that took longer slows the flight down instead of jumping.
const LONGEST_FRAME_S: f64 = 0.25;
/// "From 5 seconds earlier" goes back so far.
pub const BACK_S: f64 = 5.0;
/// Moments to go on from are kept this often.
const KEEP_EVERY_S: f64 = 0.5;

/// A person, a lesson, and the flight that is on.
pub struct Session {
    inputs: Arc<Inputs>,
    request: Request,
    performance: Performance,
    seed: u64,
    flight: Flight,
}

struct Flight {
    world: FieldWorld,
    id: FlightId,
    thrower_feet_m: [f64; 3],
    conditions: Conditions,
    wind: Arc<Wind>,
    owed_s: f64,
    moments: VecDeque<(f64, FlightSnapshot)>,
    track: Track,
    flown: Option<Flown>,
    looking: Option<Looking>,
    /// It went on from an earlier moment.
    resumed: bool,
    /// Somebody else flew part of it.
    helped: bool,
}

impl Session {
    /// Reads what a request names; the first flight is ready.
    ///
    /// # Errors
    /// Everything that is wrong with the files.
    pub fn open(request: Request) -> Result<Self, Failure> {
        let inputs = Arc::new(Inputs::resolve(&request)?);
        let performance = performance_of(&inputs.model);
        let seed = request.seed;
        let flight = Flight::of(&inputs, seed)?;
        Ok(Self {
            inputs,
            request,
            performance,
            seed,
            flight,
        })
    }

    /// What is flown.
    pub fn inputs(&self) -> &Inputs {
        &self.inputs
    }

    /// The seed of this attempt.
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// Hands as they are before a flight: the throttle where the launch wants it
    /// when the motor runs before the throw.
    pub fn hands(&self) -> Hands {
        let launch = &self.inputs.lesson.launch;
        let runs = launch
            .throw()
            .is_none_or(|throw| throw.power == PowerTiming::Before);
        let lesson = &self.inputs.lesson;
        if lesson.air_start.is_some() {
            Hands::with_throttle(self.inputs.feel.level_throttle)
        } else if runs && launch.throw().is_some() {
            Hands::with_throttle(launch.throttle())
        } else {
            Hands::default()
        }
    }

    /// Where the pilot's eyes are; north, east, down.
    pub fn eyes_m(&self) -> DVec3 {
        self.inputs
            .lesson
            .pilot_eyes_m(&self.inputs.field, self.thrower_feet_m())
    }

    /// Where the thrower stands; north, east, down.
    pub fn thrower_feet_m(&self) -> DVec3 {
        DVec3::from_array(self.flight.thrower_feet_m)
    }

    /// Everybody who can be seen from the pilot's eyes.
    pub fn people_in_view(&self) -> Vec<PersonBody> {
        let eyes_m = self.eyes_m();
        let people = self
            .inputs
            .lesson
            .people(&self.inputs.field, self.thrower_feet_m());
        people
            .into_iter()
            .filter(|body| body.eyes_m() != eyes_m)
            .collect()
    }

    /// The air of this attempt.
    pub fn wind(&self) -> Arc<Wind> {
        self.flight.wind.clone()
    }

    /// The wind as its file describes it.
    pub fn wind_in_words(&self) -> &str {
        &self.inputs.wind.description
    }

    /// Whether the throw still waits for the pilot.
    pub fn waits_for_throw(&self) -> bool {
        !self.view().is_some_and(|view| {
            view.events
                .iter()
                .any(|event| event.kind == EventKind::ThrowBegan)
        })
    }

    /// The flight as it is now.
    pub fn view(&self) -> Option<FlightView<'_>> {
        self.flight.world.view(self.flight.id)
    }

    /// The flight once it is over.
    pub fn flown(&self) -> Option<&Flown> {
        self.flight.flown.as_ref()
    }

    /// The flight so far, moment by moment.
    pub fn track(&self) -> &Track {
        &self.flight.track
    }

    /// The same lesson on the same day, flown by the scripted pilot who can;
    /// `None` where that pilot does not fly the lesson.
    pub fn flown_well(&self) -> Option<Track> {
        let request = Request {
            pilot: Some(PilotChoice::Competent),
            radio: None,
            ..self.request.clone()
        };
        let inputs = Inputs::resolve(&request).ok()?;
        let mut flight = Flight::of(&inputs, self.seed).ok()?;
        while !flight.ended() {
            flight.world.step(1);
            flight.note();
        }
        Some(flight.track)
    }

    /// Begins to look at what was wrong with a flight that is over and what would
    /// have saved it, beside everything else.
    pub fn look_into(&mut self) {
        if let Some(flown) = &self.flight.flown {
            self.flight.looking = Some(Looking::at(flown, &self.inputs, self.seed));
        }
    }

    /// Whether somebody still looks.
    pub fn is_looked_into(&self) -> bool {
        self.flight.looking.is_some()
    }

    /// Takes in what was found; tells whether a look has just ended.
    pub fn hear_of_look(&mut self) -> bool {
        let Some(looking) = self.flight.looking.take() else {
            return false;
        };
        match looking.poll() {
            Look::On(looking) => {
                self.flight.looking = Some(looking);
                false
            }
            Look::Over(flown) => {
                self.flight.flown = Some(*flown);
                true
            }
            Look::Broken => true,
        }
    }

    /// An instructor flies part of this flight.
    pub fn help(&mut self) {
        self.flight.helped = true;
    }

    /// Whether a flight is an attempt of somebody: flown by hand and alone, from
    /// its beginning.
    pub fn is_attempt(&self) -> bool {
        let by_hand = self.inputs.lesson.pilot == PilotKind::Person;
        by_hand && !self.flight.resumed && !self.flight.helped
    }

    /// Puts the flight that is over into a person's logbook; what there is to say
    /// about it.
    ///
    /// # Errors
    /// A logbook that cannot be used, a flight that is not over.
    pub fn log(&self, folder: &Path, pilot: &str) -> Result<String, Failure> {
        let flown = self
            .flown()
            .ok_or_else(|| Failure::input("this flight is not over yet".to_owned()))?;
        after::log(&self.inputs, flown, self.seed, folder, pilot)
    }

    /// Gives what the hands do and lets as much time pass as a frame took.
    pub fn advance(&mut self, frame_s: f64, message: ControlMessage) {
        let flight = &mut self.flight;
        if flight.flown.is_some() {
            return;
        }
        // A scripted pilot takes no messages, and need not.
        flight.world.give_message(flight.id, message);
        flight.owed_s += if frame_s.is_finite() {
            frame_s.clamp(0.0, LONGEST_FRAME_S)
        } else {
            0.0
        };
        while flight.owed_s >= TICK_S && !flight.ended() {
            flight.owed_s -= TICK_S;
            flight.world.step(1);
            flight.keep_moment();
            flight.note();
        }
        if flight.ended() {
            flight.finish(&self.inputs, &self.performance);
        }
    }

    /// The same attempt once more, in the same wind.
    ///
    /// # Errors
    /// A wind that cannot blow, which blew before.
    pub fn again(&mut self) -> Result<(), Failure> {
        self.flight = Flight::of(&self.inputs, self.seed)?;
        Ok(())
    }

    /// The next attempt: another wind, another throw.
    ///
    /// # Errors
    /// A wind in which the lesson is not flown.
    pub fn next_attempt(&mut self) -> Result<(), Failure> {
        let seed = self.seed.wrapping_add(1);
        self.flight = Flight::of(&self.inputs, seed)?;
        self.seed = seed;
        Ok(())
    }

    /// Goes on from [`BACK_S`] before now, or from the beginning of a shorter
    /// flight. What was kept of the flight until then stays.
    ///
    /// # Errors
    /// As [`Session::again`], which stands in when nothing was kept.
    pub fn earlier(&mut self) -> Result<(), Failure> {
        let now_s = self.flight.end_s();
        let flight = &mut self.flight;
        while flight.moments.len() > 1
            && flight
                .moments
                .back()
                .is_some_and(|(time_s, _)| *time_s > now_s - BACK_S)
        {
            flight.moments.pop_back();
        }
        let Some((time_s, moment)) = flight.moments.back() else {
            return self.again();
        };
        flight.track.cut(*time_s);
        flight.world = FieldWorld::new(FieldSetup::default());
        flight.id = flight.world.add_snapshot(moment);
        flight.owed_s = 0.0;
        flight.flown = None;
        flight.looking = None;
        flight.resumed = true;
        Ok(())
    }

    /// Writes the run folder of a flight that is over; its path.
    ///
    /// # Errors
    /// A flight that still goes on, a disk that refuses.
    pub fn keep(&self, out: Option<&Path>) -> Result<PathBuf, Failure> {
        self.keep_as(out, false)
    }

    /// Writes the run folder once more, with what was found since.
    ///
    /// # Errors
    /// As [`Session::keep`].
    pub fn keep_again(&self, folder: &Path) -> Result<PathBuf, Failure> {
        self.keep_as(Some(folder), true)
    }

    fn keep_as(&self, out: Option<&Path>, replace: bool) -> Result<PathBuf, Failure> {
        let flown = self
            .flown()
            .ok_or_else(|| Failure::input("this flight is not over yet".to_owned()))?;
        let request = Request {
            seed: self.seed,
            out: out.map(Path::to_owned).or(self.request.out.clone()),
            replace: replace || self.request.replace,
            ..self.request.clone()
        };
        let mut folder = begin(&request, &self.inputs, &self.seed.to_string())?;
        let input = page_input(&self.inputs, &self.performance, flown, self.seed);
        add_flight(&mut folder, flown, &debrief_page(&input))?;
        Ok(folder.finish()?)
    }
}

impl Flight {
    fn of(inputs: &Inputs, seed: u64) -> Result<Self, Failure> {
        let ready = Ready::of(inputs, seed)?;
        let wind = ready.setup.wind.clone();
        let mut world = FieldWorld::new(FieldSetup::default());
        let id = world.add_flight(ready.setup);
        Ok(Self {
            world,
            id,
            thrower_feet_m: ready.thrower_feet_m,
            conditions: ready.conditions,
            wind,
            owed_s: 0.0,
            moments: VecDeque::new(),
            track: Track::default(),
            flown: None,
            looking: None,
            resumed: false,
            helped: false,
        })
    }

    fn note(&mut self) {
        if let Some(view) = self.world.view(self.id) {
            self.track.note(&view);
        }
    }

    fn ended(&self) -> bool {
        self.world.all_ended()
    }

    /// Time of the flight, also when it is over.
    fn end_s(&self) -> f64 {
        match (&self.flown, self.world.view(self.id)) {
            (Some(flown), _) => flown.recording.samples.last().map_or(0.0, |s| s.time_s),
            (None, view) => view.map_or(0.0, |view| view.time_s),
        }
    }

    /// Keeps the moment when the last kept one is old enough. A plane that
    /// still waits in a hand has one moment, its latest: nobody wants to go
    /// back to waiting.
    fn keep_moment(&mut self) {
        let Some(view) = self.world.view(self.id) else {
            return;
        };
        let (time_s, waits) = (view.time_s, view.plane.stage == FlightStage::InHand);
        let last_s = self.moments.back().map(|(time_s, _)| *time_s);
        if last_s.is_some_and(|last_s| time_s - last_s < KEEP_EVERY_S) {
            return;
        }
        if let Some(moment) = self.world.snapshot(self.id) {
            if waits {
                self.moments.clear();
            }
            self.moments.push_back((time_s, moment));
        }
        // Enough to go back twice in a row.
        while self
            .moments
            .front()
            .is_some_and(|(kept_s, _)| time_s - kept_s > 3.0 * BACK_S)
        {
            self.moments.pop_front();
        }
    }

    fn finish(&mut self, inputs: &Inputs, performance: &Performance) {
        if let Some(result) = self.world.result(self.id) {
            self.flown = Some(Flown::scored(
                inputs,
                performance,
                result,
                self.thrower_feet_m,
                self.conditions,
            ));
        }
    }
}
