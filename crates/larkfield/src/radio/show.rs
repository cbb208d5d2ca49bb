//! `larkfield radio show` and `verify`: what a radio file says.

use larkfield_radio::draw::{UNCHECKED, mapping_svg, mapping_text, mode_number};
use larkfield_radio::{AxisMap, Function, Gimbal};
use larkfield_rehearsal::{Failure, json};
use serde::Serialize;

use super::args::{ShowArguments, VerifyArguments};
use super::place;
use crate::check::write_whole;
use crate::terminal::say;

/// Draws a radio.
///
/// # Errors
/// Everything wrong with the file; a picture that cannot be written.
pub fn show(arguments: &ShowArguments) -> Result<(), Failure> {
    let radio = place::load(&arguments.radio)?;
    if let Some(path) = &arguments.svg {
        write_whole(path, &mapping_svg(&radio))?;
    }
    say(&mapping_text(&radio))?;
    Ok(())
}

/// What `verify --json` prints.
#[derive(Serialize)]
struct Report {
    file: String,
    name: String,
    mode: u8,
    shaped_by_radio: bool,
    functions: Vec<FunctionReport>,
    switches: Vec<&'static str>,
    unchecked: &'static str,
}

/// The axis of a control. Shares are of what the device can send.
#[derive(Serialize)]
pub struct FunctionReport {
    function: &'static str,
    stick: &'static str,
    axis: String,
    from_fraction: f64,
    centre_fraction: f64,
    to_fraction: f64,
    noise_fraction: f64,
}

impl FunctionReport {
    /// Says which axis it is.
    pub fn of(function: Function, gimbal: Gimbal, axis: &AxisMap) -> Self {
        Self {
            function: function.name(),
            stick: gimbal.stick(),
            axis: axis.code.to_string(),
            from_fraction: axis.from,
            centre_fraction: axis.centre,
            to_fraction: axis.to,
            noise_fraction: axis.noise,
        }
    }
}

/// Checks a radio.
///
/// # Errors
/// Everything wrong with the file.
pub fn verify(arguments: &VerifyArguments) -> Result<(), Failure> {
    let path = place::find(&arguments.radio)?;
    let radio = place::load(&path)?;
    if !arguments.json {
        return Ok(say(&format!(
            "{}: no mistake found in the file ({}, mode {}, {} switches).\n{UNCHECKED}\n",
            path.display(),
            radio.name,
            mode_number(radio.mode),
            radio.switches.len()
        ))?);
    }
    let functions = Function::ALL.into_iter().map(|function| {
        FunctionReport::of(function, function.gimbal(radio.mode), radio.axis(function))
    });
    let report = Report {
        file: path.display().to_string(),
        name: radio.name.clone(),
        mode: mode_number(radio.mode),
        shaped_by_radio: radio.shaping.is_none(),
        functions: functions.collect(),
        switches: radio
            .switches
            .iter()
            .map(|switch| switch.job.name())
            .collect(),
        unchecked: UNCHECKED,
    };
    say(&json(&report)?)?;
    Ok(())
}
