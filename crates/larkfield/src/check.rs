//! `larkfield preflight`: what calculation says about a plane.

use std::path::Path;

use anyhow::Context;
use larkfield_airframe::MassProperties;
use larkfield_files::airframe::load_airframe;
use larkfield_preflight::{Options, preflight, report_text, three_view_svg};
use larkfield_rehearsal::{Failure, air_of, json};

use crate::args::PreflightArguments;
use crate::terminal::say;

/// Runs the command.
///
/// # Errors
/// A wrong file or option, or an output that cannot be written.
pub fn run(arguments: &PreflightArguments) -> Result<(), Failure> {
    let airframe = load_airframe(&arguments.airframe)?;
    let air = air_of(
        arguments.elevation.m(),
        arguments.temperature.map(|temperature| temperature.k()),
    )?;
    let options = Options {
        design_speed_m_s: arguments.speed.map(|speed| speed.m_s()),
        ..Options::default()
    };
    let report = preflight(&airframe, air, &options)
        .map_err(|e| Failure::input(format!("{}: {e}", arguments.airframe.display())))?;
    if let Some(path) = &arguments.svg {
        let neutral_m = Some(report.neutral_point_aft_m).filter(|aft_m| aft_m.is_finite());
        let balance_m = MassProperties::of(&airframe).cg_m;
        write_whole(path, &three_view_svg(&airframe, balance_m, neutral_m))?;
    }
    if arguments.json {
        say(&json(&report)?)?;
    } else {
        say(&report_text(&report))?;
    }
    Ok(())
}

/// Writes a file so that it is there whole or not at all: beside its place
/// first, then renamed.
///
/// # Errors
/// When the disk refuses.
pub fn write_whole(path: &Path, text: &str) -> Result<(), Failure> {
    let mut beside = path.as_os_str().to_owned();
    beside.push(".partial");
    let result = std::fs::write(&beside, text).and_then(|()| std::fs::rename(&beside, path));
    if result.is_err() {
        let _ = std::fs::remove_file(&beside);
    }
    result.with_context(|| format!("{} could not be written", path.display()))?;
    Ok(())
}
