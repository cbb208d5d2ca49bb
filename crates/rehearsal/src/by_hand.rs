//! A flight by a person at the sticks, tick by tick as the person goes on.

use glam::DVec3;
use larkfield_lesson::Performance;
use larkfield_pilot::ControlMessage;
use larkfield_world::{Aircraft, FieldSetup, FieldWorld};

use crate::failure::Failure;
use crate::flown::{Flown, Ready};
use crate::inputs::Inputs;

/// The flight as it is before a tick.
pub struct Moment<'a> {
    /// Time since the run began.
    pub time_s: f64,
    /// The plane.
    pub plane: &'a Aircraft,
    /// Where the pilot's eyes are; north, east, down.
    pub eyes_m: DVec3,
}

/// What the person does about it.
pub enum Hands {
    /// Flies on: the next tick sees this message.
    Fly(ControlMessage),
    /// Nothing yet: the flight waits. Whoever answers so takes the time.
    Wait,
    /// Gives the flight up.
    Stop,
}

/// How a flight by hand ended.
pub struct ByHand {
    /// The flight, whole or as far as it came.
    pub flown: Flown,
    /// It came to its own end.
    pub whole: bool,
}

/// Flies the lesson of a seed by hand, until it ends or the hands stop it.
///
/// # Errors
/// A wind that cannot blow.
pub fn fly_by_hand(
    inputs: &Inputs,
    performance: &Performance,
    seed: u64,
    mut hands: impl FnMut(&Moment) -> Hands,
) -> Result<ByHand, Failure> {
    let setup = FieldSetup::default();
    let mut world = FieldWorld::new(setup);
    let ready = Ready::of(inputs, seed)?;
    let eyes_m = ready.setup.eyes_m;
    let id = world.add_flight(ready.setup);
    let mut ticks = 0_u64;
    let whole = loop {
        if world.all_ended() {
            break true;
        }
        let Some(plane) = world.aircraft(id) else {
            break false;
        };
        let moment = Moment {
            time_s: ticks as f64 * setup.tick_s,
            plane,
            eyes_m,
        };
        match hands(&moment) {
            Hands::Fly(message) => {
                world.give_message(id, message);
                world.step(1);
                ticks += 1;
            }
            Hands::Wait => {}
            Hands::Stop => break false,
        }
    };
    let (feet_m, conditions) = (ready.thrower_feet_m, ready.conditions);
    match world.take_result(id) {
        Some(result) => Ok(ByHand {
            flown: Flown::scored(inputs, performance, result, feet_m, conditions),
            whole,
        }),
        None => Err(anyhow::Error::msg("the flight left nothing").into()),
    }
}
