//! Faults of the day: air that a plane should not have been thrown into.

use glam::DVec3;
use larkfield_weather::{Feature, Gust, GustExtent, TreeLine};

use crate::{Fault, Origin, Scene, Sizes, Unit};

/// Gusts come this often and last this long (common practice, no source).
const EVERY_S: f64 = 5.0;
const LASTS_S: f64 = 2.0;
/// For as long as anybody flies.
const GUSTS: u32 = 60;
/// Trees of this height stand this many of their heights upwind of the launch,
/// where their eddies are strongest.
const TREES_M: f64 = 10.0;
const UPWIND_HEIGHTS: f64 = 7.0;

pub(crate) static FAULTS: [Fault; 4] = [
    Fault {
        name: "strong-gradient",
        origin: Origin::Air,
        sizes: Some(Sizes::new(
            Unit::Millimetre,
            [60.0, 150.0, 400.0],
            [1.0, 500.0],
        )),
        what: "The ground upwind is this rough, so that the wind falls off steeply toward the \
               ground.",
        shows: "On the way down against the wind it loses flying speed below 5 m while it goes \
                over the ground as before; after the throw it gains some.",
        bench: "Hold a ribbon at the ankle and one overhead, and compare them.",
        remedy: "Come in faster than usual against a wind, and keep some power to the flare.",
        change: |scene, roughness_m| {
            scene.blowing()?.roughness_m = Some(roughness_m);
            Ok(())
        },
    },
    Fault {
        name: "gusts-from-behind",
        origin: Origin::Air,
        sizes: Some(Sizes::new(
            Unit::MetrePerSecond,
            [1.5, 3.0, 5.0],
            [0.3, 12.0],
        )),
        what: "Every five seconds the wind falls off by this much for two seconds, as if a gust \
               came from behind.",
        shows: "Without any stick it slows down through the air and sinks, and recovers by itself.",
        bench: "Watch the windsock for two minutes, and how far it drops between gusts.",
        remedy: "Do not throw into a lull; wait for a steady minute. In the air: ease the nose \
                 down, power, then climb again.",
        change: |scene, speed_m_s| {
            let (sine, cosine) = libm::sincos(scene.heading_rad());
            let amplitude_m_s = DVec3::new(cosine, sine, 0.0) * speed_m_s;
            for gust in 0..GUSTS {
                scene.wind.features.push(Feature::Gust(Gust {
                    start_time_s: EVERY_S * (0.5 + f64::from(gust)),
                    amplitude_m_s,
                    extent: GustExtent::DurationS(LASTS_S),
                }));
            }
            Ok(())
        },
    },
    Fault {
        name: "crosswind",
        origin: Origin::Air,
        sizes: Some(Sizes::new(Unit::Degree, [30.0, 60.0, 90.0], [5.0, 120.0])),
        what: "The wind comes from this far to the right of where it is thrown.",
        shows: "It drifts to the left with its wings level, and weathercocks to the right.",
        bench: "Look at a ribbon before every throw, and turn into it.",
        remedy: "Throw into wind. In the air: wings level, let it point into the wind, and steer \
                 by where it goes.",
        change: |scene, size_rad| {
            let from_rad = scene.heading_rad() + size_rad;
            for point in &mut scene.blowing()?.points {
                point.from_rad = from_rad;
            }
            Ok(())
        },
    },
    Fault {
        name: "lee-of-trees",
        origin: Origin::Air,
        sizes: None,
        what: "A row of dense trees, 10 m high, stands 70 m upwind of the launch.",
        shows: "It sinks and rolls about although no stick moves, worst near the trees' height.",
        bench: "Count tree heights to the nearest row upwind: fewer than fifteen are too few.",
        remedy: "Another place, or a day with wind from elsewhere. In the air: speed, and turn \
                 away from the trees.",
        change: plant,
    },
];

fn plant(scene: &mut Scene, _: f64) -> Result<(), crate::NotHere> {
    let wind = scene.blowing()?;
    let from_rad = wind.points.first().map_or(0.0, |point| point.from_rad);
    let (sine, cosine) = libm::sincos(from_rad);
    let away_m = UPWIND_HEIGHTS * TREES_M;
    wind.tree_lines.push(TreeLine {
        north_m: away_m * cosine,
        east_m: away_m * sine,
        direction_rad: from_rad + core::f64::consts::FRAC_PI_2,
        length_m: 300.0,
        height_m: TREES_M,
        porosity: 0.3,
    });
    Ok(())
}
