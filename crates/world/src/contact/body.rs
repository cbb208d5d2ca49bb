//! A plane's body in Rapier.

use std::sync::Arc;

use bevy::prelude::*;
use bevy_rapier3d::plugin::RapierConfiguration;
use bevy_rapier3d::plugin::context::{
    RapierContextColliders, RapierContextSimulation, RapierRigidBodySet,
};
use bevy_rapier3d::rapier::dynamics::{FrictionModel, IntegrationParameters};
use bevy_rapier3d::rapier::math::{Matrix, Pose, Vector};
use bevy_rapier3d::rapier::prelude::{
    ActiveHooks, ColliderBuilder, ColliderHandle, MassProperties, RigidBodyBuilder,
    RigidBodyHandle, SharedShape,
};
use glam::{DMat3, DVec3};
use larkfield_airframe::BreakPart;
use larkfield_flight::InverseInertia;
use larkfield_lesson::{Ground, GroundKind, Terrain};

use super::grass::GrassProbe;
use super::law::{Moving, Touch};
use super::shape::{ContactShape, reach_m};
use crate::motion::{Motion, TickMotion};
use crate::tick::TickClock;

/// Half the side of the ground box; planes are lost from sight long before.
const GROUND_HALF_SIDE_M: f32 = 5000.0;

/// Half the depth of the ground box.
const GROUND_HALF_DEPTH_M: f32 = 20.0;

/// Mass, inertia and shape of a body that can touch the ground.
#[derive(Debug, Clone)]
pub struct ContactBodySpec {
    /// Mass.
    pub mass_kg: f64,
    /// Inertia about the centre of gravity, body axes.
    pub inertia_kg_m2: DMat3,
    /// How it answers a blow, about the centre of gravity, body axes.
    pub inverse: InverseInertia,
    /// What can touch.
    pub shapes: Vec<ContactShape>,
    /// What has to get through grass.
    pub probes: Vec<GrassProbe>,
    /// What it touches.
    pub terrain: Terrain,
}

impl ContactBodySpec {
    /// A rigid body in a vacuum, over mown grass.
    pub fn rigid(mass_kg: f64, inertia_kg_m2: DMat3, shapes: Vec<ContactShape>) -> Self {
        Self {
            mass_kg,
            inertia_kg_m2,
            inverse: InverseInertia::rigid(mass_kg, inertia_kg_m2),
            shapes,
            probes: Vec::new(),
            terrain: Terrain::uniform(Ground::usual(GroundKind::MownGrass)),
        }
    }
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
    /// How it answers a blow, body axes.
    pub inverse: InverseInertia,
    /// What has to get through grass.
    pub probes: Arc<[GrassProbe]>,
    /// What is under it.
    pub terrain: Terrain,
    /// Yaw command, -1 to 1, that steers wheels.
    pub steer: f64,
    /// Distance from the centre of gravity to the farthest point of any shape.
    pub reach_m: f64,
    /// Whether Rapier is looking at it: only close to the ground.
    pub near_ground: bool,
    /// False while something else decides where the body is: in a hand, or
    /// after its run.
    pub active: bool,
    /// Parts whose shapes no longer touch anything, because they came off.
    pub gone: Vec<BreakPart>,
    /// What touches in this tick.
    pub(super) touches: Vec<Touch>,
    /// Velocity and rates with the legs' push, before anything hard.
    pub(super) moving: Moving,
    /// Whether a hard point is among them, which Rapier has to look at.
    pub(super) any_hard: bool,
}

/// What the ground did to one shape during one tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blow {
    /// Index into [`ContactBody::shapes`].
    pub shape: usize,
    /// Impulse on the body, world axes, friction included.
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

