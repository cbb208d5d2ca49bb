//! The shipped airframes are read without a mistake and are what they claim.

use std::path::{Path, PathBuf};

use larkfield_airframe::{Airframe, ComponentKind, Geometry, MassProperties, Side};
use larkfield_files::airframe::load_airframe;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/airframes")
}

fn shipped(name: &str) -> Airframe {
    match load_airframe(&folder().join(name)) {
        Ok(airframe) => airframe,
        Err(errors) => panic!("{errors}"),
    }
}

#[track_caller]
fn between(what: &str, value: f64, low: f64, high: f64) {
    println!("{what}: {value}, wanted {low} to {high}");
    // Written so that NaN fails.
    assert!(value >= low && value <= high, "{what}: {value}");
}

#[test]
fn every_shipped_airframe_reads() {
    let mut count = 0;
    let entries = std::fs::read_dir(folder()).unwrap_or_else(|e| panic!("{e}"));
    for entry in entries.flatten() {
        let path = entry.path();
        if path.extension().is_some_and(|e| e == "ron") {
            let airframe = load_airframe(&path).unwrap_or_else(|e| panic!("{e}"));
            // NAME.ron is a good plane, NAME-FAULT.ron a mis-built one.
            let name = path
                .file_stem()
                .map_or_else(String::new, |n| n.to_string_lossy().into());
            let good = !name.contains('-');
            assert_eq!(airframe.build_note.is_empty(), good, "{}", path.display());
            count += 1;
        }
    }
    assert!(count >= 7, "only {count} airframes found");
}

/// The figures of shared/airframe-sizing.md, which follow from dimensions and
/// masses by the equations there, worked by hand.
#[test]
fn the_trainer_is_sized_as_its_note_says() {
    let marram = shipped("marram.ron");
    let mass = MassProperties::of(&marram);
    let Some(geometry) = Geometry::of(&marram) else {
        panic!("no wing")
    };
    // 2 (0.300 0.235 + 0.330 0.210 cos 15 deg)
    between("area", geometry.wing.area_m2, 0.27478, 0.27498);
    // 2 (0.300 + 0.330 cos 15 deg)
    between("span", geometry.wing.span_m, 1.2374, 1.2376);
    between("aspect ratio", geometry.wing.aspect_ratio, 5.55, 5.59);
    between("mean chord", geometry.wing.mean_chord_m, 0.2230, 0.2236);
    between("mass", mass.mass_kg, 0.440, 0.445);
    between("loading", mass.mass_kg / geometry.wing.area_m2, 1.60, 1.62);
    between("balance aft", -mass.cg_m.x, 0.0725, 0.0735);
    between("balance to the right", mass.cg_m.y, -1e-9, 1e-9);
    between(
        "tail volume",
        geometry.tail_volume.unwrap_or(f64::NAN),
        0.505,
        0.520,
    );
    between(
        "fin volume",
        geometry.fin_volume.unwrap_or(f64::NAN),
        0.0355,
        0.0365,
    );
}

