//! Friction, wheels and grass against hand calculation.

mod common;

use common::cart::{
    HALF_TRACK_M, HEIGHT_M, MASS_KG, ROLLING, SIDE_GRIP, WHEEL_RADIUS_M, WHEELBASE_HALF_M,
    assert_near, cart, on_wheels, run, wheel,
};
use common::{
    GRAVITY_M_S2, TICK_S, ball, brick, contact_app, motion, outcome, spawn, spawn_spec, tick,
};
use glam::{DQuat, DVec3};
use larkfield_airframe::BreakPart;
use larkfield_lesson::{Ground, GroundKind, Strip, Terrain};
use larkfield_world::contact::GrassProbe;
use larkfield_world::{ContactBodySpec, ContactShape, Motion};

/// v^2 / (2 mu g) in the direction of the slide, whatever the heading: a plate
/// as wide as a wing goes straight and does not turn.
#[test]
fn a_wide_plate_slides_straight_at_any_heading() {
    for heading_rad in [0.0, 0.5, 1.2, 2.6] {
        let friction = 0.45;
        let speed_m_s = 5.0;
        let (body, shapes) = brick(0.5, DVec3::new(0.3, 1.2, 0.03), friction);
        let mut app = contact_app(TICK_S);
        let mut start = Motion::at_rest(DVec3::new(0.0, 0.0, -0.015));
        start.attitude = DQuat::from_rotation_z(heading_rad);
        start.velocity_m_s = DVec3::X * speed_m_s;
        let entity = spawn(&mut app, body, shapes, start);
        run(&mut app, 3.0);
        let end = motion(&app, entity);
        let slid_m = end.position_m.x;
        let by_hand_m = speed_m_s * speed_m_s / (2.0 * friction * GRAVITY_M_S2);
        // A tick's travel at the first touch and at the end, 0.01 m each.
        assert_near(slid_m, by_hand_m, 0.01, "slide");
        assert!(end.position_m.y.abs() < 0.003 * slid_m, "{end:?}");
        let turned_rad = 2.0
            * end
                .attitude
                .dot(start.attitude)
                .clamp(-1.0, 1.0)
                .abs()
                .acos();
        assert!(turned_rad < 0.02, "turned by {turned_rad} rad");
    }
}

/// A plate that spins on the spot has stopped after J w / (friction moment);
/// corners at the distance r from its middle each rub with mu m g / 4.
#[test]
fn a_spinning_plate_stops_in_time() {
    let (size_m, friction, spin_rad_s) = (DVec3::new(0.4, 0.4, 0.03), 0.5, 20.0);
    let (body, shapes) = brick(0.5, size_m, friction);
    let corner_m = shapes[0].centre_m.truncate().length();
    let mut app = contact_app(TICK_S);
    let mut start = Motion::at_rest(DVec3::new(0.0, 0.0, -0.015));
    start.rates_rad_s.z = spin_rad_s;
    let entity = spawn(&mut app, body, shapes, start);
    let moment_n_m = friction * body.mass_kg * GRAVITY_M_S2 * corner_m;
    let by_hand_s = body.inertia_kg_m2.z_axis.z * spin_rad_s / moment_n_m;
    let mut ticks = 0;
    while motion(&app, entity).rates_rad_s.z > 1e-6 {
        tick(&mut app);
        ticks += 1;
        assert!(ticks < 5000, "never stops");
    }
    assert_near(f64::from(ticks) * TICK_S, by_hand_s, 0.02, "spin");
}

/// Where one corner slips, its friction points exactly against the slip.
#[test]
fn friction_points_against_the_slip() {
    let (body, shapes) = brick(0.5, DVec3::new(0.3, 1.2, 0.03), 0.45);
    let mut app = contact_app(TICK_S);
    let mut start = Motion::at_rest(DVec3::new(0.0, 0.0, -0.015));
    start.velocity_m_s = DVec3::new(4.0, 1.0, 0.0);
    start.rates_rad_s.z = 3.0;
    let entity = spawn(&mut app, body, shapes.clone(), start);
    tick(&mut app);
    let mut seen = 0;
    for _ in 0..20 {
        tick(&mut app);
        let now = motion(&app, entity);
        for blow in &outcome(&app, entity).blows {
            let shape = &shapes[blow.shape];
            let bottom_m = shape.centre_m + now.attitude.conjugate() * (DVec3::Z * shape.radius_m);
            let slip = now.point_velocity_m_s(bottom_m).truncate().normalize();
            let rub = blow.impulse_n_s.truncate();
            let load_n_s = -blow.impulse_n_s.z;
            assert_near(rub.length(), 0.45 * load_n_s, 1e-6, "friction");
            // The slip is that of the end of the tick, in which the plate turns
            // by 6 mrad.
            let aside = rub.normalize().perp_dot(slip).abs();
            assert!(aside < 0.007, "aside by {aside}");
            seen += 1;
        }
    }
    assert!(seen >= 40, "only {seen} rubbed");
}

