//! Published rigid-body check cases, flown through the real tick at the default
//! length.
//!
//! Expected values: NASA/TM-2015-218675 (Murri, Jackson, Shelton), Check-Cases
//! for Verification of 6-DOF Flight Vehicle Simulations, in
//! tests/reference/check_cases_6dof.csv, whose head gives the vehicles.

#[path = "common/flights.rs"]
mod flights;

use std::sync::Arc;

use bevy::prelude::*;
use flights::drop;
use glam::DVec3;
use larkfield_airframe::{Component, ComponentKind, Measured};
use larkfield_flight::{AirProperties, FlightModel};
use larkfield_proof::{Chapter, Checks, Table};
use larkfield_weather::Atmosphere;
use larkfield_world::{
    FieldSetup, FieldWorld, Motion, TICK_S, Tick, TickClock, TickPlugin, TickSystems, run_tick,
};

/// A value of the table at the end of the 30 s.
fn expected(table: &Table, case: u32, quantity: &str) -> f64 {
    let case = case.to_string();
    let row = (table.rows.iter()).find(|row| {
        table.text(row, "case") == case
            && table.text(row, "quantity") == quantity
            && table.number(row, "time_s") == 30.0
    });
    table.number(row.unwrap(), "value")
}

/// A brick made of three pairs of points on the axes: each pair has a third of
/// the mass, at the distance that gives the published moments of inertia.
fn brick() -> Arc<FlightModel> {
    let mass_kg = 2.267_962;
    let (ixx, iyy, izz) = (0.002_568_217, 0.008_421_011, 0.009_754_656);
    let third = mass_kg / 3.0;
    let distance = |moment: f64| (moment / third).sqrt();
    let arms = [
        DVec3::X * distance((iyy + izz - ixx) / 2.0),
        DVec3::Y * distance((ixx + izz - iyy) / 2.0),
        DVec3::Z * distance((ixx + iyy - izz) / 2.0),
    ];
    let mut airframe = flights::trainer().airframe().clone();
    airframe.panels.truncate(1);
    airframe.panels[0].areal_density_kg_m2 = 0.0;
    airframe.controls.clear();
    airframe.bodies.clear();
    airframe.power = None;
    airframe.measured = Measured::default();
    airframe.components = arms
        .iter()
        .flat_map(|arm| [*arm, -*arm])
        .enumerate()
        .map(|(index, position_m)| Component {
            name: format!("point {index}"),
            kind: ComponentKind::Ballast,
            mass_kg: third / 2.0,
            position_m,
            size_m: DVec3::ZERO,
        })
        .collect();
    let vacuum = AirProperties {
        density_kg_m3: 0.0,
        viscosity_pa_s: 1.8e-5,
    };
    let model = FlightModel::new(&airframe, vacuum).unwrap();
    let inertia = model.mass().inertia_kg_m2;
    assert!((model.mass().mass_kg - mass_kg).abs() < 1e-9);
    assert!((inertia.x_axis.x - ixx).abs() < 1e-9);
    assert!((inertia.y_axis.y - iyy).abs() < 1e-9);
    assert!((inertia.z_axis.z - izz).abs() < 1e-9);
    Arc::new(model)
}

/// Case 2: a tumbling brick without air, 30 s.
#[test]
fn the_tumbling_brick_turns_as_published() {
    let mut motion = Motion::at_rest(DVec3::new(0.0, 0.0, -9144.0));
    motion.rates_rad_s = DVec3::new(10.0, 20.0, 30.0) * std::f64::consts::PI / 180.0;
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(drop(&brick(), motion));
    world.step((30.0 / TICK_S) as u64);
    let plane = world.aircraft(id).unwrap();
    let rates_deg_s = plane.state.rates_rad_s * 180.0 / std::f64::consts::PI;
    let table = Table::read("check_cases_6dof.csv");
    let mut checks = Checks::against(
        Chapter::RigidBody,
        "Tumbling brick of the published check cases",
        &table,
    );
    for (axis, quantity) in ["roll_rate", "pitch_rate", "yaw_rate"].iter().enumerate() {
        checks.near(
            &format!("{quantity} after 30 s, deg/s"),
            rates_deg_s[axis],
            expected(&table, 2, quantity),
            0.05,
        );
    }
    // A fall without air, s = g t^2 / 2, with gravity the same at every height.
    let fallen_m = plane.state.position_m.z + 9144.0;
    let closed_m = 0.5 * larkfield_world::GRAVITY_M_S2 * 900.0;
    checks.source("free fall, s = g t^2 / 2");
    checks.share("fall in 30 s, m", fallen_m, closed_m, 1e-4);
    checks.finish();
}

