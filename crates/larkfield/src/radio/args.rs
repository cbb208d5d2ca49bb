//! What can be typed after `radio`. Nothing here opens a file or a device.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use larkfield_pilot::StickMode;

/// Sources disagree on the numbers of 3 and 4: look at the sticks.
const MODES: &str = "\
Modes, as most of the trade numbers them (sources disagree on 3 and 4):
        left stick              right stick
        along     across        along     across
  1     elevator  rudder        throttle  aileron
  2     throttle  rudder        elevator  aileron
  3     elevator  aileron       throttle  rudder
  4     throttle  aileron       elevator  rudder
along: away from you and toward you; across: left and right.

Nothing here checks which way the servos of the real plane move.";

/// What to do with a radio.
#[derive(Debug, Subcommand)]
pub enum RadioCommand {
    /// Name the devices that are plugged in, and show what they send
    List(ListArguments),
    /// Find out which axis is which stick, and write a radio file
    #[command(after_help = MODES)]
    Learn(LearnArguments),
    /// Draw what a radio file maps, in the terminal and as a picture
    Show(ShowArguments),
    /// Check a radio file
    Verify(VerifyArguments),
    /// Write down what a device does, to hear it again with --device replay:FILE
    Record(RecordArguments),
}

/// Which device, and whether its owner is ready.
#[derive(Debug, Args, Clone, Default)]
pub struct DeviceArguments {
    /// Part of the device's name, its number, or replay:FILE with what a device
    /// did earlier [default: the only one]
    #[arg(long, value_name = "DEVICE", value_parser = device)]
    pub device: Option<DeviceChoice>,
    /// Don't wait: flight battery disconnected, propeller off, radio
    /// transmission off where the radio allows
    #[arg(long)]
    pub ready: bool,
}

/// A device that somebody names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DeviceChoice {
    /// By part of its name, or its number.
    Named(String),
    /// What a device did earlier.
    Replay(PathBuf),
}

/// Arguments of `radio list`.
#[derive(Debug, Args)]
pub struct ListArguments {
    /// Which device
    #[command(flatten)]
    pub device: DeviceArguments,
    /// Listen so many seconds for values
    #[arg(long, value_name = "SECONDS", default_value_t = 5, value_parser = clap::value_parser!(u32).range(0..=3600))]
    pub seconds: u32,
    /// Print the devices and their values as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `radio learn`.
#[derive(Debug, Args)]
pub struct LearnArguments {
    /// Which device
    #[command(flatten)]
    pub device: DeviceArguments,
    /// Which stick does what: 1, 2, 3 or 4 as `radio learn --help` draws them
    #[arg(long, value_name = "MODE", value_parser = mode)]
    pub mode: StickMode,
    /// Ask for an instructor's switches as well: power loss, gust
    #[arg(long)]
    pub instructor: bool,
    /// Whether the radio's model memory has rates, expo or trims in what it
    /// sends, so that none are added [default: asked]
    #[arg(long, value_name = "yes|no", value_parser = yes_or_no)]
    pub shaped: Option<bool>,
    /// What the radio is to be called [default: the device's own name]
    #[arg(long, value_name = "NAME")]
    pub name: Option<String>,
    /// The file to write, which must not exist yet [default: one named after
    /// the radio, in the folder where the system keeps settings]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Let the new file take the place of an earlier one
    #[arg(long)]
    pub replace: bool,
    /// Print what was learned as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `radio show`.
#[derive(Debug, Args)]
pub struct ShowArguments {
    /// The radio file, or the name of one that is kept or shipped
    #[arg(value_name = "FILE")]
    pub radio: PathBuf,
    /// Draw it as a picture as well
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
}

/// Arguments of `radio verify`.
#[derive(Debug, Args)]
pub struct VerifyArguments {
    /// The radio file, or the name of one that is kept or shipped
    #[arg(value_name = "FILE")]
    pub radio: PathBuf,
    /// Print the mapping as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `radio record`.
#[derive(Debug, Args)]
pub struct RecordArguments {
    /// Which device
    #[command(flatten)]
    pub device: DeviceArguments,
    /// Listen so many seconds; Ctrl-C ends it earlier
    #[arg(long, value_name = "SECONDS", default_value_t = 60, value_parser = clap::value_parser!(u32).range(1..=3600))]
    pub seconds: u32,
    /// The file to write, which must not exist yet
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

/// Reads a device.
///
/// # Errors
/// What can be given.
pub fn device(text: &str) -> Result<DeviceChoice, String> {
    match text.strip_prefix("replay:") {
        Some("") => Err("give replay:FILE with what a device did".to_owned()),
        Some(file) => Ok(DeviceChoice::Replay(PathBuf::from(file))),
        None if text.is_empty() => Err("give part of a device's name".to_owned()),
        None => Ok(DeviceChoice::Named(text.to_owned())),
    }
}

fn mode(text: &str) -> Result<StickMode, String> {
    match text {
        "1" => Ok(StickMode::Mode1),
        "2" => Ok(StickMode::Mode2),
        "3" => Ok(StickMode::Mode3),
        "4" => Ok(StickMode::Mode4),
        _ => Err("give 1, 2, 3 or 4".to_owned()),
    }
}

fn yes_or_no(text: &str) -> Result<bool, String> {
    match text {
        "yes" => Ok(true),
        "no" => Ok(false),
        _ => Err("give yes or no".to_owned()),
    }
}
