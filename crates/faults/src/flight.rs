//! Faults that show only once it flies: something gives way.

use larkfield_airframe::{Airframe, ComponentKind, ControlSurface, MassProperties};
use larkfield_pilot::{FailSafe, Mishap, Steering};

use crate::{Fault, NotHere, Origin, Scene, Sizes, Unit};

/// Times since the release, late to early: the earlier, the less height there is.
const TIMES: Option<Sizes> = Some(Sizes::new(Unit::Second, [1.0, 2.0, 4.0], [0.1, 600.0]));

const PULL_AT_EVERYTHING: &str = "Propeller off: pull at every push rod and hinge, and work each \
                                  stick fifty times. Nothing may stick or give.";

pub(crate) static FAULTS: [Fault; 7] = [
    Fault {
        name: "battery-shifts",
        origin: Origin::Flight,
        sizes: Some(Sizes::new(
            Unit::Millimetre,
            [25.0, 60.0, 100.0],
            [5.0, 250.0],
        )),
        what: "The push of the throw slides the battery this far back.",
        shows: "It balances on the bench, and from the release on it flies as a tail-heavy plane \
                does: the nose rears, a breath of elevator does much.",
        bench: "Propeller off: pull at the battery, and shake the plane nose up. Nothing may move.",
        remedy: "A strap around it, and a stop behind it. In the air: small pushes, gentle power, \
                 land straight ahead.",
        change: slide_battery,
    },
    Fault {
        name: "pitch-servo-stops",
        origin: Origin::Flight,
        sizes: TIMES,
        what: "This long after the release the elevator's servo, or one of two elevons', stops \
               where it is.",
        shows: "It answered the pitch stick, and from one moment on it does not any more.",
        bench: PULL_AT_EVERYTHING,
        remedy: "A new servo or clevis. In the air: throttle is the elevator now; gently down, \
                 straight ahead.",
        change: |scene, after_s| {
            stop_servo(
                scene,
                after_s,
                |surface| surface.mix.pitch != 0.0,
                NotHere {
                    missing: "elevator",
                    remedy: "choose a plane with one",
                },
            )
        },
    },
    Fault {
        name: "roll-servo-stops",
        origin: Origin::Flight,
        sizes: TIMES,
        what: "This long after the release a servo that turns the plane stops where it is: an \
               aileron's, or the rudder's of a plane without them.",
        shows: "It answered the stick that turns it, and from one moment on hardly or not at all.",
        bench: PULL_AT_EVERYTHING,
        remedy: "A new servo or clevis. In the air: rudder, if there is one; else power off and \
                 down.",
        change: |scene, after_s| {
            let turns: fn(&ControlSurface) -> bool = match scene.radio.steering {
                Steering::Ailerons => |surface| surface.mix.roll != 0.0,
                Steering::Rudder => |surface| surface.mix.yaw != 0.0,
            };
            stop_servo(
                scene,
                after_s,
                turns,
                NotHere {
                    missing: "control that turns it",
                    remedy: "choose a plane with one",
                },
            )
        },
    },
    Fault {
        name: "link-lost",
        origin: Origin::Flight,
        sizes: TIMES,
        what: "This long after the release the receiver hears the transmitter no more, and shuts \
               the motor as it should.",
        shows: "The motor stops, all surfaces go to their middle, and no stick does anything.",
        bench: "Propeller off: range check at thirty paces and reduced power, motor running as \
                the radio's maker says; antennas away from battery and carbon.",
        remedy: "Do not fly until the range is what it should be. In the air: sticks to the \
                 middle, throttle shut, and watch where it comes down.",
        change: |scene, after_s| lose_link(scene, after_s, FailSafe::MotorOff),
    },
    Fault {
        name: "fail-safe-holds",
        origin: Origin::Flight,
        sizes: TIMES,
        what: "This long after the release the receiver hears the transmitter no more, and holds \
               everything as it was, motor included.",
        shows: "Every command freezes, and it flies on under power in whatever turn it was.",
        bench: "Propeller off, motor running: switch the transmitter off. The motor has to stop.",
        remedy: "Set the fail-safe to motor off before any flight. In the air: nothing helps but \
                 people out of its way.",
        change: |scene, after_s| lose_link(scene, after_s, FailSafe::Hold),
    },
    Fault {
        name: "receiver-brown-out",
        origin: Origin::Flight,
        sizes: TIMES,
        what: "This long after the release the receiver's supply breaks down and it starts anew.",
        shows: "The motor stops, no stick does anything for a second or two, then all is as before.",
        bench: "Propeller off: move all sticks at once, fast, with the motor running. The receiver's \
                light must not blink.",
        remedy: "A stronger supply for receiver and servos, a fresh battery. In the air: wait, then \
                 wings level and land.",
        change: |scene, after_s| {
            scene.mishaps.0.push(Mishap::BrownOut { after_s });
            Ok(())
        },
    },
    Fault {
        name: "motor-cuts-out",
        origin: Origin::Flight,
        sizes: TIMES,
        what: "This long after the release the controller cuts the motor for good: its limit for a \
               tired battery, or its own heat.",
        shows: "The thrust is gone from one moment to the next, with the throttle stick where it \
                was.",
        bench: "Plane held, everybody clear of the propeller's arc: full power for half a minute. \
                Feel the controller afterwards, and look up what it counts as empty.",
        remedy: "A fresh battery, air for the controller, the right number of cells in its \
                 setting. In the air: nose down to the glide at once, then land ahead.",
        change: |scene, after_s| {
            scene.power()?;
            scene.mishaps.0.push(Mishap::MotorCut { after_s });
            Ok(())
        },
    },
];

/// Moves the battery aft, and with it the balance, measured or not.
fn slide_battery(scene: &mut Scene, back_m: f64) -> Result<(), NotHere> {
    let airframe: &mut Airframe = &mut scene.airframe;
    let before = MassProperties::of(airframe);
    let scaled = before.mass_kg / before.summed_mass_kg.max(1e-9);
    let mut moved_kg = 0.0;
    for component in &mut airframe.components {
        if component.kind == ComponentKind::Battery {
            component.position_m.x -= back_m;
            moved_kg += component.mass_kg * scaled;
        }
    }
    if moved_kg <= 0.0 {
        return Err(NotHere {
            missing: "battery among the components",
            remedy: "choose a plane whose file lists one",
        });
    }
    if let Some(balance_x_m) = &mut airframe.measured.balance_x_m {
        *balance_x_m -= back_m * moved_kg / before.mass_kg;
    }
    Ok(())
}

fn lose_link(scene: &mut Scene, after_s: f64, does: FailSafe) -> Result<(), NotHere> {
    scene.radio.fail_safe = does;
    scene.mishaps.0.push(Mishap::LinkLost { after_s });
    Ok(())
}

fn stop_servo(
    scene: &mut Scene,
    after_s: f64,
    is: impl Fn(&ControlSurface) -> bool,
    missing: NotHere,
) -> Result<(), NotHere> {
    let mut found = false;
    for (control, surface) in scene.airframe.controls.iter().enumerate() {
        // Both halves of an elevator hang on one servo; what rolls has one for
        // each side, and one of them stops.
        if is(surface) && !(found && surface.mix.roll != 0.0) {
            found = true;
            let stops = Mishap::ServoStops { control, after_s };
            scene.mishaps.0.push(stops);
        }
    }
    if found { Ok(()) } else { Err(missing) }
}
