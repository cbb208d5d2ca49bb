//! Mass, balance and inertia added up from the parts.
//!
//! Panels and bodies are cut into small plates of uniform areal density;
//! components are points or boxes. Each contributes its mass, its centre and
//! its tensor about its own centre, moved with the parallel axis theorem
//! (any text on rigid bodies).
//!
//! The tensor is the full matrix: diagonal terms are moments of inertia,
//! off-diagonal terms are *minus* the integrals of the coordinate products,
//! so angular momentum is the matrix times the body rates.
//!
//! A measured mass scales every mass alike: the builder's sheet and glue are
//! what the sums know least. A measured balance point moves the centre of
//! gravity and leaves the tensor about it as summed.

use glam::{DMat3, DVec3};

use crate::{Airframe, Body, Component, Panel};

/// Mass of one named part.
#[derive(Debug, Clone, PartialEq)]
pub struct MassItem {
    /// Part.
    pub name: String,
    /// Mass as summed, before a measured total is applied.
    pub mass_kg: f64,
    /// Centre in airframe axes.
    pub cg_m: DVec3,
}

/// Mass properties of an aeroplane.
#[derive(Debug, Clone, PartialEq)]
pub struct MassProperties {
    /// Flying mass: measured when given, else the sum.
    pub mass_kg: f64,
    /// Centre of gravity in airframe axes: measured when given, else the sum.
    pub cg_m: DVec3,
    /// Tensor about the centre of gravity, body axes.
    pub inertia_kg_m2: DMat3,
    /// Sum of the parts.
    pub summed_mass_kg: f64,
    /// Centre of the parts.
    pub summed_cg_m: DVec3,
    /// Part by part.
    pub breakdown: Vec<MassItem>,
}

/// A lump with its own tensor about its own centre.
#[derive(Debug, Clone, Copy)]
struct Lump {
    mass_kg: f64,
    centre_m: DVec3,
    own_kg_m2: DMat3,
}

impl Lump {
    /// A uniform box with edges along `axes` of full lengths `size_m`.
    fn brick(mass_kg: f64, centre_m: DVec3, axes: DMat3, size_m: DVec3) -> Self {
        let square = size_m * size_m;
        let diagonal = DVec3::new(
            square.y + square.z,
            square.x + square.z,
            square.x + square.y,
        ) * (mass_kg / 12.0);
        let own_kg_m2 = axes * DMat3::from_diagonal(diagonal) * axes.transpose();
        Self {
            mass_kg,
            centre_m,
            own_kg_m2,
        }
    }

    fn about(&self, point_m: DVec3) -> DMat3 {
        let r = self.centre_m - point_m;
        let outer = DMat3::from_cols(r * r.x, r * r.y, r * r.z);
        self.own_kg_m2 + (DMat3::IDENTITY * r.length_squared() - outer) * self.mass_kg
    }
}

/// Pieces along the span between two stations; the error of the sums falls
/// with its square and is far below a thousandth.
const PIECES: usize = 16;

fn panel_lumps(panel: &Panel, lumps: &mut Vec<Lump>) {
    for pair in panel.stations.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        for piece in 0..PIECES {
            let t = (piece as f64 + 0.5) / PIECES as f64;
            let chord = a.chord_m + t * (b.chord_m - a.chord_m);
            let incidence = a.incidence_rad + t * (b.incidence_rad - a.incidence_rad);
            let lead = a.leading_edge_m.lerp(b.leading_edge_m, t);
            let step = (b.leading_edge_m - a.leading_edge_m) / PIECES as f64;
            let flat = DVec3::new(0.0, step.y, step.z);
            let width = flat.length();
            let along = flat.normalize_or(DVec3::Y);
            let up = panel_normal(along);
            let aft = -DVec3::X * libm::cos(incidence) - up * libm::sin(incidence);
            let axes = DMat3::from_cols(aft, along, aft.cross(along));
            lumps.push(Lump::brick(
                panel.areal_density_kg_m2 * chord * width,
                lead + aft * (0.5 * chord),
                axes,
                DVec3::new(chord, width, panel.thickness_m),
            ));
        }
    }
}

