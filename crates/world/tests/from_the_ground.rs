//! A plane on wheels wants a little more power to leave the ground than to fly
//! away from a hand, which gives it speed.
//!
//! Common practice, no source: a gentle toss into wind flies away at three
//! quarters of the throttle or less; from the ground it wants slightly more.

#[path = "common/flights.rs"]
mod flights;

use std::sync::Arc;

use flights::{airframe, begin, in_air, steady};
use glam::DQuat;
use larkfield_flight::FlightModel;
use larkfield_pilot::{GroundStart, Launch, Throw};
use larkfield_proof::{Chapter, Checks};
use larkfield_world::{FieldSetup, FieldWorld, TICK_S};

/// Right thrust beyond that of its file with which it climbs straight.
const RIGHT_RAD: f64 = 0.026;

/// Whether a plane that is left alone at a throttle is `HIGH_M` above the ground
/// before it has gone `FAR_M` from where it began.
fn flies_away(model: &Arc<FlightModel>, launch: Launch, throttle: f64) -> bool {
    const HIGH_M: f64 = 5.0;
    const FAR_M: f64 = 100.0;
    let mut setup = begin(model, launch);
    setup.pilot = steady(throttle);
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup);
    let from_m = world.aircraft(id).expect("on the field").state.position_m;
    for _ in 0..(60.0 / TICK_S) as u64 {
        world.step(1);
        let plane = world.aircraft(id).expect("on the field");
        let at_m = plane.state.position_m;
        if (at_m - from_m).truncate().length() > FAR_M || plane.ended() {
            return false;
        }
        if -at_m.z > HIGH_M {
            return true;
        }
    }
    false
}

/// The least throttle at which it flies away, to a hundredth.
fn least_throttle(model: &Arc<FlightModel>, launch: impl Fn(f64) -> Launch) -> f64 {
    let (mut too_little, mut enough) = (0.1, 1.0);
    assert!(flies_away(model, launch(enough), enough), "it never flies");
    while enough - too_little > 0.005 {
        let throttle = 0.5 * (too_little + enough);
        if flies_away(model, launch(throttle), throttle) {
            enough = throttle;
        } else {
            too_little = throttle;
        }
    }
    enough
}

#[test]
fn from_the_ground_it_wants_slightly_more_power_than_from_the_hand() {
    let mut checks = Checks::new(
        Chapter::Practice,
        "Off the ground",
        "common practice, no source",
    );
    // Nobody is at the sticks: without a torque that rolls it into the ground, only
    // power counts.
    let mut plane = airframe("curlew");
    let power = plane.power.as_mut().expect("a motor");
    power.thrust_direction = DQuat::from_rotation_z(RIGHT_RAD) * power.thrust_direction;
    let model = in_air(&plane, 1.225);
    let toss = |throttle| {
        Launch::Throw(Throw {
            speed_m_s: 6.0,
            pitch_rad: 15f64.to_radians(),
            path_rad: 8f64.to_radians(),
            throttle,
            ..Throw::default()
        })
    };
    let roll = |throttle| {
        Launch::Ground(GroundStart {
            throttle,
            ..GroundStart::default()
        })
    };
    let thrown = least_throttle(&model, toss);
    let rolled = least_throttle(&model, roll);
    println!("least throttle: thrown {thrown:.3}, off the ground {rolled:.3}");
    checks.between("thrown: least throttle that flies away", thrown, 0.25, 0.75);
    checks.between(
        "off the ground: the same over that of the throw",
        rolled / thrown,
        1.01,
        1.25,
    );
    checks.finish();
}
