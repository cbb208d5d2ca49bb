//! Launches of whole planes: standing and rolling on wheels, thrown in every
//! way, and what a turning propeller does to an arm or to the ground.

#[path = "common/flights.rs"]
mod flights;

use flights::{begin, drop, shipped, steady};
use glam::{DQuat, DVec3};
use larkfield_pilot::scripted::TimedMessage;
use larkfield_pilot::{
    ControlMessage, GroundStart, Launch, PowerTiming, ScriptedPilot, Sticks, Throw, ThrowKind,
};
use larkfield_recording::{EventKind, FlightStage, Person, Recording};
use larkfield_world::{
    FieldSetup, FieldWorld, FlightResult, FlightSetup, GRAVITY_M_S2, Motion, Start, TICK_S,
};

const DEGREE: f64 = std::f64::consts::PI / 180.0;

fn fly(setup: FlightSetup, seconds: f64) -> FlightResult {
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup);
    world.step((seconds / TICK_S) as u64);
    world.take_result(id).unwrap()
}

fn ground_start(throttle: f64) -> Launch {
    Launch::Ground(GroundStart {
        throttle,
        ..GroundStart::default()
    })
}

/// Every plane begins where it would come to rest: nothing moves, and the
/// ground carries m g.
#[test]
fn planes_stand_and_lie_still_from_the_first_tick() {
    for name in ["curlew", "marram", "sandpiper", "ternwing"] {
        let model = shipped(name, 1.225);
        // The run of a plane that lies still would end after half a second.
        let mut world = FieldWorld::new(FieldSetup::default());
        let id = world.add_flight(begin(&model, ground_start(0.0)));
        let first = world.aircraft(id).unwrap().state.clone();
        let Start::Standing(motion) = begin(&model, ground_start(0.0)).start else {
            panic!("stands");
        };
        assert_eq!(motion.position_m, first.position_m);
        world.step(200);
        let plane = world.aircraft(id).unwrap();
        let moved_m = (plane.state.position_m - first.position_m).length();
        assert!(moved_m < 5e-4, "{name} moved by {moved_m} m");
        assert!(
            plane.state.velocity_m_s.length() < 2e-3,
            "{name}: {:?}",
            plane.state.velocity_m_s
        );
        let turned = 2.0
            * (1.0 - plane.state.attitude.dot(first.attitude).abs())
                .max(0.0)
                .sqrt();
        assert!(turned < 0.2 * DEGREE, "{name} turned by {turned} rad");
        let samples = world.take_result(id).unwrap().recording.samples;
        // Sizes of impulses, so friction between the points adds a little.
        let carried_n = samples.last().unwrap().contact_impulse_n_s / 0.020;
        let weight_n = model.mass().mass_kg * GRAVITY_M_S2;
        let share = carried_n / weight_n;
        assert!(
            share > 0.995 && share < 1.03,
            "{name}: {carried_n} N of {weight_n} N"
        );
    }
}

/// The wheels' tops of the tricycle are at one height, so it stands level; the
/// balance point is as high as file and sag say.
#[test]
fn a_tricycle_stands_level_sagged_into_its_legs() {
    let model = shipped("curlew", 1.225);
    let Start::Standing(motion) = begin(&model, ground_start(0.0)).start else {
        panic!("stands");
    };
    let nose = motion.attitude * DVec3::X;
    assert!(nose.z.abs() < 2.0 * DEGREE.sin(), "{nose}");
    // Wheels touch 200 mm below the root; legs of 4.5 N / 9.4 mm sag by up to
    // half the weight each.
    let weight_n = model.mass().mass_kg * GRAVITY_M_S2;
    let root_m = motion.point_m(-model.mass().cg_m);
    let most_sag_m = 0.5 * weight_n * 0.0094 / 4.5;
    assert!(
        -root_m.z < 0.200 && -root_m.z > 0.200 - 1.3 * most_sag_m,
        "{root_m}"
    );
}

