//! The parts of the page that are words.

use core::fmt::Write;

use super::flight::Flight;
use crate::input::{Assumed, DebriefInput, MarkLine};
use crate::plot::{escape, fixed};

/// How well it went, in words, the score and what zeroed it.
pub(super) fn result(out: &mut String, input: &DebriefInput) {
    let total = shown_total(input);
    let _ = write!(
        out,
        "<header><p class=\"eyebrow\">Larkfield debrief · {} · {}</p>\n<h1>{}</h1></header>\n",
        escape(&input.lesson_name),
        escape(&input.plane_name),
        escape(&input.headline),
    );
    let points = fixed(total.round(), 0);
    let _ = writeln!(
        out,
        "<div class=\"result\" role=\"group\" aria-label=\"Score: {points} of 100\">\
         <div class=\"points\">{points}<small> of 100</small></div>\
         <p class=\"verdict\">{}</p>\
         <div class=\"meter\" aria-hidden=\"true\"><i style=\"width:{}%\"></i></div></div>",
        verdict(input, total),
        percent(total, 100.0),
    );
    if let Some(reason) = &input.zeroed_by {
        let _ = writeln!(
            out,
            "<p class=\"zero\"><strong>Score set to zero:</strong> {} People come before the \
             plane, whatever else went well.</p>",
            escape(&sentence(reason)),
        );
    }
    if !input.damage.is_empty() {
        let _ = writeln!(
            out,
            "<p class=\"hurt\"><strong>Broken:</strong> {}</p>",
            escape(&sentence(&input.damage.join(", "))),
        );
    }
    out.push_str(
        "<p>This flight was calculated from your files. A real plane can differ from its \
         file, so check the real one by hand before you throw it.</p>\n",
    );
}

fn shown_total(input: &DebriefInput) -> f64 {
    if input.zeroed_by.is_some() || !input.total.is_finite() {
        0.0
    } else {
        input.total.clamp(0.0, 100.0)
    }
}

/// The score in words; the borders are common practice, no source.
fn verdict(input: &DebriefInput, total: f64) -> &'static str {
    if !input.total.is_finite() {
        return "No score could be computed for this flight.";
    }
    if input.zeroed_by.is_some() {
        return "Somebody could have been hurt. Read why before anything else.";
    }
    match total.round() as i64 {
        90.. => "Very good: wide margins all the way.",
        75..90 => "Good: it flew, with some margin to win back.",
        50..75 => "It flew, but little was left to spare.",
        25..50 => "Close to going wrong, or partly gone wrong.",
        _ => "This flight went wrong.",
    }
}

/// What to do next.
pub(super) fn next_steps(out: &mut String, input: &DebriefInput) {
    out.push_str("<section aria-labelledby=\"next\"><h2 id=\"next\">What to do next</h2>\n");
    if input.next_steps.is_empty() {
        out.push_str("<p>Nothing to change was found. Rehearse again with another seed.</p>\n");
    } else {
        out.push_str("<ol class=\"next\">\n");
        for step in &input.next_steps {
            let _ = writeln!(out, "<li>{}</li>", escape(step));
        }
        out.push_str("</ol>\n");
    }
    out.push_str("</section>\n");
}

/// The lines of the score.
pub(super) fn score(out: &mut String, input: &DebriefInput) {
    if input.marks.is_empty() {
        return;
    }
    out.push_str(
        "<section aria-labelledby=\"score\"><h2 id=\"score\">How the score came about</h2>\n\
         <table class=\"stack\"><thead><tr><th scope=\"col\">Judged</th>\
         <th scope=\"col\">You had</th><th scope=\"col\">Asked for</th>\
         <th scope=\"col\">Points</th><th scope=\"col\">Advice</th></tr></thead>\n<tbody>\n",
    );
    for line in &input.marks {
        score_line(out, line);
    }
    out.push_str("</tbody></table></section>\n");
}

fn score_line(out: &mut String, line: &MarkLine) {
    let _ = writeln!(
        out,
        "<tr><th scope=\"row\">{}</th><td class=\"num\" data-name=\"You had\">{}</td>\
         <td class=\"num\" data-name=\"Asked for\">{}</td>\
         <td class=\"num\" data-name=\"Points\"><span><span class=\"bar\" aria-hidden=\"true\">\
         <i style=\"width:{}%\"></i></span>{} of {}</span></td><td>{}</td></tr>",
        escape(&line.name),
        escape(&line.value),
        escape(&line.limit),
        percent(line.points, line.of),
        points(line.points),
        points(line.of),
        escape(&line.advice),
    );
}

