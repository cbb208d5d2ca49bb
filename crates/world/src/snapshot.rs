//! A flight as it is between two ticks, to go on from as often as one likes.
//!
//! Everything that a flight is, is cloned: the plane with its separation,
//! circulation, servos, motor and battery, the pilot with what was seen and not
//! yet acted upon, frames on their way through the link, the hand, the referee,
//! what broke, the recording so far, and the whole of the plane's Rapier world.
//! Wind and noise are functions of time and place and need no state. So the copy
//! goes on byte for byte as the original, in the same world or in another of the
//! same tick.

use bevy::prelude::*;
use bevy_rapier3d::plugin::RapierConfiguration;
use bevy_rapier3d::plugin::context::{
    RapierContextColliders, RapierContextSimulation, RapierRigidBodySet,
};

use crate::aircraft::{Aircraft, Happenings};
use crate::contact::{ContactBody, ContactOutcome};
use crate::damage::Damage;
use crate::flight::LastTouch;
use crate::motion::{Motion, TickMotion};
use crate::pilot::{Link, Pilot};
use crate::record::Recorder;
use crate::referee::Judge;
use crate::throw::Hand;
use crate::tick::{RunStart, TickClock};
use crate::weather::{SentGust, WindOf};

/// A flight as it was at the end of a tick.
#[derive(Clone)]
pub struct FlightSnapshot {
    /// Ticks since its run began.
    ticks: u64,
    wind: WindOf,
    gust: SentGust,
    link: Link,
    pilot: Pilot,
    hand: Option<Hand>,
    judge: Judge,
    recorder: Recorder,
    plane: Aircraft,
    touched: LastTouch,
    damage: Damage,
    happenings: Happenings,
    contact: Contact,
}

/// The contact side of a plane, with its own Rapier world.
struct Contact {
    body: ContactBody,
    outcome: ContactOutcome,
    tick: TickMotion,
    motion: Motion,
    bodies: RapierRigidBodySet,
    colliders: RapierContextColliders,
    simulation: RapierContextSimulation,
    configuration: RapierConfiguration,
}

impl Clone for Contact {
    fn clone(&self) -> Self {
        Self {
            body: self.body.clone(),
            outcome: self.outcome.clone(),
            tick: self.tick,
            motion: self.motion,
            bodies: same_bodies(&self.bodies),
            colliders: same_colliders(&self.colliders),
            simulation: same_simulation(&self.simulation),
            configuration: self.configuration,
        }
    }
}

impl FlightSnapshot {
    /// The same moment with somebody else at the sticks, which are as they were:
    /// they do what they are told by
    /// [`FieldWorld::give_message`](crate::FieldWorld::give_message).
    #[must_use]
    pub fn taken_over(&self) -> Self {
        let mut other = self.clone();
        other.pilot.who = self.pilot.who.taken_over(self.pilot.message);
        other
    }

    /// The flight of an entity; `None` when there is none.
    pub(crate) fn of(world: &World, entity: Entity) -> Option<Self> {
        let clock = world.resource::<TickClock>();
        let flight = world.get_entity(entity).ok()?;
        Some(Self {
            ticks: clock.ticks.wrapping_sub(flight.get::<RunStart>()?.ticks),
            wind: flight.get::<WindOf>()?.clone(),
            gust: *flight.get::<SentGust>()?,
            link: flight.get::<Link>()?.clone(),
            pilot: flight.get::<Pilot>()?.clone(),
            hand: flight.get::<Hand>().cloned(),
            judge: flight.get::<Judge>()?.clone(),
            recorder: flight.get::<Recorder>()?.clone(),
            plane: flight.get::<Aircraft>()?.clone(),
            touched: *flight.get::<LastTouch>()?,
            damage: flight.get::<Damage>()?.clone(),
            happenings: flight.get::<Happenings>()?.clone(),
            contact: Contact {
                body: flight.get::<ContactBody>()?.clone(),
                outcome: flight.get::<ContactOutcome>()?.clone(),
                tick: *flight.get::<TickMotion>()?,
                motion: *flight.get::<Motion>()?,
                bodies: same_bodies(flight.get::<RapierRigidBodySet>()?),
                colliders: same_colliders(flight.get::<RapierContextColliders>()?),
                simulation: same_simulation(flight.get::<RapierContextSimulation>()?),
                configuration: *flight.get::<RapierConfiguration>()?,
            },
        })
    }

    /// Puts a copy into a world of the same tick.
    pub(crate) fn spawn(&self, world: &mut World) -> Entity {
        let now = world.resource::<TickClock>().ticks;
        let copy = self.clone();
        let Contact {
            body,
            outcome,
            tick,
            motion,
            mut bodies,
            mut colliders,
            simulation,
            configuration,
        } = copy.contact;
        let mut entity = world.spawn((
            RunStart {
                ticks: now.wrapping_sub(copy.ticks),
            },
            copy.wind,
            copy.gust,
            copy.link,
            copy.pilot,
            copy.judge,
            copy.recorder,
            copy.plane,
            copy.touched,
            copy.damage,
            copy.happenings,
        ));
        // The bodies carry their owner, whom the contact hook asks for what broke.
        let owner = u128::from(entity.id().to_bits());
        for (_, body) in bodies.bodies.iter_mut() {
            if body.user_data != 0 {
                body.user_data = owner;
            }
        }
        for (_, collider) in colliders.colliders.iter_mut() {
            collider.user_data = owner;
        }
        entity.insert((
            body,
            outcome,
            tick,
            motion,
            simulation,
            configuration,
            bodies,
            colliders,
        ));
        if let Some(hand) = copy.hand {
            entity.insert(hand);
        }
        entity.id()
    }
}

/// Rapier's part; the maps to Bevy's entities are unused here.
fn same_bodies(from: &RapierRigidBodySet) -> RapierRigidBodySet {
    let mut bodies = RapierRigidBodySet::default();
    bodies.bodies = from.bodies.clone();
    bodies
}

fn same_colliders(from: &RapierContextColliders) -> RapierContextColliders {
    let mut colliders = RapierContextColliders::default();
    colliders.colliders = from.colliders.clone();
    colliders
}

/// All that outlives a step. The pipeline holds nothing but room to work in.
fn same_simulation(from: &RapierContextSimulation) -> RapierContextSimulation {
    let mut simulation = RapierContextSimulation::default();
    simulation.islands = from.islands.clone();
    simulation.broad_phase = from.broad_phase.clone();
    simulation.narrow_phase = from.narrow_phase.clone();
    simulation.ccd_solver = from.ccd_solver.clone();
    simulation.integration_parameters = from.integration_parameters;
    simulation
}
