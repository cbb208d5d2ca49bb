//! The words of the drills, one line each: typed at a terminal or written in a
//! file beforehand.

use larkfield_radio::Function;

use crate::briefing::Word;
use crate::control::{Call, SetupFault};
use crate::decision::{self, Point};
use crate::orientation::Side;
use crate::power::Act;

/// A line of a control check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ControlLine {
    /// A stick goes somewhere and stays there: -1 to 1, right, nose up; the
    /// throttle 0 to 1.
    Stick(Function, f64),
    /// All sticks but the throttle are let go.
    LetGo,
    /// The transmitter goes on or off.
    Transmitter(bool),
    /// Nothing is done for a while.
    Wait(f64),
    /// The pilot makes the call.
    Call(Call),
}

/// A line that nobody understands, with what would be understood.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{text:?} is not understood; {remedy}")]
pub struct NotUnderstood {
    /// The line.
    pub text: String,
    /// What would be right.
    pub remedy: String,
}

fn not(text: &str, remedy: impl Into<String>) -> NotUnderstood {
    NotUnderstood {
        text: text.trim().to_owned(),
        remedy: remedy.into(),
    }
}

/// What a line of a control check may be, for people.
pub const CONTROL_WORDS: &str = "\
aileron left|right|centre       move a stick to its end, or let it go;
elevator back|forward|centre    a number from 1 to 100 behind it goes so far
rudder left|right|centre        (aileron right 50)
throttle 0 ... 100
centre                          let go of all sticks but the throttle
transmitter on|off
wait SECONDS
fit                             call it: nothing is wrong
fault NAME                      call it: this is wrong";

/// Lines without what stands behind a `#`, numbered from 1; empty ones left out.
pub fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines().enumerate().filter_map(|(index, line)| {
        let line = line.split('#').next().unwrap_or_default().trim();
        (!line.is_empty()).then_some((index + 1, line))
    })
}

/// Reads a line of a control check.
///
/// # Errors
/// What would be understood.
pub fn control_line(text: &str) -> Result<ControlLine, NotUnderstood> {
    let words: Vec<&str> = text.split_whitespace().collect();
    match words[..] {
        ["fit"] => Ok(ControlLine::Call(Call::Fit)),
        ["fault", name] => SetupFault::named(name)
            .map(|fault| ControlLine::Call(Call::Fault(fault)))
            .ok_or_else(|| {
                let names: Vec<&str> = SetupFault::ALL.iter().map(|f| f.name()).collect();
                not(text, format!("a fault is one of {}", names.join(", ")))
            }),
        ["centre"] => Ok(ControlLine::LetGo),
        ["transmitter", "on"] => Ok(ControlLine::Transmitter(true)),
        ["transmitter", "off"] => Ok(ControlLine::Transmitter(false)),
        ["wait", seconds] => number(seconds, 0.0, 600.0)
            .map(ControlLine::Wait)
            .ok_or_else(|| not(text, "wait from 0 to 600 seconds, such as wait 1.5")),
        ["throttle", share] => number(share, 0.0, 100.0)
            .map(|percent| ControlLine::Stick(Function::Throttle, percent / 100.0))
            .ok_or_else(|| not(text, "the throttle goes from 0 to 100, such as throttle 50")),
        [stick, way] => moved(stick, way, 100.0).ok_or_else(|| unknown(text)),
        [stick, way, share] => number(share, 1.0, 100.0)
            .and_then(|percent| moved(stick, way, percent))
            .ok_or_else(|| unknown(text)),
        _ => Err(unknown(text)),
    }
}

fn unknown(text: &str) -> NotUnderstood {
    not(text, format!("type one of\n{CONTROL_WORDS}"))
}

fn number(text: &str, least: f64, most: f64) -> Option<f64> {
    let value: f64 = text.parse().ok()?;
    (least..=most).contains(&value).then_some(value)
}

