//! The shipped aeroplanes, for tests of what is private here.

use crate::{AirProperties, FlightModel};

/// A shipped aeroplane in standard air, with `fineness` times as many strips.
pub(crate) fn model(name: &str, fineness: f64) -> FlightModel {
    let path = format!(
        "{}/../../shared/airframes/{name}.ron",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(&path).expect("the shipped airframe is there");
    let plane = larkfield_files::airframe::read_airframe(&text, &path).expect("and reads");
    let air = AirProperties {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.79e-5,
    };
    FlightModel::with_fineness(&plane, air, fineness).expect("and flies")
}
