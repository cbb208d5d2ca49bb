//! `larkfield drill orientation`.

use std::time::{Duration, Instant};

use larkfield_drill::control::AtTransmitter;
use larkfield_drill::orientation::{Answered, OrientationDrill, Side, in_words};
use larkfield_drill::script::orientation_line;
use larkfield_rehearsal::Failure;

use super::args::OrientationArguments;
use super::keep::{Keeper, Outcome};
use super::report::orientation_report;
use super::sticks::DeviceSticks;
use crate::lines::Lines;
use crate::terminal::say;

/// A stick that went so far has answered.
const ANSWERS: f64 = 0.4;
/// A stick nearer to its middle than this is at rest.
const AT_REST: f64 = 0.15;
/// Between two looks at a device.
const LOOK: Duration = Duration::from_millis(4);

const BEFORE: &str = "\
A plane is out there with one wing low. Which way does the aileron stick go to
level it? What you see is what you would see from where you stand: when it comes
toward you, the stick goes to the side of the low wing.";

/// Runs the command.
///
/// # Errors
/// Wrong files or answers, no device.
pub fn run(arguments: &OrientationArguments) -> Result<(), Failure> {
    let quiet = arguments.drill.json;
    let mut lines = Lines::open(arguments.drill.answers.as_deref())?;
    let device = DeviceSticks::open(&arguments.sticks)?;
    let live = device.as_ref().is_some_and(|(sticks, _)| sticks.is_live());
    let keeper = Keeper::of(&arguments.drill, &lines, live)?;
    let seed = arguments.drill.seed();
    let mut drill = OrientationDrill::new(arguments.rounds, seed);
    if !quiet {
        let how = if device.is_some() {
            "Answer with the aileron stick."
        } else {
            "Type l or r, then Enter; the clock runs until then."
        };
        say(&format!("{BEFORE}\n{how}\n\n"))?;
    }
    match device {
        None => by_words(&mut drill, &mut lines, quiet)?,
        Some(_) if !lines.typed() => {
            return Err(Failure::input(
                "the aileron stick of the device answers; leave --answers out",
            ));
        }
        Some((sticks, _)) => by_device(&mut drill, sticks, quiet)?,
    }
    lines.all_used()?;
    let report = drill.report();
    orientation_report(&report, seed, quiet)?;
    let outcome = Outcome {
        drill: "orientation",
        seed,
        points: report.points,
        passed: report.passed,
        over: drill.view().is_none(),
    };
    Keeper::keep(keeper.as_ref(), &outcome)
}

fn show(drill: &OrientationDrill, quiet: bool) -> Result<(), Failure> {
    let (round, rounds) = drill.step();
    if let Some(view) = drill.view()
        && !quiet
    {
        say(&format!("{round} of {rounds}\n{}", in_words(&view)))?;
    }
    Ok(())
}

fn tell(answered: &Answered, quiet: bool) -> Result<(), Failure> {
    if quiet {
        return Ok(());
    }
    let said = match answered.answer {
        Some(side) => side.in_words(),
        None => "no answer in time",
    };
    let verdict = if answered.right() { "right" } else { "wrong" };
    say(&format!(
        "  {said} after {:.1} s: {verdict}; its {} wing was low, the stick goes {}\n\n",
        answered.reaction_s,
        answered.view.low.in_words(),
        answered.view.stick().in_words()
    ))?;
    Ok(())
}

fn by_words(drill: &mut OrientationDrill, lines: &mut Lines, quiet: bool) -> Result<(), Failure> {
    while drill.view().is_some() {
        show(drill, quiet)?;
        let began = Instant::now();
        let answered = loop {
            let Some(line) = lines.next() else {
                return Ok(());
            };
            match orientation_line(&line.text) {
                _ if line.text.is_empty() => {}
                Err(why) => lines.not_understood(&line, &why)?,
                Ok((_, None)) if !lines.typed() => {
                    lines.refuse(&line, "write the seconds before the side: 0.9 left")?;
                }
                Ok((side, reaction_s)) => {
                    // Nobody at the keyboard says how quick they were.
                    let written_s = reaction_s.filter(|_| !lines.typed());
                    let took_s = written_s.unwrap_or_else(|| began.elapsed().as_secs_f64());
                    break drill.answer(side, took_s);
                }
            }
        };
        if let Some(answered) = answered {
            tell(&answered, quiet)?;
        }
    }
    Ok(())
}

/// Where the aileron stick is, as an answer.
fn answer_of(at: &AtTransmitter) -> Option<Side> {
    let roll = at.message.sticks.roll;
    match roll {
        _ if roll >= ANSWERS => Some(Side::Right),
        _ if roll <= -ANSWERS => Some(Side::Left),
        _ => None,
    }
}

fn by_device(
    drill: &mut OrientationDrill,
    mut sticks: DeviceSticks,
    quiet: bool,
) -> Result<(), Failure> {
    let mut recorded_s = 0.0;
    let clock = Instant::now();
    let mut wait = |sticks: &mut DeviceSticks| -> f64 {
        if sticks.is_live() {
            std::thread::sleep(LOOK);
            sticks.listen(f64::INFINITY);
            clock.elapsed().as_secs_f64()
        } else {
            recorded_s += LOOK.as_secs_f64();
            sticks.listen(recorded_s);
            recorded_s
        }
    };
    while drill.view().is_some() {
        // The stick comes back to its middle first; what still leans counts as
        // no answer in the end.
        let mut now_s = wait(&mut sticks);
        let since_s = now_s;
        while sticks.at(true).message.sticks.roll.abs() > AT_REST
            && now_s - since_s < OrientationDrill::PATIENCE_S
        {
            now_s = wait(&mut sticks);
        }
        show(drill, quiet)?;
        let began_s = now_s;
        let answer = loop {
            now_s = wait(&mut sticks);
            let answer = answer_of(&sticks.at(true));
            if answer.is_some() || now_s - began_s > OrientationDrill::PATIENCE_S {
                break answer;
            }
        };
        if let Some(answered) = drill.answer(answer, now_s - began_s) {
            tell(&answered, quiet)?;
        }
    }
    Ok(())
}
