//! `larkfield drill`: what is practised on the ground.

pub mod args;
mod briefing;
mod control;
mod decision;
mod keep;
mod orientation;
mod power;
mod report;
mod sticks;

use larkfield_rehearsal::Failure;

use args::DrillCommand;

/// Runs the command.
///
/// # Errors
/// Wrong files or answers, no device, nobody at the keyboard.
pub fn run(command: &DrillCommand) -> Result<(), Failure> {
    match command {
        DrillCommand::GoOrNoGo(arguments) => decision::run(arguments),
        DrillCommand::ControlCheck(arguments) => control::run(arguments),
        DrillCommand::BeforePower(arguments) => power::run(arguments),
        DrillCommand::Orientation(arguments) => orientation::run(arguments),
        DrillCommand::HelperBriefing(arguments) => briefing::run(arguments),
    }
}
