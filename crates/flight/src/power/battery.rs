//! Lithium-polymer battery: resting voltage over charge, one resistance.

use larkfield_airframe::Battery;

/// Resting voltage of a cell at 0, 5, 10 ... 100 % of its charge (common
/// practice, no source: the table users of such cells share; full 4.20 V,
/// nominal 3.7 V near a seventh).
const RESTING_CELL_V: [f64; 21] = [
    3.27, 3.61, 3.69, 3.71, 3.73, 3.75, 3.77, 3.79, 3.80, 3.82, 3.84, 3.85, 3.87, 3.91, 3.95, 3.98,
    4.02, 4.08, 4.11, 4.15, 4.20,
];

/// Voltage lost for each unit of charge below empty: a cell drained past its
/// end collapses within a few percent.
const COLLAPSE_V: f64 = 20.0;

/// Resting voltage of one cell at `charge`, 0 for empty to 1 for full.
///
/// Cubic between the points with a continuous slope. Below empty it falls
/// steeply to zero; above full it stays.
#[must_use]
pub fn resting_cell_v(charge: f64) -> f64 {
    let last = RESTING_CELL_V.len() - 1;
    let at = |i: usize| RESTING_CELL_V.get(i.min(last)).copied().unwrap_or(0.0);
    if charge.is_nan() || charge <= 0.0 {
        return (at(0) + COLLAPSE_V * charge.min(0.0)).max(0.0);
    }
    let x = (charge * last as f64).min(last as f64);
    let cell = (x as usize).min(last - 1);
    let t = x - cell as f64;
    let (a, b) = (at(cell), at(cell + 1));
    let slope_a = if cell == 0 {
        b - a
    } else {
        0.5 * (b - at(cell - 1))
    };
    let slope_b = if cell + 2 > last {
        b - a
    } else {
        0.5 * (at(cell + 2) - a)
    };
    let (t2, t3) = (t * t, t * t * t);
    a * (2.0 * t3 - 3.0 * t2 + 1.0)
        + slope_a * (t3 - 2.0 * t2 + t)
        + b * (3.0 * t2 - 2.0 * t3)
        + slope_b * (t3 - t2)
}

/// Resting voltage of the whole pack after `used_c` coulombs.
pub(super) fn resting_v(battery: &Battery, used_c: f64) -> f64 {
    let capacity = if battery.capacity_c > 0.0 {
        battery.capacity_c
    } else {
        1.0
    };
    f64::from(battery.cells) * resting_cell_v(battery.charge - used_c / capacity)
}

/// Resistance of the whole pack, ohm.
pub(super) fn resistance_ohm(battery: &Battery) -> f64 {
    f64::from(battery.cells) * battery.cell_resistance_ohm.max(0.0)
}