/// Normal of a plate whose span runs along `along`: up, or to starboard when
/// the plate is steeper than 60 degrees.
fn panel_normal(along: DVec3) -> DVec3 {
    let normal = along.cross(DVec3::X).normalize_or(DVec3::NEG_Z);
    if normal.z > 0.5 || (normal.z.abs() <= 0.5 && normal.y < 0.0) {
        -normal
    } else {
        normal
    }
}

fn body_lumps(body: &Body, lumps: &mut Vec<Lump>) {
    for pair in body.stations.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        for piece in 0..PIECES {
            let t = (piece as f64 + 0.5) / PIECES as f64;
            let mix = |p: f64, q: f64| p + t * (q - p);
            let (width, height) = (mix(a.width_m, b.width_m), mix(a.height_m, b.height_m));
            let centre = DVec3::new(mix(a.x_m, b.x_m), body.y_m, mix(a.z_m, b.z_m));
            let length = (a.x_m - b.x_m).abs() / PIECES as f64;
            let thick = body.thickness_m;
            // Two side walls and top and bottom, each a thin plate.
            for (offset, span) in [
                (DVec3::Y * (0.5 * width), DVec3::new(length, thick, height)),
                (DVec3::Y * (-0.5 * width), DVec3::new(length, thick, height)),
                (DVec3::Z * (0.5 * height), DVec3::new(length, width, thick)),
                (DVec3::Z * (-0.5 * height), DVec3::new(length, width, thick)),
            ] {
                let area = length * if span.z > span.y { height } else { width };
                lumps.push(Lump::brick(
                    body.areal_density_kg_m2 * area,
                    centre + offset,
                    DMat3::IDENTITY,
                    span,
                ));
            }
        }
    }
}

fn component_lump(component: &Component) -> Lump {
    Lump::brick(
        component.mass_kg,
        component.position_m,
        DMat3::IDENTITY,
        component.size_m,
    )
}

fn total(lumps: &[Lump]) -> (f64, DVec3) {
    let mass: f64 = lumps.iter().map(|l| l.mass_kg).sum();
    let moment: DVec3 = lumps.iter().map(|l| l.centre_m * l.mass_kg).sum();
    (
        mass,
        if mass > 0.0 {
            moment / mass
        } else {
            DVec3::ZERO
        },
    )
}

impl MassProperties {
    /// Adds up an airframe.
    #[must_use]
    pub fn of(airframe: &Airframe) -> Self {
        let mut parts: Vec<(String, Vec<Lump>)> = Vec::new();
        for panel in &airframe.panels {
            let mut lumps = Vec::new();
            panel_lumps(panel, &mut lumps);
            parts.push((panel.name.clone(), lumps));
        }
        for body in &airframe.bodies {
            let mut lumps = Vec::new();
            body_lumps(body, &mut lumps);
            parts.push((body.name.clone(), lumps));
        }
        for component in &airframe.components {
            parts.push((component.name.clone(), vec![component_lump(component)]));
        }
        let breakdown = parts
            .iter()
            .map(|(name, lumps)| {
                let (mass_kg, cg_m) = total(lumps);
                MassItem {
                    name: name.clone(),
                    mass_kg,
                    cg_m,
                }
            })
            .collect();
        let lumps: Vec<Lump> = parts.into_iter().flat_map(|(_, l)| l).collect();
        let (summed_mass_kg, summed_cg_m) = total(&lumps);
        let summed_inertia = lumps
            .iter()
            .fold(DMat3::ZERO, |sum, l| sum + l.about(summed_cg_m));
        let measured = &airframe.measured;
        let mass_kg = measured.mass_kg.unwrap_or(summed_mass_kg);
        let scale = if summed_mass_kg > 0.0 {
            mass_kg / summed_mass_kg
        } else {
            1.0
        };
        let cg_m = DVec3::new(
            measured.balance_x_m.unwrap_or(summed_cg_m.x),
            measured.balance_y_m.unwrap_or(summed_cg_m.y),
            summed_cg_m.z,
        );
        Self {
            mass_kg,
            cg_m,
            inertia_kg_m2: summed_inertia * scale,
            summed_mass_kg,
            summed_cg_m,
            breakdown,
        }
    }
}
