//! What a drill came to, in words and as JSON.

use larkfield_drill::briefing::{self, BriefingReport, Word};
use larkfield_drill::control::{Call, ControlCheck, PASS_POINTS, SetupFault};
use larkfield_drill::decision::{self, GoNoGoReport, Point};
use larkfield_drill::orientation::OrientationReport;
use larkfield_drill::power::{Act, PowerReport};
use larkfield_rehearsal::{Failure, json};
use serde::Serialize;

use crate::terminal::{bold, say};

#[derive(Serialize)]
struct ControlJson {
    drill: &'static str,
    airframe: String,
    seed: u64,
    points: f64,
    passed: bool,
    found: usize,
    missed: usize,
    false_alarms: usize,
    rounds: Vec<RoundJson>,
    rounds_not_called: usize,
}

#[derive(Serialize)]
struct RoundJson {
    hidden: Option<&'static str>,
    call: &'static str,
    verdict: &'static str,
    time_s: f64,
    not_looked_at: Vec<&'static str>,
    points: f64,
}

/// Of the control check.
///
/// # Errors
/// An output that cannot be written.
pub fn control_report(check: &ControlCheck, seed: u64, as_json: bool) -> Result<(), Failure> {
    let report = check.report();
    let rounds = report.rounds.iter().map(|called| RoundJson {
        hidden: called.fault.map(SetupFault::name),
        call: match called.call {
            Call::Fit => "fit",
            Call::Fault(fault) => fault.name(),
        },
        verdict: called.verdict.in_words(),
        time_s: called.time_s,
        not_looked_at: called.left.iter().map(|end| end.in_words()).collect(),
        points: called.points,
    });
    let rounds: Vec<RoundJson> = rounds.collect();
    let not_called = check.rounds() - rounds.len();
    if as_json {
        return Ok(say(&json(&ControlJson {
            drill: "control check",
            airframe: check.airframe().name.clone(),
            seed,
            points: report.points,
            passed: report.passed,
            found: report.found,
            missed: report.missed,
            false_alarms: report.false_alarms,
            rounds,
            rounds_not_called: not_called,
        })?)?);
    }
    let mut text = String::new();
    for (index, round) in rounds.iter().enumerate() {
        text += &format!(
            "  plane {}: {} ({} called, {} hidden), {:.0} s, {} things not looked at, {:.0} points\n",
            index + 1,
            round.verdict,
            round.call,
            round.hidden.unwrap_or("nothing"),
            round.time_s,
            round.not_looked_at.len(),
            round.points
        );
    }
    if not_called > 0 {
        text += &format!("  not called: {not_called}\n");
    }
    let verdict = if report.passed {
        "good enough"
    } else if report.missed > 0 {
        "not yet: a fault that is missed here flies"
    } else {
        "not yet"
    };
    text += &format!(
        "{} {} found, {} missed, {} false alarms (good from {PASS_POINTS:.0} points, nothing \
         missed). Seed {seed}.\n",
        bold(&format!("{:.0} of 100 points, {verdict}.", report.points)),
        report.found,
        report.missed,
        report.false_alarms
    );
    text += "Which way the servos of your real plane move, only your own eyes can check: do this \
             check there before every first flight of a day.\n";
    Ok(say(&text)?)
}

#[derive(Serialize)]
struct PowerJson {
    drill: &'static str,
    seed: u64,
    points: f64,
    passed: bool,
    hidden: Option<&'static str>,
    call_right: bool,
    left_out: Vec<&'static str>,
    dangers: Vec<&'static str>,
    battery_out_first: bool,
}

