//! The shipped airframes are read without a mistake and are what they claim.

use std::path::{Path, PathBuf};

use larkfield_airframe::{Airframe, Geometry, MassProperties};
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

#[test]
fn every_shipped_airframe_reads() {
    let mut count = 0;
    let entries = std::fs::read_dir(folder()).unwrap_or_else(|e| panic!("{e}"));
    for entry in entries.flatten() {
        let path = entry.path();
        if path.extension().is_some_and(|e| e == "ron") {
            load_airframe(&path).unwrap_or_else(|e| panic!("{e}"));
            count += 1;
        }
    }
    assert!(count >= 1, "no airframes found");
}

#[test]
fn the_trainer_is_sized_as_its_note_says() {
    let marram = shipped("marram.ron");
    let mass = MassProperties::of(&marram);
    for item in &mass.breakdown {
        println!(
            "{:28} {:7.1} g  x {:8.1} y {:7.1} z {:7.1} mm",
            item.name,
            item.mass_kg * 1e3,
            item.cg_m.x * 1e3,
            item.cg_m.y * 1e3,
            item.cg_m.z * 1e3
        );
    }
    println!("{:?}", (mass.mass_kg, mass.cg_m, mass.inertia_kg_m2));
    println!("{:#?}", Geometry::of(&marram));
    println!("{:#?}", marram.assumed);
}
