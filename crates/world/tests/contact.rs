//! Contacts against closed forms: when a body lands, how far it slides, that
//! nothing tunnels and that the ground never gives energy.

mod common;

use common::{
    GRAVITY_M_S2, TICK_S, attitudes, brick, contact_app, energy_j, lowest_m, motion, outcome,
    spawn, tick,
};
use glam::DVec3;
use larkfield_world::Motion;

/// Time of a fall from rest: t = sqrt(2 h / g).
#[test]
fn a_dropped_brick_lands_when_galileo_says() {
    let (body, shapes) = brick(0.5, DVec3::new(0.4, 0.2, 0.1), 0.5);
    for drop_m in [0.5, 3.0, 20.0] {
        let mut app = contact_app(TICK_S);
        let start = Motion::at_rest(DVec3::new(0.0, 0.0, -(drop_m + 0.05)));
        let entity = spawn(&mut app, body, shapes.clone(), start);
        let mut ticks = 0;
        while !outcome(&app, entity).touching() {
            tick(&mut app);
            ticks += 1;
            assert!(ticks < 5000, "never landed from {drop_m} m");
        }
        let expected_s = (2.0 * drop_m / GRAVITY_M_S2).sqrt();
        let landed_s = f64::from(ticks) * TICK_S;
        let late_s = landed_s - expected_s;
        assert!(late_s.abs() <= TICK_S, "{drop_m} m: {late_s} s late");
    }
}

/// Distance of a slide on level ground: v^2 / (2 mu g), whatever the mass. On a
/// sledge as narrow as a fuselage, where every contact is near the line of the
/// slide: at a wing tip Rapier's friction points up to 25 degrees away from the
/// slip, because it weighs the slip with the inertia that the contact feels.
#[test]
fn a_sliding_brick_stops_where_coulomb_says() {
    for (speed_m_s, friction) in [(4.0, 0.5), (8.0, 0.5), (6.0, 0.25)] {
        let (body, shapes) = brick(0.7, DVec3::new(0.8, 0.08, 0.03), friction);
        let mut app = contact_app(TICK_S);
        let mut start = Motion::at_rest(DVec3::new(10.0, -20.0, -0.015));
        start.velocity_m_s = DVec3::new(speed_m_s, 0.0, 0.0);
        let entity = spawn(&mut app, body, shapes, start);
        for _ in 0..2500 {
            tick(&mut app);
        }
        let end = motion(&app, entity);
        assert!(end.velocity_m_s.length() < 1e-3, "still moving: {end:?}");
        let slid_m = end.position_m.x - start.position_m.x;
        let expected_m = speed_m_s * speed_m_s / (2.0 * friction * GRAVITY_M_S2);
        let apart = (slid_m - expected_m).abs() / expected_m;
        assert!(
            apart < 0.01,
            "{speed_m_s} m/s, mu {friction}: {slid_m} m, expected {expected_m} m"
        );
        let aside_m = (end.position_m.y - start.position_m.y).abs();
        assert!(aside_m < 0.01 * slid_m, "drifted {aside_m} m sideways");
    }
}

/// At any attitude and up to 30 m/s, nothing gets below the ground by more than
/// the sheet is thick, and it stays out afterwards.
#[test]
fn nothing_tunnels() {
    let (body, shapes) = brick(0.5, DVec3::new(1.0, 0.3, 0.1), 0.5);
    for speed_m_s in [1.0, 5.0, 12.0, 30.0] {
        for attitude in attitudes() {
            let mut app = contact_app(TICK_S);
            let mut start = Motion::at_rest(DVec3::new(3.0, 4.0, -2.0));
            start.attitude = attitude;
            start.velocity_m_s = DVec3::new(0.3, -0.2, 1.0).normalize() * speed_m_s;
            start.rates_rad_s = DVec3::new(3.0, -2.0, 1.0);
            let entity = spawn(&mut app, body, shapes.clone(), start);
            for _ in 0..2500 {
                tick(&mut app);
                let lowest_m = lowest_m(&app, entity);
                assert!(
                    lowest_m > -0.010,
                    "{speed_m_s} m/s at {attitude}: {lowest_m} m below the ground"
                );
            }
            let lowest_m = lowest_m(&app, entity);
            assert!(
                lowest_m < 0.01,
                "{speed_m_s} m/s at {attitude}: hangs {lowest_m} m up"
            );
        }
    }
}

/// Energy after every tick with contact is at most the energy before it, and a
/// body at rest stays at rest.
#[test]
fn the_ground_never_gives_energy() {
    let (body, shapes) = brick(0.5, DVec3::new(1.0, 0.3, 0.1), 0.5);
    let mut worst_gain_j: f64 = 0.0;
    for attitude in attitudes() {
        let mut app = contact_app(TICK_S);
        let mut start = Motion::at_rest(DVec3::new(0.0, 0.0, -1.5));
        start.attitude = attitude;
        start.velocity_m_s = DVec3::new(5.0, 1.0, 3.0);
        start.rates_rad_s = DVec3::new(2.0, 4.0, -3.0);
        let entity = spawn(&mut app, body, shapes.clone(), start);
        let begun_j = energy_j(&body, &start);
        let mut lowest_j = f64::INFINITY;
        for _ in 0..2500 {
            tick(&mut app);
            let now_j = energy_j(&body, &motion(&app, entity));
            worst_gain_j = worst_gain_j.max(now_j - lowest_j);
            lowest_j = lowest_j.min(now_j);
        }
        let end = motion(&app, entity);
        assert!(
            end.velocity_m_s.length() < 1e-4,
            "{attitude} is not at rest: {end:?}"
        );
        let rest_j = energy_j(&body, &end);
        assert!(
            rest_j < 0.3 * begun_j,
            "the setup is trivial: {rest_j} of {begun_j} J"
        );
    }
    assert!(worst_gain_j < 2e-4, "gained {worst_gain_j} J");
}
