//! Faults of the throw.

use crate::{Fault, Origin, Sizes, Unit};

pub(crate) static FAULTS: [Fault; 5] = [
    Fault {
        name: "soft-throw",
        origin: Origin::Launch,
        sizes: Some(Sizes::new(Unit::Percent, [10.0, 25.0, 45.0], [2.0, 70.0])),
        what: "It leaves the hand this much slower than was meant.",
        shows: "It leaves the hand mushing and sinks in the first second.",
        bench: "Practise the arm without the plane; throw for speed, not for height.",
        remedy: "A firm straight push, into wind. In the air: hold it level with full power; do \
                 not pull. If it goes on sinking, motor off and land ahead.",
        change: |scene, share| {
            scene.throw()?.speed_m_s *= 1.0 - share;
            Ok(())
        },
    },
    Fault {
        name: "nose-high-throw",
        origin: Origin::Launch,
        sizes: Some(Sizes::new(Unit::Degree, [8.0, 16.0, 28.0], [1.0, 45.0])),
        what: "Nose and path point this much further up at release than was meant.",
        shows: "It climbs, slows down within a second, and drops its nose or a wing.",
        bench: "Practise with a helper who watches from the side: the nose just above level.",
        remedy: "Aim at the horizon. In the air: ease the nose down at once, then power.",
        change: |scene, size_rad| {
            let throw = scene.throw()?;
            throw.pitch_rad += size_rad;
            throw.path_rad += size_rad;
            Ok(())
        },
    },
    Fault {
        name: "nose-low-throw",
        origin: Origin::Launch,
        sizes: Some(Sizes::new(Unit::Degree, [6.0, 12.0, 20.0], [1.0, 35.0])),
        what: "Nose and path point this much further down at release than was meant.",
        shows: "It goes for the grass at once, fast and without stalling.",
        bench: "Practise with a helper who watches from the side: let go before the arm drops.",
        remedy: "Aim at the horizon. In the air: ease the nose up to level, no further.",
        change: |scene, size_rad| {
            let throw = scene.throw()?;
            throw.pitch_rad -= size_rad;
            throw.path_rad -= size_rad;
            Ok(())
        },
    },
    Fault {
        name: "downwind-launch",
        origin: Origin::Launch,
        sizes: None,
        what: "It is thrown with the wind behind it instead of into it.",
        shows: "It goes fast over the ground and is soft on its controls: the air it flies in \
                goes with it, and it sinks or stalls.",
        bench: "Look at a ribbon or a handful of grass before every throw.",
        remedy: "Throw into wind, however slight. In the air: power, hold it level, turn late.",
        change: |scene, _| {
            scene.throw()?.heading_rad += core::f64::consts::PI;
            Ok(())
        },
    },
    Fault {
        name: "banked-throw",
        origin: Origin::Launch,
        sizes: Some(Sizes::new(Unit::Degree, [8.0, 18.0, 30.0], [1.0, 60.0])),
        what: "The right wing is this much low at release.",
        shows: "It leaves the hand with a wing low, before any stick has moved, and turns that way.",
        bench: "Practise with a helper who watches from behind: wings level until it is gone.",
        remedy: "Wings level at release. In the air: level the wings first, then climb.",
        change: |scene, size_rad| {
            scene.throw()?.bank_rad += size_rad;
            Ok(())
        },
    },
];
