//! What breaks and what does not.

#[path = "common/flights.rs"]
mod flights;

use std::f64::consts::FRAC_PI_2;

use flights::{drop, trainer};
use glam::{DQuat, DVec3};
use larkfield_airframe::BreakPart;
use larkfield_recording::EventKind;
use larkfield_world::{FieldSetup, FieldWorld, FlightResult, Motion, contact};

/// Lets the trainer fall so that its lowest point begins at a height.
fn fall(attitude: DQuat, height_m: f64, tick_s: f64) -> FlightResult {
    let model = trainer();
    let shapes = contact::contact_shapes(model.airframe(), model.mass().cg_m);
    let mut motion = Motion::at_rest(DVec3::ZERO);
    motion.attitude = attitude;
    let lowest_m = shapes
        .iter()
        .map(|shape| motion.point_m(shape.centre_m).z + shape.radius_m)
        .fold(f64::NEG_INFINITY, f64::max);
    motion.position_m.z = -(height_m + lowest_m);
    let mut world = FieldWorld::new(FieldSetup {
        tick_s,
        ..FieldSetup::default()
    });
    let id = world.add_flight(drop(&model, motion));
    assert!(world.run_to_end(|_| true));
    world.take_result(id).unwrap()
}

fn nose_down() -> DQuat {
    DQuat::from_rotation_y(-FRAC_PI_2)
}

fn broken(result: &FlightResult) -> Vec<BreakPart> {
    let noted = result.recording.events.iter();
    let noted = noted.filter(|event| matches!(event.kind, EventKind::Broke { .. }));
    assert_eq!(noted.count(), result.damage.broken.len());
    result.damage.broken.clone()
}

#[test]
fn nose_first_from_3_m_breaks_something() {
    let result = fall(nose_down(), 3.0, 0.002);
    let broken = broken(&result);
    assert!(
        broken.contains(&BreakPart::Propeller) || broken.contains(&BreakPart::Nose),
        "{broken:?} {:?}",
        result.damage.worst_n_s
    );
    assert!(result.state.lost.propeller);
}

#[test]
fn flat_from_half_a_metre_breaks_nothing() {
    let result = fall(DQuat::IDENTITY, 0.5, 0.002);
    assert_eq!(broken(&result), [], "{:?}", result.damage.worst_n_s);
    let touched = result
        .recording
        .events
        .iter()
        .find_map(|event| match &event.kind {
            EventKind::TouchedGround { sink_m_s, .. } => Some((event.time_s, *sink_m_s)),
            _ => None,
        });
    // A fall without air: 0.319 s and 3.13 m/s; the wing holds it back.
    let (time_s, sink_m_s) = touched.unwrap();
    assert!(time_s > 0.31 && time_s < 0.6, "{time_s} s");
    assert!(sink_m_s > 1.0 && sink_m_s < 3.2, "{sink_m_s} m/s");
    assert!(matches!(
        result.recording.events[result.recording.events.len() - 2].kind,
        EventKind::AtRest
    ));
}

/// The impulse that stops a plane is its momentum, whatever the tick: a
/// nose-first drop is stopped by nose and propeller with about m v.
#[test]
fn the_blow_is_the_momentum_at_any_tick() {
    let mut sums = Vec::new();
    for tick_s in [0.004, 0.002, 0.001, 0.0005] {
        let result = fall(nose_down(), 1.0, tick_s);
        let sum_n_s: f64 = result
            .damage
            .worst_n_s
            .iter()
            .filter(|(part, _)| matches!(part, BreakPart::Nose | BreakPart::Propeller))
            .map(|(_, worst_n_s)| worst_n_s)
            .sum();
        sums.push(sum_n_s);
    }
    // v = sqrt(2 g h) = 4.43 m/s less a little drag.
    let momentum_n_s = trainer().mass().mass_kg * 4.43;
    for sum_n_s in &sums {
        let share = sum_n_s / momentum_n_s;
        assert!(share > 0.5 && share < 1.3, "{sums:?} of {momentum_n_s} N s");
        assert!((sum_n_s / sums[1] - 1.0).abs() < 0.15, "{sums:?}");
    }
}
