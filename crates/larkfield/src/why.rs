//! `larkfield why`: a real plane went in, and there is no recording.

use larkfield_diagnosis::{Answered, Remembered, Suspect, Throws, Unpowered, Went};
use larkfield_rehearsal::{Failure, Inputs, Request, json, line_up};
use serde::Serialize;

use crate::args::WhyArguments;
use crate::lines::Lines;
use crate::terminal::{Progress, bold, say};

/// Suspects that are shown.
const SHOWN: usize = 5;

const BEFORE: &str = "\
Before anything else: flight battery disconnected. Look the plane over with the
propeller off; what is cracked may give way in the next throw.

Answer with a letter and Enter; just Enter when you do not know or have not tried.
";

/// A question, and what can be answered: letter, words, meaning.
struct Question<T: 'static> {
    asks: &'static str,
    answers: &'static [(&'static str, &'static str, T)],
}

const WENT: Question<Went> = Question {
    asks: "What did it do first, after it left the hand?",
    answers: &[
        ("u", "the nose came up", Went::Up),
        ("d", "the nose went down", Went::Down),
        ("l", "it rolled or turned left", Went::Left),
        ("r", "it rolled or turned right", Went::Right),
        ("s", "it sank, more or less level", Went::Sank),
        ("f", "it flew for three seconds or more", Went::Flew),
    ],
};
const UNPOWERED: Question<Unpowered> = Question {
    asks: "Without power (a glide toss over long grass), does it do the same?",
    answers: &[
        ("s", "the same", Unpowered::Same),
        ("f", "no: it goes wrong with power only", Unpowered::Fine),
    ],
};
const THROWS: Question<Throws> = Question {
    asks: "On every throw and heading?",
    answers: &[
        ("e", "every time, whatever the heading", Throws::Every),
        (
            "o",
            "on this throw only, or in one direction only",
            Throws::One,
        ),
    ],
};
const ANSWERED: Question<Answered> = Question {
    asks: "If you moved a stick: how did it answer?",
    answers: &[
        ("r", "rightly", Answered::Rightly),
        ("a", "against the stick", Answered::Against),
        ("h", "hardly", Answered::Weakly),
        ("w", "wildly, far too much", Answered::Wildly),
    ],
};

#[derive(Serialize)]
struct Report {
    plane: String,
    suspects: Vec<Entry>,
}

#[derive(Serialize)]
struct Entry {
    fault: &'static str,
    /// Share of the likelihood of all, 0 to 1.
    share: f64,
    in_flight: String,
    what: &'static str,
    bench: &'static str,
    remedy: &'static str,
}

/// Runs the command.
///
/// # Errors
/// Wrong files or answers.
pub fn run(arguments: &WhyArguments) -> Result<(), Failure> {
    let inputs = Inputs::resolve(&Request {
        airframe: arguments.airframe.clone(),
        lesson: arguments.lesson.clone(),
        seed: 1,
        unlocked: true,
        ..Request::default()
    })?;
    let mut lines = Lines::open(arguments.answers.as_deref())?;
    if !arguments.json {
        say(&format!("{}\n{BEFORE}\n", inputs.designed.name))?;
    }
    let remembered = Remembered {
        went: ask(&WENT, &mut lines, arguments.json)?,
        unpowered: ask(&UNPOWERED, &mut lines, arguments.json)?,
        throws: ask(&THROWS, &mut lines, arguments.json)?,
        answered: ask(&ANSWERED, &mut lines, arguments.json)?,
    };
    lines.all_used()?;
    let mut progress = Progress::new();
    let lineup = line_up(&inputs, 1, |share| {
        progress.show(&format!("{:.0} % of the faults flown", share * 100.0));
        true
    })?;
    drop(progress);
    let found = lineup.map_or_else(Vec::new, |lineup| lineup.suspects(&remembered));
    if arguments.json {
        let report = Report {
            plane: inputs.designed.name.clone(),
            suspects: found.iter().map(entry).collect(),
        };
        say(&json(&report)?)?;
    } else {
        say(&in_words(&found))?;
    }
    Ok(())
}

/// Asks until it gets an answer; `None` for an empty line, or when there are no
/// more lines.
fn ask<T: Copy>(
    question: &Question<T>,
    lines: &mut Lines,
    quiet: bool,
) -> Result<Option<T>, Failure> {
    if !quiet {
        say(&format!("{}\n", question.asks))?;
        for (letter, words, _) in question.answers {
            say(&format!("  {letter}  {words}\n"))?;
        }
    }
    let letters: Vec<&str> = question.answers.iter().map(|answer| answer.0).collect();
    loop {
        let Some(line) = lines.next() else {
            return Ok(None);
        };
        let text = line.text.trim().to_lowercase();
        // In a file, where an empty line is nothing, a dash stands for not known.
        if text.is_empty() || text == "-" {
            return Ok(None);
        }
        if let Some(answer) = question.answers.iter().find(|answer| answer.0 == text) {
            return Ok(Some(answer.2));
        }
        let message = format!(
            "{text:?} is none of the answers; {} or - for not known ({})",
            letters.join(", "),
            question.asks
        );
        if let Some(number) = line.number {
            return Err(Failure::input(format!("line {number}: {message}")));
        }
        say(&format!("{message}\n"))?;
    }
}

fn in_words(found: &[Suspect]) -> String {
    let mut out = format!(
        "\n{}\n",
        bold(
            "Check these on the bench, in this order; propeller off, battery out unless it says so."
        )
    );
    for (number, suspect) in found.iter().take(SHOWN).enumerate() {
        let entry = entry(suspect);
        out += &format!(
            "{}. {} ({:.0} % of what speaks for any)\n   {}\n   In the flights calculated for this \
             plane: {}.\n   Check: {}\n   Do: {}\n",
            number + 1,
            entry.fault,
            entry.share * 100.0,
            entry.what,
            entry.in_flight,
            entry.bench,
            entry.remedy
        );
    }
    out += "\nOnly faults of plane, set-up and throw are weighed here; wind and hands are not. \
            Finding nothing on the bench does not make the next throw safe: check by hand, ask \
            somebody who has trained pilots, and keep to the rules of your field.\n";
    out
}

fn entry(suspect: &Suspect) -> Entry {
    let went = |went: Went| {
        let words = WENT.answers.iter().find(|answer| answer.2 == went);
        words.map_or("", |answer| answer.1)
    };
    let answered = ANSWERED
        .answers
        .iter()
        .find(|answer| answer.2 == suspect.answered);
    Entry {
        fault: suspect.fault.name,
        share: suspect.share,
        in_flight: format!(
            "with power {}, without {}; to the sticks {}",
            went(suspect.went),
            went(suspect.went_unpowered),
            answered.map_or("", |answer| answer.1)
        ),
        what: suspect.fault.what,
        bench: suspect.fault.bench,
        remedy: suspect.fault.remedy,
    }
}
