//! Blade geometry: from a table, or assumed from diameter and pitch.

use std::f64::consts::PI;

use larkfield_airframe::{BladeStation, Propeller};

use super::section::{ASSUMED_ZERO_LIFT_RAD, Section, rotation_lift};

/// Zero-lift direction of a blade against its nominal helix when nothing but
/// diameter and pitch is known. Less than a measured chord shows: makers
/// quote pitch for faces that lie up to a degree flatter or steeper than the
/// chord, and advance at no thrust is 1.2 to 1.4 times the nominal pitch of
/// small moulded propellers (common practice, no source), which is 4 to 6
/// degrees at pitch over diameter of a half.
const NOMINAL_ZERO_LIFT_RAD: f64 = -5.3 * PI / 180.0;

/// Number of annuli the blade is cut into.
pub(super) const ANNULI: usize = 10;

/// Innermost radius that carries load when no table says otherwise.
const ROOT_FRACTION: f64 = 0.15;

/// One annulus of the disk with the blade sections in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Annulus {
    pub radius_m: f64,
    pub width_m: f64,
    pub chord_m: f64,
    pub twist_sin: f64,
    pub twist_cos: f64,
    pub section: Section,
    pub rotation_lift: f64,
    /// Half the blades times (tip - r) / r, Prandtl's exponent.
    pub tip_exponent: f64,
}

/// Everything the inflow solution needs of a propeller.
#[derive(Debug, Clone)]
pub(super) struct Rotor {
    pub radius_m: f64,
    pub blades: f64,
    pub annuli: [Annulus; ANNULI],
    pub mounted_backward: bool,
    pub inertia_kg_m2: f64,
}

/// Chord, twist and zero-lift angle at a radius.
#[derive(Debug, Clone, Copy)]
struct Shape {
    chord_fraction: f64,
    twist_rad: f64,
    zero_lift_rad: f64,
}

impl Rotor {
    /// Cuts the blade into annuli.
    ///
    /// Out-of-range dimensions are brought to the nearest buildable value, so
    /// that any input gives finite forces: checking them is the file's task.
    pub fn new(propeller: &Propeller) -> Self {
        let radius_m = 0.5 * finite_or(propeller.diameter_m, 0.2).clamp(0.02, 2.0);
        let blades = f64::from(propeller.blades.clamp(1, 12));
        let table = sorted_table(&propeller.geometry);
        let root = table
            .first()
            .map_or(ROOT_FRACTION, |s| s.radius_fraction.clamp(0.05, 0.6));
        let pitch_fraction =
            finite_or(propeller.pitch_m, 0.0).clamp(0.0, 8.0 * radius_m) / radius_m;
        let shape = |fraction: f64| {
            if table.is_empty() {
                assumed_shape(fraction, pitch_fraction)
            } else {
                table_shape(&table, fraction)
            }
        };
        // Cosine spacing toward the tip, where load changes fastest.
        let edge = |i: usize| {
            let t = i as f64 / ANNULI as f64;
            root + (1.0 - root) * libm::sin(0.5 * PI * t)
        };
        let annuli = std::array::from_fn(|i| {
            let (inner, outer) = (edge(i), edge(i + 1));
            let fraction = 0.5 * (inner + outer);
            let at = shape(fraction);
            let chord_m = at.chord_fraction * radius_m;
            let r = fraction * radius_m;
            Annulus {
                radius_m: r,
                width_m: (outer - inner) * radius_m,
                chord_m,
                twist_sin: libm::sin(at.twist_rad),
                twist_cos: libm::cos(at.twist_rad),
                section: Section::new(at.zero_lift_rad),
                rotation_lift: rotation_lift(chord_m / r),
                tip_exponent: 0.5 * blades * (1.0 - fraction) / fraction,
            }
        });
        Self {
            radius_m,
            blades,
            inertia_kg_m2: inertia(
                finite_or(propeller.mass_kg, 0.0).max(0.0),
                radius_m,
                &annuli,
            ),
            annuli,
            mounted_backward: propeller.mounted_backward,
        }
    }
}

