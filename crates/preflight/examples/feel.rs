//! Prints the feel of airframe files.
use larkfield_files::airframe::load_airframe;
use larkfield_flight::{AirProperties, FlightModel};
fn main() {
    for f in std::env::args().skip(1) {
        let a = load_airframe(std::path::Path::new(&f)).unwrap();
        let m = FlightModel::new(
            &a,
            AirProperties {
                density_kg_m3: 1.225,
                viscosity_pa_s: 1.79e-5,
            },
        )
        .unwrap();
        println!("{f} {:#?}", larkfield_preflight::plane_feel(&m, 0.75));
    }
}
