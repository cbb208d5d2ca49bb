//! What happened, in order, and the letters the pictures use.

use core::fmt::Write;

use larkfield_recording::{EventKind, Person};

use super::flight::Flight;
use crate::plot::{escape, fixed};

/// The list of events.
pub(super) fn section(out: &mut String, flight: &Flight) {
    if flight.flags.is_empty() {
        return;
    }
    out.push_str(
        "<section aria-labelledby=\"events\"><h2 id=\"events\">What happened, in order</h2>\n",
    );
    let _ = write!(
        out,
        "<p>Seconds count from {}. The letters stand in the pictures below.</p>\n\
         <ol class=\"events\">\n",
        if flight.released {
            "the moment the hand lets go"
        } else {
            "the start of the run"
        }
    );
    for flag in &flight.flags {
        let _ = writeln!(
            out,
            "<li><b>{}</b><span class=\"num\">{}</span><span>{}</span></li>",
            flag.letter,
            signed_seconds(flag.at_s),
            escape(&flag.words),
        );
    }
    out.push_str("</ol>\n");
    if flight.unflagged > 0 {
        let _ = writeln!(
            out,
            "<p>{} more events are in the events table of this run.</p>",
            flight.unflagged
        );
    }
    out.push_str("</section>\n");
}

fn signed_seconds(at_s: f64) -> String {
    let plus = if at_s >= 0.005 { "+" } else { "" };
    format!("{plus}{} s", fixed(at_s, 2))
}

/// An event in words.
pub(super) fn words(kind: &EventKind) -> String {
    match kind {
        EventKind::Said { person, word } => {
            let told = who(*person);
            let mut letters = told.chars();
            let first = letters
                .next()
                .map(|letter| letter.to_uppercase().to_string());
            format!(
                "{}{} says \u{201c}{word}\u{201d}.",
                first.unwrap_or_default(),
                letters.as_str()
            )
        }
        EventKind::ThrowBegan => "The arm starts to move.".to_owned(),
        EventKind::Released => "Release.".to_owned(),
        EventKind::HandOnStick => "The throwing hand is back on its stick.".to_owned(),
        EventKind::Stalled => "The wing stalls.".to_owned(),
        EventKind::TouchedGround { sink_m_s, part } => format!(
            "The {part} touches the ground, sinking at {} m/s.",
            fixed(*sink_m_s, 1)
        ),
        EventKind::Broke {
            part,
            impulse_n_s,
            limit_n_s,
        } => format!(
            "The {part} breaks: a blow of {} N·s, it stands {} N·s.",
            fixed(*impulse_n_s, 2),
            fixed(*limit_n_s, 2)
        ),
        EventKind::PropellerStruck { impulse_n_s } => format!(
            "The turning propeller strikes the ground and stops: a blow of {} N·s at its tip.",
            fixed(*impulse_n_s, 2)
        ),
        EventKind::PieceAtRest {
            part,
            north_m,
            east_m,
        } => format!(
            "The {part} that came off lies still, {} m north and {} m east of the launch point.",
            fixed(*north_m, 1),
            fixed(*east_m, 1)
        ),
        EventKind::NearPerson { person, distance_m } => format!(
            "It comes within {} m of {}.",
            fixed(*distance_m, 1),
            who(*person)
        ),
        EventKind::HitPerson { person, propeller } => format!(
            "It hits {}{}",
            who(*person),
            if *propeller {
                " with the propeller turning: an injury."
            } else {
                "."
            }
        ),
        EventKind::CrossedSafetyLine => "It crosses the safety line.".to_owned(),
        EventKind::PhaseDone { phase } => format!("Done: {phase}."),
        EventKind::PhaseFailed { why } => format!("Not done: {why}."),
        EventKind::PowerLost => "The motor stops by itself.".to_owned(),
        EventKind::AtRest => "It lies still.".to_owned(),
        EventKind::Ended { reason } => format!("End of the run: {reason}."),
        EventKind::NotFinite { quantity } => {
            format!("The calculation failed ({quantity}); what follows is not to be trusted.")
        }
    }
}

pub(super) fn who(person: Person) -> &'static str {
    match person {
        Person::Thrower => "the thrower",
        Person::Pilot => "the pilot",
        Person::Helper => "the helper",
        Person::Bystander => "a bystander",
    }
}