/// Chord and twist assumed when only diameter and pitch are known.
///
/// Planform: a moulded blade for slow-turning outdoor propellers, widest near
/// 55 % of the radius, chord there a fifth of the radius, rounded tip
/// (common practice, no source). Twist: the helix of the nominal pitch,
/// `atan(P / 2 pi r)`, which makers quote for the flat underside of the
/// blade; inboard of 30 % of the radius moulded blades turn back to a hub of
/// limited thickness, so the angle stays at its 30 % value. The underside of
/// a 5 % cambered section lies near its chord.
fn assumed_shape(fraction: f64, pitch_fraction: f64) -> Shape {
    let tip = (1.0 - fraction).max(0.0);
    // Quadratic rise to the widest place, elliptic fall to the tip.
    let widest = 0.55;
    let chord_fraction = if fraction < widest {
        let t = (fraction - widest) / widest;
        0.20 * (1.0 - 0.9 * t * t)
    } else {
        let t = (fraction - widest) / (1.0 - widest);
        0.20 * (1.0 - t * t * t).max(0.0).sqrt()
    };
    Shape {
        chord_fraction: chord_fraction.max(0.02 * tip + 0.02),
        twist_rad: libm::atan(pitch_fraction / (2.0 * PI * fraction.max(0.3))),
        zero_lift_rad: NOMINAL_ZERO_LIFT_RAD,
    }
}

/// Stations with finite numbers, in order of radius.
fn sorted_table(geometry: &[BladeStation]) -> Vec<BladeStation> {
    let mut table: Vec<BladeStation> = geometry
        .iter()
        .copied()
        .filter(|s| {
            s.radius_fraction.is_finite()
                && s.chord_fraction.is_finite()
                && s.twist_rad.is_finite()
                && s.radius_fraction > 0.0
        })
        .collect();
    table.sort_by(|a, b| a.radius_fraction.total_cmp(&b.radius_fraction));
    if table.len() < 2 { Vec::new() } else { table }
}

/// Linear between stations, constant beyond the last on either side.
fn table_shape(table: &[BladeStation], fraction: f64) -> Shape {
    let of = |s: &BladeStation| Shape {
        chord_fraction: s.chord_fraction.clamp(0.001, 1.0),
        twist_rad: s.twist_rad,
        zero_lift_rad: s
            .zero_lift_rad
            .filter(|a| a.is_finite())
            .map_or(ASSUMED_ZERO_LIFT_RAD, |a| a.clamp(-0.25, 0.25)),
    };
    let mut previous = None;
    for station in table {
        if station.radius_fraction >= fraction {
            let Some(inner) = previous else {
                return of(station);
            };
            let inner: &BladeStation = inner;
            let span = station.radius_fraction - inner.radius_fraction;
            let t = if span > 0.0 {
                (fraction - inner.radius_fraction) / span
            } else {
                1.0
            };
            let (a, b) = (of(inner), of(station));
            return Shape {
                chord_fraction: a.chord_fraction + t * (b.chord_fraction - a.chord_fraction),
                twist_rad: a.twist_rad + t * (b.twist_rad - a.twist_rad),
                zero_lift_rad: a.zero_lift_rad + t * (b.zero_lift_rad - a.zero_lift_rad),
            };
        }
        previous = Some(station);
    }
    previous.map_or(assumed_shape(fraction, 0.5), of)
}

/// Polar inertia of a propeller about its shaft.
///
/// Sections of one thickness ratio have a mass per length that goes with the
/// square of the chord. A tenth of the mass is hub, which adds nothing worth
/// counting (common practice, no source). About 0.05 m D^2 for usual blades,
/// against 1/12 for a uniform rod.
fn inertia(mass_kg: f64, radius_m: f64, annuli: &[Annulus; ANNULI]) -> f64 {
    let (mut length, mut second) = (0.0, 0.0);
    // Root part inside the first annulus, taken at its chord.
    if let Some(first) = annuli.first() {
        let inner = first.radius_m - 0.5 * first.width_m;
        let weight = first.chord_m * first.chord_m * inner;
        length += weight;
        second += weight * inner * inner / 3.0;
    }
    for a in annuli {
        let weight = a.chord_m * a.chord_m * a.width_m;
        length += weight;
        second += weight * a.radius_m * a.radius_m;
    }
    let mean_square = if length > 0.0 {
        second / length
    } else {
        radius_m * radius_m / 3.0
    };
    0.9 * mass_kg * mean_square
}

fn finite_or(value: f64, fallback: f64) -> f64 {
    if value.is_finite() { value } else { fallback }
}
