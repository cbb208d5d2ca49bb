//! The propeller against wind-tunnel measurements.
//!
//! Reference and limits: tests/reference/propeller_measured.csv of the blade in
//! tests/reference/propeller_geometry.csv (UIUC Propeller Database, Volume 1
//! version 3).
#![allow(missing_docs)]

#[path = "support/blade.rs"]
mod blade;

use blade::{measured_propeller, model, named_propeller, rows};
use larkfield_flight::power::PropellerModel;
use larkfield_proof::{Chapter, Checks, Figure, Table};

const NO_ZERO_LIFT: &str = "The geometry lists no zero-lift angles of its sections: those of a \
    usual camber are assumed, and one degree moves static thrust by 7 %.";

fn measured(title: &str) -> Checks {
    Checks::against(
        Chapter::Propeller,
        title,
        &Table::read("propeller_measured.csv"),
    )
}

/// Compares all rows with an allowance by coefficient: thrust, power, and the
/// efficiency that follows from both where there is thrust to speak of.
fn compare_rows(
    checks: &mut Checks,
    propeller: &PropellerModel,
    from: &str,
    wanted: impl Fn(f64) -> bool,
    allowed: impl Fn(f64, f64) -> f64,
) {
    for row in rows(&Table::read("propeller_measured.csv")) {
        let (rpm, advance) = (row[0], row[1]);
        if !wanted(advance) {
            continue;
        }
        let still = advance == 0.0;
        let line = if still {
            "at rest".to_owned()
        } else {
            format!("{rpm} rpm")
        };
        let (x, x_name) = if still {
            (rpm, "turning rate, rpm")
        } else {
            (advance, "advance ratio")
        };
        let ours = propeller.coefficients(rpm, advance);
        for (name, y, ours, reference, absolute) in [
            ("thrust", "CT", ours.0, row[2], 0.012),
            ("power", "CP", ours.1, row[3], 0.006),
        ] {
            let place = if still { "at rest" } else { "in flight" };
            let figure = Figure {
                figure: &format!("{name} {place}, {from}"),
                line: &line,
                x: x_name,
                y,
            };
            checks.point(&figure, x, ours, reference, allowed(reference, absolute));
        }
    }
}

/// Efficiency `J CT / CP` where measured thrust is over a third of that at
/// rest. The limits of CT and CP, divided, are the limit here.
fn compare_efficiency(checks: &mut Checks, propeller: &PropellerModel) {
    for row in rows(&Table::read("propeller_measured.csv")) {
        let (rpm, advance, ct, cp) = (row[0], row[1], row[2], row[3]);
        if advance == 0.0 || ct < 0.035 {
            continue;
        }
        let ours = propeller.coefficients(rpm, advance);
        let reference = advance * ct / cp;
        checks.point(
            &Figure {
                figure: "efficiency in flight, from geometry",
                line: &format!("{rpm} rpm"),
                x: "advance ratio",
                y: "efficiency",
            },
            advance,
            advance * ours.0 / ours.1,
            reference,
            reference * (0.012 / ct + 0.006 / cp),
        );
    }
}

/// 15 % is what unlisted zero-lift angles leave: one degree moves static
/// thrust by 7 %.
#[test]
fn static_coefficients_from_geometry() {
    let mut checks = measured("Static coefficients from blade geometry");
    checks.uses(&Table::read("propeller_geometry.csv"));
    checks.note(NO_ZERO_LIFT);
    let propeller = model(&measured_propeller());
    compare_rows(
        &mut checks,
        &propeller,
        "from geometry",
        |j| j == 0.0,
        |reference, _| 0.15 * reference.abs(),
    );
    checks.finish();
}

/// Measured thrust rises by 22.7 %, power by 23.2 % from 2377 to 6528 rpm. A
/// model without Reynolds number gives nothing; allowed is half.
#[test]
fn static_coefficients_rise_with_turning_rate() {
    let mut checks = measured("Static rise with turning rate, from blade geometry");
    let propeller = model(&measured_propeller());
    let table = rows(&Table::read("propeller_measured.csv"));
    let still: Vec<_> = table.iter().filter(|row| row[1] == 0.0).collect();
    let mut before = (0.0, 0.0);
    for row in &still {
        let now = propeller.coefficients(row[0], 0.0);
        assert!(
            now.0 > before.0 && now.1 > before.1,
            "falls at {} rpm",
            row[0]
        );
        before = now;
    }
    let (first, last) = (still[0], still[still.len() - 1]);
    let (slow, fast) = (
        propeller.coefficients(first[0], 0.0),
        propeller.coefficients(last[0], 0.0),
    );
    let (ct, cp) = (last[2] / first[2] - 1.0, last[3] / first[3] - 1.0);
    checks.near("rise of CT", fast.0 / slow.0 - 1.0, ct, 0.5 * ct);
    checks.near("rise of CP", fast.1 / slow.1 - 1.0, cp, 0.5 * cp);
    checks.finish();
}

#[test]
fn coefficients_in_flight_from_geometry() {
    let mut checks = measured("In flight from blade geometry");
    checks.uses(&Table::read("propeller_geometry.csv"));
    checks.note(NO_ZERO_LIFT);
    let propeller = model(&measured_propeller());
    compare_rows(
        &mut checks,
        &propeller,
        "from geometry",
        |j| j > 0.0,
        |_, absolute| absolute,
    );
    compare_efficiency(&mut checks, &propeller);
    checks.finish();
}

/// Measured rows interpolated to no thrust.
#[test]
fn thrust_vanishes_at_the_measured_advance() {
    let mut checks = measured("Advance ratio of no thrust");
    for (name, propeller) in [
        ("geometry", model(&measured_propeller())),
        ("diameter, pitch", model(&named_propeller())),
    ] {
        for rpm in [4997.0, 6020.0] {
            let table = rows(&Table::read("propeller_measured.csv"));
            let run: Vec<_> = table.iter().filter(|r| r[0] == rpm && r[1] > 0.0).collect();
            let pair = run
                .windows(2)
                .find(|p| p[0][2] > 0.0 && p[1][2] <= 0.0)
                .expect("a change");
            let t = pair[0][2] / (pair[0][2] - pair[1][2]);
            let measured = pair[0][1] + t * (pair[1][1] - pair[0][1]);
            let (mut low, mut high) = (0.2, 1.2);
            for _ in 0..40 {
                let middle = 0.5 * (low + high);
                if propeller.coefficients(rpm, middle).0 > 0.0 {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            checks.near(
                &format!("J of no thrust, {name}, {rpm} rpm"),
                low,
                measured,
                0.05,
            );
        }
    }
    checks.finish();
}

/// 25 % for a blade nobody measured, and no closer in flight than the geometry
/// itself is asked to be.
#[test]
fn coefficients_from_diameter_and_pitch_alone() {
    let mut checks = measured("From diameter and pitch alone");
    checks.note(
        "Blade chord, twist and camber are those of a usual blade of this diameter and pitch.",
    );
    compare_rows(
        &mut checks,
        &model(&named_propeller()),
        "from diameter and pitch",
        |_| true,
        |reference, absolute| (0.25 * reference.abs()).max(absolute),
    );
    checks.finish();
}
