//! Faults of the builder: balance, weight, crooked surfaces, hinges, linkages.

use glam::DVec3;
use larkfield_airframe::{Gap, MassProperties, SurfaceKind};

use crate::{Fault, NotHere, Origin, Scene, Sizes, Unit};

/// The tail-plane or wing that does not exist.
const NO_TAIL: NotHere = NotHere {
    missing: "tailplane",
    remedy: "choose a plane with one",
};
const NO_FIN: NotHere = NotHere {
    missing: "fin",
    remedy: "choose a plane with one",
};

pub(crate) static FAULTS: [Fault; 10] = [
    Fault {
        name: "tail-heavy",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Millimetre, [5.0, 12.0, 25.0], [1.0, 60.0])),
        what: "The balance point lies this far behind the place it was meant to have.",
        shows: "The nose rears after the throw and hunts up and down; a breath of elevator does \
                much; every correction has to be taken out again; at once it drops a wing.",
        bench: "Flight battery in, propeller off: hold it under the wing at the balance mark. A \
                tail that drops is too heavy.",
        remedy: "Move the battery forward, ballast last, until it balances at the mark. In the \
                 air: small pushes, gentle power, land straight ahead.",
        change: |scene, size_m| move_balance(scene, -size_m, 0.0),
    },
    Fault {
        name: "nose-heavy",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Millimetre, [5.0, 12.0, 25.0], [1.0, 60.0])),
        what: "The balance point lies this far ahead of the place it was meant to have.",
        shows: "It dives out of the hand unless the elevator is held; needs much up elevator when \
                slow; pulls out of a dive by itself; hardly flares.",
        bench: "Flight battery in, propeller off: hold it under the wing at the balance mark. A \
                nose that drops is too heavy.",
        remedy: "Move the battery aft until it balances at the mark. In the air: keep some speed \
                 and power for the landing.",
        change: |scene, size_m| move_balance(scene, size_m, 0.0),
    },
    Fault {
        name: "wing-heavy",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Millimetre, [3.0, 8.0, 15.0], [1.0, 40.0])),
        what: "The balance point lies this far to starboard of the middle.",
        shows: "The right wing sinks, most of all when slow; at speed it nearly goes away.",
        bench: "Propeller off: hold it by the nose and the fin and let the wings swing level. The \
                same wing sinks every time.",
        remedy: "Tape a little weight to the light tip, or move the battery sideways.",
        change: |scene, size_m| move_balance(scene, 0.0, size_m),
    },
    Fault {
        name: "wing-warp",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Degree, [0.7, 1.5, 3.0], [0.2, 8.0])),
        what: "The starboard wing is twisted, leading edge up by this much at its tip.",
        shows: "It rolls left hands off, the faster the more, power on or off; near the stall the \
                right wing drops.",
        bench: "Sight along the wing from behind: both tips have to show the same angle.",
        remedy: "Twist it back with gentle warmth or a wedge; never trim it out unseen.",
        change: |scene, size_rad| warp(scene, size_rad),
    },
    Fault {
        name: "wing-crooked",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Degree, [1.5, 4.0, 8.0], [0.5, 15.0])),
        what: "The wing is seated crooked, its starboard tip this far ahead.",
        shows: "With tips bent up it rolls left by itself, motor on or off, and flies a little \
                sideways; seen from above the wing is not square.",
        bench: "Measure from each wing tip to the tail: both distances have to be the same.",
        remedy: "Seat it square under its bands or bolts, and mark where it belongs.",
        change: |scene, angle_rad| seat_crooked(scene, angle_rad),
    },
    Fault {
        name: "tail-incidence",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Degree, [0.7, 1.5, 3.0], [0.2, 8.0])),
        what: "The tailplane is glued on with its leading edge this much too high.",
        shows: "It pushes its nose down at every speed; about the same up elevator cures it at \
                all of them.",
        bench: "Measure the leading and trailing edge of wing and tail over a flat table.",
        remedy: "Shim or re-glue the tail. Elevator trim is good enough for a small error.",
        change: |scene, size_rad| turn_panels(scene, SurfaceKind::Tailplane, size_rad, NO_TAIL),
    },
    Fault {
        name: "skewed-fin",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Degree, [1.0, 2.5, 5.0], [0.2, 12.0])),
        what: "The fin stands with its leading edge turned to starboard by this much.",
        shows: "It flies with its nose to the left and turns left, motor on or off.",
        bench: "Sight from above: the fin has to point at the nose.",
        remedy: "Re-glue it straight; rudder trim is good enough for a small error.",
        change: |scene, size_rad| turn_panels(scene, SurfaceKind::Fin, size_rad, NO_FIN),
    },
    Fault {
        name: "overweight",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Percent, [10.0, 25.0, 50.0], [2.0, 150.0])),
        what: "It weighs this much more than it was meant to.",
        shows: "It sinks after a normal throw, flies and lands fast, climbs poorly at full power.",
        bench: "Put it on the kitchen scale with its flight battery in.",
        remedy: "Take out what it does not need: filler, paint, a large battery. Else a faster \
                 throw by a helper, and a calm day.",
        change: |scene, share| {
            let mass_kg = MassProperties::of(&scene.airframe).mass_kg;
            scene.airframe.measured.mass_kg = Some(mass_kg * (1.0 + share));
            Ok(())
        },
    },
    Fault {
        name: "hinge-gap",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Millimetre, [1.0, 2.0, 4.0], [0.2, 6.0])),
        what: "The hinge lines are open by this much.",
        shows: "Every control answers to the right side, but weakly, at all speeds.",
        bench: "Hold it against the light and look through the hinge lines.",
        remedy: "Seal them with tape on one side, and check that they still move freely.",
        change: |scene, width_m| {
            for surface in &mut scene.airframe.controls {
                surface.gap = Gap::Open { width_m };
            }
            Ok(())
        },
    },
    Fault {
        name: "linkage-slop",
        origin: Origin::Build,
        sizes: Some(Sizes::new(Unit::Degree, [2.0, 4.0, 8.0], [0.5, 15.0])),
        what: "The surfaces can be moved this far, end to end, without moving their servos.",
        shows: "It hunts and never stays in trim; the first touch of a stick does nothing.",
        bench: "Radio on, propeller off: wiggle each surface with a finger.",
        remedy: "Tighter holes, a shorter and stiffer push rod, a horn that is glued well.",
        change: |scene, slop_rad| {
            for surface in &mut scene.airframe.controls {
                surface.servo.slop_rad = slop_rad;
            }
            Ok(())
        },
    },
];

