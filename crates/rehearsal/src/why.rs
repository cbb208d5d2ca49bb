//! Why a real plane went in, from what its pilot remembers.
//!
//! A real crash leaves no recording. Here every fault of the library is flown on
//! that very plane: with launch power and without, hands off, and with a touch of
//! each stick. What each of these flights does is put into the same few words in
//! which a pilot answers, and a fault is the likelier the more of the answers its
//! flights would have given. People misremember, so a wrong answer makes a fault
//! less likely and never impossible.

use std::sync::Arc;

use larkfield_faults::{Fault, Injected, Origin, library};
use larkfield_flight::FlightModel;
use larkfield_pilot::{ControlMessage, ScriptedPilot, Sticks, TimedMessage};
use larkfield_recording::{FlightStage, Sample};
use larkfield_world::{FieldSetup, FieldWorld, FlightId};

use crate::failure::Failure;
use crate::faults::{build_in, set_up};
use crate::flown::Ready;
use crate::inputs::Inputs;

/// How it went wrong in the first seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Went {
    /// The nose came up.
    Up,
    /// The nose went down.
    Down,
    /// It rolled or turned left.
    Left,
    /// It rolled or turned right.
    Right,
    /// It sank, more or less level.
    Sank,
    /// It flew.
    Flew,
}

/// What became of it without power.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unpowered {
    /// The same.
    Same,
    /// It flew: it goes wrong with power only.
    Fine,
}

/// On which throws it happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Throws {
    /// On every throw, whatever the heading.
    Every,
    /// On this one only, or in one direction only.
    One,
}

/// How it answered the sticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answered {
    /// As it should.
    Rightly,
    /// The wrong way round.
    Against,
    /// Hardly.
    Weakly,
    /// Far too much.
    Wildly,
}

/// What the pilot remembers; `None`: untried, or not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Remembered {
    /// How it went wrong.
    pub went: Option<Went>,
    /// Without power.
    pub unpowered: Option<Unpowered>,
    /// On which throws.
    pub throws: Option<Throws>,
    /// To the sticks.
    pub answered: Option<Answered>,
}

/// A fault and how much speaks for it.
#[derive(Debug, Clone, Copy)]
pub struct Suspect {
    /// Entry of the library.
    pub fault: &'static Fault,
    /// Share of the likelihood of all.
    pub share: f64,
    /// What its flights did, at its usual size.
    pub went: Went,
    /// The same without power.
    pub went_unpowered: Went,
    /// How it answered.
    pub answered: Answered,
}

/// How often somebody remembers a thing as it was (an estimate, no source).
const REMEMBERED_RIGHT: f64 = 0.75;
/// Hands off, a plane that goes wrong has done so by then.
const WATCHED_S: f64 = 3.0;
/// Beyond these it has plainly gone somewhere (estimates, no source).
const BANKED_RAD: f64 = 0.3;
const RAISED_RAD: f64 = 0.45;
const DROPPED_RAD: f64 = 0.35;
const SUNK_M: f64 = 1.0;
/// A touch of a stick: when since the release, how long, how far.
const ROLL_FROM_S: f64 = 0.3;
const PITCH_FROM_S: f64 = 0.3;
const TOUCH_S: f64 = 0.6;
const TOUCH: f64 = 0.5;

/// What the flights with each fault did on one plane.
pub struct Lineup {
    seen: Vec<(&'static Fault, Vec<Seen>)>,
}

impl Lineup {
    /// Flies the library on this plane. `go_on` is called with the share that is
    /// done; when it returns false, nothing comes back.
    ///
    /// # Errors
    /// A lesson that does not begin with a throw, a wind that cannot blow.
    pub fn fly(
        inputs: &Inputs,
        seed: u64,
        mut go_on: impl FnMut(f64) -> bool,
    ) -> Result<Option<Self>, Failure> {
        let sound = Tried::fly(inputs, seed, &[])?.ok_or_else(|| {
            Failure::input("this needs a lesson that begins with a throw; leave --lesson out")
        })?;
        let all: Vec<&'static Fault> = library().collect();
        let mut seen = Vec::new();
        for (asked, fault) in all.iter().enumerate() {
            if !go_on(asked as f64 / all.len() as f64) {
                return Ok(None);
            }
            let names: Vec<String> = match fault.sizes {
                Some(_) => vec![fault.name.to_owned(), format!("{}=large", fault.name)],
                None => vec![fault.name.to_owned()],
            };
            let mut of_fault = Vec::new();
            for name in &names {
                if let Ok(injected) = Injected::parse(name)
                    && let Some(tried) = Tried::fly(inputs, seed, &[injected])?
                {
                    of_fault.push(tried.beside(&sound));
                }
            }
            if !of_fault.is_empty() {
                seen.push((*fault, of_fault));
            }
        }
        Ok(Some(Self { seen }))
    }

