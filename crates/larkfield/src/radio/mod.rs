//! `larkfield radio`: a person's own sticks, found, learned, drawn, checked.

pub mod args;
pub mod caution;
pub mod hands;
mod learn;
mod list;
pub mod place;
mod record;
mod show;
pub mod source;

use larkfield_rehearsal::Failure;

use args::RadioCommand;

/// Runs the command.
///
/// # Errors
/// Those of each command.
pub fn run(command: &RadioCommand) -> Result<(), Failure> {
    match command {
        RadioCommand::List(arguments) => list::run(arguments),
        RadioCommand::Learn(arguments) => learn::run(arguments),
        RadioCommand::Show(arguments) => show::show(arguments),
        RadioCommand::Verify(arguments) => show::verify(arguments),
        RadioCommand::Record(arguments) => record::run(arguments),
    }
}