fn moved(stick: &str, way: &str, percent: f64) -> Option<ControlLine> {
    let function = match stick {
        "aileron" => Function::Aileron,
        "elevator" => Function::Elevator,
        "rudder" => Function::Rudder,
        _ => return None,
    };
    let sign = match (function, way) {
        (_, "centre") => 0.0,
        (Function::Elevator, "back") => 1.0,
        (Function::Elevator, "forward") => -1.0,
        (Function::Aileron | Function::Rudder, "right") => 1.0,
        (Function::Aileron | Function::Rudder, "left") => -1.0,
        _ => return None,
    };
    Some(ControlLine::Stick(function, sign * percent / 100.0))
}

/// A line of the drill that decides about a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DecisionLine {
    /// A point is looked at.
    Look(Point),
    /// Everything is looked at.
    LookAtAll,
    /// The day is decided.
    Call(decision::Call),
}

/// What a line of that drill may be, for people.
pub const DECISION_WORDS: &str = "\
wind, direction, trees, sun, people, rules, yourself     look at it
all                     look at everything that has not been looked at
go                      it is flown
no POINT ...            it is not, and this speaks against it (no wind people)";

/// Reads a line of the drill that decides about a day.
///
/// # Errors
/// What would be understood.
pub fn decision_line(text: &str) -> Result<DecisionLine, NotUnderstood> {
    let unknown = || not(text, format!("type one of\n{DECISION_WORDS}"));
    let words: Vec<&str> = text.split_whitespace().collect();
    match words[..] {
        ["go"] => Ok(DecisionLine::Call(decision::Call::Go)),
        ["all"] => Ok(DecisionLine::LookAtAll),
        ["no"] => Err(not(text, "say what speaks against it, such as no wind")),
        ["no", ref reasons @ ..] => {
            let mut points = Vec::new();
            for reason in reasons {
                let point = Point::named(reason).ok_or_else(unknown)?;
                if !points.contains(&point) {
                    points.push(point);
                }
            }
            Ok(DecisionLine::Call(decision::Call::No(points)))
        }
        [point] => Point::named(point)
            .map(DecisionLine::Look)
            .ok_or_else(unknown),
        _ => Err(unknown()),
    }
}

/// Reads a line of the drill with a helper: what is said or done now.
///
/// # Errors
/// What would be understood.
pub fn briefing_line(text: &str) -> Result<Word, NotUnderstood> {
    Word::named(text.trim()).ok_or_else(|| {
        let names: Vec<&str> = Word::ALL.iter().map(|word| word.name()).collect();
        not(text, format!("type one of {}", names.join(", ")))
    })
}

/// Reads a line of the drill before power: what is done now.
///
/// # Errors
/// What would be understood.
pub fn power_line(text: &str) -> Result<Act, NotUnderstood> {
    let name = text.trim();
    Act::named(name).ok_or_else(|| {
        let names: Vec<&str> = Act::ALL.iter().map(|act| act.name()).collect();
        not(text, format!("type one of {}", names.join(", ")))
    })
}

/// Reads an answer of the orientation drill: a side, and after how many seconds
/// where that was written down. `none` is no answer.
///
/// # Errors
/// What would be understood.
pub fn orientation_line(text: &str) -> Result<(Option<Side>, Option<f64>), NotUnderstood> {
    let remedy = "answer left, right or none, with the seconds before it when they were \
                  measured: 0.9 left";
    let side = |word: &str| match word {
        "left" | "l" => Ok(Some(Side::Left)),
        "right" | "r" => Ok(Some(Side::Right)),
        "none" => Ok(None),
        _ => Err(not(text, remedy)),
    };
    let words: Vec<&str> = text.split_whitespace().collect();
    match words[..] {
        [word] => Ok((side(word)?, None)),
        [seconds, word] => {
            let reaction_s = number(seconds, 0.0, 600.0).ok_or_else(|| not(text, remedy))?;
            Ok((side(word)?, Some(reaction_s)))
        }
        _ => Err(not(text, remedy)),
    }
}
