//! What there is to see of a flight, for whoever draws it.

use larkfield_pilot::{Arm, ControlMessage};
use larkfield_recording::Event;

use crate::aircraft::{Aircraft, Happenings};
use crate::damage::Damage;
use crate::field::{FieldWorld, FlightId};
use crate::pilot::Pilot;
use crate::referee::Judge;
use crate::throw::Hand;
use crate::tick::{RunStart, TickClock};

/// A flight between two ticks. Nothing can be changed through it.
pub struct FlightView<'a> {
    /// Time since its run began.
    pub time_s: f64,
    /// The plane.
    pub plane: &'a Aircraft,
    /// What broke, and the pieces that came off.
    pub damage: &'a Damage,
    /// What happened so far, in order of time.
    pub events: &'a [Event],
    /// What the pilot's hands do, as it reaches the sticks.
    pub message: ControlMessage,
    /// The arm of whoever throws; `None` when nobody does.
    pub arm: Option<Arm>,
}

impl FieldWorld {
    /// A flight as it is now; `None` once its result was taken.
    pub fn view(&self, id: FlightId) -> Option<FlightView<'_>> {
        let world = self.app().world();
        let entity = world.get_entity(id.0).ok()?;
        let plane = entity.get::<Aircraft>()?;
        let run = entity.get::<RunStart>()?;
        let clock = world.resource::<TickClock>();
        let time_s = clock.end_s(run);
        let hand = entity.get::<Hand>().zip(entity.get::<Judge>());
        Some(FlightView {
            time_s,
            plane,
            damage: entity.get::<Damage>()?,
            events: &entity.get::<Happenings>()?.events,
            message: entity.get::<Pilot>()?.message,
            arm: hand.map(|(hand, judge)| hand.arm(time_s, judge.grip_m)),
        })
    }
}
