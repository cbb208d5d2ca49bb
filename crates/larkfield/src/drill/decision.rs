//! `larkfield drill go-or-no-go`.

use larkfield_drill::decision::{Call, Day, Decided, GoNoGoDrill, Point};
use larkfield_drill::script::{DECISION_WORDS, DecisionLine, decision_line};
use larkfield_rehearsal::Failure;

use super::args::DecisionArguments;
use super::keep::{Keeper, Outcome};
use super::report::decision_report;
use crate::lines::Lines;
use crate::terminal::say;

const BEFORE: &str = "\
You stand at a field with the plane still in the car. Look at whatever you want to
know, then decide: go, or no with what speaks against it. One no is a no, however
good the rest. Unsure is no, here and at a real field, where local rules and those
who know the place come first.";

/// Runs the command.
///
/// # Errors
/// Wrong answers, nobody at the keyboard.
pub fn run(arguments: &DecisionArguments) -> Result<(), Failure> {
    let quiet = arguments.drill.json;
    let mut lines = Lines::open(arguments.drill.answers.as_deref())?;
    let keeper = Keeper::of(&arguments.drill, &lines, false)?;
    let seed = arguments.drill.seed();
    let mut drill = if arguments.hidden.is_empty() {
        GoNoGoDrill::new(arguments.rounds, seed)
    } else {
        let days = arguments.hidden.iter().zip(0..);
        let days = days.map(|(against, day)| Day::with(against.0.clone(), seed, day));
        GoNoGoDrill::with(days.collect())
    };
    if !quiet {
        say(&format!("{BEFORE}\n\n{DECISION_WORDS}\n\n"))?;
        begin(&drill)?;
    }
    while !drill.over() {
        let Some(line) = lines.next() else { break };
        if line.text.is_empty() {
            continue;
        }
        match decision_line(&line.text) {
            Err(why) => lines.not_understood(&line, &why)?,
            Ok(DecisionLine::Look(point)) => look(&mut drill, &[point], quiet)?,
            Ok(DecisionLine::LookAtAll) => {
                let mut left = Point::ALL.to_vec();
                left.retain(|point| !drill.has_looked_at(*point));
                look(&mut drill, &left, quiet)?;
            }
            Ok(DecisionLine::Call(call)) => {
                if let Some(decided) = drill.call(call)
                    && !quiet
                {
                    say(&in_words(&decided))?;
                    begin(&drill)?;
                }
            }
        }
    }
    lines.all_used()?;
    let report = drill.report();
    decision_report(&report, seed, quiet)?;
    let outcome = Outcome {
        drill: "go-or-no-go",
        seed,
        points: report.points,
        passed: report.passed,
        over: drill.over(),
    };
    Keeper::keep(keeper.as_ref(), &outcome)
}

fn begin(drill: &GoNoGoDrill) -> Result<(), Failure> {
    if !drill.over() {
        let (day, days) = drill.step();
        say(&format!("Day {day} of {days}.\n"))?;
    }
    Ok(())
}

fn look(drill: &mut GoNoGoDrill, points: &[Point], quiet: bool) -> Result<(), Failure> {
    for point in points {
        let seen = drill.look(*point);
        if let Some(seen) = seen.filter(|_| !quiet) {
            say(&format!("  {}: {seen}\n", point.name()))?;
        }
    }
    Ok(())
}

fn in_words(decided: &Decided) -> String {
    let mut text = format!("  {}\n", decided.verdict.in_words());
    for point in &decided.against {
        text += &format!(
            "  Against it: {} ({}).\n",
            point.name(),
            point.limit_in_words()
        );
    }
    if decided.call == Call::Go && !decided.not_looked_at.is_empty() {
        let names: Vec<&str> = decided
            .not_looked_at
            .iter()
            .map(|point| point.name())
            .collect();
        text += &format!("  Not looked at: {}.\n", names.join(", "));
    }
    text + "\n"
}