/// Points with a decimal only where there is one.
fn points(value: f64) -> String {
    let whole = (value - value.round()).abs() < 0.05;
    fixed(value, usize::from(!whole))
}

/// A share as whole percent for a bar; zero when it is not a number.
fn percent(part: f64, of: f64) -> i64 {
    let share = 100.0 * part / of;
    if share.is_finite() {
        share.clamp(0.0, 100.0).round() as i64
    } else {
        0
    }
}

/// Ends a text with a full stop and starts it with a capital.
fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let mut out: String = letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default();
    if !out.is_empty() && !out.ends_with(['.', '!', '?']) {
        out.push('.');
    }
    out
}

/// Inputs, and what in them was assumed.
pub(super) fn about(out: &mut String, input: &DebriefInput, flight: &Flight) {
    out.push_str("<section aria-labelledby=\"about\"><h2 id=\"about\">What was flown</h2>\n<dl>\n");
    let length = flight
        .length_s()
        .map_or(String::new(), |s| format!("{} s", fixed(s, 1)));
    let rows = [
        ("Plane", input.plane_name.as_str()),
        ("Build", input.build_note.as_str()),
        ("Lesson", input.lesson_name.as_str()),
        ("Task", input.lesson_description.as_str()),
        ("Wind", input.wind_summary.as_str()),
        ("Pilot", input.pilot_name.as_str()),
        ("Thrower", input.thrower_name.as_str()),
        ("Recorded", length.as_str()),
    ];
    for (name, value) in rows.iter().filter(|(_, value)| !value.is_empty()) {
        let _ = writeln!(out, "<dt>{name}</dt><dd>{}</dd>", escape(value));
    }
    let _ = write!(
        out,
        "<dt>Seed</dt><dd>{} (the same seed gives the same flight)</dd>\n</dl>\n",
        input.seed
    );
    assumed(out, &input.assumed);
    out.push_str("</section>\n");
}

/// Values nobody measured, each labelled.
pub(crate) fn assumed(out: &mut String, items: &[Assumed]) {
    if items.is_empty() {
        return;
    }
    out.push_str(
        "<h3 id=\"assumed\">Assumed, because nobody measured it</h3>\n\
         <p>Each of these moves the result. Measure the ones you can.</p>\n\
         <ul class=\"assumed\">\n",
    );
    for item in items {
        let _ = writeln!(
            out,
            "<li>{}: {} <span class=\"tag\">assumed</span></li>",
            escape(&item.name),
            escape(&item.value),
        );
    }
    out.push_str("</ul>\n");
}

/// The cautions that stand on every page.
pub(crate) const CAUTIONS: [&str; 6] = [
    "A calculation does not make a plane safe. Check the real balance point, hinges, linkages, \
     warps and thrust by hand; no fault found here means no fault found by calculation.",
    "A battery that is plugged in can start the motor at any moment. Take the propeller off for \
     bench work, plug in only at the flying line, unplug first of all afterwards.",
    "A spinning propeller cuts. Keep hands, sleeves and faces out of its plane and in front of \
     nobody; set the power before the throw and hold the model well clear of the propeller.",
    "Look from behind that every surface moves the right way, and that the motor stops when the \
     radio is switched off.",
    "Throw into wind, away from people, with nobody in front. Let a failing plane go; never grab \
     at it. Motor off before it touches.",
    "Follow the rules of your country and the practice of your club; an experienced flyer beside \
     you is worth more than any page.",
];

/// Cautions for whoever goes out with the real plane.
pub(crate) fn checked_by_hand() -> String {
    let mut out = String::from(
        "<section class=\"caution\" aria-labelledby=\"safety\">\
         <h2 id=\"safety\">Before the real throw: check by hand</h2>\n",
    );
    out.push_str(&list(&CAUTIONS));
    out.push_str("</section>\n");
    out
}

/// Plain items as a list.
fn list(items: &[&str]) -> String {
    let mut out = String::from("<ul>\n");
    for item in items {
        let _ = writeln!(out, "<li>{}</li>", escape(item));
    }
    out.push_str("</ul>\n");
    out
}

/// What made the page.
pub(crate) fn footer() -> String {
    format!(
        "<footer><p>Made by Larkfield {}. This page loads nothing and runs no script; it can be \
         sent and kept as it is.</p></footer>\n",
        env!("CARGO_PKG_VERSION"),
    )
}
