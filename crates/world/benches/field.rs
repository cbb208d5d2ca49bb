//! What a tick costs: one flight, a hundred flights, and Rapier alone on the
//! same colliders.
//!
//! Every figure is for one plane and one tick. Worlds are made anew every few
//! simulated seconds, outside the measured time, so that no flight ends.

#![allow(missing_docs, reason = "the macro makes an undocumented function")]

#[path = "../tests/common/flights.rs"]
mod flights;

use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy_rapier3d::rapier::math::{Pose, Vector};
use bevy_rapier3d::rapier::prelude::*;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use flights::{breeze, calm, drop, trainer};
use glam::DVec3;
use larkfield_flight::FlightModel;
use larkfield_pilot::{Launch, RadioSetup, ScriptedPilot, Task, Throw};
use larkfield_weather::Wind;
use larkfield_world::{FieldSetup, FieldWorld, FlightSetup, Motion, contact};

/// A pilot who climbs and cruises in the air, far from everybody.
fn cruise(model: &Arc<FlightModel>, wind: &Arc<Wind>, seed: u64) -> FlightSetup {
    let mut motion = Motion::at_rest(DVec3::new(10.0 * seed as f64, 0.0, -20.0));
    motion.velocity_m_s = DVec3::new(8.0, 0.0, 0.0);
    let mut setup = drop(model, motion);
    let task = Task::with_airframe(&Launch::Throw(Throw::default()), 30.0, model.airframe());
    setup.pilot = ScriptedPilot::competent(task, seed);
    setup.radio = RadioSetup::for_airframe(model.airframe());
    setup.wind = wind.clone();
    setup
}

/// A plane that slides along the ground.
fn slide(model: &Arc<FlightModel>, seed: u64) -> FlightSetup {
    let mut motion = Motion::at_rest(DVec3::new(10.0 * seed as f64, 0.0, -0.09));
    motion.velocity_m_s = DVec3::new(9.0, 0.0, 0.3);
    drop(model, motion)
}

fn world_of(setups: &[FlightSetup]) -> FieldWorld {
    let mut world = FieldWorld::new(FieldSetup::default());
    for setup in setups {
        world.add_flight(setup.clone());
    }
    world.step(50);
    world
}

/// Time of `iterations` ticks, in worlds that live for `ticks`.
fn timed(iterations: u64, ticks: u64, make: impl Fn() -> FieldWorld) -> Duration {
    let mut spent = Duration::ZERO;
    let mut left = iterations;
    while left > 0 {
        let now = left.min(ticks);
        let mut world = make();
        let begun = Instant::now();
        world.step(now);
        spent += begun.elapsed();
        assert!(!world.all_ended(), "a flight ended while it was measured");
        left -= now;
    }
    spent
}

/// Rapier and nothing else: the colliders of `count` planes over the ground box.
struct RapierAlone {
    pipeline: PhysicsPipeline,
    parameters: IntegrationParameters,
    islands: IslandManager,
    broad_phase: DefaultBroadPhase,
    narrow_phase: NarrowPhase,
    bodies: RigidBodySet,
    colliders: ColliderSet,
    joints: ImpulseJointSet,
    multibodies: MultibodyJointSet,
    ccd: CCDSolver,
    gravity: Vector,
}

