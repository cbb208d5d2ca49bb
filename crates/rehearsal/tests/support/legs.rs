//! A lesson flown again at half the tick, leg by leg, with the sticks as they were.
//!
//! With nobody to answer, the spiral doubles any difference every few seconds. So
//! what is flown again begins each leg where the lesson was; the first one begins
//! as the lesson does, in the hand, on the ground or in the air.

use larkfield_flight::FlightState;
use larkfield_pilot::{ScriptedPilot, Tape};
use larkfield_recording::FlightStage;
use larkfield_rehearsal::{Inputs, Ready};
use larkfield_world::{FieldSetup, FieldWorld, FlightId, FlightSetup, TICK_S};

use crate::at_tick::{change, flies};

/// Ticks of the lesson to a leg: five seconds.
const LEG_TICKS: usize = 2500;
/// What has not touched so many ticks after the lesson did is not going to.
const LATE_TICKS: usize = 500;

/// A tick of the lesson, which may be two of half its length.
#[derive(Clone, Copy)]
struct Moment {
    /// At its end; north, east, down.
    position_m: [f64; 3],
    /// At its start.
    alpha_rad: f64,
}

/// How a lesson and the same in legs at half the tick compare.
#[derive(Debug, Clone, Copy)]
pub struct Legs {
    /// Greatest height above the ground: of the lesson, then of the legs.
    pub apex_m: [f64; 2],
    /// Largest angle of attack, each until it touches.
    pub alpha_rad: [f64; 2],
    /// How far they are apart at the end of a leg, at worst, in shares of the way
    /// flown in it.
    pub apart: f64,
    /// How far apart they touch in shares of the way that it flies in the time of a
    /// leg as it does in the last one; not a number when only one does.
    pub touch_apart: Option<f64>,
}

/// The lesson as its pilot flies it.
struct Lesson {
    moments: Vec<Moment>,
    /// Number of the first tick that ends in flight.
    from: usize,
    /// Where legs begin: after how many ticks, and how it was.
    begins: Vec<(usize, FlightState)>,
    touched: bool,
}

impl Lesson {
    fn fly(world: &mut FieldWorld, id: FlightId) -> Self {
        let (mut moments, mut begins) = (Vec::new(), Vec::new());
        let (mut from, mut touched) = (None, false);
        while !world.all_ended() && !touched {
            let moment = step(world, id, 1, from.is_some()).expect("on the field");
            moments.push(moment);
            let plane = world.aircraft(id).expect("on the field");
            if from.is_none() && flies(plane) {
                from = Some(moments.len());
            }
            touched = from.is_some() && plane.stage == FlightStage::Ground;
            if moments.len().is_multiple_of(LEG_TICKS) && !touched {
                begins.push((moments.len(), plane.state.clone()));
            }
        }
        Self {
            moments,
            from: from.expect("it never flew"),
            begins,
            touched,
        }
    }
}

/// A tick of the lesson in so many parts, until it touches where it flies; nothing
/// when the flight is over.
fn step(world: &mut FieldWorld, id: FlightId, parts: u32, flies: bool) -> Option<Moment> {
    let mut moment = None;
    for _ in 0..parts {
        if world.all_ended() {
            break;
        }
        world.step(1);
        let plane = world.aircraft(id)?;
        let moment = moment.get_or_insert(Moment {
            position_m: [0.0; 3],
            alpha_rad: plane.report.alpha_rad,
        });
        moment.position_m = plane.state.position_m.to_array();
        if flies && plane.stage == FlightStage::Ground {
            break;
        }
    }
    moment
}

fn apart_m(one: &Moment, other: &Moment) -> f64 {
    let ([a, b, _], [c, d, _]) = (one.position_m, other.position_m);
    f64::hypot(a - c, b - d)
}

/// Two flights side by side, of which the second is begun anew for each leg.
struct Pair {
    legs: Legs,
    /// Of the leg so far.
    way_m: f64,
    ticks: usize,
}

impl Legs {
    /// Flies a lesson on the day of a seed, then again.
    pub fn fly(inputs: &Inputs, seed: u64) -> Self {
        let setup = Ready::of(inputs, seed)
            .unwrap_or_else(|failure| panic!("{:#}", failure.error))
            .setup;
        let mut world = FieldWorld::new(FieldSetup::default());
        let id = world.add_flight(setup.clone());
        let lesson = Lesson::fly(&mut world, id);
        let sticks = world.take_result(id).expect("flown").controls;

        let mut world = FieldWorld::new(FieldSetup {
            tick_s: 0.5 * TICK_S,
            ..FieldSetup::default()
        });
        let id = world.add_flight(FlightSetup {
            pilot: ScriptedPilot::playback(Tape::of_all(sticks)),
            ..setup
        });
        let mut pair = Pair {
            legs: Self {
                apex_m: [0.0; 2],
                alpha_rad: [f64::NEG_INFINITY; 2],
                apart: 0.0,
                touch_apart: lesson.touched.then_some(f64::NAN),
            },
            way_m: 0.0,
            ticks: 0,
        };
        pair.fly(&lesson, &mut world, id);
        pair.legs
    }

    /// One more tick in the air of the lesson, 0, or of the other, 1.
    fn take(&mut self, which: usize, moment: &Moment) {
        let apex_m = &mut self.apex_m[which];
        *apex_m = apex_m.max(-moment.position_m[2]);
        let alpha_rad = &mut self.alpha_rad[which];
        *alpha_rad = alpha_rad.max(moment.alpha_rad);
    }
}

impl Pair {
    fn fly(&mut self, lesson: &Lesson, world: &mut FieldWorld, id: FlightId) {
        let mut begins = lesson.begins.iter().peekable();
        for count in 1..=lesson.moments.len() + LATE_TICKS {
            let whole = lesson.moments.get(count - 1);
            if whole.is_none() && !lesson.touched {
                break;
            }
            let flies = count > lesson.from;
            let Some(half) = step(world, id, 2, flies) else {
                break;
            };
            let before = count.checked_sub(2).and_then(|at| lesson.moments.get(at));
            if let (Some(before), Some(whole)) = (before, whole) {
                self.way_m += apart_m(before, whole);
                self.ticks += 1;
            }
            if flies {
                self.legs.take(1, &half);
                if let Some(whole) = whole {
                    self.legs.take(0, whole);
                }
            }
            let plane = world.aircraft(id).expect("on the field");
            if flies && plane.stage == FlightStage::Ground {
                // Where the lesson flies on, it must not touch.
                let last = lesson.moments.last().filter(|_| lesson.touched);
                let apart = last.map(|last| self.share(apart_m(last, &half)));
                self.legs.touch_apart = Some(apart.unwrap_or(f64::NAN));
                for whole in lesson.moments.iter().skip(count) {
                    self.legs.take(0, whole);
                }
                break;
            }
            if let (Some(whole), Some((_, state))) =
                (whole, begins.next_if(|(after, _)| *after == count))
            {
                self.legs.apart = self.legs.apart.max(self.share(apart_m(whole, &half)));
                (self.way_m, self.ticks) = (0.0, 0);
                change(world, |plane| plane.state = state.clone());
            }
        }
    }

    /// Of the way in the time of a leg.
    fn share(&self, apart_m: f64) -> f64 {
        apart_m * self.ticks as f64 / (self.way_m * LEG_TICKS as f64)
    }
}
