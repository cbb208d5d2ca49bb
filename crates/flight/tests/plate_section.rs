//! Foam sheet in two dimensions against a boundary-layer method, rows above
//! the confidence that its own library asks for. Reference and limits:
//! tests/reference/foam_plate_section.csv (header names library and version).

#![allow(missing_docs)]

mod support;

use larkfield_airframe::{EdgeShape, Section};
use larkfield_flight::section::SectionModel;
use larkfield_proof::{Chapter, Checks, Figure, Table};
use support::steady;

/// Lift, drag and moment coefficients of a section of a thickness ratio at an
/// angle and Reynolds number.
fn compare(checks: &mut Checks, table: &Table, of: impl Fn(f64, f64, f64) -> (f64, f64, f64)) {
    for row in &table.rows {
        let n = |name: &str| table.number(row, name);
        if n("confidence") <= 0.9 {
            continue;
        }
        let (thickness, alpha_deg) = (n("thickness_over_chord"), n("alpha_deg"));
        let (cl, cd, cm) = of(thickness, alpha_deg.to_radians(), n("reynolds"));
        let name = format!("thickness {:.0} %", 100.0 * thickness);
        let lift_allowed = if alpha_deg.abs() <= 4.0 {
            (0.05 * n("cl").abs()).max(0.02)
        } else {
            0.06
        };
        for (title, ours, reference, allowed) in [
            ("lift", cl, n("cl"), lift_allowed),
            ("drag", cd, n("cd"), (0.25 * n("cd")).max(0.006)),
            ("moment", cm, n("cm_quarter_chord"), 0.02),
        ] {
            let at = Figure {
                figure: &format!("{title}, {name}"),
                line: &format!("Re {}", n("reynolds")),
                x: "angle of attack, deg",
                y: &format!("{title} coefficient"),
            };
            checks.point(&at, alpha_deg, ours, reference, allowed);
        }
    }
}

#[test]
fn foam_sheet_in_two_dimensions() {
    let table = Table::read("foam_plate_section.csv");
    let mut checks = Checks::against(
        Chapter::Sections,
        "Foam sheet against a boundary-layer method",
        &table,
    );
    let section = Section::FoamSheet {
        edges: EdgeShape::Rounded,
        fold: None,
    };
    compare(&mut checks, &table, |thickness, alpha, reynolds| {
        let model = SectionModel::new(&section, thickness, f64::INFINITY);
        steady(&model, alpha, reynolds)
    });
    checks.finish();
}

/// Whatever the maximum: 2 pi alpha cut off there, friction of a plate, no
/// moment about the quarter chord.
#[test]
fn a_clipped_slope_fails() {
    let table = Table::read("foam_plate_section.csv");
    for tenth in 4..=16 {
        let most = 0.1 * f64::from(tenth);
        let title = format!("clipped at {most:.1}");
        let mut checks = Checks::against(Chapter::Sections, &title, &table);
        compare(&mut checks, &table, |_, alpha, reynolds| {
            let lift = (2.0 * core::f64::consts::PI * alpha).clamp(-most, most);
            (lift, 0.01 + 2.0 * 1.328 / reynolds.sqrt(), 0.0)
        });
        let (all, missed) = checks.misses();
        assert!(missed >= 3, "{title}: {missed} of {all}");
    }
}

/// A plate square to the flow: 2 for a very long one, about 1.17 for a square
/// one (Hoerner, Fluid-Dynamic Drag, 1965, from memory; 5 %).
#[test]
fn plate_square_to_the_flow() {
    let section = Section::FoamSheet {
        edges: EdgeShape::Rounded,
        fold: None,
    };
    let mut checks = Checks::new(
        Chapter::Sections,
        "A plate square to the flow",
        "Hoerner, Fluid-Dynamic Drag, 1965; from memory",
    );
    for (name, aspect, reference) in [("long", f64::INFINITY, 2.0), ("square", 1.0, 1.17)] {
        let model = SectionModel::new(&section, 0.03, aspect);
        let (_, cd, _) = steady(&model, core::f64::consts::FRAC_PI_2, 1.0e5);
        checks.share(
            &format!("{name} plate at 90 degrees, cd"),
            cd,
            reference,
            0.05,
        );
    }
    checks.finish();
}

/// Every angle of the circle: continuous, finite, odd in lift.
#[test]
fn continuous_round_the_circle() {
    let section = Section::FoamSheet {
        edges: EdgeShape::Square,
        fold: None,
    };
    let model = SectionModel::new(&section, 0.04, 5.0);
    let mut last = steady(&model, -core::f64::consts::PI, 8.0e4);
    for k in -1799..=1800 {
        let alpha = f64::from(k) * core::f64::consts::PI / 1800.0;
        let now = steady(&model, alpha, 8.0e4);
        for (a, b) in [(now.0, last.0), (now.1, last.1), (now.2, last.2)] {
            assert!((a - b).abs() < 0.02, "jump at {alpha}: {a} after {b}");
        }
        let mirrored = steady(&model, -alpha, 8.0e4);
        assert!((mirrored.0 + now.0).abs() < 1e-12 && (mirrored.1 - now.1).abs() < 1e-12);
        assert!(now.1 > 0.0, "drag {} at {alpha}", now.1);
        last = now;
    }
}

/// A curve that clips 2 pi alpha at a maximum has no plateau, no drag rise
/// and no moment; the plate must have all three.
#[test]
fn stall_is_not_a_clip() {
    let model = SectionModel::new(
        &Section::FoamSheet {
            edges: EdgeShape::Rounded,
            fold: None,
        },
        0.05,
        f64::INFINITY,
    );
    let at = |deg: f64| steady(&model, deg.to_radians(), 5.0e4);
    // Separated force acts along the normal: drag over lift is the tangent.
    let (cl, cd, cm) = at(15.0);
    assert!(
        (cd / cl - 15f64.to_radians().tan()).abs() < 0.05,
        "{cd} over {cl}"
    );
    assert!(cm < -0.08, "centre of pressure must move back, cm {cm}");
    assert!(
        at(15.0).0 > at(10.0).0,
        "lift of a thin plate goes on rising slowly"
    );
}
