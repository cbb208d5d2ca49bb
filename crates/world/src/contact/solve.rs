//! The three steps of contact within a tick: write, (Rapier's step), read.
//! Rapier says where a body with hard contacts ends up; the law of `law` says
//! how fast.

use bevy::prelude::*;
use bevy_rapier3d::plugin::RapierConfiguration;
use bevy_rapier3d::plugin::context::{RapierContextSimulation, RapierRigidBodySet};
use bevy_rapier3d::rapier::prelude::RigidBody;
use glam::{DQuat, DVec3};

use super::body::{Blow, ContactBody, ContactOutcome};
use super::law::{self, Moving};
use super::touch;
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
        plane.near_ground = near;
        plane.any_hard = false;
        plane.touches.clear();
        if near {
            let look_m = look_ahead_m(motion, plane.reach_m, clock.tick_s);
            touch::gather(&mut plane, motion, look_m, clock.tick_s);
            simulation
                .integration_parameters
                .normalized_prediction_distance = look_m as f32;
        }
        if configuration.physics_pipeline_active != plane.any_hard {
            configuration.physics_pipeline_active = plane.any_hard;
        }
        if plane.touches.is_empty() {
            continue;
        }
        let start = &motion.start;
        let mut moving = moving_of(&motion.end, start);
        law::press_legs(&mut plane.touches, &mut moving);
        plane.moving = moving;
        if !plane.any_hard {
            continue;
        }
        let Some(body) = rapier.bodies.get_mut(plane.body) else {
            continue;
        };
        any.0 = true;
        // In the axes of the start: turning within the tick is the integrator's.
        let end_m_s = start.attitude * moving.velocity_m_s;
        let acceleration_m_s2 = (end_m_s - start.velocity_m_s) / clock.tick_s;
        let turn_rad_s2 = (moving.rates_rad_s - start.rates_rad_s) / clock.tick_s;
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

/// Velocity and rates of a motion in the body axes of the start of the tick.
fn moving_of(motion: &Motion, start: &Motion) -> Moving {
    Moving {
        velocity_m_s: start.attitude.conjugate() * motion.velocity_m_s,
        rates_rad_s: motion.rates_rad_s,
    }
}

/// Solves the touches of each body and puts it where Rapier and the law say.
pub(super) fn read_from_rapier(
    clock: Res<TickClock>,
    mut planes: Query<(
        &mut ContactBody,
        &RapierRigidBodySet,
        &TickMotion,
        &mut Motion,
        &mut ContactOutcome,
    )>,
) {
    for (mut plane, bodies, tick, mut motion, mut outcome) in &mut planes {
        if plane.touches.is_empty() {
            continue;
        }
        let plane = &mut *plane;
        let stopped = match bodies.bodies.get(plane.body) {
            Some(body) if plane.any_hard => Some(rapier_motion(body, &tick.start)),
            _ => None,
        };
        if let Some(left) = &stopped {
            let moving = moving_of(left, &tick.start);
            for touch in &mut plane.touches {
                touch.allow(left, &moving, clock.tick_s);
            }
        }
        let mut moving = plane.moving;
        law::solve(&mut plane.touches, &mut moving);
        collect_blows(plane, &tick.start, &mut outcome.blows);
        let pushed = plane
            .touches
            .iter()
            .any(|touch| touch.impulse_n_s != DVec3::ZERO);
        let start = &tick.start;
        let velocity_m_s = start.attitude * moving.velocity_m_s;
        let finite = velocity_m_s.is_finite() && moving.rates_rad_s.is_finite();
        if !pushed || !finite {
            outcome.clear();
            continue;
        }
        let hard = plane
            .touches
            .iter()
            .any(|touch| touch.is_hard() && touch.impulse_n_s.x > 0.0);
        let base = match stopped {
            Some(left) if hard => left,
            _ => tick.end,
        };
        outcome.velocity_change_m_s = velocity_m_s - tick.end.velocity_m_s;
        outcome.rate_change_rad_s = moving.rates_rad_s - tick.end.rates_rad_s;
        let (position_m, attitude) =
            pose(&base, start, velocity_m_s, moving.rates_rad_s, clock.tick_s);
        let after = Motion {
            position_m,
            velocity_m_s,
            attitude,
            rates_rad_s: moving.rates_rad_s,
        };
        outcome.after = Some(after);
        *motion = after;
    }
}

/// What Rapier made of a body.
fn rapier_motion(body: &RigidBody, start: &Motion) -> Motion {
    // The same roundings as on the way in, so that what is left over is the
    // contact's doing alone.
    let before_m = axes::to_bevy(start.position_m);
    let attitude = axes::attitude_from_bevy(*body.rotation());
    Motion {
        position_m: start.position_m + axes::from_bevy(body.translation() - before_m),
        velocity_m_s: axes::from_bevy(body.linvel()),
        attitude: turned(start.attitude, attitude),
        rates_rad_s: start.attitude.conjugate() * axes::from_bevy(body.angvel()),
    }
}

/// Where a body ends up. Height and tilt are those of `base`, moved on by the
/// difference in velocity over half a tick: only they matter for touching the
/// ground. Place and heading follow from the velocities at both ends of the
/// tick, so that what friction holds does not creep.
fn pose(
    base: &Motion,
    start: &Motion,
    velocity_m_s: DVec3,
    rates_rad_s: DVec3,
    tick_s: f64,
) -> (DVec3, DQuat) {
    let half_s = 0.5 * tick_s;
    let moved_m = (start.velocity_m_s + velocity_m_s) * half_s;
    let lift_m = (velocity_m_s.z - base.velocity_m_s.z) * half_s;
    let position_m = DVec3::new(
        start.position_m.x + moved_m.x,
        start.position_m.y + moved_m.y,
        base.position_m.z + lift_m,
    );
    let to_world = |rates_rad_s: DVec3| start.attitude * rates_rad_s;
    let turned = base.attitude * start.attitude.conjugate();
    let turned_rad = DVec3::new(turned.x, turned.y, turned.z) * (2.0 * turned.w.signum());
    let mut more_rad = to_world(rates_rad_s - base.rates_rad_s) * half_s;
    more_rad.z = to_world(start.rates_rad_s + rates_rad_s).z * half_s - turned_rad.z;
    let attitude = (touch::small_turn(more_rad) * base.attitude).normalize();
    (position_m, attitude)
}

/// Rapier's attitude, on the same side of the quaternion sphere as before.
fn turned(before: DQuat, after: DQuat) -> DQuat {
    if before.dot(after) < 0.0 {
        -after
    } else {
        after
    }
}

/// Impulses of the tick, one entry for each shape that was pushed.
fn collect_blows(plane: &ContactBody, start: &Motion, blows: &mut Vec<Blow>) {
    for touch in &plane.touches {
        let (Some(shape), true) = (touch.shape, touch.impulse_n_s.x > 0.0) else {
            continue;
        };
        blows.push(Blow {
            shape,
            impulse_n_s: start.attitude * touch.impulse_in_body_n_s(),
        });
    }
}
