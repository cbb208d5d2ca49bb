//! Airframe files: the plane as a builder measures it.
//!
//! The format is described for builders in `shared/airframe-format.md`. A file
//! measures aft, up, right and out from the leading edge of the wing root;
//! the model has x forward and z down, so two signs flip here and nowhere
//! else. An impossible plane is refused; a plane that is merely bad is not.

mod as_built;
mod controls;
mod form;
mod ground;
mod outline;
mod panels;
mod parts;
mod plate;
mod power;
mod section;
mod shape;
mod touch;

use std::path::Path;

use larkfield_airframe::Airframe;

use crate::check::{Checker, FieldPath};
use crate::fault::FileErrors;
use crate::reading::{load_text, read_ron};

use form::AirframeForm;

/// Version of the format that this program reads.
pub const SCHEMA: u32 = 1;

/// Reads an airframe from a file.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn load_airframe(path: &Path) -> Result<Airframe, FileErrors> {
    read_airframe(&load_text(path)?, &path.display().to_string())
}

/// Reads an airframe from text; `file_name` is for messages only.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn read_airframe(text: &str, file_name: &str) -> Result<Airframe, FileErrors> {
    let (form, locator) = read_ron::<AirframeForm>(text, file_name, SCHEMA)?;
    convert(form, Checker::new(file_name, locator))
}

/// The same plane as it was meant to be: what a builder measured as an error of
/// this example is left out.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn read_airframe_as_designed(text: &str, file_name: &str) -> Result<Airframe, FileErrors> {
    let (mut form, locator) = read_ron::<AirframeForm>(text, file_name, SCHEMA)?;
    for panel in &mut form.panels {
        panel.as_built = None;
    }
    convert(form, Checker::new(file_name, locator))
}

fn convert(form: AirframeForm, mut check: Checker) -> Result<Airframe, FileErrors> {
    let root = FieldPath::root();

    check.name(&root.field("name"), &form.name);
    if form.build_note.chars().count() > 2000 {
        check.refuse(
            &root.field("build_note"),
            "the note is too long",
            "say it in at most 2000 letters",
        );
    }
    let sheets = parts::sheets(&mut check, &form);
    let built = panels::panels(&mut check, &form, &sheets);
    let controls = controls::controls(&mut check, &form, &built);
    let bodies = parts::bodies(&mut check, &form, &sheets);
    let components = parts::components(&mut check, &form);
    let power = power::power(&mut check, form.power.as_ref(), &components);
    let measured = parts::measured(&mut check, form.measured.as_ref());
    if measured.static_thrust_n.is_some() && power.is_none() {
        check.refuse(
            &root.field("measured").field("static_thrust"),
            "a plane without power has no static thrust",
            "describe the power train in `power`, or leave this out",
        );
    }
    let hub_m = power.as_ref().map(|p| p.hub_m);
    let grip = ground::grip(&mut check, &form, &bodies);
    let contacts = ground::contacts(&mut check, &form, &built.panels, &bodies, hub_m);
    let break_limits = ground::break_limits(&mut check, &form);

    let model = Airframe {
        name: form.name,
        build_note: form.build_note,
        panels: built.panels,
        controls,
        bodies,
        components,
        power,
        grip,
        contacts,
        break_limits,
        measured,
        assumed: Vec::new(),
    };
    let (mut airframe, assumed) = check.finish(Some(model))?;
    airframe.assumed = assumed;
    Ok(airframe)
}
