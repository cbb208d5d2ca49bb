//! Faults of motor, propeller and battery.

use glam::DQuat;

use crate::{Fault, NotHere, Origin, Scene, Sizes, Unit};

pub(crate) static FAULTS: [Fault; 5] = [
    Fault {
        name: "thrust-line-high",
        origin: Origin::Power,
        sizes: Some(Sizes::new(Unit::Degree, [2.0, 5.0, 9.0], [0.5, 15.0])),
        what: "The motor points this much further up than it was meant to: too little downthrust.",
        shows: "Opening the throttle raises the nose by itself, closing it drops the nose.",
        bench: "Battery out, propeller off: compare the motor's shaft with the wing's chord from \
                the side.",
        remedy: "Washers behind the top of the mount. In the air: open the throttle slowly.",
        change: |scene, size_rad| turn_thrust(scene, DQuat::from_rotation_y(size_rad)),
    },
    Fault {
        name: "thrust-line-left",
        origin: Origin::Power,
        sizes: Some(Sizes::new(Unit::Degree, [2.0, 4.0, 8.0], [0.5, 15.0])),
        what: "The motor points this much further to port than it was meant to: too little right \
               thrust.",
        shows: "It swings left with power and flies straight without.",
        bench: "Battery out, propeller off: compare the motor's shaft with the fuselage from above.",
        remedy: "Washers behind the port side of the mount. In the air: less power, a little right.",
        change: |scene, size_rad| turn_thrust(scene, DQuat::from_rotation_z(-size_rad)),
    },
    Fault {
        name: "propeller-backward",
        origin: Origin::Power,
        sizes: None,
        what: "The propeller is mounted back to front.",
        shows: "The motor sounds as always, but it pulls little: it sinks after the throw.",
        bench: "Battery out: the lettering and the rounded side of the blades face forward.",
        remedy: "Battery out, then turn the propeller round. In the air: level and land ahead.",
        change: |scene, _| {
            scene.power()?.propeller.mounted_backward ^= true;
            Ok(())
        },
    },
    Fault {
        name: "motor-reversed",
        origin: Origin::Power,
        sizes: None,
        what: "The motor turns the wrong way round.",
        shows: "It sounds nearly as always, and the propeller pushes the plane back.",
        bench: "Propeller off, a strip of tape on the shaft: from behind it turns the way the \
                propeller's blades are made for.",
        remedy: "Battery out, then swap two of the motor's three wires. In the air: motor off, \
                 level, land ahead.",
        change: |scene, _| {
            // Turned about the vertical by half a turn, a propeller on backward is
            // one on the right way round that turns the wrong way, and it pulls
            // to the rear.
            let power = scene.power()?;
            power.propeller.mounted_backward ^= true;
            power.thrust_direction = -power.thrust_direction;
            Ok(())
        },
    },
    Fault {
        name: "battery-used",
        origin: Origin::Power,
        sizes: Some(Sizes::new(Unit::Percent, [40.0, 75.0, 92.0], [5.0, 99.0])),
        what: "This much of what the battery holds was used before the flight.",
        shows: "The motor starts well and fades within seconds; the climb fades with it.",
        bench: "Measure the voltage of every cell before each flight.",
        remedy: "Fly with a full battery only. In the air: power for the landing first.",
        change: |scene, used| {
            scene.power()?.battery.charge *= 1.0 - used;
            Ok(())
        },
    },
];

fn turn_thrust(scene: &mut Scene, turn: DQuat) -> Result<(), NotHere> {
    let power = scene.power()?;
    power.thrust_direction = (turn * power.thrust_direction).normalize();
    Ok(())
}
