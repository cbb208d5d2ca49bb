//! Flights with faults, of planes that differ from their files as built ones do.

use std::path::Path;
use std::sync::Arc;

use larkfield_airframe::{Airframe, MassProperties};
use larkfield_flight::FlightModel;
use larkfield_pilot::Noise;
use larkfield_recording::Recording;
use larkfield_rehearsal::{Inputs, Ready, Request};
use larkfield_world::{FieldSetup, FieldWorld};

/// The lesson in which faults of plane and throw are flown.
pub const FIRST_LAUNCH: &str = "first_launch";

/// A lesson, a plane and its faults; `None` when this plane cannot have them.
pub fn inputs_with(lesson: &str, plane: &str, faults: &[String]) -> Option<Inputs> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    Inputs::resolve(&Request {
        lesson: Some(root.join(format!("assets/lessons/{lesson}.ron"))),
        airframe: Some(root.join(format!("shared/airframes/{plane}.ron"))),
        faults: faults.to_vec(),
        unlocked: true,
        ..Request::default()
    })
    .ok()
}

/// What a flight of a seed leaves; `None` when that day's wind is refused.
pub fn flown_with(inputs: &Inputs, seed: u64) -> Option<Recording> {
    let mut ready = Ready::of(inputs, seed).ok()?;
    let flown = as_built(inputs.model.airframe(), seed);
    ready.setup.model = Arc::new(FlightModel::new(&flown, inputs.model.air()).ok()?);
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(ready.setup);
    world.run_to_end(|_| true);
    Some(world.take_result(id)?.recording)
}

/// The plane with what its builder could not measure: balance off by up to 3 mm,
/// mass by 3 %, thrust by 10 %, drag by 15 %.
fn as_built(airframe: &Airframe, seed: u64) -> Airframe {
    let noise = Noise::new(seed, "as built");
    let even = |channel: u32| 2.0 * noise.uniform(channel) - 1.0;
    let mut built = airframe.clone();
    let mass = MassProperties::of(airframe);
    built.measured.balance_x_m = Some(mass.cg_m.x + 0.003 * even(0));
    built.measured.mass_kg = Some(mass.mass_kg * (1.0 + 0.03 * even(1)));
    if let Some(power) = &mut built.power {
        // Thrust goes with the fourth power of the diameter.
        power.propeller.diameter_m *= (1.0 + 0.10 * even(2)).powf(0.25);
    }
    // About half of what drags without lifting is the body (common practice, no
    // source), and that goes with its cross-section.
    let wider = (1.0 + 2.0 * 0.15 * even(3)).sqrt();
    for station in built.bodies.iter_mut().flat_map(|body| &mut body.stations) {
        station.width_m *= wider;
        station.height_m *= wider;
    }
    built
}
