//! What a recording says about its plane.

use larkfield_diagnosis::{Diagnosis, NotDiagnosed, Plane, diagnose};
use larkfield_pilot::{Launch, RadioSetup, Trims};
use larkfield_recording::Sample;

use crate::inputs::Inputs;

/// Finds the faults that explain a recording, from what a logger could have
/// measured, the plane as designed and the throw that was meant. What the inputs
/// know besides - faults, wind, trim - is not looked at. Whether it `went_wrong`
/// decides whether pilot and air are asked. `go_on` as in
/// [`diagnose`].
///
/// # Errors
/// A recording without a flight, an airframe that cannot be flown.
pub fn causes_of(
    inputs: &Inputs,
    samples: &[Sample],
    went_wrong: bool,
    go_on: impl FnMut(f64) -> bool,
) -> Result<Diagnosis, NotDiagnosed> {
    let radio = match &inputs.radio {
        Some(radio) => radio.radio_setup(&inputs.designed),
        None => RadioSetup::for_airframe(&inputs.designed),
    };
    let throw = match (&inputs.lesson.air_start, &inputs.lesson.launch) {
        (None, Launch::Throw(throw)) => Some(*throw),
        _ => None,
    };
    let plane = Plane {
        airframe: &inputs.designed,
        radio,
        trim_error: Trims::default(),
        air: inputs.model.air(),
        throw,
        went_wrong,
    };
    diagnose(&plane, samples, go_on)
}
