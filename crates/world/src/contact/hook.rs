//! Parts that no longer touch.

use bevy::ecs::system::SystemParam;
use bevy::prelude::*;
use bevy_rapier3d::pipeline::{BevyPhysicsHooks, ContactModificationContextView};

use super::body::ContactBody;

/// Lets Rapier go through parts that came off. Friction is not Rapier's: see
/// `law`.
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
        if plane.gone.is_empty() {
            return;
        }
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
    }
}
