//! `larkfield drill control-check`.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

use larkfield_drill::control::{
    AtTransmitter, Call, Called, ControlCheck, SetupFault, card, drawn, from_behind, stick_of,
};
use larkfield_drill::script::{CONTROL_WORDS, ControlLine, control_line};
use larkfield_files::airframe::load_airframe;
use larkfield_rehearsal::{Failure, shipped};

use super::args::ControlArguments;
use super::keep::{Keeper, Outcome};
use super::report::control_report;
use super::sticks::{DeviceSticks, setup_of};
use crate::lines::{Line, Lines, Next};
use crate::terminal::say;

const DEFAULT_AIRFRAME: &str = "shared/airframes/curlew.ron";
/// A thumb has just got there.
const AT_ONCE_S: f64 = 0.2;
/// A sound servo has long been there.
const SETTLED_S: f64 = 1.3;
/// Between two looks at a device.
const LOOK: Duration = Duration::from_millis(20);
/// Between two drawings.
const DRAW: Duration = Duration::from_millis(125);

/// What is said before, to everybody.
const BEFORE: &str = "\
The plane stands with its tail toward you. Work the sticks, watch the surfaces,
and say what you find: fit, or which fault. A waggle proves that something is
connected, not that it moves the right way: hold each stick at both its ends.
On a real plane this is done with the propeller off, and with the propeller on
only while the plane is held from behind.";

/// Runs the command.
///
/// # Errors
/// Wrong files or answers, no device.
pub fn run(arguments: &ControlArguments) -> Result<(), Failure> {
    let path = match &arguments.airframe {
        Some(path) => path.clone(),
        None => shipped(DEFAULT_AIRFRAME)?,
    };
    let airframe = load_airframe(&path)?;
    if airframe.controls.is_empty() {
        return Err(Failure::input(format!(
            "{}: nothing on this plane moves; give an airframe with control surfaces",
            path.display()
        )));
    }
    let seed = arguments.drill.seed();
    let faults = faults_of(arguments, &airframe, seed)?;
    let mut lines = Lines::open(arguments.drill.answers.as_deref())?;
    let device = DeviceSticks::open(&arguments.sticks)?;
    let live = device.as_ref().is_some_and(|(sticks, _)| sticks.is_live());
    let keeper = Keeper::of(&arguments.drill, &lines, live)?;
    let radio = device.as_ref().map(|(_, radio)| radio);
    let (setup, mode) = setup_of(radio, &airframe);
    let mut check = ControlCheck::new(&airframe, &setup, mode, faults, seed);
    if !arguments.drill.json {
        say(&format!(
            "{}\n\n{BEFORE}\n\n{}\n{}\n",
            airframe.name,
            card(&airframe, &setup),
            names(&airframe)
        ))?;
    }
    match device {
        None => by_words(&mut check, &mut lines, arguments.drill.json)?,
        Some((sticks, _)) => by_device(&mut check, &mut lines, sticks, arguments.drill.json)?,
    }
    lines.all_used()?;
    control_report(&check, seed, arguments.drill.json)?;
    let report = check.report();
    let outcome = Outcome {
        drill: "control-check",
        seed,
        points: report.points,
        passed: report.passed,
        over: report.rounds.len() == check.rounds(),
    };
    Keeper::keep(keeper.as_ref(), &outcome)
}

fn faults_of(
    arguments: &ControlArguments,
    airframe: &larkfield_airframe::Airframe,
    seed: u64,
) -> Result<Vec<Option<SetupFault>>, Failure> {
    if arguments.hidden.is_empty() {
        return Ok((0..arguments.rounds)
            .map(|round| drawn(airframe, seed, round))
            .collect());
    }
    for fault in arguments.hidden.iter().filter_map(|hidden| hidden.0) {
        if !fault.fits(airframe) {
            return Err(Failure::input(format!(
                "{} cannot be wrong with {}: it has nothing of the kind",
                fault.name(),
                airframe.name
            )));
        }
    }
    Ok(arguments.hidden.iter().map(|hidden| hidden.0).collect())
}