/// Of the drill before power.
///
/// # Errors
/// An output that cannot be written.
pub fn power_report(report: &PowerReport, seed: u64, as_json: bool) -> Result<(), Failure> {
    if as_json {
        return Ok(say(&json(&PowerJson {
            drill: "before power",
            seed,
            points: report.points,
            passed: report.passed,
            hidden: report.hidden.map(|hidden| hidden.in_words()),
            call_right: report.call_right,
            left_out: report.left_out.iter().map(|act| act.name()).collect(),
            dangers: report
                .dangers
                .iter()
                .map(|danger| danger.in_words())
                .collect(),
            battery_out_first: report.disconnected_first,
        })?)?);
    }
    let mut text = String::new();
    match report.hidden {
        Some(hidden) => text += &format!("  Hidden: {}.\n", hidden.in_words()),
        None => text += "  Nothing was wrong with this one.\n",
    }
    for danger in &report.dangers {
        text += &format!("  DANGER: {}.\n", danger.in_words());
    }
    if !report.left_out.is_empty() {
        let left: Vec<&str> = report.left_out.iter().copied().map(Act::in_words).collect();
        text += &format!("  Left out: {}.\n", left.join("; "));
    }
    if !report.call_right {
        text += "  The call, to fly or to stay down, was not right or not made.\n";
    }
    if !report.disconnected_first {
        text += "  Before anything else the flight battery is disconnected; here it was not.\n";
    }
    let verdict = if report.passed { "good" } else { "not yet" };
    let points = format!("{:.0} of 100 points, {verdict}.", report.points);
    let why = if report.dangers.is_empty() {
        ""
    } else {
        " Where somebody could have been hurt nothing counts."
    };
    text += &format!("{}{why} Seed {seed}.\n", bold(&points));
    Ok(say(&text)?)
}

#[derive(Serialize)]
struct OrientationJson {
    drill: &'static str,
    seed: u64,
    points: f64,
    passed: bool,
    wrong: usize,
    by_heading: Vec<HeadingJson>,
    rounds: Vec<AnswerJson>,
}

#[derive(Serialize)]
struct HeadingJson {
    heading: &'static str,
    rounds: usize,
    wrong: usize,
    reaction_s: Option<f64>,
}

#[derive(Serialize)]
struct AnswerJson {
    heading: &'static str,
    low_wing: &'static str,
    stick: &'static str,
    answer: Option<&'static str>,
    reaction_s: f64,
    points: f64,
}

/// Of the orientation drill.
///
/// # Errors
/// An output that cannot be written.
pub fn orientation_report(
    report: &OrientationReport,
    seed: u64,
    as_json: bool,
) -> Result<(), Failure> {
    let headings = report.headings.iter().map(|by| HeadingJson {
        heading: by.heading.in_words(),
        rounds: by.rounds,
        wrong: by.wrong,
        reaction_s: by.reaction_s,
    });
    if as_json {
        let rounds = report.rounds.iter().map(|answered| AnswerJson {
            heading: answered.view.heading.in_words(),
            low_wing: answered.view.low.in_words(),
            stick: answered.view.stick().in_words(),
            answer: answered.answer.map(|side| side.in_words()),
            reaction_s: answered.reaction_s,
            points: answered.points(),
        });
        return Ok(say(&json(&OrientationJson {
            drill: "orientation",
            seed,
            points: report.points,
            passed: report.passed,
            wrong: report.wrong,
            by_heading: headings.collect(),
            rounds: rounds.collect(),
        })?)?);
    }
    let mut text = String::new();
    for by in headings {
        let took = match by.reaction_s {
            Some(reaction_s) => format!(", {reaction_s:.1} s"),
            None => String::new(),
        };
        text += &format!(
            "  {:<26} {} of {} right{took}\n",
            by.heading,
            by.rounds - by.wrong,
            by.rounds
        );
    }
    let verdict = if report.passed { "good" } else { "not yet" };
    let points = format!("{:.0} of 100 points, {verdict}.", report.points);
    text += &format!("{} {} wrong. Seed {seed}.\n", bold(&points), report.wrong);
    Ok(say(&text)?)
}

#[derive(Serialize)]
struct DecisionJson {
    drill: &'static str,
    seed: u64,
    points: f64,
    passed: bool,
    dangerous: usize,
    days: Vec<DayJson>,
}

#[derive(Serialize)]
struct DayJson {
    against: Vec<&'static str>,
    call: &'static str,
    reasons: Vec<&'static str>,
    not_looked_at: Vec<&'static str>,
    verdict: &'static str,
    points: f64,
}

