//! What can be typed after `logbook`, and what other commands say of it.

use std::path::PathBuf;

use clap::Args;
use larkfield_logbook::FlownAt;

/// Arguments of `logbook`.
#[derive(Debug, Args, Default)]
pub struct LogbookArguments {
    /// The logbook [default: the file that LARKFIELD_LOGBOOK names, otherwise
    /// one in your folder of data]
    #[arg(long, value_name = "FILE")]
    pub logbook: Option<PathBuf>,
    /// Only the flights of this pilot
    #[arg(long, value_name = "PILOT", value_parser = pilot_name)]
    pub name: Option<String>,
    /// Print what it says as JSON
    #[arg(long)]
    pub json: bool,
    /// Leave it as a page with plots, of one pilot
    #[arg(long, value_name = "FILE")]
    pub page: Option<PathBuf>,
    /// Write every flight, or with --drills every drill, into a table (CSV),
    /// which must not exist yet
    #[arg(long, value_name = "FILE")]
    pub export: Option<PathBuf>,
    /// Take the flights, or with --drills the drills, of such a table in; those
    /// that are known already are left out
    #[arg(long, value_name = "FILE", conflicts_with = "export")]
    pub import: Option<PathBuf>,
    /// The table is one of drills
    #[arg(long)]
    pub drills: bool,
}

/// Arguments of a flight that goes into the logbook.
#[derive(Debug, Args, Default)]
pub struct KeepArguments {
    /// Whose flight it is, for the logbook; live flights with a device go into
    /// it without a name too, playbacks and replays only with one
    #[arg(long, value_name = "PILOT", conflicts_with = "repeat", value_parser = pilot_name)]
    pub name: Option<String>,
    /// The logbook [default: the file that LARKFIELD_LOGBOOK names, otherwise
    /// one in your folder of data]
    #[arg(long, value_name = "FILE")]
    pub logbook: Option<PathBuf>,
    /// When it was flown, such as 2026-05-03T18:20:00+02:00, for a flight of
    /// another day that is played back [default: now]
    #[arg(long, value_name = "TIME", requires = "name", value_parser = FlownAt::parse)]
    pub flown_at: Option<FlownAt>,
}

/// A name for the logbook.
///
/// # Errors
/// What would be right.
pub fn pilot_name(text: &str) -> Result<String, String> {
    let name = text.trim();
    let fits =
        !name.is_empty() && name.chars().count() <= 60 && !name.chars().any(char::is_control);
    if fits {
        Ok(name.to_owned())
    } else {
        Err("give a name of 1 to 60 letters in one line".to_owned())
    }
}
