//! The tick as a schedule: no two systems whose order is left open, no memory
//! that grows, nothing of a window among the dependencies.

mod common;
#[path = "common/flights.rs"]
mod flights;

use std::process::Command;

use bevy::prelude::*;
use common::{TICK_S, brick, contact_app, motion, spawn, tick};
use flights::{drop, trainer};
use glam::DVec3;
use larkfield_world::{FieldSetup, FieldWorld, Motion, Tick, TickSystems};

/// Builds the tick's schedule and says whether it was accepted.
fn builds(app: &mut App) -> bool {
    let world = app.world_mut();
    world.schedule_scope(Tick, |world, schedule| schedule.initialize(world).is_ok())
}

#[test]
fn the_order_of_systems_is_never_left_open() {
    let mut world = FieldWorld::new(FieldSetup::default());
    assert!(builds(world.app_mut()));
}

fn meddle(mut planes: Query<&mut Motion>) {
    for mut plane in &mut planes {
        plane.position_m.x += 1.0;
    }
}

fn meddle_too(mut planes: Query<&mut Motion>) {
    for mut plane in &mut planes {
        plane.position_m.x *= 2.0;
    }
}

/// The check above can fail.
#[test]
fn an_open_order_is_refused() {
    let mut world = FieldWorld::new(FieldSetup::default());
    world
        .app_mut()
        .add_systems(Tick, (meddle, meddle_too).in_set(TickSystems::Wind));
    assert!(!builds(world.app_mut()));
}

/// Resident memory of this process (Linux: second field of statm, pages of 4 kB).
fn resident_kb() -> f64 {
    let statm = std::fs::read_to_string("/proc/self/statm").unwrap();
    let pages: f64 = statm.split_whitespace().nth(1).unwrap().parse().unwrap();
    pages * 4.0
}

/// A million ticks, one body lying on the ground and one bouncing about on it.
#[test]
#[cfg(target_os = "linux")]
fn memory_is_flat_over_a_million_ticks() {
    let mut app = contact_app(TICK_S);
    let (body, shapes) = brick(0.5, DVec3::new(0.6, 0.3, 0.1), 0.5);
    let still = Motion::at_rest(DVec3::new(0.0, 0.0, -0.05));
    let lying = spawn(&mut app, body, shapes.clone(), still);
    let tossed = spawn(
        &mut app,
        body,
        shapes,
        Motion::at_rest(DVec3::new(9.0, 0.0, -1.0)),
    );
    let toss = |app: &mut App| {
        let mut thrown = Motion::at_rest(DVec3::new(9.0, 0.0, -1.0));
        thrown.velocity_m_s = DVec3::new(1.0, 0.0, -3.0);
        thrown.rates_rad_s = DVec3::new(1.0, 2.0, 3.0);
        app.world_mut().entity_mut(tossed).insert(thrown);
    };
    for _ in 0..100_000 {
        tick(&mut app);
    }
    let before_kb = resident_kb();
    for count in 0..1_000_000_u32 {
        if count % 1000 == 0 {
            toss(&mut app);
        }
        tick(&mut app);
    }
    let grown_kb = resident_kb() - before_kb;
    // One byte a tick would be 1000 kB.
    assert!(grown_kb < 300.0, "grew by {grown_kb} kB");
    assert!((motion(&app, lying).position_m.z + 0.05).abs() < 1e-3);
}

/// Flights that come and go leave nothing behind.
#[test]
#[cfg(target_os = "linux")]
fn memory_is_flat_over_many_flights() {
    let model = trainer();
    let mut world = FieldWorld::new(FieldSetup::default());
    let mut run = |flights: u32| {
        for _ in 0..flights {
            let start = Motion::at_rest(DVec3::new(0.0, 0.0, -0.8));
            let id = world.add_flight(drop(&model, start));
            world.step(400);
            assert!(world.take_result(id).is_some());
        }
    };
    run(100);
    let before_kb = resident_kb();
    run(500);
    let grown_kb = resident_kb() - before_kb;
    // A plane's shapes alone are about 10 kB: leaking them would be 5000 kB.
    assert!(grown_kb < 500.0, "grew by {grown_kb} kB");
}

#[test]
fn nothing_of_a_window_is_pulled_in() {
    let output = Command::new(env!("CARGO"))
        .args([
            "tree",
            "--offline",
            "-e",
            "normal,features",
            "-p",
            "larkfield-world",
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let tree = String::from_utf8(output.stdout).unwrap();
    assert!(
        tree.contains("bevy_ecs"),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    for unwanted in [
        "multi_threaded",
        "bevy_render",
        "bevy_winit",
        "wgpu",
        "debug-render",
        "enhanced-determinism",
    ] {
        assert!(!tree.contains(unwanted), "{unwanted} is among the features");
    }
}