/// v^2 / (2 mu g) with the rolling resistance.
#[test]
fn wheels_roll_as_far_as_their_resistance_lets_them() {
    let (body, shapes) = cart();
    let mut app = contact_app(TICK_S);
    let speed_m_s = 4.0;
    let entity = spawn(&mut app, body, shapes, on_wheels(DVec3::X * speed_m_s));
    run(&mut app, 8.0);
    let end = motion(&app, entity);
    assert!(end.velocity_m_s.length() < 1e-6, "{end:?}");
    let by_hand_m = speed_m_s * speed_m_s / (2.0 * ROLLING * GRAVITY_M_S2);
    assert_near(end.position_m.x, by_hand_m, 0.01, "roll");
    // Rapier's tilt is f32, so the wheels press a little unevenly.
    assert!(end.position_m.y.abs() < 0.005, "{end:?}");
}

/// A crosswise slip is stopped by the side grip in v / (mu g), and the roll
/// along goes on.
#[test]
fn wheels_that_come_down_crabbing_scrub_off_the_drift() {
    let (body, shapes) = cart();
    let mut app = contact_app(TICK_S);
    let drift_m_s = 1.0;
    let start = on_wheels(DVec3::new(4.0, drift_m_s, 0.0));
    let entity = spawn(&mut app, body, shapes, start);
    let by_hand_s = drift_m_s / (SIDE_GRIP * GRAVITY_M_S2);
    run(&mut app, 0.9 * by_hand_s);
    assert!(motion(&app, entity).velocity_m_s.y > 0.05);
    run(&mut app, 0.2 * by_hand_s);
    let now = motion(&app, entity);
    assert!(now.velocity_m_s.y.abs() < 0.01, "{now:?}");
    assert_near(now.velocity_m_s.x, 4.0, 0.05, "still rolls");
    let by_hand_m = drift_m_s * drift_m_s / (2.0 * SIDE_GRIP * GRAVITY_M_S2);
    assert_near(now.position_m.y, by_hand_m, 0.03, "drift");
}

/// Within the grip nothing creeps; beyond it the body slides with what is left
/// over.
#[test]
fn side_grip_holds_up_to_its_limit_and_no_farther() {
    for (share, holds) in [(0.95, true), (1.2, false)] {
        let (mut body, shapes) = cart();
        body.push_n.y = share * SIDE_GRIP * MASS_KG * GRAVITY_M_S2;
        // Low enough not to tip.
        let low = |shape: ContactShape| ContactShape {
            centre_m: DVec3::new(shape.centre_m.x, shape.centre_m.y, 0.0),
            ..shape
        };
        let shapes: Vec<ContactShape> = shapes.into_iter().map(low).collect();
        let mut app = contact_app(TICK_S);
        let mut start = on_wheels(DVec3::ZERO);
        start.position_m.z = -WHEEL_RADIUS_M;
        let entity = spawn(&mut app, body, shapes, start);
        run(&mut app, 1.0);
        let first = motion(&app, entity);
        run(&mut app, 4.0);
        let now = motion(&app, entity);
        if holds {
            let crept_m = (now.position_m - first.position_m).truncate().length();
            assert!(crept_m < 1e-6, "crept {crept_m} m in 4 s");
        } else {
            let acceleration = (share - 1.0) * SIDE_GRIP * GRAVITY_M_S2;
            assert_near(now.velocity_m_s.y, acceleration * 5.0, 0.01, "slides");
        }
    }
}

/// Pushed sideways at the balance point, a cart that grips tips over when
/// push / weight exceeds half the track over the height.
#[test]
fn a_cart_tips_where_statics_says() {
    let limit = HALF_TRACK_M / HEIGHT_M;
    for (share, tips) in [(0.97, false), (1.03, true)] {
        let (mut body, mut shapes) = cart();
        for shape in &mut shapes {
            shape.friction = 2.0;
        }
        body.push_n.y = share * limit * MASS_KG * GRAVITY_M_S2;
        let mut app = contact_app(TICK_S);
        let entity = spawn(&mut app, body, shapes, on_wheels(DVec3::ZERO));
        run(&mut app, 3.0);
        let up = motion(&app, entity).attitude * DVec3::NEG_Z;
        assert_eq!(-up.z < 0.9, tips, "push of {share}: up is {up}");
    }
}

