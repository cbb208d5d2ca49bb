//! Larkfield, the command-line program: arguments in, words and files out.
//!
//! Arguments are parsed without looking at the world ([`args`]), then resolved
//! into files and models (`larkfield-rehearsal`), then run ([`check`],
//! [`rehearse`], [`repeat`], [`join`], [`radio`],
//! [`drill`], [`logbook`], [`lessons`]). No formula lives here.

mod args;
mod batch;
mod by_hand;
mod card;
mod causes;
mod check;
mod cues;
mod drill;
mod faults;
mod join;
mod lessons;
mod lines;
mod logbook;
mod radio;
mod rehearse;
mod repeat;
mod stop;
mod terminal;
mod why;
mod workers;

use std::process::ExitCode;

use clap::Parser;
use larkfield_rehearsal::Failure;

use crate::args::{Arguments, Command};

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let result = match arguments.command {
        Command::Preflight(arguments) => check::run(&arguments),
        Command::Card(arguments) => card::run(&arguments),
        Command::Causes(arguments) => causes::run(&arguments),
        Command::Why(arguments) => why::run(&arguments),
        Command::Rehearse(arguments) => rehearse::run(&arguments),
        Command::Faults(arguments) => faults::run(&arguments),
        Command::Join(arguments) => join::run(&arguments),
        Command::Lessons(arguments) => lessons::run(&arguments),
        Command::Logbook(arguments) => logbook::run(&arguments),
        Command::Radio(arguments) => radio::run(&arguments),
        Command::Drill(command) => drill::run(&command),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(Failure { code, error }) => {
            terminal::complain(&error);
            ExitCode::from(code)
        }
    }
}
