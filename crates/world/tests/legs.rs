//! Springy legs against the oscillator, and runs on them.

mod common;

use common::cart::{HEIGHT_M, MASS_KG, ROLLING, assert_near, on_legs, run};
use common::{GRAVITY_M_S2, TICK_S, contact_app, motion, spawn, tick};
use glam::DVec3;
use larkfield_world::Motion;

/// Springs: sag m g / k, deepest d = s (1 + sqrt(1 + 2 h / s)) after a drop from
/// h with the sag s, and back to the same height without damping.
#[test]
fn undamped_legs_give_everything_back() {
    let (stiffness_n_m, drop_m) = (500.0, 0.1);
    let (body, shapes) = on_legs(0.0, stiffness_n_m);
    let sag_m = MASS_KG * GRAVITY_M_S2 / (4.0 * stiffness_n_m);
    let by_hand_m = sag_m * (1.0 + (1.0 + 2.0 * drop_m / sag_m).sqrt());
    let mut app = contact_app(TICK_S);
    let start = Motion::at_rest(DVec3::new(0.0, 0.0, -HEIGHT_M - drop_m));
    let entity = spawn(&mut app, body, shapes, start);
    let mut deepest_m: f64 = 0.0;
    let mut highest_m: f64 = 0.0;
    let mut bounced = false;
    for _ in 0..1500 {
        tick(&mut app);
        let above_m = -motion(&app, entity).position_m.z - HEIGHT_M;
        deepest_m = deepest_m.max(-above_m);
        bounced |= above_m < 0.0;
        if bounced {
            highest_m = highest_m.max(above_m);
        }
    }
    assert_near(deepest_m, by_hand_m, 0.01, "deepest");
    assert_near(highest_m, drop_m, 0.01, "rebound");
}

/// A damped leg without gravity's help: m x'' + c x' + k x = 0 until the force
/// is gone, at tan(w t) = 2 b w / (b^2 - w^2) with b = c / 2m and
/// w^2 = k / m - b^2; the speed left is exp(-b t) (cos w t - b / w sin w t).
#[test]
fn damped_legs_give_back_what_the_oscillator_says() {
    let (stiffness_n_m, damping) = (20_000.0, 0.25);
    let total_n_m = 4.0 * stiffness_n_m;
    let critical = 2.0 * (total_n_m * MASS_KG).sqrt();
    let (mut body, shapes) = on_legs(damping * critical / 4.0, stiffness_n_m);
    body.push_n.z = -MASS_KG * GRAVITY_M_S2;
    let tick_s = 0.00005;
    let mut app = contact_app(tick_s);
    let speed_m_s = 2.0;
    let start = Motion {
        velocity_m_s: DVec3::Z * speed_m_s,
        ..Motion::at_rest(DVec3::new(0.0, 0.0, -HEIGHT_M - 0.01))
    };
    let entity = spawn(&mut app, body, shapes, start);
    for _ in 0..1000 {
        tick(&mut app);
    }
    let b = damping * critical / (2.0 * MASS_KG);
    let w = (total_n_m / MASS_KG - b * b).sqrt();
    let angle = std::f64::consts::PI - (2.0 * b * w / (w * w - b * b)).atan();
    let left = (-b * angle / w).exp() * (angle.cos() - b / w * angle.sin());
    let back_m_s = -motion(&app, entity).velocity_m_s.z;
    assert_near(back_m_s, -left * speed_m_s, 0.01, "rebound");
}

/// A run from rest under a steady pull: v^2 = 2 (F / m - mu g) s.
#[test]
fn a_ground_roll_is_as_long_as_its_pull_says() {
    let (mut body, shapes) = on_legs(5.0, 500.0);
    let pull_n = 0.4 * MASS_KG * GRAVITY_M_S2;
    body.push_n.x = pull_n;
    let mut app = contact_app(TICK_S);
    let sag_m = MASS_KG * GRAVITY_M_S2 / 2000.0;
    let start = Motion::at_rest(DVec3::new(0.0, 0.0, sag_m - HEIGHT_M));
    let entity = spawn(&mut app, body, shapes, start);
    let mut ticks = 0;
    while motion(&app, entity).velocity_m_s.x < 8.0 {
        tick(&mut app);
        ticks += 1;
        assert!(ticks < 5000);
    }
    let acceleration = pull_n / MASS_KG - ROLLING * GRAVITY_M_S2;
    assert_near(
        motion(&app, entity).position_m.x,
        32.0 / acceleration,
        0.01,
        "run",
    );
}

/// A pull below the rolling resistance moves nothing.
#[test]
fn a_weak_pull_moves_nothing() {
    let (mut body, shapes) = on_legs(5.0, 500.0);
    body.push_n.x = 0.9 * ROLLING * MASS_KG * GRAVITY_M_S2;
    let sag_m = MASS_KG * GRAVITY_M_S2 / 2000.0;
    let mut app = contact_app(TICK_S);
    let start = Motion::at_rest(DVec3::new(0.0, 0.0, sag_m - HEIGHT_M));
    let entity = spawn(&mut app, body, shapes, start);
    run(&mut app, 5.0);
    let now = motion(&app, entity);
    // While the push tilts it onto its legs, the wheels stay where they are.
    assert!(now.position_m.x.abs() < 0.002, "{now:?}");
    assert!(now.velocity_m_s.length() < 1e-6, "{now:?}");
}
