//! The measured propeller, by its geometry and by name, for the tests.
#![allow(dead_code, missing_docs)]

use larkfield_airframe::{BladeStation, Propeller, Rotation};
use larkfield_flight::power::PropellerModel;
use larkfield_proof::Table;

/// Air of the checks: the measured coefficients do not depend on density;
/// viscosity of the standard atmosphere at sea level (1.789e-5 Pa s, 1.225
/// kg/m3) sets the Reynolds number.
pub const DENSITY_KG_M3: f64 = 1.225;
pub const VISCOSITY_PA_S: f64 = 1.789e-5;

/// Rows of a reference table that holds nothing but numbers.
pub fn rows(table: &Table) -> Vec<Vec<f64>> {
    (table.rows.iter())
        .map(|row| {
            row.iter()
                .map(|x| x.trim().parse().expect("a number"))
                .collect()
        })
        .collect()
}

/// Propeller of propeller_geometry.csv: diameter and pitch from its heading.
pub fn measured_propeller() -> Propeller {
    let geometry = rows(&Table::read("propeller_geometry.csv"))
        .iter()
        .map(|row| BladeStation {
            radius_fraction: row[0],
            chord_fraction: row[1],
            twist_rad: row[2].to_radians(),
            zero_lift_rad: None,
        })
        .collect();
    Propeller {
        diameter_m: 0.254,
        pitch_m: 0.119,
        blades: 2,
        geometry,
        brake: false,
        rotation: Rotation::Clockwise,
        mounted_backward: false,
        mass_kg: 0.012,
    }
}

/// The same known by diameter and pitch alone.
pub fn named_propeller() -> Propeller {
    Propeller {
        geometry: Vec::new(),
        ..measured_propeller()
    }
}

pub fn model(propeller: &Propeller) -> PropellerModel {
    PropellerModel::new(propeller, DENSITY_KG_M3, VISCOSITY_PA_S)
}
