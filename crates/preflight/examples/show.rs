//! Prints the report of airframe files.
use larkfield_flight::AirProperties;
use larkfield_preflight::{Options, preflight, report_text};
fn main() {
    for path in std::env::args().skip(1) {
        let airframe = match larkfield_files::airframe::load_airframe(std::path::Path::new(&path)) {
            Ok(a) => a,
            Err(e) => {
                println!("{e}");
                continue;
            }
        };
        let air = AirProperties {
            density_kg_m3: 1.225,
            viscosity_pa_s: 1.789e-5,
        };
        let t = std::time::Instant::now();
        match preflight(&airframe, air, &Options::default()) {
            Ok(p) => println!("{}", report_text(&p)),
            Err(e) => println!("{e}"),
        }
        println!("took {:?}", t.elapsed());
    }
}
