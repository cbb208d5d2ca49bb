//! From the sticks to the surfaces of the shipped planes: file, radio, servo.

use std::path::Path;

use larkfield_airframe::Airframe;
use larkfield_flight::{Controls, commanded_share};
use larkfield_pilot::{ControlMessage, RadioSetup, Steering, Sticks};

fn plane(name: &str) -> Airframe {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../shared/airframes")
        .join(format!("{name}.ron"));
    larkfield_files::airframe::load_airframe(&path).unwrap_or_else(|e| panic!("{e}"))
}

fn encoded(airframe: &Airframe, roll: f64, pitch: f64, yaw: f64) -> Controls {
    RadioSetup::for_airframe(airframe).encode(&ControlMessage {
        sticks: Sticks {
            roll,
            pitch,
            yaw,
            throttle: 0.0,
        },
        ..ControlMessage::default()
    })
}

fn share(airframe: &Airframe, surface: &str, controls: &Controls) -> f64 {
    let found = airframe.controls.iter().find(|c| c.name == surface);
    commanded_share(found.unwrap_or_else(|| panic!("no {surface}")), controls)
}

/// From behind: stick right, right aileron up (negative); stick back, trailing
/// edges up; rudder stick right, rudder to starboard (negative).
#[test]
fn every_stick_moves_the_right_surface_the_right_way() {
    let curlew = plane("curlew");
    assert_eq!(
        RadioSetup::for_airframe(&curlew).steering,
        Steering::Ailerons
    );
    let right = encoded(&curlew, 1.0, 0.0, 0.0);
    assert!(share(&curlew, "aileron_right", &right) < -0.5);
    assert!(share(&curlew, "aileron_left", &right) > 0.5);
    for still in ["rudder", "elevator_left"] {
        assert!(share(&curlew, still, &right).abs() < 1e-12);
    }
    let back = encoded(&curlew, 0.0, 1.0, 0.0);
    assert!(share(&curlew, "elevator_left", &back) < -0.5);
    assert!(share(&curlew, "aileron_left", &back).abs() < 1e-12);
    let rudder = encoded(&curlew, 0.0, 0.0, 1.0);
    assert!(share(&curlew, "rudder", &rudder) < -0.5);

    // No ailerons: the stick that banks moves the rudder.
    let sandpiper = plane("sandpiper");
    let right = encoded(&sandpiper, 1.0, 0.0, 0.0);
    assert!(share(&sandpiper, "rudder", &right) < -0.9);
}

#[test]
fn elevons_answer_two_sticks_at_once() {
    let ternwing = plane("ternwing");
    let setup = RadioSetup::for_airframe(&ternwing);
    assert_eq!(setup.steering, Steering::Ailerons);
    let shares = |roll: f64, pitch: f64| {
        let controls = encoded(&ternwing, roll, pitch, 0.0);
        [
            share(&ternwing, "elevon_left", &controls),
            share(&ternwing, "elevon_right", &controls),
        ]
    };
    // The file's mix: 65 % of the travel for pitch, 45 % for roll, at the
    // radio's rates.
    let (pitch, roll) = (0.65 * setup.rates.pitch, 0.45 * setup.rates.roll);
    for (sticks, wanted) in [
        ((0.0, 1.0), [-pitch, -pitch]),
        ((1.0, 0.0), [roll, -roll]),
        ((1.0, 1.0), [roll - pitch, -roll - pitch]),
        ((-1.0, -1.0), [pitch - roll, pitch + roll]),
    ] {
        let found = shares(sticks.0, sticks.1);
        for (found, wanted) in found.iter().zip(wanted) {
            assert!(
                (found - wanted).abs() < 1e-12,
                "{sticks:?}: {found}, {wanted}"
            );
        }
    }
    // It has no rudder: that stick moves nothing.
    let controls = encoded(&ternwing, 0.0, 0.0, 1.0);
    assert!(
        ternwing
            .controls
            .iter()
            .all(|c| commanded_share(c, &controls).abs() < 1e-12)
    );
}