    /// Ranks what speaks for each fault, the likeliest first.
    #[must_use]
    pub fn suspects(&self, remembered: &Remembered) -> Vec<Suspect> {
        let mut suspects: Vec<Suspect> = (self.seen.iter())
            .filter_map(|(fault, seen)| {
                let all: f64 = seen
                    .iter()
                    .map(|seen| seen.likelihood(fault, remembered))
                    .sum();
                let usual = seen.first()?;
                Some(Suspect {
                    fault,
                    share: all / seen.len() as f64,
                    went: usual.went,
                    went_unpowered: usual.went_unpowered,
                    answered: usual.answered,
                })
            })
            .collect();
        let sum: f64 = suspects.iter().map(|suspect| suspect.share).sum();
        for suspect in &mut suspects {
            suspect.share /= sum.max(1e-12);
        }
        suspects.sort_by(|a, b| b.share.total_cmp(&a.share));
        suspects
    }
}

/// The flights of one plane.
struct Tried {
    went: Went,
    went_unpowered: Went,
    /// Turned right, and nose up, by a touch of the stick.
    rolled_rad: f64,
    pitched_rad: f64,
}

/// The same in a pilot's words.
#[derive(Clone, Copy)]
struct Seen {
    went: Went,
    went_unpowered: Went,
    /// Without power it did what a sound plane does, and with power it did not.
    fine_unpowered: bool,
    answered: Answered,
}

impl Tried {
    /// `None` when this plane or throw cannot have the fault.
    fn fly(inputs: &Inputs, seed: u64, faults: &[Injected]) -> Result<Option<Self>, Failure> {
        let Ok(airframe) = build_in(faults, inputs.designed.clone(), &inputs.lesson) else {
            return Ok(None);
        };
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
            (launch, ROLL_FROM_S, rolls),
            (launch, PITCH_FROM_S, pulls),
        ] {
            let Some(id) = add(
                inputs, seed, faults, &model, &mut world, throttle, from_s, touch,
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
        let gained = |with: &[Sample], of: fn(&Sample) -> f64| {
            let until_s = ROLL_FROM_S + TOUCH_S + 0.3;
            turned(with, of, until_s) - turned(powered, of, until_s)
        };
        Ok(Some(Self {
            went: went(powered),
            went_unpowered: went(unpowered),
            rolled_rad: gained(rolled, |s| s.roll_rate_rad_s),
            pitched_rad: gained(pitched, |s| s.pitch_rate_rad_s),
        }))
    }

    fn beside(&self, sound: &Self) -> Seen {
        let ratios = [
            self.rolled_rad / sound.rolled_rad,
            self.pitched_rad / sound.pitched_rad,
        ];
        let any = |holds: fn(f64) -> bool| ratios.into_iter().any(holds);
        let answered = if any(|ratio| ratio < -0.2) {
            Answered::Against
        } else if any(|ratio| ratio < 0.6) {
            Answered::Weakly
        } else if any(|ratio| ratio > 1.5) {
            Answered::Wildly
        } else {
            Answered::Rightly
        };
        Seen {
            went: self.went,
            went_unpowered: self.went_unpowered,
            fine_unpowered: self.went_unpowered == sound.went_unpowered && self.went != sound.went,
            answered,
        }
    }
}

impl Seen {
    fn likelihood(&self, fault: &Fault, remembered: &Remembered) -> f64 {
        let says = |same: bool, others: f64| {
            if same {
                REMEMBERED_RIGHT
            } else {
                (1.0 - REMEMBERED_RIGHT) / others
            }
        };
        let mut likelihood = 1.0;
        if let Some(went) = remembered.went {
            likelihood *= says(went == self.went, 5.0);
        }
        if let Some(unpowered) = remembered.unpowered {
            likelihood *= says((unpowered == Unpowered::Fine) == self.fine_unpowered, 1.0);
        }
        if let Some(throws) = remembered.throws {
            let of_this_throw = fault.origin == Origin::Launch;
            likelihood *= says((throws == Throws::One) == of_this_throw, 1.0);
        }
        if let Some(answered) = remembered.answered {
            likelihood *= says(answered == self.answered, 3.0);
        }
        likelihood
    }
}

/// Adds a flight with the sticks still but for one touch after the release.
#[allow(clippy::too_many_arguments, reason = "one flight of many alike")]
fn add(
    inputs: &Inputs,
    seed: u64,
    faults: &[Injected],
    model: &Arc<FlightModel>,
    world: &mut FieldWorld,
    throttle: f64,
    from_s: f64,
    touch: Sticks,
) -> Result<Option<FlightId>, Failure> {
    let mut setup = Ready::of(inputs, seed)?.setup;
    setup.model = model.clone();
    set_up(faults, model.airframe(), &inputs.lesson, &mut setup);
    setup.throw_waits = false;
    let larkfield_world::Start::Thrown(path) = &setup.start else {
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
    setup.pilot = ScriptedPilot::playback(larkfield_pilot::Tape::of_all(vec![
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

/// Angle turned until a time after the release.
fn turned(samples: &[Sample], rate: fn(&Sample) -> f64, until_s: f64) -> f64 {
    let first_s = samples.first().map_or(0.0, |sample| sample.time_s);
    (samples.windows(2))
        .take_while(|pair| {
            pair[1].time_s <= first_s + until_s && pair[1].stage == FlightStage::Free
        })
        .map(|pair| rate(&pair[0]) * (pair[1].time_s - pair[0].time_s))
        .sum()
}

/// The first thing that plainly happened; a turn or a rearing that comes later
/// tells more than that it sank.
fn went(samples: &[Sample]) -> Went {
    let Some(first) = samples.first() else {
        return Went::Flew;
    };
    let in_the_air = samples.iter().take_while(|s| s.stage == FlightStage::Free);
    for sample in in_the_air {
        if sample.bank_rad < -BANKED_RAD {
            return Went::Left;
        }
        if sample.bank_rad > BANKED_RAD {
            return Went::Right;
        }
        if sample.pitch_rad > RAISED_RAD {
            return Went::Up;
        }
        if sample.pitch_rad < -DROPPED_RAD {
            return Went::Down;
        }
    }
    let sank = |s: &Sample| s.height_m < first.height_m - SUNK_M || s.stage == FlightStage::Ground;
    if samples.iter().any(sank) {
        Went::Sank
    } else {
        Went::Flew
    }
}
