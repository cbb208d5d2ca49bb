//! Energy, the release, and what halving the tick does.

#[path = "common/flights.rs"]
mod flights;

use flights::{breeze, calm, launch, launch_at, trainer};
use larkfield_pilot::PilotKind;
use larkfield_recording::{EventKind, FlightStage, Recording};
use larkfield_world::{FieldSetup, FieldWorld, FlightResult, FlightSetup, Start};

fn fly(setup: FlightSetup, tick_s: f64) -> FlightResult {
    let mut world = FieldWorld::new(FieldSetup {
        tick_s,
        ..FieldSetup::default()
    });
    let id = world.add_flight(setup);
    assert!(world.run_to_end(|_| true));
    world.take_result(id).unwrap()
}

/// Between release and the end, the change of energy is the work of thrust, air
/// and contact, within 1 % of the work done.
#[test]
fn energy_changes_by_the_work_of_thrust_air_and_contact() {
    let model = trainer();
    let mut landed = 0;
    for seed in 0..12 {
        for kind in [
            PilotKind::Competent,
            PilotKind::Beginner,
            PilotKind::HandsOff,
        ] {
            // Every third flight without the power to stay up.
            let throttle = if seed % 3 == 0 { 0.2 } else { 0.75 };
            let setup = launch_at(&model, &breeze(seed), kind, seed, throttle);
            let result = fly(setup, 0.002);
            let samples = &result.recording.samples;
            let free = samples
                .iter()
                .find(|s| s.stage == FlightStage::Free)
                .unwrap();
            let last = samples.last().unwrap();
            let change_j = last.energy_j - free.energy_j;
            let work_j = (last.air_work_j - free.air_work_j)
                + (last.thrust_work_j - free.thrust_work_j)
                + (last.contact_work_j - free.contact_work_j);
            let size_j = (last.air_work_j - free.air_work_j).abs()
                + (last.thrust_work_j - free.thrust_work_j).abs()
                + (last.contact_work_j - free.contact_work_j).abs();
            assert!(
                (change_j - work_j).abs() <= 0.01 * size_j,
                "seed {seed} {kind:?}: energy changed by {change_j} J, work was {work_j} J"
            );
            assert!(
                last.contact_work_j <= 1e-3,
                "the ground gave {} J",
                last.contact_work_j
            );
            landed += u32::from(last.contact_work_j < -0.5);
        }
    }
    assert!(
        landed >= 5,
        "only {landed} flights ended on the ground: a trivial setup"
    );
}

/// Nothing jumps when the hand lets go: the first free tick continues the hand's
/// motion, at any tick length, also one that the release does not fall on.
#[test]
fn nothing_jumps_at_release() {
    let model = trainer();
    for tick_s in [0.002, 0.001, 0.0013, 0.0037] {
        let setup = launch(&model, &calm(), PilotKind::HandsOff, 3);
        let Start::Thrown(path) = setup.start.clone() else {
            unreachable!("a launch starts in a hand");
        };
        let mut world = FieldWorld::new(FieldSetup {
            tick_s,
            ..FieldSetup::default()
        });
        let id = world.add_flight(setup);
        let mut ticks: u32 = 0;
        while world.aircraft(id).unwrap().stage == FlightStage::InHand {
            world.step(1);
            ticks += 1;
        }
        let time_s = f64::from(ticks) * tick_s;
        let since_s = time_s - path.release_s();
        assert!(
            since_s > -1e-9 && since_s < tick_s,
            "released {since_s} s late"
        );
        let hand = path.at(time_s);
        let plane = world.aircraft(id).unwrap();
        let jump_m_s = (plane.state.velocity_m_s - hand.velocity_m_s).length();
        let jump_m = (plane.state.position_m - hand.position_m).length();
        // Gravity and thrust are below 15 m/s2.
        assert!(
            jump_m_s <= 15.0 * since_s + 1e-12,
            "{tick_s}: {jump_m_s} m/s"
        );
        assert!(
            jump_m <= 15.0 * since_s * since_s + 1e-12,
            "{tick_s}: {jump_m} m"
        );
        let released = path.release_s();
        world.step(1000);
        let recording: Recording = world.take_result(id).unwrap().recording;
        let event = recording
            .events
            .iter()
            .find(|e| e.kind == EventKind::Released)
            .unwrap();
        assert_eq!(event.time_s, released);
    }
}

/// Halving the tick changes a flight without contacts by little.
#[test]
fn halving_the_tick_changes_little() {
    let model = trainer();
    let at = |tick_s: f64| {
        let result = fly(launch(&model, &calm(), PilotKind::HandsOff, 1), tick_s);
        // Three seconds after the release.
        result.recording.samples[225]
    };
    let (coarse, fine) = (at(0.002), at(0.001));
    assert_eq!(coarse.time_s, fine.time_s);
    let apart_m = ((coarse.north_m - fine.north_m) * (coarse.north_m - fine.north_m)
        + (coarse.height_m - fine.height_m) * (coarse.height_m - fine.height_m))
        .sqrt();
    assert!(apart_m < 0.05, "{apart_m} m apart after 3 s");
    assert!((coarse.airspeed_m_s - fine.airspeed_m_s).abs() < 0.05);
}
