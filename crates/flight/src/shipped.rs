//! The shipped aeroplanes, for tests of what is private here.

use larkfield_airframe::Airframe;

use crate::{AirProperties, FlightModel};

/// A shipped aeroplane.
pub(crate) fn airframe(name: &str) -> Airframe {
    let path = format!(
        "{}/../../shared/airframes/{name}.ron",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(&path).expect("the shipped airframe is there");
    larkfield_files::airframe::read_airframe(&text, &path).expect("and reads")
}

/// The same in standard air, with `fineness` times as many strips.
pub(crate) fn model(name: &str, fineness: f64) -> FlightModel {
    let air = AirProperties {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.79e-5,
    };
    FlightModel::with_fineness(&airframe(name), air, fineness).expect("and flies")
}
