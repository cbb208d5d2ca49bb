//! Bodies without air, so that contacts can be checked against closed forms.
#![allow(dead_code)]

pub mod cart;

use bevy::prelude::*;
use glam::{DMat3, DQuat, DVec3};
use larkfield_airframe::BreakPart;
use larkfield_world::contact::{self, ContactBodySpec, ContactPlugin, ContactShape};
use larkfield_world::{
    ContactBody, ContactOutcome, Motion, Tick, TickClock, TickMotion, TickPlugin, TickSystems,
    run_tick,
};

pub const GRAVITY_M_S2: f64 = 9.80665;
pub const TICK_S: f64 = 0.002;

/// A rigid body in a vacuum.
#[derive(Component, Clone, Copy)]
pub struct FreeBody {
    pub mass_kg: f64,
    pub inertia_kg_m2: DMat3,
    /// A force at the centre of gravity, world axes.
    pub push_n: DVec3,
}

/// Moves free bodies exactly: a parabola, and Euler's equations by RK4.
pub struct FreeBodyPlugin;

impl Plugin for FreeBodyPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Tick, fall.in_set(TickSystems::Air));
    }
}

fn fall(clock: Res<TickClock>, mut bodies: Query<(&FreeBody, &mut Motion, &mut TickMotion)>) {
    let dt = clock.tick_s;
    for (body, mut motion, mut tick) in &mut bodies {
        let gravity = DVec3::Z * GRAVITY_M_S2 + body.push_n / body.mass_kg;
        tick.start = *motion;
        let inverse = body.inertia_kg_m2.inverse();
        let slope = |rates: DVec3| inverse * (-rates.cross(body.inertia_kg_m2 * rates));
        let w0 = motion.rates_rad_s;
        let k1 = slope(w0);
        let k2 = slope(w0 + k1 * (dt / 2.0));
        let k3 = slope(w0 + k2 * (dt / 2.0));
        let k4 = slope(w0 + k3 * dt);
        let w1 = w0 + (k1 + 2.0 * k2 + 2.0 * k3 + k4) * (dt / 6.0);
        let turn = (w0 + w1) * (dt / 2.0);
        motion.rates_rad_s = w1;
        motion.attitude = (motion.attitude * rotation(turn)).normalize();
        let moved_m = motion.velocity_m_s * dt + gravity * (dt * dt / 2.0);
        motion.position_m += moved_m;
        motion.velocity_m_s += gravity * dt;
        tick.end = *motion;
    }
}

fn rotation(turn_rad: DVec3) -> DQuat {
    let angle = turn_rad.length();
    if angle < 1e-12 {
        return DQuat::IDENTITY;
    }
    DQuat::from_axis_angle(turn_rad / angle, angle)
}

/// An app with contacts and free bodies, nothing else.
pub fn contact_app(tick_s: f64) -> App {
    let mut app = App::new();
    app.add_plugins((TickPlugin { tick_s }, ContactPlugin, FreeBodyPlugin));
    app
}

/// A ball that touches.
pub fn ball(
    name: &str,
    centre_m: DVec3,
    radius_m: f64,
    friction: f64,
    part: BreakPart,
) -> ContactShape {
    ContactShape::corner(name, centre_m, radius_m, friction, part)
}

/// A homogeneous brick whose corners are balls.
pub fn brick(mass_kg: f64, size_m: DVec3, friction: f64) -> (FreeBody, Vec<ContactShape>) {
    let s = size_m * size_m * (mass_kg / 12.0);
    let inertia = DMat3::from_diagonal(DVec3::new(s.y + s.z, s.x + s.z, s.x + s.y));
    let radius = 0.005;
    let mut shapes = Vec::new();
    for x in [-1.0, 1.0] {
        for y in [-1.0, 1.0] {
            for z in [-1.0, 1.0] {
                let corner = DVec3::new(x, y, z) * (size_m / 2.0 - DVec3::splat(radius));
                shapes.push(ball("corner", corner, radius, friction, BreakPart::Belly));
            }
        }
    }
    (
        FreeBody {
            mass_kg,
            inertia_kg_m2: inertia,
            push_n: DVec3::ZERO,
        },
        shapes,
    )
}

/// Puts a body into the app, over mown grass.
pub fn spawn(app: &mut App, body: FreeBody, shapes: Vec<ContactShape>, motion: Motion) -> Entity {
    let spec = ContactBodySpec::rigid(body.mass_kg, body.inertia_kg_m2, shapes);
    spawn_spec(app, body, spec, motion)
}

/// The same with everything about its contacts.
pub fn spawn_spec(app: &mut App, body: FreeBody, spec: ContactBodySpec, motion: Motion) -> Entity {
    let entity = app.world_mut().spawn(body).id();
    contact::add_contact_body(app.world_mut(), entity, spec, motion);
    entity
}

pub fn tick(app: &mut App) {
    run_tick(app.world_mut());
}

pub fn motion(app: &App, entity: Entity) -> Motion {
    *app.world().get::<Motion>(entity).unwrap()
}

pub fn outcome(app: &App, entity: Entity) -> &ContactOutcome {
    app.world().get::<ContactOutcome>(entity).unwrap()
}

/// Lowest point of any shape, as a height above the ground.
pub fn lowest_m(app: &App, entity: Entity) -> f64 {
    let motion = motion(app, entity);
    let body = app.world().get::<ContactBody>(entity).unwrap();
    body.shapes
        .iter()
        .map(|shape| -motion.point_m(shape.centre_m).z - shape.radius_m)
        .fold(f64::INFINITY, f64::min)
}

/// Kinetic plus potential energy.
pub fn energy_j(body: &FreeBody, motion: &Motion) -> f64 {
    let spin = motion
        .rates_rad_s
        .dot(body.inertia_kg_m2 * motion.rates_rad_s);
    0.5 * body.mass_kg * motion.velocity_m_s.length_squared() + 0.5 * spin
        - body.mass_kg * GRAVITY_M_S2 * motion.position_m.z
}

/// The same attitudes every time, spread over all directions.
pub fn attitudes() -> Vec<DQuat> {
    let mut list = Vec::new();
    let mut state: u64 = 0x9e37_79b9_7f4a_7c15;
    let mut next = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        ((state >> 33) as f64) / f64::from(1u32 << 31) * 2.0 - 1.0
    };
    while list.len() < 24 {
        let quat = DQuat::from_xyzw(next(), next(), next(), next());
        if quat.length() > 0.2 {
            list.push(quat.normalize());
        }
    }
    list
}
