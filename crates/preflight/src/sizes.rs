//! Mass, balance and sizes as reported.

use larkfield_airframe::{Airframe, Geometry, MassProperties, PlanForm, SurfaceKind, plan_form};
use serde::Serialize;

/// Mass of one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartMass {
    /// Part.
    pub name: String,
    /// Mass.
    pub mass_kg: f64,
    /// Its centre behind the wing root's leading edge.
    pub aft_m: f64,
    /// Its centre to starboard.
    pub right_m: f64,
    /// Its centre over the wing root's leading edge.
    pub up_m: f64,
}

/// Mass and balance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MassReport {
    /// Flying mass used.
    pub mass_kg: f64,
    /// True when a scale gave it.
    pub mass_is_measured: bool,
    /// Sum of the parts.
    pub summed_mass_kg: f64,
    /// Balance point used, behind the wing root's leading edge.
    pub balance_aft_m: f64,
    /// True when the builder balanced the plane.
    pub balance_is_measured: bool,
    /// Balance of the parts as summed.
    pub summed_balance_aft_m: f64,
    /// Balance point to starboard.
    pub balance_right_m: f64,
    /// Balance point over the root's leading edge.
    pub balance_up_m: f64,
    /// Moment of inertia in roll.
    pub inertia_roll_kg_m2: f64,
    /// Moment of inertia in pitch.
    pub inertia_pitch_kg_m2: f64,
    /// Moment of inertia in yaw.
    pub inertia_yaw_kg_m2: f64,
    /// Product of inertia, integral of x z (x forward, z down).
    pub inertia_product_xz_kg_m2: f64,
    /// Part by part, as summed.
    pub parts: Vec<PartMass>,
}

impl MassReport {
    /// From the sums.
    #[must_use]
    pub fn of(airframe: &Airframe, mass: &MassProperties) -> Self {
        let measured = &airframe.measured;
        Self {
            mass_kg: mass.mass_kg,
            mass_is_measured: measured.mass_kg.is_some(),
            summed_mass_kg: mass.summed_mass_kg,
            balance_aft_m: -mass.cg_m.x,
            balance_is_measured: measured.balance_x_m.is_some(),
            summed_balance_aft_m: -mass.summed_cg_m.x,
            balance_right_m: mass.cg_m.y,
            balance_up_m: -mass.cg_m.z,
            inertia_roll_kg_m2: mass.inertia_kg_m2.x_axis.x,
            inertia_pitch_kg_m2: mass.inertia_kg_m2.y_axis.y,
            inertia_yaw_kg_m2: mass.inertia_kg_m2.z_axis.z,
            inertia_product_xz_kg_m2: -mass.inertia_kg_m2.x_axis.z,
            parts: (mass.breakdown.iter())
                .map(|part| PartMass {
                    name: part.name.clone(),
                    mass_kg: part.mass_kg,
                    aft_m: -part.cg_m.x,
                    right_m: part.cg_m.y,
                    up_m: -part.cg_m.z,
                })
                .collect(),
        }
    }
}

/// Plan form of one kind of surface, projected.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SurfaceReport {
    /// Area.
    pub area_m2: f64,
    /// Tip to tip, or height of a fin.
    pub span_m: f64,
    /// Mean aerodynamic chord.
    pub mean_chord_m: f64,
    /// Span squared over area.
    pub aspect_ratio: f64,
}

impl From<PlanForm> for SurfaceReport {
    fn from(p: PlanForm) -> Self {
        Self {
            area_m2: p.area_m2,
            span_m: p.span_m,
            mean_chord_m: p.mean_chord_m,
            aspect_ratio: p.aspect_ratio,
        }
    }
}

/// Sizes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SizesReport {
    /// Main wing.
    pub wing: SurfaceReport,
    /// Leading edge of the mean chord behind that of the wing root.
    pub mean_chord_leading_edge_aft_m: f64,
    /// Horizontal tail.
    pub tailplane: Option<SurfaceReport>,
    /// Fins.
    pub fin: Option<SurfaceReport>,
    /// Plates at the ends of other surfaces, all together.
    pub end_plates: Option<SurfaceReport>,
    /// Tailplane area times arm over wing area times mean chord.
    pub tail_volume: Option<f64>,
    /// Fin area times arm over wing area times span.
    pub fin_volume: Option<f64>,
    /// Mass over wing area.
    pub wing_loading_kg_m2: f64,
}

impl SizesReport {
    /// From plan forms and mass.
    #[must_use]
    pub fn of(airframe: &Airframe, geometry: &Geometry, mass_kg: f64) -> Self {
        Self {
            wing: geometry.wing.into(),
            mean_chord_leading_edge_aft_m: -geometry.wing.mean_chord_leading_edge_x_m,
            tailplane: geometry.tailplane.map(Into::into),
            fin: geometry.fin.map(Into::into),
            end_plates: plan_form(airframe, |p| p.kind == SurfaceKind::EndPlate).map(Into::into),
            tail_volume: geometry.tail_volume,
            fin_volume: geometry.fin_volume,
            wing_loading_kg_m2: mass_kg / geometry.wing.area_m2,
        }
    }
}