fn names(airframe: &larkfield_airframe::Airframe) -> String {
    let mut text = "Calls: fit, or fault and one of\n".to_owned();
    for fault in SetupFault::ALL.iter().filter(|fault| fault.fits(airframe)) {
        text += &format!("  {:<21} {}\n", fault.name(), fault.in_words());
    }
    text
}

/// What stands before a round.
fn heading(check: &ControlCheck) -> String {
    let (round, rounds) = check.step();
    format!("Plane {round} of {rounds}.\n")
}

fn picture(check: &ControlCheck) -> String {
    check.round().map_or_else(String::new, |round| {
        let bench = round.bench();
        from_behind(check.airframe(), &bench.deflections_rad(), bench.motor())
    })
}

fn verdict(called: &Called) -> String {
    let was = match called.fault {
        None => "nothing was wrong".to_owned(),
        Some(fault) => format!(
            "{}: {}.\n  What to do: {}",
            fault.in_words(),
            fault.shows(),
            fault.to_do()
        ),
    };
    let mut text = format!("{}; {was}.\n", called.verdict.in_words());
    if !called.left.is_empty() {
        let left: Vec<&str> = called.left.iter().map(|end| end.in_words()).collect();
        text += &format!("  Nobody looked at: {}.\n", left.join(", "));
    }
    text
}

/// Sticks and calls by words.
fn by_words(check: &mut ControlCheck, lines: &mut Lines, quiet: bool) -> Result<(), Failure> {
    let mut at = AtTransmitter::default();
    // A person thinks while the plane stands there; a file takes no time.
    let mut shown = Instant::now();
    if !quiet {
        say(&format!(
            "{CONTROL_WORDS}\n\n{}{}",
            heading(check),
            picture(check)
        ))?;
    }
    while check.round().is_some() {
        let Some(line) = lines.next() else {
            return Ok(());
        };
        if line.text.is_empty() {
            continue;
        }
        if lines.typed() {
            check.act(&at, shown.elapsed().as_secs_f64());
        }
        match control_line(&line.text) {
            Err(why) => lines.not_understood(&line, &why)?,
            Ok(ControlLine::Call(call)) => {
                make_call(check, call, quiet)?;
                at = AtTransmitter::default();
                if !quiet && check.round().is_some() {
                    say(&format!("{}{}", heading(check), picture(check)))?;
                }
            }
            Ok(does) => {
                let wait_s = apply(&mut at, does);
                check.act(&at, AT_ONCE_S.min(wait_s));
                if !quiet {
                    say(&format!("after {AT_ONCE_S} s:\n{}", words_of(check)))?;
                }
                check.act(&at, (wait_s - AT_ONCE_S).max(0.0));
                if !quiet {
                    say(&format!("after {wait_s:.1} s:\n{}", picture(check)))?;
                }
            }
        }
        shown = Instant::now();
    }
    Ok(())
}

/// What the hands do from now on, and for how long before the next line.
fn apply(at: &mut AtTransmitter, does: ControlLine) -> f64 {
    match does {
        ControlLine::Stick(function, to) => *stick_of(&mut at.message, function) = to,
        ControlLine::LetGo => {
            let throttle = at.message.sticks.throttle;
            at.message.sticks = larkfield_pilot::Sticks {
                throttle,
                ..Default::default()
            };
        }
        ControlLine::Transmitter(on) => at.on = on,
        ControlLine::Wait(wait_s) => return wait_s,
        ControlLine::Call(_) => {}
    }
    AT_ONCE_S + SETTLED_S
}

/// The words under the picture alone.
fn words_of(check: &ControlCheck) -> String {
    let whole = picture(check);
    let words: Vec<&str> = whole
        .lines()
        .filter(|line| {
            line.ends_with("degrees") || line.contains("middle") || line.contains("motor ")
        })
        .collect();
    words.join("\n") + "\n"
}

fn make_call(check: &mut ControlCheck, call: Call, quiet: bool) -> Result<(), Failure> {
    if let Some(called) = check.call(call)
        && !quiet
    {
        say(&format!("{}\n", verdict(called)))?;
    }
    Ok(())
}

