//! A flight is the same to the last bit whoever else is on the field, in
//! whatever order they came, through touchdown and break-up.

#[path = "common/flights.rs"]
mod flights;

use flights::{breeze, drop, launch, trainer};
use glam::{DQuat, DVec3};
use larkfield_pilot::PilotKind;
use larkfield_world::{FieldSetup, FieldWorld, FlightResult, FlightSetup, Motion};

/// Everything a flight left, in a form that tells apart every bit pattern.
fn bytes(result: &FlightResult) -> String {
    format!("{result:?}")
}

/// A hundred different flights: launches by all kinds of pilots in turbulence,
/// and planes that come down in every attitude.
fn hundred() -> Vec<FlightSetup> {
    let model = trainer();
    let winds = [breeze(1), breeze(2)];
    (0..100_u64)
        .map(|index| {
            let wind = &winds[(index % 2) as usize];
            let angle = index as f64;
            match index % 5 {
                0 => launch(&model, wind, PilotKind::Competent, index),
                1 => launch(&model, wind, PilotKind::Beginner, index),
                2 => launch(&model, wind, PilotKind::HandsOff, index),
                _ => {
                    let mut motion =
                        Motion::at_rest(DVec3::new(angle, -2.0 * angle, -2.0 - 0.05 * angle));
                    motion.attitude = DQuat::from_xyzw(
                        libm::sin(angle),
                        libm::cos(2.0 * angle),
                        libm::sin(3.0 * angle),
                        0.3,
                    )
                    .normalize();
                    motion.velocity_m_s = DVec3::new(6.0, 0.1 * angle, 2.0);
                    drop(&model, motion)
                }
            }
        })
        .collect()
}

/// Long enough for every drop to break up and for the hasty pilots to crash.
const TICKS: u64 = 4000;

fn fly(setups: &[FlightSetup], order: &[usize], ticks_before: u64) -> Vec<String> {
    let mut world = FieldWorld::new(FieldSetup::default());
    world.step(ticks_before);
    let ids: Vec<_> = order
        .iter()
        .map(|index| world.add_flight(setups[*index].clone()))
        .collect();
    world.step(TICKS);
    let mut results = vec![String::new(); setups.len()];
    for (id, index) in ids.into_iter().zip(order) {
        results[*index] = bytes(&world.take_result(id).unwrap());
    }
    results
}

#[test]
fn company_and_order_change_nothing() {
    let setups = hundred();
    let forward: Vec<usize> = (0..setups.len()).collect();
    let backward: Vec<usize> = forward.iter().rev().copied().collect();
    let shuffled: Vec<usize> = forward.iter().map(|index| (index * 37) % 100).collect();
    let together = fly(&setups, &forward, 0);
    let touched = together
        .iter()
        .filter(|text| text.contains("TouchedGround"))
        .count();
    let broke = together
        .iter()
        .filter(|text| text.contains("Broke {"))
        .count();
    let pieces = together
        .iter()
        .filter(|text| text.contains("PieceAtRest {"))
        .count();
    assert!(
        touched >= 40 && broke >= 20 && pieces >= 10,
        "a trivial setup: {touched} touched, {broke} broke, {pieces} with pieces"
    );
    for order in [backward, shuffled] {
        let again = fly(&setups, &order, 17);
        for index in &forward {
            assert!(
                together[*index] == again[*index],
                "flight {index} depends on the order"
            );
        }
    }
    for index in forward.iter().copied() {
        let alone = fly(&setups[index..=index], &[0], 0);
        assert!(
            together[index] == alone[0],
            "flight {index} depends on company"
        );
    }
}

/// Planes may be put in and taken out while others fly.
#[test]
fn comings_and_goings_change_nothing() {
    let setups = hundred();
    let alone = fly(&setups[3..=3], &[0], 0);
    let mut world = FieldWorld::new(FieldSetup::default());
    let first = world.add_flight(setups[8].clone());
    world.step(100);
    let watched = world.add_flight(setups[3].clone());
    world.step(300);
    world.take_result(first).unwrap();
    let other = world.add_flight(setups[13].clone());
    world.step(TICKS - 300);
    assert!(bytes(&world.take_result(watched).unwrap()) == alone[0]);
    assert!(world.take_result(watched).is_none(), "taken twice");
    world.take_result(other).unwrap();
}
