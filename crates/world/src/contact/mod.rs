//! Contacts with the ground, solved by Rapier.
//!
//! # Scheme
//! Within a tick the integrator of a body (for a plane: the flight model) moves
//! it in f64 as if there were no ground. Then, for bodies close to the ground:
//!
//! 1. Every point that may touch is listed, and springy legs push (`touch`).
//! 2. When hard points are among them, Rapier's body is set to the motion at the
//!    *start* of the tick and given the force and torque that take it to the
//!    velocities at its *end*; Rapier's own gravity is off, because gravity and
//!    air are in that force. (Setting the end velocities at once is simpler, but
//!    Rapier divides its step into four and would meet the whole of gravity in
//!    the first quarter: bodies then never came to rest.)
//! 3. Rapier steps: it finds the contacts at the start pose (looking ahead
//!    farther than any point of the plane moves in a tick), removes the closing
//!    velocity without friction, pushes out what has sunk in and moves the body.
//! 4. The law of `law` finds the impulses in f64: normal and friction together,
//!    along and across different, with the air that the body carries with it. Velocity,
//!    place and heading are its answer, height and tilt Rapier's. If nothing
//!    pushed, the motion stands untouched.
//!
//! Rapier alone will not do: its friction is the same in every direction, at a
//! wing tip points up to 25 degrees away from the slip, and its mass has no air
//! in it, which is a tenth of the load of a light plane on its belly.
//!
//! Hard points are inelastic (restitution 0): foam and grass give little back.
//! What bounces is a leg, by its own stiffness and damping.
//!
//! # One Rapier world for each plane
//! Every plane carries a Rapier world of its own, with its body and the ground
//! box in it. In a shared world, even with planes filtered from each other, the
//! solver keeps all contacts beyond the first of each pair in one list and fills
//! holes with the last entry, so the order in which a plane's own contacts are
//! solved, and with it the last bits of its landing, depended on who else was on
//! the ground (a few of 100 planes). Apart, company cannot matter, a plane's
//! whole contact state is cloned with the plane, and a plane that flies costs
//! nothing: its world is stepped only near the ground, decided by nothing but
//! its own motion.
//!
//! # Determinism
//! Our side is pure arithmetic in f64, and a plane that rolls on sprung wheels
//! never needs Rapier. Rapier's step is f32; it turns bodies by sines and cosines
//! of the system's library, so the height and tilt of a belly landing may differ
//! in the last bits between machines, though not between runs, companies or
//! builds on one machine.

mod body;
mod grass;
mod hook;
mod law;
mod settle;
mod shape;
mod solve;
mod touch;

use bevy::prelude::*;
use bevy_rapier3d::plugin::systems::step_simulation;
use bevy_rapier3d::prelude::{CollisionEvent, ContactForceEvent, TimestepMode};

pub use body::{Blow, ContactBody, ContactBodySpec, ContactOutcome, add_contact_body};
pub use grass::{GrassProbe, grass_probes};
pub use hook::GroundContacts;
pub use settle::standing;
pub use shape::panel_part;
pub use shape::{ContactShape, contact_shapes, reach_m};

use crate::tick::{Tick, TickClock, TickSystems};

/// The three steps of contact within [`TickSystems::Contact`]: afterwards every
/// body's [`ContactOutcome`] is that of this tick.
#[derive(SystemSet, Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ContactSystems;

/// The three steps of contact within a tick.
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
            .configure_sets(Tick, ContactSystems.in_set(TickSystems::Contact))
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
            );
    }
}
