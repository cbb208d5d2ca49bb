//! Mass, balance point and inertia, added up from the parts.
//!
//! # Sums
//! - A panel is a plate of uniform sheet: trapezia between its stations, at
//!   their dihedral, incidence and twist, with the thickness of the sheet
//!   square to its face.
//! - A body is a tube of four walls between its stations, open at both ends.
//!   The side walls have the full height, top and bottom fit between them, so
//!   that no corner counts twice.
//! - A component is a box of uniform density, a rod, or a point.
//!
//! Second moments along the span, and along a wall, are integrated by
//! Gauss-Legendre points, which are exact for the polynomials of untwisted
//! plates (Abramowitz and Stegun, 1964, table 25.4).
//!
//! # Measurements override sums
//! A weighed mass scales all parts by one factor: what the sums miss (glue,
//! paint, denser foam) is taken to be spread as the parts are, so the inertia
//! scales with it. A measured balance point then moves all parts together:
//! the inertia about the balance point stays as summed, because a small
//! misplaced mass moves the balance point in proportion to its distance, and
//! the inertia by far less.

use glam::{DMat3, DVec3};

use crate::{Airframe, Body, BodyStation, Component, Panel, chord_aft};

/// Mass and balance point of one part.
#[derive(Debug, Clone, PartialEq)]
pub struct MassItem {
    /// Name of the panel, body or component.
    pub name: String,
    /// Mass as summed, before any scaling to a measured mass.
    pub mass_kg: f64,
    /// Its centre of mass in airframe axes, as summed.
    pub cg_m: DVec3,
}

/// Mass properties of a whole plane.
#[derive(Debug, Clone, PartialEq)]
pub struct MassProperties {
    /// Flying mass: measured when it was measured, else summed.
    pub mass_kg: f64,
    /// Balance point in airframe axes: measured coordinates where there are
    /// any, else summed ones.
    pub cg_m: DVec3,
    /// Inertia about the balance point, axes parallel to the airframe's. The
    /// full tensor: diagonal `Ixx = sum m (y2 + z2)`, off the diagonal the
    /// *negative* of the products, `-sum m x y`, so that angular momentum is
    /// this matrix times the rotation vector.
    pub inertia_kg_m2: DMat3,
    /// Mass added up from the parts.
    pub summed_mass_kg: f64,
    /// Balance point added up from the parts.
    pub summed_cg_m: DVec3,
    /// Mass on the scale, if it was weighed.
    pub measured_mass_kg: Option<f64>,
    /// Balance point along x, if it was measured.
    pub measured_cg_x_m: Option<f64>,
    /// Balance point along y, if it was measured.
    pub measured_cg_y_m: Option<f64>,
    /// What every part weighs and where, as summed.
    pub breakdown: Vec<MassItem>,
}

impl MassProperties {
    /// Adds up a plane. A plane without any part has mass 0 and no balance
    /// point but the origin.
    #[must_use]
    pub fn of(airframe: &Airframe) -> Self {
        let mut parts: Vec<(String, Moments)> = Vec::new();
        for panel in &airframe.panels {
            parts.push((panel.name.clone(), panel_moments(panel)));
        }
        for body in &airframe.bodies {
            parts.push((body.name.clone(), body_moments(body)));
        }
        for component in &airframe.components {
            parts.push((component.name.clone(), component_moments(component)));
        }
        let mut total = Moments::NOTHING;
        for (_, part) in &parts {
            total.add(part);
        }
        let summed_mass_kg = total.mass_kg;
        let summed_cg_m = total.cg_m();
        let measured = airframe.measured;
        let mass_kg = measured.mass_kg.unwrap_or(summed_mass_kg);
        let scale = if summed_mass_kg > 0.0 {
            mass_kg / summed_mass_kg
        } else {
            0.0
        };
        Self {
            mass_kg,
            cg_m: DVec3::new(
                measured.balance_x_m.unwrap_or(summed_cg_m.x),
                measured.balance_y_m.unwrap_or(summed_cg_m.y),
                summed_cg_m.z,
            ),
            inertia_kg_m2: total.inertia_about_cg() * scale,
            summed_mass_kg,
            summed_cg_m,
            measured_mass_kg: measured.mass_kg,
            measured_cg_x_m: measured.balance_x_m,
            measured_cg_y_m: measured.balance_y_m,
            breakdown: parts
                .into_iter()
                .map(|(name, part)| MassItem {
                    name,
                    mass_kg: part.mass_kg,
                    cg_m: part.cg_m(),
                })
                .collect(),
        }
    }
}

/// Mass with its first and second moments about the origin.
#[derive(Debug, Clone, Copy)]
struct Moments {
    mass_kg: f64,
    /// Sum of m r.
    first_kg_m: DVec3,
    /// Sum of m r r^T.
    second_kg_m2: DMat3,
}

impl Moments {
    const NOTHING: Self = Self {
        mass_kg: 0.0,
        first_kg_m: DVec3::ZERO,
        second_kg_m2: DMat3::ZERO,
    };

    fn add(&mut self, other: &Self) {
        self.mass_kg += other.mass_kg;
        self.first_kg_m += other.first_kg_m;
        self.second_kg_m2 += other.second_kg_m2;
    }

