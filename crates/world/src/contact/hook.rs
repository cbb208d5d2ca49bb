//! Friction by shape, and parts that no longer touch.

use bevy::ecs::system::SystemParam;
use bevy::prelude::*;
use bevy_rapier3d::pipeline::{BevyPhysicsHooks, ContactModificationContextView};

use super::body::ContactBody;

/// Tells Rapier the friction of each ball of a compound collider, which has only
/// one coefficient of its own, and lets go of parts that came off. A law that
/// differs along and across a wheel would replace the coefficient here and act
/// on the velocities when they are read back.
#[derive(SystemParam)]
pub struct GroundContacts<'w, 's> {
    planes: Query<'w, 's, &'static ContactBody>,
}

impl BevyPhysicsHooks for GroundContacts<'_, '_> {
    fn modify_solver_contacts(&self, context: ContactModificationContextView) {
        // Both colliders of a plane's world carry the plane's entity.
        let Ok(plane) = self.planes.get(context.collider1()) else {
            return;
        };
        let manifold = context.raw.manifold;
        let subshape = if context.raw.collider1 == plane.collider {
            manifold.subshape1
        } else {
            manifold.subshape2
        };
        let Some(shape) = plane.shapes.get(subshape as usize) else {
            return;
        };
        if plane.gone.contains(&shape.part) {
            context.raw.solver_contacts.clear();
        }
        *context.raw.friction = shape.friction_along as f32;
    }
}