/// A steered wheel ahead turns a rolling cart: the circle's radius is the
/// wheelbase over the tangent of the angle (Ackermann's geometry, from memory).
#[test]
fn a_steered_wheel_turns_the_cart() {
    let steering_rad = 0.2;
    let (body, mut shapes) = cart();
    for shape in &mut shapes {
        shape.friction_along = 0.0;
        if shape.centre_m.x > 0.0 {
            shape.steering_rad = steering_rad;
            shape.centre_m.y *= 0.01;
        }
    }
    let mut app = contact_app(TICK_S);
    let entity = spawn(&mut app, body, shapes, on_wheels(DVec3::X));
    let mut plane = app
        .world_mut()
        .get_mut::<larkfield_world::ContactBody>(entity)
        .unwrap();
    plane.steer = 1.0;
    run(&mut app, 1.0);
    let now = motion(&app, entity);
    let rear_m_s = now
        .point_velocity_m_s(DVec3::new(-WHEELBASE_HALF_M, 0.0, 0.0))
        .length();
    let radius_m = 2.0 * WHEELBASE_HALF_M / steering_rad.tan();
    assert_near(now.rates_rad_s.z, rear_m_s / radius_m, 0.01, "turn");
    assert!(rear_m_s > 0.9, "{rear_m_s}");
}

/// From a mown strip into the long grass beside it: first mu g, then the
/// rolling resistance of long grass and the work of laying it down.
#[test]
fn long_grass_beside_a_mown_strip_stops_a_cart() {
    let long = Ground::usual(GroundKind::LongGrass);
    let mown = Ground::usual(GroundKind::MownGrass);
    let strip = Strip {
        north_m: 0.0,
        east_m: 0.0,
        heading_rad: 0.0,
        length_m: 10.0,
        width_m: 4.0,
        ground: Some(mown),
    };
    let terrain = Terrain {
        around: long,
        strip: Some((strip, mown)),
    };
    let (body, shapes) = cart();
    let probe = GrassProbe {
        centre_m: DVec3::ZERO,
        width_m: 0.3,
        part: BreakPart::Belly,
    };
    let spec = ContactBodySpec {
        terrain,
        probes: vec![probe],
        ..ContactBodySpec::rigid(body.mass_kg, body.inertia_kg_m2, shapes)
    };
    let mut app = contact_app(TICK_S);
    let speed_m_s: f64 = 5.0;
    let entity = spawn_spec(&mut app, body, spec, on_wheels(DVec3::X * speed_m_s));
    run(&mut app, 6.0);
    // Balance point and wheels cross the edge within 0.4 m of each other.
    let at_edge = speed_m_s * speed_m_s - 2.0 * ROLLING * GRAVITY_M_S2 * 5.0;
    let depth = 1.0 - HEIGHT_M / long.grass_height_m;
    let grass_n = long.grass_work_j_m2 * 0.3 * depth;
    let slowed = 0.2 * GRAVITY_M_S2 + grass_n / MASS_KG;
    let by_hand_m = 5.0 + at_edge / (2.0 * slowed);
    let end = motion(&app, entity);
    assert!(end.velocity_m_s.length() < 1e-6, "{end:?}");
    assert_near(end.position_m.x, by_hand_m, 0.02, "roll into long grass");
}

/// Two wheels ahead of the balance point and a tail skid: with brakes on it
/// noses over when the friction exceeds the wheels' distance ahead over the
/// height of the balance point.
#[test]
fn brakes_put_a_tail_dragger_on_its_nose_where_statics_says() {
    let ahead_m = 0.06;
    let limit = ahead_m / HEIGHT_M;
    for (friction, over) in [(0.9 * limit, false), (1.2 * limit, true)] {
        let (body, _) = cart();
        let mut shapes = vec![wheel(ahead_m, -HALF_TRACK_M), wheel(ahead_m, HALF_TRACK_M)];
        for shape in &mut shapes {
            shape.friction_along = friction;
        }
        let at = |x_m: f64, z_m: f64| DVec3::new(x_m, 0.0, z_m);
        shapes.push(ball(
            "tail",
            at(-0.5, HEIGHT_M - 0.004),
            0.004,
            0.3,
            BreakPart::Tail,
        ));
        shapes.push(ball("nose", at(0.25, 0.0), 0.01, 0.5, BreakPart::Nose));
        let mut app = contact_app(TICK_S);
        let entity = spawn(&mut app, body, shapes, on_wheels(DVec3::X * 6.0));
        let mut lowest_nose: f64 = 0.0;
        for _ in 0..1500 {
            tick(&mut app);
            let nose = motion(&app, entity).attitude * DVec3::X;
            lowest_nose = lowest_nose.max(nose.z);
        }
        assert_eq!(
            lowest_nose > 0.3,
            over,
            "friction {friction}: nose down to {lowest_nose}"
        );
    }
}