/// Off the ground: the run's work of the ground is the rolling resistance of
/// what the wing does not carry yet, and the plane flies away.
#[test]
fn the_trainer_with_wheels_rolls_and_lifts_off() {
    let model = shipped("curlew", 1.225);
    let mut setup = begin(&model, ground_start(1.0));
    // Some up elevator, as a pilot would hold.
    let sticks = Sticks {
        throttle: 1.0,
        pitch: 0.25,
        ..Sticks::default()
    };
    setup.pilot = ScriptedPilot::playback(vec![TimedMessage {
        time_s: 0.0,
        message: ControlMessage {
            sticks,
            ..ControlMessage::default()
        },
    }]);
    let result = fly(setup, 6.0);
    let samples = &result.recording.samples;
    let run: Vec<_> = samples
        .iter()
        .take_while(|s| s.stage == FlightStage::Ground)
        .collect();
    let off = run.last().unwrap();
    let run_m = off.north_m;
    assert!(run.len() < samples.len(), "never lifted off: {off:?}");
    assert!(run_m > 1.0 && run_m < 40.0, "ran {run_m} m");
    assert!(off.east_m.abs() < 0.3 * run_m, "swung off: {off:?}");
    let weight_n = model.mass().mass_kg * GRAVITY_M_S2;
    let by_hand_j: f64 = run
        .windows(2)
        .map(|pair| {
            let load_n = (1.0 - pair[1].load_factor).max(0.0) * weight_n;
            0.08 * load_n * (pair[1].north_m - pair[0].north_m)
        })
        .sum();
    let taken_j = -off.contact_work_j;
    // The legs' damping takes a little more.
    assert!(
        taken_j > 0.85 * by_hand_j && taken_j < 1.4 * by_hand_j,
        "{taken_j} J, by hand {by_hand_j} J over {run_m} m"
    );
}

fn events(recording: &Recording) -> impl Iterator<Item = &EventKind> {
    recording.events.iter().map(|event| &event.kind)
}

/// A propeller that turns clockwise seen from behind strikes with a blade that
/// goes to port: the ground throws the nose to starboard, stops the motor, and
/// the motor starts again only after the throttle was shut.
#[test]
fn a_strike_kicks_the_nose_aside_and_stops_the_motor() {
    let model = shipped("marram", 1.225);
    let nose_down = DQuat::from_rotation_y(-0.5);
    let mut motion = Motion::at_rest(DVec3::new(0.0, 0.0, -0.22));
    motion.attitude = nose_down;
    motion.velocity_m_s = DVec3::new(3.0, 0.0, 0.0);
    let mut setup = drop(&model, motion);
    setup.start = Start::Flying {
        motion,
        throttle: 0.3,
    };
    setup.pilot = steady(0.3);
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup);
    let mut before = world.aircraft(id).unwrap().state.clone();
    let mut struck = None;
    for _ in 0..300 {
        world.step(1);
        let plane = world.aircraft(id).unwrap();
        if before.power.omega_rad_s > 100.0 && plane.state.power.omega_rad_s == 0.0 {
            struck = Some((before.clone(), plane.state.clone()));
            break;
        }
        before = plane.state.clone();
    }
    let (before, after) = struck.expect("strikes");
    let yawed_rad_s = after.rates_rad_s.z - before.rates_rad_s.z;
    assert!(yawed_rad_s > 0.05, "{yawed_rad_s}");
    world.step(200);
    let plane = world.aircraft(id).unwrap();
    assert!(
        plane.state.power.duty == 0.0,
        "runs on with the throttle open"
    );
    let recording = world.take_result(id).unwrap().recording;
    assert!(events(&recording).any(|kind| matches!(kind, EventKind::PropellerStruck { .. })));
}

/// Banked steeply near the ground the low tip strikes first: it drags the plane
/// round toward that side, alike on both sides.
#[test]
fn a_wing_tip_that_touches_first_swings_the_plane_round() {
    let model = shipped("marram", 1.225);
    for side in [-1.0, 1.0] {
        let mut motion = Motion::at_rest(DVec3::new(0.0, 0.0, -0.70));
        motion.attitude = DQuat::from_rotation_x(side * 60.0 * DEGREE);
        motion.velocity_m_s = DVec3::new(9.0, 0.0, 1.5);
        let mut world = FieldWorld::new(FieldSetup::default());
        let id = world.add_flight(drop(&model, motion));
        let mut fastest_rad_s: f64 = 0.0;
        let mut turned_rad: f64 = 0.0;
        for _ in 0..600 {
            world.step(1);
            let state = &world.aircraft(id).unwrap().state;
            // About the vertical, positive to starboard.
            let about_down = (state.attitude * state.rates_rad_s).z * side;
            fastest_rad_s = fastest_rad_s.max(about_down);
            turned_rad += about_down * TICK_S;
        }
        assert!(fastest_rad_s > 3.0, "side {side}: {fastest_rad_s} rad/s");
        assert!(turned_rad > 1.0, "side {side}: turned by {turned_rad} rad");
    }
}