/// Sticks of a device, calls by words.
fn by_device(
    check: &mut ControlCheck,
    lines: &mut Lines,
    mut sticks: DeviceSticks,
    quiet: bool,
) -> Result<(), Failure> {
    if sticks.is_live() && !lines.typed() {
        return Err(Failure::input(
            "answers from a file go with a recorded device; give --device replay:FILE, or type \
             the calls",
        ));
    }
    let mut transmits = true;
    let mut screen = Screen::new(quiet || !sticks.is_live());
    let mut recorded_s = 0.0;
    let mut last = Instant::now();
    while check.round().is_some() {
        if sticks.is_live() {
            std::thread::sleep(LOOK);
            let passed_s = last.elapsed().as_secs_f64();
            last = Instant::now();
            if sticks.listen(f64::INFINITY) {
                screen.tell("unplugged: the radio sends nothing until it is back");
            }
            check.act(&sticks.at(transmits), passed_s);
            screen.draw(&format!("{}{}", heading(check), picture(check)));
        }
        let line = match lines.poll() {
            Next::Line(line) => line,
            Next::Later => continue,
            Next::End => return Ok(()),
        };
        match control_line(&line.text) {
            _ if line.text.is_empty() => {}
            Err(why) => lines.not_understood(&line, &why)?,
            Ok(ControlLine::Call(call)) => {
                screen.leave();
                make_call(check, call, quiet)?;
                screen.again();
                // Reading is no part of the next round.
                last = Instant::now();
            }
            Ok(ControlLine::Transmitter(on)) => transmits = on,
            Ok(ControlLine::Wait(wait_s)) if !sticks.is_live() => {
                // In small steps, so that every event counts when it happened.
                let until_s = recorded_s + wait_s;
                while recorded_s < until_s - 1e-9 {
                    let step_s = LOOK.as_secs_f64().min(until_s - recorded_s);
                    recorded_s += step_s;
                    sticks.listen(recorded_s);
                    check.act(&sticks.at(transmits), step_s);
                }
            }
            Ok(ControlLine::Wait(_)) => {}
            Ok(ControlLine::Stick(..) | ControlLine::LetGo) => refuse_stick(lines, &line)?,
        }
    }
    Ok(())
}

fn refuse_stick(lines: &Lines, line: &Line) -> Result<(), Failure> {
    lines.refuse(
        line,
        "the sticks of the device count; type wait, transmitter on or off, or a call",
    )
}

/// The plane, drawn over itself, with the line that is being typed below it. Not
/// on a terminal it is drawn only when it has changed.
struct Screen {
    off: bool,
    terminal: bool,
    drawn: Option<Instant>,
    last: String,
}

impl Screen {
    fn new(off: bool) -> Self {
        Self {
            off,
            terminal: std::io::stdout().is_terminal(),
            drawn: None,
            last: String::new(),
        }
    }

    fn draw(&mut self, picture: &str) {
        let due = self.drawn.is_none_or(|drawn| drawn.elapsed() >= DRAW);
        if self.off || !due || self.last == picture {
            return;
        }
        let mut out = std::io::stdout();
        let text = if self.terminal {
            let first = self.drawn.is_none();
            let clear = if first { "\x1b[2J" } else { "" };
            let lines: Vec<String> = (picture.lines())
                .map(|line| format!("{line}\x1b[K"))
                .collect();
            let body = lines.join("\n");
            if first {
                format!("{clear}\x1b[H{body}\n\x1b[J\n> ")
            } else {
                // What is being typed stays where it is.
                format!("\x1b7\x1b[H{body}\n\x1b[K\x1b8")
            }
        } else {
            picture.to_owned()
        };
        // Nothing can be done about a closed output.
        let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
        self.drawn = Some(Instant::now());
        picture.clone_into(&mut self.last);
    }

    fn tell(&self, text: &str) {
        if !self.off {
            eprintln!("{text}");
        }
    }

    /// Makes room for words.
    fn leave(&mut self) {
        if self.terminal && !self.off {
            print!("\x1b[2J\x1b[H");
        }
    }

    /// After words: time to read them, then a new picture.
    fn again(&mut self) {
        self.last.clear();
        self.drawn = None;
        if self.terminal && !self.off {
            std::thread::sleep(Duration::from_secs(4));
        }
    }
}
