//! `larkfield drill before-power`.

use larkfield_drill::power::{Act, Finding, PowerDrill};
use larkfield_drill::script::power_line;
use larkfield_rehearsal::Failure;

use super::args::PowerArguments;
use super::keep::{Keeper, Outcome};
use super::report::power_report;
use crate::lines::Lines;
use crate::terminal::say;

const BEFORE: &str = "\
The plane comes out of the car as it is carried: propeller on, flight battery
out, transmitter off. Bring it to life, look at everything that has to be looked
at before a propeller may turn near people, and decide: fly, or stay_down. The
drill goes on until the plane is safe to touch again.
A propeller that turns cuts. At a real field the rules of the place, of your club
and of your country come first.";

/// Runs the command.
///
/// # Errors
/// Wrong answers, nobody at the keyboard.
pub fn run(arguments: &PowerArguments) -> Result<(), Failure> {
    let quiet = arguments.drill.json;
    let mut lines = Lines::open(arguments.drill.answers.as_deref())?;
    let keeper = Keeper::of(&arguments.drill, &lines, false)?;
    let seed = arguments.drill.seed();
    let mut drill = PowerDrill::new(seed);
    if !quiet {
        let mut text = format!("{BEFORE}\n\nWhat you can do:\n");
        for act in Act::ALL {
            text += &format!("  {:<16} {}\n", act.name(), act.in_words());
        }
        say(&format!("{text}\nNow: {}.\n", drill.state_in_words()))?;
    }
    while !drill.over() {
        let Some(line) = lines.next() else { break };
        if line.text.is_empty() {
            continue;
        }
        match power_line(&line.text) {
            Err(why) => lines.not_understood(&line, &why)?,
            Ok(act) => {
                let finding = drill.act(act);
                if !quiet {
                    say(&in_words(&finding, &drill))?;
                }
            }
        }
    }
    lines.all_used()?;
    let report = drill.report();
    power_report(&report, seed, quiet)?;
    let outcome = Outcome {
        drill: "before-power",
        seed,
        points: report.points,
        passed: report.passed,
        over: drill.over(),
    };
    Keeper::keep(keeper.as_ref(), &outcome)
}

fn in_words(finding: &Finding, drill: &PowerDrill) -> String {
    let mut text = String::new();
    if !finding.seen.is_empty() {
        text += &format!("  {}\n", finding.seen);
    }
    if let Some(danger) = finding.danger {
        text += &format!("  DANGER: {}\n", danger.in_words());
    }
    if !drill.over() {
        text += &format!("Now: {}.\n", drill.state_in_words());
    }
    text
}