impl RapierAlone {
    fn new(model: &FlightModel, count: u32, height_m: f32, gravity_m_s2: f32) -> Self {
        let mut bodies = RigidBodySet::new();
        let mut colliders = ColliderSet::new();
        let ground =
            bodies.insert(RigidBodyBuilder::fixed().translation(Vector::new(0.0, -20.0, 0.0)));
        let group = |own, other| InteractionGroups::new(own, other, InteractionTestMode::And);
        colliders.insert_with_parent(
            ColliderBuilder::cuboid(5000.0, 20.0, 5000.0)
                .collision_groups(group(Group::GROUP_1, Group::GROUP_2)),
            ground,
            &mut bodies,
        );
        let shapes = contact::contact_shapes(model.airframe(), model.mass().cg_m);
        let balls: Vec<_> = shapes
            .iter()
            .map(|shape| {
                // Level and heading north: body z is down, Bevy's y is up.
                let c = shape.centre_m.as_vec3();
                let centre = Vector::new(c.y, -c.z, -c.x);
                (
                    Pose::from_translation(centre),
                    SharedShape::ball(shape.radius_m as f32),
                )
            })
            .collect();
        for index in 0..count {
            let mass = MassProperties::new(Vector::ZERO, 0.43, Vector::new(0.02, 0.03, 0.015));
            let body = bodies.insert(
                RigidBodyBuilder::dynamic()
                    .translation(Vector::new(0.0, height_m, -10.0 * index as f32))
                    .linvel(Vector::new(0.0, 0.0, -8.0))
                    .can_sleep(false)
                    .ccd_enabled(false)
                    .additional_mass_properties(mass),
            );
            colliders.insert_with_parent(
                ColliderBuilder::compound(balls.clone())
                    .density(0.0)
                    .collision_groups(group(Group::GROUP_2, Group::GROUP_1)),
                body,
                &mut bodies,
            );
        }
        Self {
            pipeline: PhysicsPipeline::new(),
            parameters: IntegrationParameters {
                dt: 0.002,
                max_ccd_substeps: 0,
                contact_clustering: false,
                contact_recycling: false,
                normalized_prediction_distance: 0.12,
                friction_model: FrictionModel::Coulomb,
                ..IntegrationParameters::default()
            },
            islands: IslandManager::new(),
            broad_phase: DefaultBroadPhase::new(),
            narrow_phase: NarrowPhase::new(),
            bodies,
            colliders,
            joints: ImpulseJointSet::new(),
            multibodies: MultibodyJointSet::new(),
            ccd: CCDSolver::new(),
            gravity: Vector::new(0.0, -gravity_m_s2, 0.0),
        }
    }

    fn step(&mut self) {
        self.pipeline.step(
            self.gravity,
            &self.parameters,
            &mut self.islands,
            &mut self.broad_phase,
            &mut self.narrow_phase,
            &mut self.bodies,
            &mut self.colliders,
            &mut self.joints,
            &mut self.multibodies,
            &mut self.ccd,
            &(),
            &(),
        );
    }
}

fn rapier_timed(iterations: u64, ticks: u64, make: impl Fn() -> RapierAlone) -> Duration {
    let mut spent = Duration::ZERO;
    let mut left = iterations;
    while left > 0 {
        let now = left.min(ticks);
        let mut alone = make();
        for _ in 0..50 {
            alone.step();
        }
        let begun = Instant::now();
        for _ in 0..now {
            alone.step();
        }
        spent += begun.elapsed();
        black_box(&alone.bodies);
        left -= now;
    }
    spent
}

fn flights(criterion: &mut Criterion) {
    let model = trainer();
    let (still, moving) = (calm(), breeze(1));
    let mut group = criterion.benchmark_group("one flight");
    group.throughput(Throughput::Elements(1));
    for (name, wind) in [("calm", &still), ("breeze with turbulence", &moving)] {
        let setups = [cruise(&model, wind, 1)];
        group.bench_function(name, |bench| {
            bench.iter_custom(|n| timed(n, 5000, || world_of(&setups)));
        });
    }
    group.finish();

    let mut group = criterion.benchmark_group("100 planes, a plane");
    group.throughput(Throughput::Elements(100));
    group.sample_size(20);
    for (name, wind) in [("flying, calm", &still), ("flying, turbulence", &moving)] {
        let setups: Vec<_> = (0..100).map(|seed| cruise(&model, wind, seed)).collect();
        group.bench_function(name, |bench| {
            bench.iter_custom(|n| timed(n, 2000, || world_of(&setups)));
        });
    }
    let setups: Vec<_> = (0..100).map(|seed| slide(&model, seed)).collect();
    group.bench_function("sliding on the ground", |bench| {
        bench.iter_custom(|n| timed(n, 300, || world_of(&setups)));
    });
    group.bench_function("Rapier alone, flying", |bench| {
        bench.iter_custom(|n| rapier_timed(n, 2000, || RapierAlone::new(&model, 100, 20.0, 0.0)));
    });
    group.bench_function("Rapier alone, sliding on the ground", |bench| {
        bench.iter_custom(|n| rapier_timed(n, 300, || RapierAlone::new(&model, 100, 0.09, 9.8)));
    });
    group.finish();
}

criterion_group!(benches, flights);
criterion_main!(benches);