fn thrown(kind: ThrowKind) -> Throw {
    Throw {
        kind,
        release_height_m: if kind == ThrowKind::Underhand {
            1.1
        } else {
            1.7
        },
        reach_m: kind.usual_reach_m(),
        turn: kind.usual_turn(),
        ..Throw::default()
    }
}

/// Nothing jumps at the release of any kind of throw, and the trainer leaves
/// without hurting anybody.
#[test]
fn every_kind_of_throw_lets_go_without_a_jump() {
    let model = shipped("marram", 1.225);
    for kind in [
        ThrowKind::Overhand,
        ThrowKind::Underhand,
        ThrowKind::SideArm,
        ThrowKind::Helper,
    ] {
        let setup = begin(&model, Launch::Throw(thrown(kind)));
        let Start::Thrown(path) = setup.start.clone() else {
            panic!("a throw");
        };
        let mut world = FieldWorld::new(FieldSetup::default());
        let id = world.add_flight(setup);
        world.step((path.release_s() / TICK_S).round() as u64 - 1);
        let held = world.aircraft(id).unwrap().state.clone();
        world.step(2);
        let free = world.aircraft(id).unwrap().state.clone();
        // Two ticks of at most V^2 / R + 3 g.
        let jumped_m_s = (free.velocity_m_s - held.velocity_m_s).length();
        assert!(jumped_m_s < 0.4, "{kind:?}: {jumped_m_s} m/s");
        let turned_rad_s = (free.rates_rad_s - held.rates_rad_s).length();
        assert!(turned_rad_s < 0.5, "{kind:?}: {turned_rad_s} rad/s");
        world.step(250);
        let recording = world.take_result(id).unwrap().recording;
        let hurt = events(&recording).any(|kind| matches!(kind, EventKind::HitPerson { .. }));
        assert!(!hurt, "{kind:?} hurt somebody");
    }
}

/// A pusher's propeller passes the hand: turning, it cuts whoever throws.
#[test]
fn a_pusher_thrown_under_power_injures_its_thrower() {
    let model = shipped("ternwing", 1.225);
    let throw = thrown(ThrowKind::Overhand);
    assert!(
        throw.check_with(model.airframe()).is_err(),
        "refused before anything flies"
    );
    let result = fly(begin(&model, Launch::Throw(throw)), 3.0);
    let injury = EventKind::HitPerson {
        person: Person::Thrower,
        propeller: true,
    };
    assert!(events(&result.recording).any(|kind| *kind == injury));
    let after = Throw {
        power: PowerTiming::After { delay_s: 0.3 },
        ..throw
    };
    let result = fly(begin(&model, Launch::Throw(after)), 3.0);
    assert!(!events(&result.recording).any(|kind| *kind == injury));
}

#[test]
fn a_helper_throws_at_the_word_and_not_when_the_motor_is_dead() {
    let model = shipped("marram", 1.225);
    let launch = Launch::Throw(thrown(ThrowKind::Helper));
    let said = |recording: &Recording| -> Vec<String> {
        events(recording)
            .filter_map(|kind| match kind {
                EventKind::Said { word, .. } => Some(word.clone()),
                _ => None,
            })
            .collect()
    };
    let result = fly(begin(&model, launch), 4.0);
    assert_eq!(said(&result.recording), ["ready", "throttle", "go"]);
    let times: Vec<f64> = result
        .recording
        .events
        .iter()
        .map(|event| event.time_s)
        .collect();
    assert!(times.is_sorted(), "{times:?}");
    assert!(events(&result.recording).any(|kind| *kind == EventKind::Released));
    // Nobody opens the throttle: no sound, so the pilot calls it off.
    let mut setup = begin(&model, launch);
    setup.pilot = steady(0.0);
    let result = fly(setup, 4.0);
    assert_eq!(said(&result.recording), ["ready", "throttle", "stop"]);
    assert!(!events(&result.recording).any(|kind| *kind == EventKind::Released));
    assert_eq!(result.state.velocity_m_s, DVec3::ZERO);
}
