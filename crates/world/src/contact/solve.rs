//! The three steps of contact within a tick: write, (Rapier's step), read.

use bevy::prelude::*;
use bevy_rapier3d::plugin::RapierConfiguration;
use bevy_rapier3d::plugin::context::{RapierContextSimulation, RapierRigidBodySet};
use glam::{DQuat, DVec3};

use super::body::{Blow, ContactBody, ContactOutcome};
use crate::axes;
use crate::motion::{Motion, TickMotion};
use crate::tick::TickClock;

/// Clearance under the lowest possible point below which Rapier looks at a body.
const WAKE_CLEARANCE_M: f64 = 0.5;
/// Clearance above which it looks away again; wider, so that a plane skimming
/// the grass does not switch on every tick.
const REST_CLEARANCE_M: f64 = 1.0;

/// Contacts are looked for at least this far ahead: well above the rounding of
/// f32 at the far end of the field.
const LEAST_LOOK_AHEAD_M: f64 = 0.002;

/// Whether Rapier has anything to do this tick.
#[derive(Resource, Debug, Default)]
pub(super) struct AnyNearGround(bool);

/// Run condition of Rapier's step. Worlds that are switched off would not be
/// stepped anyway.
pub(super) fn any_near_ground(any: Res<AnyNearGround>) -> bool {
    any.0
}

/// Sets Rapier's bodies to the motion at the start of the tick, with the forces
/// that lead to the motion at its end, and switches worlds on and off by height.
pub(super) fn write_to_rapier(
    clock: Res<TickClock>,
    mut any: ResMut<AnyNearGround>,
    mut planes: Query<(
        &mut ContactBody,
        &TickMotion,
        &mut ContactOutcome,
        &mut RapierRigidBodySet,
        &mut RapierContextSimulation,
        &mut RapierConfiguration,
    )>,
) {
    any.0 = false;
    for (mut plane, motion, mut outcome, mut rapier, mut simulation, mut configuration) in
        &mut planes
    {
        if outcome.touching() {
            outcome.clear();
        }
        let clearance_m = -motion.start.position_m.z - plane.reach_m;
        let approach_m = motion.end.velocity_m_s.length() * clock.tick_s;
        let limit_m = if plane.near_ground {
            REST_CLEARANCE_M
        } else {
            WAKE_CLEARANCE_M
        };
        // Written so that a position that is not a number stays out of Rapier.
        let near = plane.active && clearance_m < limit_m + approach_m && motion.end.is_finite();
        if !near && !plane.near_ground {
            continue;
        }
        if near != plane.near_ground {
            plane.near_ground = near;
            configuration.physics_pipeline_active = near;
        }
        if !near {
            continue;
        }
        let Some(body) = rapier.bodies.get_mut(plane.body) else {
            continue;
        };
        any.0 = true;
        simulation
            .integration_parameters
            .normalized_prediction_distance =
            look_ahead_m(motion, plane.reach_m, clock.tick_s) as f32;
        let (start, end) = (&motion.start, &motion.end);
        let acceleration_m_s2 = (end.velocity_m_s - start.velocity_m_s) / clock.tick_s;
        let turn_rad_s2 = (end.rates_rad_s - start.rates_rad_s) / clock.tick_s;
        let force_n = acceleration_m_s2 * plane.mass_kg;
        let torque_n_m = start.attitude * (plane.inertia_kg_m2 * turn_rad_s2);
        body.set_position(axes::pose_to_bevy(start.position_m, start.attitude), false);
        body.set_linvel(axes::to_bevy(start.velocity_m_s), false);
        body.set_angvel(axes::to_bevy(start.attitude * start.rates_rad_s), false);
        body.reset_forces(false);
        body.reset_torques(false);
        body.add_force(axes::to_bevy(force_n), false);
        body.add_torque(axes::to_bevy(torque_n_m), false);
    }
}

/// How far ahead contacts are looked for: twice the way that any point of the
/// body can come down in a tick, so that nothing sinks in before it is seen, and
/// no farther, because every contact that is looked at costs time.
fn look_ahead_m(motion: &TickMotion, reach_m: f64, tick_s: f64) -> f64 {
    let fastest =
        |motion: &Motion| motion.velocity_m_s.z.abs() + motion.rates_rad_s.length() * reach_m;
    2.0 * fastest(&motion.start).max(fastest(&motion.end)) * tick_s + LEAST_LOOK_AHEAD_M
}

