//! The standard atmosphere against the published one.

use larkfield_proof::{Chapter, Checks, Figure, Table};
use larkfield_weather::{Air, Atmosphere};

/// Reference: ICAO Doc 7488/3 (1993), in tests/reference/standard_atmosphere.csv,
/// whose `#` lines say how the rows were made. Allowed: 0.02 %.
#[test]
fn standard_atmosphere_is_the_published_one() {
    let table = Table::read("standard_atmosphere.csv");
    let mut checks = Checks::against(Chapter::Atmosphere, "Standard atmosphere", &table);
    assert!(table.rows.len() >= 8, "only {} rows", table.rows.len());
    for row in &table.rows {
        let height_m = table.number(row, "height_m");
        let air = Atmosphere::standard(height_m)
            .expect("a height in range")
            .at_field();
        let pairs = [
            ("temperature_k", air.temperature_k),
            ("pressure_pa", air.pressure_pa),
            ("density_kg_m3", air.density_kg_m3),
            ("viscosity_pa_s", air.viscosity_pa_s),
            ("sound_m_s", air.sound_m_s),
        ];
        for (name, ours) in pairs {
            let at = Figure {
                figure: name,
                line: "standard",
                x: "height, m",
                y: name,
            };
            let reference = table.number(row, name);
            checks.point(&at, height_m, ours, reference, 2e-4 * reference);
        }
    }
    checks.finish();
}

/// The same rows reached by climbing from a field in the standard atmosphere.
#[test]
fn climbing_from_a_field_follows_the_same_table() {
    let table = Table::read("standard_atmosphere.csv");
    let mut checks = Checks::against(Chapter::Atmosphere, "Climbing from a field", &table);
    for (elevation_m, height_m, place_m) in [(0.0, 1000.0, 1000.0), (500.0, 1000.0, 1500.0)] {
        let row = (table.rows.iter())
            .find(|row| table.number(row, "height_m") == place_m)
            .expect("the row is in the table");
        let air = Atmosphere::standard(elevation_m)
            .expect("in range")
            .at_height(height_m);
        for (name, ours) in [
            ("pressure_pa", air.pressure_pa),
            ("density_kg_m3", air.density_kg_m3),
            ("temperature_k", air.temperature_k),
        ] {
            let what = format!("{name}, {height_m} m over a field at {elevation_m} m");
            checks.share(&what, ours, table.number(row, name), 2e-4);
        }
    }
    checks.finish();
}

/// Reference: the ideal gas law. At equal pressure density goes with 1/T.
#[test]
fn a_hot_day_thins_the_air_and_keeps_the_pressure() {
    let mut checks = Checks::new(
        Chapter::Atmosphere,
        "A hot day",
        "the ideal gas law: at equal pressure density goes with 1/T",
    );
    let standard = Atmosphere::standard(300.0).expect("in range");
    let hot = Atmosphere::with_offset(300.0, 20.0).expect("in range");
    let (cool_air, hot_air) = (standard.at_field(), hot.at_field());
    assert_eq!(cool_air.pressure_pa, hot_air.pressure_pa);
    let expected =
        cool_air.density_kg_m3 * cool_air.temperature_k / (cool_air.temperature_k + 20.0);
    checks.near("density", hot_air.density_kg_m3, expected, 1e-9);
    checks.near("offset", hot.offset_k(), 20.0, 1e-9);
    // Twice the air at twice the pressure, whatever the temperature.
    let half = Atmosphere::of_day(300.0, 290.0, Some(50_000.0))
        .expect("in range")
        .at_field();
    let full = Atmosphere::of_day(300.0, 290.0, Some(100_000.0))
        .expect("in range")
        .at_field();
    checks.near("ratio", full.density_kg_m3 / half.density_kg_m3, 2.0, 1e-12);
    checks.finish();
}

/// Reference: 1.4607e-5 m2/s at standard sea level (US Standard Atmosphere
/// 1976, table III, from memory).
#[test]
fn kinematic_viscosity_at_sea_level() {
    let mut checks = Checks::new(
        Chapter::Atmosphere,
        "Kinematic viscosity at sea level",
        "US Standard Atmosphere 1976, table III; from memory",
    );
    checks.near(
        "kinematic viscosity",
        Air::sea_level().kinematic_viscosity_m2_s(),
        1.4607e-5,
        3e-9,
    );
    checks.finish();
}

#[test]
fn impossible_air_is_refused_and_no_height_breaks_it() {
    for elevation_m in [f64::NAN, 20_000.0, -2_000.0] {
        assert!(Atmosphere::standard(elevation_m).is_err());
    }
    assert!(Atmosphere::of_day(0.0, f64::NAN, None).is_err());
    assert!(
        Atmosphere::of_day(0.0, 15.0, None).is_err(),
        "Celsius for kelvin"
    );
    assert!(
        Atmosphere::of_day(0.0, 290.0, Some(1013.0)).is_err(),
        "hPa for Pa"
    );
    let atmosphere = Atmosphere::standard(0.0).expect("in range");
    for height_m in [f64::NAN, f64::INFINITY, -1e300] {
        assert!(atmosphere.at_height(height_m).density_kg_m3.is_finite());
    }
}