fn names(points: &[Point]) -> Vec<&'static str> {
    points.iter().map(|point| point.name()).collect()
}

/// Of the drill that decides about days.
///
/// # Errors
/// An output that cannot be written.
pub fn decision_report(report: &GoNoGoReport, seed: u64, as_json: bool) -> Result<(), Failure> {
    let days = report.days.iter().map(|day| DayJson {
        against: names(&day.against),
        call: match day.call {
            decision::Call::Go => "go",
            decision::Call::No(_) => "no",
        },
        reasons: match &day.call {
            decision::Call::Go => Vec::new(),
            decision::Call::No(reasons) => names(reasons),
        },
        not_looked_at: names(&day.not_looked_at),
        verdict: day.verdict.in_words(),
        points: day.points,
    });
    let days: Vec<DayJson> = days.collect();
    if as_json {
        return Ok(say(&json(&DecisionJson {
            drill: "go or no-go",
            seed,
            points: report.points,
            passed: report.passed,
            dangerous: report.dangerous,
            days,
        })?)?);
    }
    let mut text = String::new();
    for (index, day) in days.iter().enumerate() {
        let said = [&[day.call], &day.reasons[..]].concat().join(" ");
        text += &format!(
            "  day {}: {said}; {}, {:.0} points\n",
            index + 1,
            day.verdict,
            day.points
        );
    }
    let verdict = if report.passed { "good" } else { "not yet" };
    let points = format!("{:.0} of 100 points, {verdict}.", report.points);
    let why = if report.dangerous > 0 {
        " After a go on a day that said no nothing counts."
    } else {
        ""
    };
    text += &format!(
        "{}{why} Good from {:.0} points, every day decided. Seed {seed}.\n",
        bold(&points),
        decision::PASS_POINTS
    );
    Ok(say(&text)?)
}

#[derive(Serialize)]
struct BriefingJson {
    drill: &'static str,
    seed: u64,
    points: f64,
    passed: bool,
    thrown: u32,
    throws: u32,
    left_out: Vec<&'static str>,
    dangers: Vec<&'static str>,
    stopped: Vec<&'static str>,
    slips: usize,
}

/// Of the drill with a helper.
///
/// # Errors
/// An output that cannot be written.
pub fn briefing_report(report: &BriefingReport, seed: u64, as_json: bool) -> Result<(), Failure> {
    if as_json {
        return Ok(say(&json(&BriefingJson {
            drill: "helper briefing",
            seed,
            points: report.points,
            passed: report.passed,
            thrown: report.thrown,
            throws: report.throws,
            left_out: report.left_out.iter().map(|word| word.name()).collect(),
            dangers: report.mistakes.iter().map(|m| m.in_words()).collect(),
            stopped: report.stopped.iter().map(|i| i.in_words()).collect(),
            slips: report.slips,
        })?)?);
    }
    let mut text = String::new();
    for mistake in &report.mistakes {
        text += &format!("  DANGER: {}.\n", mistake.in_words());
    }
    if !report.left_out.is_empty() {
        let left: Vec<&str> = report
            .left_out
            .iter()
            .copied()
            .map(Word::in_words)
            .collect();
        text += &format!("  Left out: {}.\n", left.join("; "));
    }
    for incident in &report.stopped {
        text += &format!("  Stopped when it came to this: {}.\n", incident.in_words());
    }
    let verdict = if report.passed { "good" } else { "not yet" };
    let points = format!("{:.0} of 100 points, {verdict}.", report.points);
    let why = if report.mistakes.is_empty() {
        ""
    } else {
        " Where somebody could have been hurt nothing counts."
    };
    text += &format!(
        "{}{why} {} of {} thrown, {} in the wrong place (good from {:.0} points, all thrown). Seed {seed}.\n",
        bold(&points),
        report.thrown,
        report.throws,
        report.slips,
        briefing::PASS_POINTS
    );
    Ok(say(&text)?)
}