/// Reads what Rapier made of the bodies that touched.
pub(super) fn read_from_rapier(
    mut planes: Query<(
        &ContactBody,
        &RapierRigidBodySet,
        &RapierContextSimulation,
        &TickMotion,
        &mut Motion,
        &mut ContactOutcome,
    )>,
) {
    for (plane, bodies, simulation, tick, mut motion, mut outcome) in &mut planes {
        if !plane.near_ground {
            continue;
        }
        collect_blows(simulation, plane, &mut outcome.blows);
        if outcome.blows.is_empty() {
            continue;
        }
        let Some(body) = bodies.bodies.get(plane.body) else {
            outcome.clear();
            continue;
        };
        // The same roundings as on the way in, so that what is left over is
        // the contact's doing alone.
        let start = &tick.start;
        let before_m = axes::to_bevy(start.position_m);
        let before_m_s = axes::to_bevy(tick.end.velocity_m_s);
        let before_rad_s = axes::to_bevy(start.attitude * tick.end.rates_rad_s);
        let velocity_change_m_s = axes::from_bevy(body.linvel() - before_m_s);
        let spin_change_rad_s = axes::from_bevy(body.angvel() - before_rad_s);
        outcome.velocity_change_m_s = velocity_change_m_s;
        outcome.rate_change_rad_s = start.attitude.conjugate() * spin_change_rad_s;
        let after = Motion {
            position_m: start.position_m + axes::from_bevy(body.translation() - before_m),
            velocity_m_s: tick.end.velocity_m_s + velocity_change_m_s,
            attitude: turned(start.attitude, axes::attitude_from_bevy(*body.rotation())),
            rates_rad_s: tick.end.rates_rad_s + outcome.rate_change_rad_s,
        };
        share_friction(
            &mut outcome.blows,
            &plane.shapes,
            velocity_change_m_s * plane.mass_kg,
        );
        outcome.after = Some(after);
        *motion = after;
    }
}

/// Rapier's attitude, on the same side of the quaternion sphere as before.
fn turned(before: DQuat, after: DQuat) -> DQuat {
    if before.dot(after) < 0.0 {
        -after
    } else {
        after
    }
}

/// Normal impulses of the tick, one entry for each shape that pushed.
fn collect_blows(simulation: &RapierContextSimulation, plane: &ContactBody, blows: &mut Vec<Blow>) {
    for pair in simulation.narrow_phase.contact_pairs_with(plane.collider) {
        let plane_is_first = pair.collider1 == plane.collider;
        for manifold in &pair.manifolds {
            let shape = if plane_is_first {
                manifold.subshape1
            } else {
                manifold.subshape2
            } as usize;
            let magnitude_n_s: f32 = manifold.points.iter().map(|point| point.data.impulse).sum();
            // The normal points from the first collider to the second.
            let away = if plane_is_first {
                -manifold.data.normal
            } else {
                manifold.data.normal
            };
            let pushed = magnitude_n_s > 0.0 && !manifold.data.solver_contacts.is_empty();
            if pushed && shape < plane.shapes.len() {
                blows.push(Blow {
                    shape,
                    impulse_n_s: axes::from_bevy(away * magnitude_n_s),
                });
            }
        }
    }
}

/// Adds to each blow its share of the friction impulse: what is left of the
/// change of momentum after the normal impulses, in proportion to each shape's
/// normal impulse times its friction coefficient.
fn share_friction(
    blows: &mut [Blow],
    shapes: &[super::shape::ContactShape],
    momentum_change_n_s: DVec3,
) {
    let mut normal_n_s = DVec3::ZERO;
    let mut grip_n_s = 0.0;
    for blow in blows.iter() {
        normal_n_s += blow.impulse_n_s;
        grip_n_s += blow.impulse_n_s.length() * shapes[blow.shape].friction;
    }
    if grip_n_s <= 0.0 {
        return;
    }
    let friction_n_s = momentum_change_n_s - normal_n_s;
    for blow in blows {
        let share = blow.impulse_n_s.length() * shapes[blow.shape].friction / grip_n_s;
        blow.impulse_n_s += friction_n_s * share;
    }
}
