//! `larkfield drill helper-briefing`.

use larkfield_drill::briefing::{BriefingDrill, Word};
use larkfield_drill::script::briefing_line;
use larkfield_rehearsal::Failure;

use super::args::BriefingArguments;
use super::keep::{Keeper, Outcome};
use super::report::briefing_report;
use crate::lines::Lines;
use crate::terminal::say;

const BEFORE: &str = "\
A helper holds your plane and throws it for you. Agree on everything first, then
say one word after the other. Something may come between: then anybody says stop,
you too, and with the motor running the throttle is shut at once.
A propeller that turns cuts. At a real field the rules of the place, of your club
and of your country come first.";

/// Runs the command.
///
/// # Errors
/// Wrong answers, nobody at the keyboard.
pub fn run(arguments: &BriefingArguments) -> Result<(), Failure> {
    let quiet = arguments.drill.json;
    let mut lines = Lines::open(arguments.drill.answers.as_deref())?;
    let keeper = Keeper::of(&arguments.drill, &lines, false)?;
    let seed = arguments.drill.seed();
    let mut drill = BriefingDrill::new(arguments.rounds, seed);
    if !quiet {
        let mut text = format!("{BEFORE}\n\nWhat you can say and do:\n");
        for word in Word::ALL {
            text += &format!("  {:<12} {}\n", word.name(), word.in_words());
        }
        say(&format!("{text}\n{}", state(&drill)))?;
    }
    while !drill.over() {
        let Some(line) = lines.next() else { break };
        if line.text.is_empty() {
            continue;
        }
        match briefing_line(&line.text) {
            Err(why) => lines.not_understood(&line, &why)?,
            Ok(word) => {
                let told = drill.say(word);
                if !quiet {
                    let told = told.replace('\n', "\n  ");
                    say(&format!("  {told}\n{}", state(&drill)))?;
                }
            }
        }
    }
    lines.all_used()?;
    let report = drill.report();
    briefing_report(&report, seed, quiet)?;
    let outcome = Outcome {
        drill: "helper-briefing",
        seed,
        points: report.points,
        passed: report.passed,
        over: drill.over(),
    };
    Keeper::keep(keeper.as_ref(), &outcome)
}

fn state(drill: &BriefingDrill) -> String {
    if drill.over() {
        return String::new();
    }
    let (throw, throws) = drill.step();
    format!("Throw {throw} of {throws}: {}.\n", drill.state_in_words())
}