/// Each mis-built plane differs from the good one by what its note says, and
/// by nothing else.
#[test]
fn variants_differ_by_their_error_alone() {
    let good = shipped("marram.ron");
    let same = |mut other: Airframe| {
        other.name.clone_from(&good.name);
        other.build_note.clear();
        assert_eq!(other, good);
    };

    let mut heavy = shipped("marram-tail-heavy.ron");
    let shift_m = MassProperties::of(&good).cg_m.x - MassProperties::of(&heavy).cg_m.x;
    between("balance moved aft", shift_m, 0.0345, 0.0355);
    for part in &mut heavy.components {
        if part.kind == ComponentKind::Battery {
            part.position_m.x += 0.135;
        }
    }
    for (a, b) in heavy.components.iter_mut().zip(&good.components) {
        assert!((a.position_m - b.position_m).length() < 1e-12);
        a.position_m = b.position_m;
    }
    same(heavy);

    let mut warped = shipped("marram-warped.ron");
    for (panel, right) in warped.panels.iter_mut().zip(&good.panels) {
        let off = panel.name == "wing_tip_right";
        for (i, (a, b)) in panel.stations.iter_mut().zip(&right.stations).enumerate() {
            let expected = if off && i == 1 {
                -9.0_f64.to_radians()
            } else {
                0.0
            };
            assert!((a.incidence_rad - b.incidence_rad - expected).abs() < 1e-12);
            a.incidence_rad = b.incidence_rad;
        }
    }
    same(warped);

    let mut weak = shipped("marram-under-powered.ron");
    let (Some(train), Some(right)) = (&mut weak.power, &good.power) else {
        panic!("no power")
    };
    assert_eq!(train.propeller.diameter_m, 0.127);
    assert_eq!(train.propeller.pitch_m, 0.0762);
    assert_eq!(train.battery.cell_resistance_ohm, 0.04);
    assert_eq!(train.battery.charge, 0.3);
    train.propeller = right.propeller.clone();
    train.battery = right.battery;
    same(weak);
}

/// The figures of the three other planes in shared/airframe-sizing.md, worked
/// by hand from dimensions and masses.
#[test]
fn the_other_planes_are_sized_as_their_note_says() {
    let sums = |name: &str| {
        let airframe = shipped(name);
        let mass = MassProperties::of(&airframe);
        let Some(geometry) = Geometry::of(&airframe) else {
            panic!("no wing")
        };
        (mass, geometry)
    };
    let (mass, sizes) = sums("curlew.ron");
    between("mass", mass.mass_kg, 0.822, 0.827);
    between("balance aft", -mass.cg_m.x, 0.0882, 0.0892);
    // 2 * 0.700 cos 3 deg * 0.260
    between("area", sizes.wing.area_m2, 0.36340, 0.36360);
    between(
        "tail volume",
        sizes.tail_volume.unwrap_or(f64::NAN),
        0.50,
        0.53,
    );
    between(
        "fin volume",
        sizes.fin_volume.unwrap_or(f64::NAN),
        0.034,
        0.039,
    );

    let (mass, sizes) = sums("sandpiper.ron");
    between("mass", mass.mass_kg, 0.295, 0.299);
    between("balance aft", -mass.cg_m.x, 0.0740, 0.0750);
    // 2 * 0.550 cos 9 deg * 0.225
    between("area", sizes.wing.area_m2, 0.24440, 0.24450);
    between("loading", mass.mass_kg / sizes.wing.area_m2, 1.20, 1.23);
    between(
        "tail volume",
        sizes.tail_volume.unwrap_or(f64::NAN),
        0.49,
        0.51,
    );

    let (mass, sizes) = sums("ternwing.ron");
    between("mass", mass.mass_kg, 0.508, 0.512);
    between("balance aft", -mass.cg_m.x, 0.1920, 0.1935);
    // 2 * 0.640 cos 2 deg * 0.320
    between("area", sizes.wing.area_m2, 0.40930, 0.40940);
    // (2 / 3) 0.380 (1 + t + t^2) / (1 + t), t = 260 / 380
    between("mean chord", sizes.wing.mean_chord_m, 0.3235, 0.3241);
    assert!(sizes.tail_volume.is_none() && sizes.fin_volume.is_none());
}

