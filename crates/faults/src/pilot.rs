//! Faults of whoever flies. They change a scripted pilot's habits and hands; what
//! comes of it is left to the flight.

use larkfield_pilot::Steering;

use crate::{Fault, NotHere, Origin, Person, Sizes, Unit};

pub(crate) static FAULTS: [Fault; 10] = [
    Fault {
        name: "torque-left-alone",
        origin: Origin::Pilot,
        sizes: Some(Sizes::new(Unit::Second, [0.8, 1.5, 3.0], [0.1, 10.0])),
        what: "For this long after the release no stick turns the plane.",
        shows: "It rolls left with the power from the first moment, and nothing answers it.",
        bench: "Practise a small right stick the moment it leaves the hand.",
        remedy: "Eyes on the wings, and right stick at once; less power if that is not enough.",
        change: |scene, wait_s| {
            scene.person()?.habits.roll_waits_s = wait_s;
            Ok(())
        },
    },
    Fault {
        name: "over-pull",
        origin: Origin::Pilot,
        sizes: Some(Sizes::new(Unit::Percent, [25.0, 60.0, 120.0], [5.0, 300.0])),
        what: "The pilot pulls this much of full stick for every metre a second of sink, and holds \
               the nose up to climb.",
        shows: "Up elevator grows while it slows down; then it stalls.",
        bench: "Practise the opposite here: nose to the horizon first, then power.",
        remedy: "Ease the elevator to its middle, wings level, power; pull only when it flies.",
        change: |scene, share| {
            let habits = &mut scene.person()?.habits;
            habits.pull_per_m_s += share;
            habits.climb_pitch_rad += 0.15 * share;
            habits.climb_share = 3.0;
            habits.eases_forward = false;
            Ok(())
        },
    },
    Fault {
        name: "nose-in-reversal",
        origin: Origin::Pilot,
        sizes: Some(Sizes::new(Unit::Percent, [30.0, 60.0, 90.0], [5.0, 100.0])),
        what: "While it comes toward the pilot, roll is steered the wrong way for this share of \
               the time.",
        shows: "A correction deepens the bank only when it comes back; going away all is well.",
        bench: "Practise left and right with the drill for orientation.",
        remedy: "Stick toward the wing that is low. Lost: power back, sticks to the middle, then \
                 one small input and watch.",
        change: |scene, share| {
            scene.person()?.habits.reverses_share = share;
            Ok(())
        },
    },
    Fault {
        name: "over-control",
        origin: Origin::Pilot,
        sizes: Some(Sizes::new(
            Unit::Percent,
            [60.0, 150.0, 300.0],
            [10.0, 600.0],
        )),
        what: "Every correction is this much larger than it should be, and let off too late.",
        shows: "The stick goes from side to side more than twice a second, and the swings grow.",
        bench: "Fly with two fingers on the stick, and count to one between corrections.",
        remedy: "Let go for half a second: most planes fly better alone. Low rates, more expo.",
        change: |scene, share| {
            let ability = &mut scene.person()?.ability;
            ability.bank_gain *= 1.0 + share;
            ability.pitch_gain *= 1.0 + share;
            ability.roll_damping_s = 0.0;
            ability.pitch_damping_s = 0.0;
            ability.notice_rad *= 0.5;
            Ok(())
        },
    },
    Fault {
        name: "aileron-at-stall",
        origin: Origin::Pilot,
        sizes: None,
        what: "The pilot holds the nose high, and picks a dropping wing up with full aileron.",
        shows: "Aileron against the drop, and it drops faster.",
        bench: "Practise stalls at height: elevator first, aileron only when it flies again.",
        remedy: "Ease the elevator forward, rudder against the turn, power; then level the wings.",
        change: |scene, _| {
            if scene.radio.steering != Steering::Ailerons {
                return Err(NotHere {
                    missing: "aileron",
                    remedy: "choose a plane with them",
                });
            }
            let person = scene.person()?;
            person.habits.climb_pitch_rad += 0.25;
            person.habits.climb_share = 4.0;
            person.habits.eases_forward = false;
            person.ability.bank_gain *= 3.0;
            Ok(())
        },
    },
    Fault {
        name: "dive-to-strip",
        origin: Origin::Pilot,
        sizes: Some(Sizes::new(Unit::Degree, [3.0, 6.0, 12.0], [0.5, 30.0])),
        what: "Turned in too early and so too high, the pilot points the nose down by this much \
               for every metre.",
        shows: "It comes down the final fast, floats far along the strip or balloons.",
        bench: "Practise finals with power for height and elevator for speed.",
        remedy: "Power off and the usual nose; if it is still too high, go round.",
        change: |scene, per_m_rad| {
            let habits = &mut scene.person()?.habits;
            habits.dives_rad_m = per_m_rad;
            habits.base_late_m -= 12.0;
            habits.goes_round = false;
            Ok(())
        },
    },
    Fault {
        name: "late-flare",
        origin: Origin::Pilot,
        sizes: Some(Sizes::new(
            Unit::Millimetre,
            [300.0, 700.0, 1200.0],
            [50.0, 3000.0],
        )),
        what: "The plane seems this much higher than it is, so that it is levelled too late.",
        shows: "It touches sinking as fast as it came down, at 1.5 m/s or more where that is steep.",
        bench: "Practise landings, and watch the shadow come to meet the plane.",
        remedy: "Level off about knee-high, and hold it off.",
        change: |scene, size_m| {
            misjudge(scene.person()?, size_m);
            Ok(())
        },
    },
    Fault {
        name: "high-flare",
        origin: Origin::Pilot,
        sizes: Some(Sizes::new(
            Unit::Millimetre,
            [500.0, 1000.0, 1800.0],
            [50.0, 4000.0],
        )),
        what: "The plane seems this much lower than it is, so that it is levelled too high.",
        shows: "It slows down well above the grass, then drops.",
        bench: "Practise landings, and watch the shadow come to meet the plane.",
        remedy: "Hold the attitude, a little power, and let it come down; or go round.",
        change: |scene, size_m| {
            misjudge(scene.person()?, -size_m);
            Ok(())
        },
    },
    Fault {
        name: "power-left-on",
        origin: Origin::Pilot,
        sizes: None,
        what: "The throttle is not shut before it touches.",
        shows: "The propeller turns when it reaches the grass: it bends, or a servo strips.",
        bench: "Practise to shut the throttle with the flare, every time.",
        remedy: "Throttle shut when the flare begins.",
        change: |scene, _| {
            scene.person()?.habits.shut_below_m = -2.0;
            Ok(())
        },
    },
    Fault {
        name: "no-go-round",
        origin: Origin::Pilot,
        sizes: None,
        what: "The pilot stares at the strip: the power stays as it is, and no approach is given \
               up.",
        shows: "It comes down beside, before or behind the strip, power unchanged all the way.",
        bench: "Decide aloud at a height you chose before: good, or round again.",
        remedy: "Full power, wings level, climb straight ahead, and try again.",
        change: |scene, _| {
            let habits = &mut scene.person()?.habits;
            habits.goes_round = false;
            habits.power_gain = 0.0;
            Ok(())
        },
    },
];

/// The nose comes up as if the plane were higher by so much; the motor is shut
/// where it always is.
fn misjudge(person: &mut Person, higher_m: f64) {
    person.habits.flare_misjudged_m += higher_m;
    person.habits.shut_below_m += higher_m;
}