    fn add_point(&mut self, mass_kg: f64, at_m: DVec3) {
        self.mass_kg += mass_kg;
        self.first_kg_m += at_m * mass_kg;
        self.second_kg_m2 += outer(at_m) * mass_kg;
    }

    /// Spreads mass that was added as a point over a length along the unit
    /// vector `along`: second moment m L2 / 12.
    fn spread(&mut self, mass_kg: f64, along: DVec3, length_m: f64) {
        self.second_kg_m2 += outer(along) * (mass_kg * length_m * length_m / 12.0);
    }

    fn cg_m(&self) -> DVec3 {
        if self.mass_kg > 0.0 {
            self.first_kg_m / self.mass_kg
        } else {
            DVec3::ZERO
        }
    }

    fn inertia_about_cg(&self) -> DMat3 {
        let central = self.second_kg_m2 - outer(self.cg_m()) * self.mass_kg;
        let trace = central.x_axis.x + central.y_axis.y + central.z_axis.z;
        DMat3::from_diagonal(DVec3::splat(trace)) - central
    }
}

fn outer(r: DVec3) -> DMat3 {
    DMat3::from_cols(r * r.x, r * r.y, r * r.z)
}

/// Three-point Gauss-Legendre places and weights on 0 to 1: exact to the
/// fifth power.
const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258_31, 5.0 / 18.0),
    (0.5, 8.0 / 18.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

fn component_moments(component: &Component) -> Moments {
    let mut moments = Moments::NOTHING;
    moments.add_point(component.mass_kg, component.position_m);
    moments.spread(component.mass_kg, DVec3::X, component.size_m.x);
    moments.spread(component.mass_kg, DVec3::Y, component.size_m.y);
    moments.spread(component.mass_kg, DVec3::Z, component.size_m.z);
    moments
}

fn panel_moments(panel: &Panel) -> Moments {
    let mut moments = Moments::NOTHING;
    for pair in panel.stations.windows(2) {
        let [root, tip] = pair else { continue };
        let along = tip.leading_edge_m - root.leading_edge_m;
        // The width of the strip is measured square to the chords.
        let across = DVec3::new(0.0, along.y, along.z);
        let width_m = across.length();
        if width_m <= 0.0 {
            continue;
        }
        let outward = across / width_m;
        let normal = panel.flat_normal(outward);
        for (t, weight) in GAUSS {
            let chord_m = root.chord_m + t * (tip.chord_m - root.chord_m);
            let incidence_rad = root.incidence_rad + t * (tip.incidence_rad - root.incidence_rad);
            let leading_edge_m = root.leading_edge_m + along * t;
            let aft = chord_aft(normal, incidence_rad);
            let face = aft.cross(outward);
            let strip_kg = panel.areal_density_kg_m2 * width_m * weight * chord_m;
            moments.add_point(strip_kg, leading_edge_m + aft * (chord_m / 2.0));
            moments.spread(strip_kg, aft, chord_m);
            moments.spread(strip_kg, face, panel.thickness_m);
        }
    }
    moments
}

fn body_moments(body: &Body) -> Moments {
    let mut moments = Moments::NOTHING;
    let middle = |s: &BodyStation| DVec3::new(s.x_m, body.y_m, s.z_m);
    let inside = |full_m: f64| (full_m - 2.0 * body.thickness_m).max(0.0);
    // Distance of a wall's own middle from the middle of the tube.
    let offset = |full_m: f64| (full_m - body.thickness_m).max(0.0) / 2.0;
    for pair in body.stations.windows(2) {
        let [front, back] = pair else { continue };
        for sign in [-1.0, 1.0] {
            let to_side = |s: &BodyStation| DVec3::Y * (sign * offset(s.width_m));
            let to_floor = |s: &BodyStation| DVec3::Z * (sign * offset(s.height_m));
            wall(
                &mut moments,
                body,
                [middle(front) + to_side(front), middle(back) + to_side(back)],
                DVec3::Z,
                [front.height_m, back.height_m],
            );
            wall(
                &mut moments,
                body,
                [
                    middle(front) + to_floor(front),
                    middle(back) + to_floor(back),
                ],
                DVec3::Y,
                [inside(front.width_m), inside(back.width_m)],
            );
        }
    }
    moments
}

/// One flat wall along the line between two middles, reaching over `widths`
/// along the unit vector `across` at its two ends.
fn wall(moments: &mut Moments, body: &Body, middles: [DVec3; 2], across: DVec3, widths: [f64; 2]) {
    let along = middles[1] - middles[0];
    // A slanting wall is longer than its run, but only square to `across`.
    let square = along - across * along.dot(across);
    let length_m = square.length();
    if length_m <= 0.0 {
        return;
    }
    let face = (square / length_m).cross(across);
    for (t, weight) in GAUSS {
        let width_m = widths[0] + t * (widths[1] - widths[0]);
        let mass_kg = body.areal_density_kg_m2 * length_m * weight * width_m;
        moments.add_point(mass_kg, middles[0] + along * t);
        moments.spread(mass_kg, across, width_m);
        moments.spread(mass_kg, face, body.thickness_m);
    }
}
