//! Faults of linkages and radio.

use larkfield_airframe::ControlSurface;
use larkfield_pilot::{Mishap, Steering, Wiring};

use crate::{Fault, NotHere, Origin, Scene, Sizes, Unit};

const NO_ELEVATOR: NotHere = NotHere {
    missing: "elevator",
    remedy: "choose a plane with one",
};
const NO_ROLL: NotHere = NotHere {
    missing: "control that answers the roll stick",
    remedy: "choose a plane with one",
};

pub(crate) static FAULTS: [Fault; 14] = [
    Fault {
        name: "elevator-reversed",
        origin: Origin::SetUp,
        sizes: None,
        what: "The pitch channel is reversed.",
        shows: "Pulling drops the nose; every correction makes it worse, from the first one on.",
        bench: "Propeller off, stand behind it, pull the stick: the elevator goes up.",
        remedy: "Reverse the channel in the transmitter, and check all directions again.",
        change: |scene, _| turn_over(scene, |surface| &mut surface.mix.pitch, NO_ELEVATOR),
    },
    Fault {
        name: "roll-reversed",
        origin: Origin::SetUp,
        sizes: None,
        what: "The channel of the roll stick is reversed: ailerons, or the rudder of a plane \
               without them.",
        shows: "A correction deepens the bank; the stick grows with it, on every heading.",
        bench: "Propeller off, stand behind it, stick right: right aileron up, or rudder right.",
        remedy: "Reverse the channel in the transmitter, and check all directions again.",
        change: |scene, _| match scene.radio.steering {
            Steering::Ailerons => turn_over(scene, |surface| &mut surface.mix.roll, NO_ROLL),
            Steering::Rudder => turn_over(scene, |surface| &mut surface.mix.yaw, NO_ROLL),
        },
    },
    Fault {
        name: "rudder-reversed",
        origin: Origin::SetUp,
        sizes: None,
        what: "The yaw channel is reversed.",
        shows: "Rudder swings the nose to the wrong side; without ailerons it banks the wrong way.",
        bench: "Propeller off, stand behind it, rudder stick right: the trailing edge goes right.",
        remedy: "Reverse the channel in the transmitter, and check all directions again.",
        change: |scene, _| {
            turn_over(
                scene,
                |surface| &mut surface.mix.yaw,
                NotHere {
                    missing: "rudder",
                    remedy: "choose a plane with one",
                },
            )
        },
    },
    Fault {
        name: "elevon-reversed",
        origin: Origin::SetUp,
        sizes: None,
        what: "One of two elevon servos turns the wrong way.",
        shows: "The pitch stick rolls it and the roll stick pitches it.",
        bench: "Propeller off, pull the stick: both elevons go up.",
        remedy: "Reverse that servo in the transmitter, and check pitch and roll again.",
        change: |scene, _| {
            let servo = elevons(scene).next().map(|surface| &mut surface.servo);
            let servo = servo.ok_or(NO_ELEVONS)?;
            servo.reversed ^= true;
            Ok(())
        },
    },
    Fault {
        name: "elevon-plugs-swapped",
        origin: Origin::SetUp,
        sizes: None,
        what: "The plugs of the two elevon servos are swapped.",
        shows: "Pitch is right, roll is reversed.",
        bench: "Propeller off, stand behind it, stick right: the right elevon goes up.",
        remedy: "Swap the plugs, and check pitch and roll again.",
        change: |scene, _| {
            let mut found = false;
            for surface in elevons(scene) {
                surface.mix.roll = -surface.mix.roll;
                found = true;
            }
            if found { Ok(()) } else { Err(NO_ELEVONS) }
        },
    },
    Fault {
        name: "pitch-trim-off",
        origin: Origin::SetUp,
        sizes: Some(Sizes::new(Unit::Percent, [8.0, 20.0, 40.0], [2.0, 80.0])),
        what: "With the stick let go the elevator stands this share of its travel too high.",
        shows: "The nose rises by itself from the moment it leaves the hand; one constant push on \
                the stick cures it.",
        bench: "Propeller off, radio on, hands off the sticks: the elevator is in line with the \
                tail.",
        remedy: "Trim lever to its middle, then straighten the elevator at its push rod. In the \
                 air: a steady push, trim when it is high.",
        change: |scene, share| {
            scene.trim_error.pitch += share;
            Ok(())
        },
    },
    Fault {
        name: "roll-trim-off",
        origin: Origin::SetUp,
        sizes: Some(Sizes::new(Unit::Percent, [8.0, 20.0, 40.0], [2.0, 80.0])),
        what: "With the stick let go, what answers the roll stick stands this share of its travel \
               too far to the right.",
        shows: "It banks right by itself from the moment it leaves the hand; one constant stick to \
                the left cures it.",
        bench: "Propeller off, radio on, hands off the sticks: ailerons in line with the wing, \
                rudder in line with the fin.",
        remedy: "Trim lever to its middle, then straighten the surfaces at their push rods. In the \
                 air: a steady stick against it, trim when it is high.",
        change: |scene, share| {
            scene.trim_error.roll += share;
            Ok(())
        },
    },
    Fault {
        name: "throws-large",
        origin: Origin::SetUp,
        sizes: Some(Sizes::new(
            Unit::Percent,
            [40.0, 90.0, 150.0],
            [10.0, 250.0],
        )),
        what: "Every surface moves this much further than it was meant to.",
        shows: "It is twitchy; corrections overshoot from side to side.",
        bench: "Propeller off: measure the throws at full stick with a ruler.",
        remedy: "The push rod further in at the servo, or lower rates. In the air: small sticks.",
        change: |scene, share| scale_travel(scene, 1.0 + share),
    },
    Fault {
        name: "throws-small",
        origin: Origin::SetUp,
        sizes: Some(Sizes::new(Unit::Percent, [25.0, 50.0, 75.0], [5.0, 95.0])),
        what: "Every surface moves this much less than it was meant to.",
        shows: "The stick is at its stop and it still answers too slowly.",
        bench: "Propeller off: measure the throws at full stick with a ruler.",
        remedy: "The push rod further out at the servo, or higher rates.",
        change: |scene, share| scale_travel(scene, 1.0 - share),
    },
    Fault {
        name: "expo-inverted",
        origin: Origin::SetUp,
        sizes: Some(Sizes::new(Unit::Percent, [20.0, 40.0, 80.0], [5.0, 100.0])),
        what: "Expo has the wrong sign: most sensitive around the middle, by this share.",
        shows: "The first touch of a stick does much and the rest of its way little.",
        bench: "Propeller off: half stick has to give less than half the throw.",
        remedy: "Change the sign of expo in the transmitter.",
        change: |scene, share| {
            scene.radio.expo.roll = -share;
            scene.radio.expo.pitch = -share;
            scene.radio.expo.yaw = -share;
            Ok(())
        },
    },
    Fault {
        name: "stick-mode-wrong",
        origin: Origin::SetUp,
        sizes: None,
        what: "The transmitter is set to another stick mode than the pilot's: the throttle stick \
               moves the elevator, and the elevator stick the throttle.",
        shows: "Opening the throttle drops the nose; pulling shuts the motor.",
        bench: "Propeller off: move one stick at a time, and name what moves before you look.",
        remedy: "Set the mode in the transmitter, and check all directions again.",
        change: |scene, _| {
            scene.radio.wiring = Wiring::OtherMode;
            Ok(())
        },
    },
    Fault {
        name: "channel-order-wrong",
        origin: Origin::SetUp,
        sizes: None,
        what: "The transmitter sends its channels in another order than the receiver's plugs \
               have: the throttle stick moves an aileron, the motor follows the elevator.",
        shows: "Opening the throttle rolls it; pulling starts the motor.",
        bench: "Propeller off: move one stick at a time, and name what moves before you look.",
        remedy: "Set the order in the transmitter or move the plugs, and check all directions again.",
        change: |scene, _| {
            scene.radio.wiring = Wiring::ThrottleFirst;
            Ok(())
        },
    },
    Fault {
        name: "model-memory-wrong",
        origin: Origin::SetUp,
        sizes: None,
        what: "The transmitter has another model's memory: its elevator is reversed, its rates are \
               full, without expo, and its trims are off.",
        shows: "Nothing is as it was yesterday: directions, throws and trims.",
        bench: "Propeller off: read the model's name on the transmitter, then check all directions.",
        remedy: "Choose the right memory, and check all directions again.",
        change: |scene, _| {
            turn_over(scene, |surface| &mut surface.mix.pitch, NO_ELEVATOR)?;
            let radio = &mut scene.radio;
            for (rate, expo) in [
                (&mut radio.rates.roll, &mut radio.expo.roll),
                (&mut radio.rates.pitch, &mut radio.expo.pitch),
                (&mut radio.rates.yaw, &mut radio.expo.yaw),
            ] {
                (*rate, *expo) = (1.0, 0.0);
            }
            scene.trim_error.roll += 0.15;
            scene.trim_error.pitch -= 0.15;
            Ok(())
        },
    },
    Fault {
        name: "motor-not-armed",
        origin: Origin::SetUp,
        sizes: None,
        what: "The motor was never armed: the throttle does nothing.",
        shows: "It leaves the hand in silence and sinks.",
        bench: "Plane held, everybody clear of the propeller's arc: the motor has to run before \
                any throw.",
        remedy: "Throttle shut, arm it, and hear it run. In the air: level, and land straight ahead.",
        change: |scene, _| {
            scene.power()?;
            scene.mishaps.0.push(Mishap::NotArmed);
            Ok(())
        },
    },
];

const NO_ELEVONS: NotHere = NotHere {
    missing: "elevon",
    remedy: "choose a plane with elevons",
};

/// Surfaces that answer both roll and pitch.
fn elevons(scene: &mut Scene) -> impl Iterator<Item = &mut ControlSurface> {
    let both = |surface: &&mut ControlSurface| surface.mix.roll != 0.0 && surface.mix.pitch != 0.0;
    scene.airframe.controls.iter_mut().filter(both)
}

fn turn_over(
    scene: &mut Scene,
    gain: fn(&mut ControlSurface) -> &mut f64,
    missing: NotHere,
) -> Result<(), NotHere> {
    let mut found = false;
    for surface in &mut scene.airframe.controls {
        let gain = gain(surface);
        found |= *gain != 0.0;
        *gain = -*gain;
    }
    if found { Ok(()) } else { Err(missing) }
}

fn scale_travel(scene: &mut Scene, factor: f64) -> Result<(), NotHere> {
    for surface in &mut scene.airframe.controls {
        surface.travel_positive_rad *= factor;
        surface.travel_negative_rad *= factor;
    }
    Ok(())
}
