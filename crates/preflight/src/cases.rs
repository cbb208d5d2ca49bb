//! The plane again with what a builder cannot measure better.

use larkfield_airframe::{Airframe, MassProperties, SurfaceKind};
use larkfield_flight::{AirProperties, FlightModel};

use crate::bench::{Bench, Case};
use crate::derivatives::ReferenceSizes;
use crate::verdict::{self, Core};

/// Core quantities with balance 3 mm, mass 2 %, thrust 15 % and the wing's
/// incidence 1 degree off, each way and each alone.
pub(crate) fn spread_cases(
    airframe: &Airframe,
    air: AirProperties,
    model: &FlightModel,
    sizes: &ReferenceSizes,
    throttle: f64,
    stall_guess_m_s: Option<f64>,
) -> Vec<(String, Core)> {
    let case = |balance: f64, mass: f64, thrust: f64| Case {
        balance_shift_aft_m: balance,
        mass_factor: mass,
        thrust_factor: thrust,
    };
    let mut cases = vec![
        ("the balance 3 mm farther aft", case(0.003, 1.0, 1.0)),
        ("the balance 3 mm farther forward", case(-0.003, 1.0, 1.0)),
        ("2 % more mass", case(0.0, 1.02, 1.0)),
        ("2 % less mass", case(0.0, 0.98, 1.0)),
    ];
    if model.power().is_some() {
        cases.push(("15 % less thrust", case(0.0, 1.0, 0.85)));
        cases.push(("15 % more thrust", case(0.0, 1.0, 1.15)));
    }
    let mut found = Vec::new();
    for (name, case) in cases {
        let mut bench = Bench::new(model, case);
        let (core, ..) = verdict::core(&mut bench, name, sizes, throttle, stall_guess_m_s);
        found.push((name.to_owned(), core));
    }
    let balance_x_m = MassProperties::of(airframe).cg_m.x;
    for (name, degrees) in [
        ("1 degree more incidence of the wing", 1.0_f64),
        ("1 degree less incidence of the wing", -1.0),
    ] {
        let mut turned = airframe.clone();
        for panel in &mut turned.panels {
            if panel.kind == SurfaceKind::Wing {
                for station in &mut panel.stations {
                    station.incidence_rad += degrees.to_radians();
                }
            }
        }
        // Turning the sheet must not move the balance point.
        turned.measured.balance_x_m = Some(balance_x_m);
        if let Ok(model) = FlightModel::new(&turned, air) {
            let mut bench = Bench::new(&model, Case::NOMINAL);
            let (core, ..) = verdict::core(&mut bench, name, sizes, throttle, stall_guess_m_s);
            found.push((name.to_owned(), core));
        }
    }
    found
}