/// Gives `entity` a Rapier world of its own with its body and the ground in it,
/// and the components of contact. The body rests until it is near the ground.
///
/// The body is one compound collider of density zero, and its mass properties
/// are stated, not summed from shapes.
pub fn add_contact_body(world: &mut World, entity: Entity, spec: ContactBodySpec, motion: Motion) {
    let tick_s = world.resource::<TickClock>().tick_s;
    let mut bodies = RapierRigidBodySet::default();
    let mut colliders = RapierContextColliders::default();
    let owner = u128::from(entity.to_bits());
    add_ground(&mut bodies, &mut colliders, owner);
    let inertia = spec.inertia_kg_m2;
    let inertia = Matrix::from_cols(
        inertia.x_axis.as_vec3(),
        inertia.y_axis.as_vec3(),
        inertia.z_axis.as_vec3(),
    );
    let mass = MassProperties::with_inertia_matrix(Vector::ZERO, spec.mass_kg as f32, inertia);
    // Gyroscopic moments and gravity are in the flight model's f64 step already.
    let body = RigidBodyBuilder::dynamic()
        .gravity_scale(0.0)
        .gyroscopic_forces_enabled(false)
        .ccd_enabled(false)
        .can_sleep(false)
        .allow_fast_rotation(true)
        .additional_mass_properties(mass)
        .user_data(owner);
    let body = bodies.bodies.insert(body);
    let balls = spec
        .shapes
        .iter()
        .map(|shape| {
            (
                Pose::from_translation(shape.hard_centre_m().as_vec3()),
                SharedShape::ball(shape.radius_m as f32),
            )
        })
        .collect();
    let collider = ColliderBuilder::compound(balls)
        .density(0.0)
        .friction(0.0)
        .restitution(0.0)
        .active_hooks(ActiveHooks::MODIFY_SOLVER_CONTACTS)
        .user_data(owner);
    let collider = colliders
        .colliders
        .insert_with_parent(collider, body, &mut bodies.bodies);
    let mut simulation = RapierContextSimulation::default();
    simulation.integration_parameters = integration_parameters(tick_s);
    let mut configuration = RapierConfiguration::new(1.0);
    configuration.gravity = Vec3::ZERO;
    configuration.physics_pipeline_active = false;
    world.entity_mut(entity).insert((
        ContactBody {
            body,
            collider,
            mass_kg: spec.mass_kg,
            inertia_kg_m2: spec.inertia_kg_m2,
            reach_m: reach_m(&spec.shapes),
            shapes: spec.shapes.into(),
            inverse: spec.inverse,
            probes: spec.probes.into(),
            terrain: spec.terrain,
            steer: 0.0,
            near_ground: false,
            active: true,
            gone: Vec::new(),
            touches: Vec::new(),
            moving: Moving::default(),
            any_hard: false,
        },
        ContactOutcome::default(),
        TickMotion::still(motion),
        motion,
        simulation,
        configuration,
        bodies,
        colliders,
    ));
}

/// One fixed box, thick enough that nothing gets through it in one tick.
fn add_ground(
    bodies: &mut RapierRigidBodySet,
    colliders: &mut RapierContextColliders,
    owner: u128,
) {
    let middle = Vector::new(0.0, -GROUND_HALF_DEPTH_M, 0.0);
    let ground = bodies
        .bodies
        .insert(RigidBodyBuilder::fixed().translation(middle));
    let ground_box =
        ColliderBuilder::cuboid(GROUND_HALF_SIDE_M, GROUND_HALF_DEPTH_M, GROUND_HALF_SIDE_M)
            .friction(0.0)
            .restitution(0.0)
            .user_data(owner);
    colliders
        .colliders
        .insert_with_parent(ground_box, ground, &mut bodies.bodies);
}

/// Rapier's parameters. Clustering and recycling of contacts are off: they merge
/// the contacts of different parts and reuse stale ones, and save nothing for
/// the few balls of a plane that touch. Starting from the impulses of the last
/// tick is off too: after a hard blow it pushed a spinning brick that had already
/// turned away, and gave it 8 % more energy; without it the worst gain over all
/// attitudes is below 0.1 mJ, and a resting body still lies still. How far
/// contacts are looked for ahead is set each tick.
fn integration_parameters(tick_s: f64) -> IntegrationParameters {
    IntegrationParameters {
        dt: tick_s as f32,
        max_ccd_substeps: 0,
        warmstart_coefficient: 0.0,
        contact_clustering: false,
        contact_recycling: false,
        friction_model: FrictionModel::Coulomb,
        ..IntegrationParameters::default()
    }
}
