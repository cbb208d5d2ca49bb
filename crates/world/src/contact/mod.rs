//! Contacts with the ground, solved by Rapier.
//!
//! # Scheme
//! Within a tick the integrator of a body (for a plane: the flight model) moves
//! it in f64 as if there were no ground. Then, for bodies close to the ground:
//!
//! 1. Rapier's body is set to the motion at the *start* of the tick and given
//!    the force and torque that take it to the velocities at its *end*;
//!    Rapier's own gravity is off, because gravity and air are in that force.
//!    (Setting the end velocities at once is simpler, but Rapier divides its
//!    step into four and would meet the whole of gravity in the first quarter:
//!    bodies then never came to rest.)
//! 2. Rapier steps: it finds the contacts at the start pose (looking ahead
//!    farther than the fastest plane moves in a tick), removes the closing
//!    velocity, applies friction, and moves the body.
//! 3. If any contact pushed, the *changes* of velocity and rate are handed back,
//!    together with the pose that Rapier reached. If none did, the f64 motion
//!    stands untouched, so a flight that never touches the ground never passes
//!    through f32.
//!
//! Handing back changes instead of values keeps the rounding of f32 out of the
//! velocities. The alternative, feeding the ground's force into the next tick's
//! flight step, would let a plane sink for a tick first and makes stiff ground
//! unstable at 500 Hz.
//!
//! Blows are inelastic (restitution 0): foam and grass give little back, and a
//! bounce would be a guess without a source.
//!
//! Rapier's broad and narrow phases, and its solver, see a body only while it is
//! near the ground; the decision uses nothing but the body's own motion, so
//! company does not matter. All bodies share one Rapier world, are filtered from
//! each other and stand on one fixed box.
//!
//! # Determinism
//! Our side is pure arithmetic in f64. Rapier's step is f32; it turns bodies by
//! sines and cosines of the system's library, so a landing may differ in the
//! last bits between machines, though not between runs, companies or builds on
//! one machine.

mod body;
mod hook;
mod shape;
mod solve;

use bevy::prelude::*;
use bevy_rapier3d::plugin::context::{
    DefaultRapierContext, RapierContextColliders, RapierContextSimulation, RapierRigidBodySet,
};
use bevy_rapier3d::plugin::systems::step_simulation;
use bevy_rapier3d::prelude::{
    CollisionEvent, ContactForceEvent, RapierConfiguration, TimestepMode,
};
use bevy_rapier3d::rapier::dynamics::{FrictionModel, IntegrationParameters};
use bevy_rapier3d::rapier::math::Vector;
use bevy_rapier3d::rapier::prelude::{
    ColliderBuilder, InteractionGroups, InteractionTestMode, RigidBodyBuilder,
};

pub use body::{
    Blow, ContactBody, ContactBodySpec, ContactOutcome, add_contact_body, remove_contact_body,
};
pub use hook::GroundContacts;
pub use shape::{ContactShape, contact_shapes, reach_m};

use crate::tick::{Tick, TickClock, TickSystems};

/// How far ahead contacts are looked for: the way of 60 m/s, above any dive of a
/// foam plane, in one tick of 2 ms. Longer ticks look ahead farther in proportion.
const LOOK_AHEAD_SPEED_M_S: f64 = 60.0;

/// Half the side of the ground box; planes are lost from sight long before.
const GROUND_HALF_SIDE_M: f32 = 5000.0;

/// Half the depth of the ground box: nothing gets through 40 m in one tick.
const GROUND_HALF_DEPTH_M: f32 = 20.0;

/// The three steps of contact within [`TickSystems::Contact`]: afterwards every
/// body's [`ContactOutcome`] is that of this tick.
#[derive(SystemSet, Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ContactSystems;

/// Rapier's world, its ground, and the three steps of a tick.
pub struct ContactPlugin;

impl Plugin for ContactPlugin {
    fn build(&self, app: &mut App) {
        let tick_s = app.world().resource::<TickClock>().tick_s;
        app.init_resource::<Time>()
            .init_resource::<solve::AnyNearGround>()
            .init_resource::<Messages<CollisionEvent>>()
            .init_resource::<Messages<ContactForceEvent>>()
            .insert_resource(TimestepMode::Fixed {
                dt: tick_s as f32,
                substeps: 1,
            })
            .add_systems(
                Tick,
                (
                    solve::write_to_rapier,
                    step_simulation::<GroundContacts<'static, 'static>>
                        .run_if(solve::any_near_ground),
                    solve::read_from_rapier,
                )
                    .chain()
                    .in_set(ContactSystems),
            )
            .configure_sets(Tick, ContactSystems.in_set(TickSystems::Contact));
        spawn_rapier_world(app.world_mut(), tick_s);
    }
}

/// Rapier's parameters. Clustering and recycling of contacts are off: they merge
/// the contacts of different parts and reuse stale ones, and save nothing for
/// the few balls of a plane that touch. Starting from the impulses of the last
/// tick is off too: after a hard blow it pushed a spinning brick that had already
/// turned away, and gave it 8 % more energy; without it the worst gain over all
/// attitudes is below 0.1 mJ, and a resting body still lies still.
fn integration_parameters(tick_s: f64) -> IntegrationParameters {
    IntegrationParameters {
        dt: tick_s as f32,
        max_ccd_substeps: 0,
        warmstart_coefficient: 0.0,
        contact_clustering: false,
        contact_recycling: false,
        normalized_prediction_distance: (LOOK_AHEAD_SPEED_M_S * tick_s) as f32,
        friction_model: FrictionModel::Coulomb,
        ..IntegrationParameters::default()
    }
}

fn spawn_rapier_world(world: &mut World, tick_s: f64) {
    // Hooks look entities up by what colliders carry, so the ground needs one too.
    let entity = world.spawn(Name::new("ground and contacts")).id();
    let mut simulation = RapierContextSimulation::default();
    simulation.integration_parameters = integration_parameters(tick_s);
    let mut configuration = RapierConfiguration::new(1.0);
    configuration.gravity = Vec3::ZERO;
    let mut bodies = RapierRigidBodySet::default();
    let mut colliders = RapierContextColliders::default();
    let ground = bodies
        .bodies
        .insert(RigidBodyBuilder::fixed().translation(Vector::new(0.0, -GROUND_HALF_DEPTH_M, 0.0)));
    let ground_box =
        ColliderBuilder::cuboid(GROUND_HALF_SIDE_M, GROUND_HALF_DEPTH_M, GROUND_HALF_SIDE_M)
            .restitution(0.0)
            .user_data(u128::from(entity.to_bits()))
            .collision_groups(InteractionGroups::new(
                body::GROUND_GROUP,
                body::PLANE_GROUP,
                InteractionTestMode::And,
            ));
    colliders
        .colliders
        .insert_with_parent(ground_box, ground, &mut bodies.bodies);
    world.entity_mut(entity).insert((
        simulation,
        configuration,
        DefaultRapierContext,
        bodies,
        colliders,
    ));
}