/// A sphere of cases 6 to 8: drag in the standard atmosphere, gravity that
/// falls off with height, wind from the west as a function of height.
#[derive(Component, Clone, Copy)]
struct Sphere {
    east_wind_m_s: WindByHeight,
}

/// East wind as a function of height.
type WindByHeight = fn(f64) -> f64;

/// Density of standard air; a field's own air reaches up 2000 m only.
fn density_kg_m3(height_m: f64) -> f64 {
    let field_m = height_m.min(8500.0);
    let atmosphere = Atmosphere::standard(field_m).unwrap();
    atmosphere.at_height(height_m - field_m).density_kg_m3
}

impl Sphere {
    fn acceleration_m_s2(&self, position_m: DVec3, velocity_m_s: DVec3) -> DVec3 {
        let height_m = -position_m.z;
        let earth_m = 6_378_137.0;
        let ratio = earth_m / (earth_m + height_m);
        let density_kg_m3 = density_kg_m3(height_m);
        let through_air = velocity_m_s - DVec3::Y * (self.east_wind_m_s)(height_m);
        let drag = through_air
            * (-0.5 * density_kg_m3 * 0.018_241_465 * 0.1 * through_air.length() / 14.593_90);
        drag + DVec3::Z * (9.780_327 * ratio * ratio)
    }
}

fn fall(clock: Res<TickClock>, mut spheres: Query<(&Sphere, &mut Motion)>) {
    let dt_s = clock.tick_s;
    for (sphere, mut motion) in &mut spheres {
        let (position_m, velocity_m_s) = (motion.position_m, motion.velocity_m_s);
        let first = sphere.acceleration_m_s2(position_m, velocity_m_s);
        let ahead_m = position_m + velocity_m_s * dt_s;
        let second = sphere.acceleration_m_s2(ahead_m, velocity_m_s + first * dt_s);
        motion.velocity_m_s = velocity_m_s + (first + second) * (0.5 * dt_s);
        motion.position_m = position_m + (velocity_m_s + motion.velocity_m_s) * (0.5 * dt_s);
    }
}

/// Cases 6 to 8: no wind, steady wind, wind shear.
#[test]
fn the_dropped_sphere_falls_and_drifts_as_published() {
    let winds: [(u32, WindByHeight); 3] = [
        (6, |_| 0.0),
        (7, |_| 6.096),
        (8, |height_m| 0.003 * height_m - 6.096),
    ];
    let table = Table::read("check_cases_6dof.csv");
    let mut checks = Checks::against(
        Chapter::RigidBody,
        "Dropped sphere of the published check cases",
        &table,
    );
    for (case, east_wind_m_s) in winds {
        let mut app = App::new();
        app.add_plugins(TickPlugin { tick_s: TICK_S })
            .add_systems(Tick, fall.in_set(TickSystems::Air));
        let sphere = Sphere { east_wind_m_s };
        let start = Motion::at_rest(DVec3::new(0.0, 0.0, -9144.0));
        let entity = app.world_mut().spawn((sphere, start)).id();
        for _ in 0..(30.0 / TICK_S) as u64 {
            run_tick(app.world_mut());
        }
        let end = app.world().get::<Motion>(entity).unwrap();
        let of = |quantity| expected(&table, case, quantity);
        checks.share(
            &format!("case {case}: altitude, m"),
            -end.position_m.z,
            of("altitude"),
            2e-4,
        );
        checks.share(
            &format!("case {case}: down velocity, m/s"),
            end.velocity_m_s.z,
            of("down_velocity"),
            2e-4,
        );
        // The turning of the Earth, which nothing here models, gives case 6
        // its whole east velocity.
        let drift_m_s = of("east_velocity") - expected(&table, 6, "east_velocity");
        checks.near(
            &format!("case {case}: east velocity from the wind, m/s"),
            end.velocity_m_s.y,
            drift_m_s,
            0.005 * drift_m_s.abs() + 1e-12,
        );
    }
    checks.finish();
}