/// As for the trainer's variants: undo the one error, and it is the good plane.
#[test]
fn variants_of_the_other_planes_differ_by_their_error_alone() {
    let same = |good: &Airframe, mut other: Airframe| {
        assert!(!other.build_note.is_empty());
        other.name.clone_from(&good.name);
        other.build_note.clear();
        assert_eq!(&other, good);
    };
    // Battery moved, and where the note says that the balance went.
    let moved = |base: &str, fault: &str, aft_m: f64, balance_m: [f64; 2]| {
        let good = shipped(&format!("{base}.ron"));
        let mut bad = shipped(&format!("{base}-{fault}.ron"));
        for (plane, balance_m) in [(&good, balance_m[0]), (&bad, balance_m[1])] {
            let aft = -MassProperties::of(plane).cg_m.x;
            between("balance", aft, balance_m - 0.0006, balance_m + 0.0006);
        }
        for (part, right) in bad.components.iter_mut().zip(&good.components) {
            let off = part.position_m.x - right.position_m.x;
            let expected = if part.kind == ComponentKind::Battery {
                -aft_m
            } else {
                0.0
            };
            assert!((off - expected).abs() < 1e-12, "{}", part.name);
            part.position_m = right.position_m;
        }
        same(&good, bad);
    };
    let good = shipped("curlew.ron");
    let mut lead = shipped("curlew-nose-heavy.ron");
    // (824 g at 88.7 mm and 240 g at -190 mm) over 1064 g.
    let aft = -MassProperties::of(&lead).cg_m.x;
    between("balance", aft, 0.0253, 0.0263);
    lead.components.retain(|c| c.kind != ComponentKind::Ballast);
    same(&good, lead);
    moved("ternwing", "tail-heavy", 0.130, [0.1926, 0.2288]);

    // One kind of panel turned.
    let turned = |base: &str, fault: &str, panel: &str, degrees: f64| {
        let good = shipped(&format!("{base}.ron"));
        let mut bad = shipped(&format!("{base}-{fault}.ron"));
        for (p, right) in bad.panels.iter_mut().zip(&good.panels) {
            let expected = if p.name.starts_with(panel) {
                degrees.to_radians()
            } else {
                0.0
            };
            for (a, b) in p.stations.iter_mut().zip(&right.stations) {
                assert!((a.incidence_rad - b.incidence_rad - expected).abs() < 1e-12);
                a.incidence_rad = b.incidence_rad;
            }
        }
        same(&good, bad);
    };
    turned("curlew", "tail-incidence", "tailplane", -6.0);
    turned("sandpiper", "skewed-fin", "fin", -10.0);

    let good = shipped("sandpiper.ron");
    let mut sloppy = shipped("sandpiper-sloppy.ron");
    assert_eq!(sloppy.controls.len(), 3);
    for (c, right) in sloppy.controls.iter_mut().zip(&good.controls) {
        between(
            "play",
            c.servo.slop_rad.to_degrees(),
            14.0 - 1e-9,
            14.0 + 1e-9,
        );
        c.servo.slop_rad = right.servo.slop_rad;
    }
    same(&good, sloppy);

    let good = shipped("ternwing.ron");
    let mut droop = shipped("ternwing-elevon-droop.ron");
    assert_eq!(droop.controls.len(), 2);
    for (c, right) in droop.controls.iter_mut().zip(&good.controls) {
        let error = (c.neutral_rad - right.neutral_rad).to_degrees();
        between("droop", error, 8.0 - 1e-9, 8.0 + 1e-9);
        c.neutral_rad = right.neutral_rad;
    }
    same(&good, droop);
}

#[test]
fn good_planes_are_the_same_on_both_sides() {
    for (name, halves) in [
        ("marram", 3),
        ("curlew", 2),
        ("sandpiper", 2),
        ("ternwing", 2),
    ] {
        both_sides_alike(&shipped(&format!("{name}.ron")), halves);
    }
}

fn both_sides_alike(airframe: &Airframe, halves: usize) {
    let of = |side: Side| airframe.panels.iter().filter(move |p| p.side == side);
    assert_eq!(of(Side::Left).count(), halves);
    for (left, right) in of(Side::Left).zip(of(Side::Right)) {
        for (a, b) in left.stations.iter().zip(&right.stations) {
            assert_eq!(a.leading_edge_m.x, b.leading_edge_m.x);
            assert_eq!(a.leading_edge_m.y, -b.leading_edge_m.y);
            assert_eq!(a.leading_edge_m.z, b.leading_edge_m.z);
            assert_eq!((a.chord_m, a.incidence_rad), (b.chord_m, b.incidence_rad));
        }
    }
}
