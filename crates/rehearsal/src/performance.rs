//! What the score measures a flight against, from the preflight calculation.

use larkfield_flight::FlightModel;
use larkfield_lesson::{LevelSpeed, Performance};
use larkfield_preflight::ReferenceSizes;
use larkfield_preflight::bench::{Bench, Case};
use larkfield_preflight::envelope::{minimum_level_speed_m_s, sweep};
use larkfield_preflight::trim::{Path, stall};

/// Throttles of the table: every tenth.
const TENTHS: u32 = 10;

/// Performance of a plane in its air. What cannot be calculated is NaN or
/// missing, and earns no points.
pub fn performance_of(model: &FlightModel) -> Performance {
    let mut bench = Bench::new(model, Case::NOMINAL);
    let mut performance = Performance {
        stall_speed_m_s: f64::NAN,
        minimum_level_speed: Vec::new(),
        mass_kg: bench.mass_kg(),
    };
    let Some(sizes) = ReferenceSizes::of(model.airframe()) else {
        return performance;
    };
    let Some(stall) = stall(&mut bench, sizes.area_m2, None) else {
        return performance;
    };
    performance.stall_speed_m_s = stall.speed_m_s;
    performance.minimum_level_speed = (0..=TENTHS)
        .map(|tenth| {
            let throttle = f64::from(tenth) / f64::from(TENTHS);
            bench.calm();
            let trims = sweep(
                &mut bench,
                sizes.chord_m,
                &stall,
                throttle,
                Path::LiftIsWeight,
            );
            LevelSpeed {
                throttle,
                speed_m_s: minimum_level_speed_m_s(&trims),
            }
        })
        .collect();
    performance
}