/// The balance point counts as measured afterward: a small misplaced mass moves
/// it in proportion to its distance, and the inertia by far less.
fn move_balance(scene: &mut Scene, forward_m: f64, starboard_m: f64) -> Result<(), NotHere> {
    let cg_m = MassProperties::of(&scene.airframe).cg_m;
    scene.airframe.measured.balance_x_m = Some(cg_m.x + forward_m);
    scene.airframe.measured.balance_y_m = Some(cg_m.y + starboard_m);
    Ok(())
}

/// Twists the starboard half of the wing evenly from root to tip.
fn warp(scene: &mut Scene, tip_rad: f64) -> Result<(), NotHere> {
    let wing = |kind: SurfaceKind| kind == SurfaceKind::Wing;
    let out = |place_m: DVec3| place_m.y.max(0.0);
    let stations = (scene.airframe.panels.iter())
        .filter(|panel| wing(panel.kind))
        .flat_map(|panel| &panel.stations);
    let tip_m = stations.fold(0.0_f64, |most, station| {
        most.max(out(station.leading_edge_m))
    });
    if tip_m == 0.0 {
        return Err(NotHere {
            missing: "starboard wing",
            remedy: "choose a plane with one",
        });
    }
    for panel in &mut scene.airframe.panels {
        if wing(panel.kind) {
            for station in &mut panel.stations {
                station.incidence_rad += tip_rad * out(station.leading_edge_m) / tip_m;
            }
        }
    }
    Ok(())
}

/// Turns the wing, with what stands on it, about the middle of its root; turned
/// to the left from above, the starboard tip comes forward.
fn seat_crooked(scene: &mut Scene, angle_rad: f64) -> Result<(), NotHere> {
    let on_wing = |kind: SurfaceKind| matches!(kind, SurfaceKind::Wing | SurfaceKind::EndPlate);
    let roots = scene
        .airframe
        .panels
        .iter()
        .filter(|panel| panel.kind == SurfaceKind::Wing);
    let nearest = roots.flat_map(|panel| &panel.stations).min_by(|a, b| {
        a.leading_edge_m
            .y
            .abs()
            .total_cmp(&b.leading_edge_m.y.abs())
    });
    let Some(root) = nearest else {
        return Err(NotHere {
            missing: "wing",
            remedy: "choose a plane with one",
        });
    };
    let middle_m = DVec3::new(root.leading_edge_m.x - 0.5 * root.chord_m, 0.0, 0.0);
    let (sine, cosine) = libm::sincos(angle_rad);
    for panel in &mut scene.airframe.panels {
        if !on_wing(panel.kind) {
            continue;
        }
        // Chords of a panel lie along x. That they do so no more is the same, to
        // first order, as a turn of the panel about its span: by the angle times
        // the sine of the dihedral, up on the side that is ahead; a plate that
        // stands upright turns its leading edge to port with the wing.
        let turned_rad = match (panel.stations.first(), panel.stations.last()) {
            _ if panel.kind == SurfaceKind::EndPlate => -angle_rad,
            (Some(root), Some(tip)) => {
                let along_m = tip.leading_edge_m - root.leading_edge_m;
                let width_m = libm::hypot(along_m.y, along_m.z).max(1e-6);
                angle_rad * -along_m.z / width_m * along_m.y.signum()
            }
            _ => 0.0,
        };
        for station in &mut panel.stations {
            station.incidence_rad += turned_rad;
            let arm_m = station.leading_edge_m - middle_m;
            // About z, which is down: x ahead, y starboard.
            station.leading_edge_m = middle_m
                + DVec3::new(
                    arm_m.x * cosine + arm_m.y * sine,
                    arm_m.y * cosine - arm_m.x * sine,
                    arm_m.z,
                );
        }
    }
    Ok(())
}

fn turn_panels(
    scene: &mut Scene,
    kind: SurfaceKind,
    angle_rad: f64,
    missing: NotHere,
) -> Result<(), NotHere> {
    let mut found = false;
    for panel in &mut scene.airframe.panels {
        if panel.kind == kind {
            found = true;
            for station in &mut panel.stations {
                station.incidence_rad += angle_rad;
            }
        }
    }
    if found { Ok(()) } else { Err(missing) }
}
