//! A plane's body in Rapier.

use std::sync::Arc;

use bevy::prelude::*;
use bevy_rapier3d::plugin::context::{
    RapierContextColliders, RapierContextJoints, RapierContextSimulation, RapierRigidBodySet,
};
use bevy_rapier3d::rapier::math::{Matrix, Pose, Vector};
use bevy_rapier3d::rapier::prelude::{
    ActiveHooks, ColliderBuilder, ColliderHandle, Group, InteractionGroups, InteractionTestMode,
    MassProperties, RigidBodyBuilder, RigidBodyHandle, SharedShape,
};
use glam::{DMat3, DVec3};
use larkfield_airframe::BreakPart;

use super::shape::{ContactShape, reach_m};
use crate::motion::{Motion, TickMotion};

/// Rapier's group of everything that planes collide with.
pub(super) const GROUND_GROUP: Group = Group::GROUP_1;
/// Rapier's group of planes; they never meet each other.
pub(super) const PLANE_GROUP: Group = Group::GROUP_2;

/// Mass, inertia and shape of a body that can touch the ground.
#[derive(Debug, Clone)]
pub struct ContactBodySpec {
    /// Mass.
    pub mass_kg: f64,
    /// Inertia about the centre of gravity, body axes.
    pub inertia_kg_m2: DMat3,
    /// What can touch.
    pub shapes: Vec<ContactShape>,
}

/// A body's place in Rapier and what is needed to write to it and read from it.
#[derive(Component, Debug, Clone)]
pub struct ContactBody {
    pub(super) body: RigidBodyHandle,
    pub(super) collider: ColliderHandle,
    /// Mass.
    pub mass_kg: f64,
    /// Inertia about the centre of gravity, body axes.
    pub inertia_kg_m2: DMat3,
    /// What can touch.
    pub shapes: Arc<[ContactShape]>,
    /// Distance from the centre of gravity to the farthest point of any shape.
    pub reach_m: f64,
    /// Whether Rapier is looking at it: only close to the ground.
    pub near_ground: bool,
    /// False while something else decides where the body is: in a hand, or
    /// after its run.
    pub active: bool,
    /// Parts whose shapes no longer touch anything, because they came off.
    pub gone: Vec<BreakPart>,
}

/// What the ground did to one shape during one tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blow {
    /// Index into [`ContactBody::shapes`].
    pub shape: usize,
    /// Impulse on the body, world axes.
    pub impulse_n_s: DVec3,
}

/// Outcome of the contact solver for one body and one tick.
#[derive(Component, Debug, Clone, Default, PartialEq)]
pub struct ContactOutcome {
    /// Blows of this tick; empty when nothing touched.
    pub blows: Vec<Blow>,
    /// Change of the velocity of the centre of gravity, world axes.
    pub velocity_change_m_s: DVec3,
    /// Change of the body rates, body axes.
    pub rate_change_rad_s: DVec3,
    /// Motion at the end of the tick, contact included. Only meaningful when touching.
    pub after: Option<Motion>,
}

impl ContactOutcome {
    /// Whether anything touched during the tick.
    pub fn touching(&self) -> bool {
        !self.blows.is_empty()
    }

    pub(super) fn clear(&mut self) {
        self.blows.clear();
        self.velocity_change_m_s = DVec3::ZERO;
        self.rate_change_rad_s = DVec3::ZERO;
        self.after = None;
    }
}

/// Puts a body into Rapier and its components onto `entity`. It begins switched
/// off; the first tick near the ground wakes it.
///
/// One compound collider of density zero: several colliders would be ordered by
/// the tree that holds everybody's, and company would change the landing. The
/// mass properties are stated, not summed from shapes.
pub fn add_contact_body(world: &mut World, entity: Entity, spec: ContactBodySpec, motion: Motion) {
    let handles = with_rapier(world, |bodies, colliders| {
        let inertia = spec.inertia_kg_m2;
        let inertia = Matrix::from_cols(
            inertia.x_axis.as_vec3(),
            inertia.y_axis.as_vec3(),
            inertia.z_axis.as_vec3(),
        );
        let mass = MassProperties::with_inertia_matrix(Vector::ZERO, spec.mass_kg as f32, inertia);
        // Company must not matter: no continuous collision detection (one
        // plane's impact would re-time everybody's step), no sleeping.
        // Gyroscopic forces are in the flight model's f64 step already.
        let body = RigidBodyBuilder::dynamic()
            .gravity_scale(0.0)
            .gyroscopic_forces_enabled(false)
            .ccd_enabled(false)
            .can_sleep(false)
            .allow_fast_rotation(true)
            .additional_mass_properties(mass)
            .user_data(u128::from(entity.to_bits()))
            .enabled(false)
            .build();
        let body = bodies.bodies.insert(body);
        let balls = spec
            .shapes
            .iter()
            .map(|shape| {
                (
                    Pose::from_translation(shape.centre_m.as_vec3()),
                    SharedShape::ball(shape.radius_m as f32),
                )
            })
            .collect();
        let collider = ColliderBuilder::compound(balls)
            .density(0.0)
            .restitution(0.0)
            .collision_groups(InteractionGroups::new(
                PLANE_GROUP,
                GROUND_GROUP,
                InteractionTestMode::And,
            ))
            .active_hooks(ActiveHooks::MODIFY_SOLVER_CONTACTS)
            .user_data(u128::from(entity.to_bits()))
            .build();
        let collider = colliders
            .colliders
            .insert_with_parent(collider, body, &mut bodies.bodies);
        (body, collider)
    });
    let Some((body, collider)) = handles else {
        return;
    };
    world.entity_mut(entity).insert((
        ContactBody {
            body,
            collider,
            mass_kg: spec.mass_kg,
            inertia_kg_m2: spec.inertia_kg_m2,
            reach_m: reach_m(&spec.shapes),
            shapes: spec.shapes.into(),
            near_ground: false,
            active: true,
            gone: Vec::new(),
        },
        ContactOutcome::default(),
        TickMotion::still(motion),
        motion,
    ));
}

/// Takes a body out of Rapier. Its components stay for whoever reads results.
pub fn remove_contact_body(world: &mut World, entity: Entity) {
    let Some(body) = world.entity_mut(entity).take::<ContactBody>() else {
        return;
    };
    let mut contexts = world.query::<(
        &mut RapierContextSimulation,
        &mut RapierContextColliders,
        &mut RapierContextJoints,
        &mut RapierRigidBodySet,
    )>();
    let Ok((mut simulation, mut colliders, mut joints, mut bodies)) = contexts.single_mut(world)
    else {
        return;
    };
    let joints = &mut *joints;
    bodies.bodies.remove(
        body.body,
        &mut simulation.islands,
        &mut colliders.colliders,
        &mut joints.impulse_joints,
        &mut joints.multibody_joints,
        true,
    );
}

/// Runs `change` on Rapier's bodies and colliders; `None` when the contact
/// plugin is not part of the app.
pub(super) fn with_rapier<Out>(
    world: &mut World,
    change: impl FnOnce(&mut RapierRigidBodySet, &mut RapierContextColliders) -> Out,
) -> Option<Out> {
    let mut contexts = world.query::<(&mut RapierRigidBodySet, &mut RapierContextColliders)>();
    let (mut bodies, mut colliders) = contexts.single_mut(world).ok()?;
    Some(change(&mut bodies, &mut colliders))
}
