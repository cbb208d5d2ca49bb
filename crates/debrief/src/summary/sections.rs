//! Words and tables of the summary page.

use core::fmt::Write;

use super::figures::{HIGH_STALL_M, ended_in, median};
use super::runs::RepeatInput;
use super::share::{Share, Z_95};
use crate::plot::{escape, fixed};

/// Flights named in the table of the worst.
const WORST: usize = 8;
/// Ways to fail that are named, and seeds named for each.
const CAUSES: usize = 8;
const SEEDS: usize = 6;

/// Opens a section.
pub(super) fn open(out: &mut String, id: &str, heading: &str) {
    let _ = writeln!(
        out,
        "<section aria-labelledby=\"{id}\"><h2 id=\"{id}\">{heading}</h2>"
    );
}

/// A table that becomes a list on a phone.
pub(super) fn open_table(out: &mut String, columns: &[&str]) {
    out.push_str("<table class=\"stack\"><thead><tr>");
    for column in columns {
        let _ = write!(out, "<th scope=\"col\">{column}</th>");
    }
    out.push_str("</tr></thead>\n<tbody>\n");
}

/// Percent without decimals, but never 0 or 100 for what is neither.
fn percent(share: Share) -> String {
    let rounded = fixed(100.0 * share.value(), 0);
    match (rounded.as_str(), share.hits) {
        ("0", 1..) => "under 1 %".to_owned(),
        ("100", hits) if hits < share.of => "over 99 %".to_owned(),
        _ => format!("{rounded} %"),
    }
}

fn interval(share: Share) -> String {
    let [low, high] = share.interval(Z_95);
    format!("{} to {} %", fixed(100.0 * low, 1), fixed(100.0 * high, 1))
}

pub(super) fn head(out: &mut String, input: &RepeatInput) {
    let _ = writeln!(
        out,
        "<header><p class=\"eyebrow\">Larkfield summary · {} · {}</p>",
        escape(&input.lesson_name),
        escape(&input.plane_name),
    );
    if input.runs.is_empty() {
        out.push_str("<h1>No flight was made.</h1></header>\n");
        return;
    }
    let good = input.share(super::RunSummary::good);
    let _ = write!(
        out,
        "<h1>{} of {} flights completed every phase undamaged.</h1></header>\n\
         <p>That is {}; in the long run it would be {}, as far as {} flights can tell (95 % \
         interval). Half of all flights scored {} points or more.</p>\n\
         <p>Every flight had the same plane, wind script and pilot; only the luck of the gusts, \
         the start and the hands differed. Seeds {}.</p>\n",
        good.hits,
        good.of,
        percent(good),
        interval(good),
        good.of,
        fixed(median(input.runs.iter().map(|run| run.score)), 0),
        seeds_in_words(input),
    );
}

/// First and last seed.
fn seeds_in_words(input: &RepeatInput) -> String {
    let seeds = || input.runs.iter().map(|run| run.seed);
    match (seeds().min(), seeds().max()) {
        (Some(first), Some(last)) if first < last => format!("{first} to {last}"),
        (Some(only), _) => only.to_string(),
        _ => "none".to_owned(),
    }
}

pub(super) fn shares(out: &mut String, input: &RepeatInput) {
    let high_stall = format!(
        "Stalled more than {} m above the ground",
        fixed(HIGH_STALL_M, 0)
    );
    let rows = [
        (
            "Completed every phase undamaged",
            input.share(super::RunSummary::good),
        ),
        ("Passed", input.share(|run| run.passed)),
        (
            "Completed every phase, damaged or not",
            input.share(|run| run.completed),
        ),
        ("Undamaged", input.share(super::RunSummary::undamaged)),
        (
            "Flying and unbroken after 3 s",
            Share {
                hits: input.share(|run| run.flying_after_3_s == Some(true)).hits,
                of: input.share(|run| run.flying_after_3_s.is_some()).hits,
            },
        ),
        (
            high_stall.as_str(),
            input.share(|run| {
                run.first_stall
                    .is_some_and(|stall| stall.height_m > HIGH_STALL_M)
            }),
        ),
        (
            "Endangered somebody or crossed the line (score zero)",
            input.share(|run| run.zeroed_by.is_some()),
        ),
    ];
    open(out, "often", "How often");
    open_table(out, &["What", "Flights", "Share", "In the long run"]);
    for (name, share) in rows.into_iter().filter(|(_, share)| share.of > 0) {
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{name}</th><td class=\"num\" data-name=\"Flights\">{} of {}</td>\
             <td class=\"num\" data-name=\"Share\">{}</td>\
             <td class=\"num\" data-name=\"In the long run\">{}</td></tr>",
            share.hits,
            share.of,
            percent(share),
            interval(share),
        );
    }
    out.push_str(
        "</tbody></table>\n<p>“In the long run” is the 95 % interval of Wilson: with so many \
         flights, that is how well the share is known. More flights make it narrower.</p>\
         </section>\n",
    );
}

pub(super) fn funnel(out: &mut String, input: &RepeatInput) {
    let steps = input.funnel();
    if steps.is_empty() {
        return;
    }
    open(out, "funnel", "How far they got");
    out.push_str(
        "<p>Phase by phase: how many flights did it and everything before it, and for how many \
         it was the end.</p>\n",
    );
    open_table(out, &["Phase", "Done", "Ended here"]);
    for step in steps {
        let ended = match step.ended_here {
            0 => "none".to_owned(),
            count => format!("<strong>{count}</strong>"),
        };
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{}</th><td class=\"num\" data-name=\"Done\">\
             <span class=\"num\"><span class=\"bar long\" aria-hidden=\"true\"><i style=\"width:{}%\"></i>\
             </span>{} of {}</span></td><td class=\"num\" data-name=\"Ended here\">{ended}</td></tr>",
            escape(&step.phase),
            fixed(100.0 * step.done.value(), 1),
            step.done.hits,
            step.done.of,
        );
    }
    out.push_str("</tbody></table></section>\n");
}

pub(super) fn causes(out: &mut String, input: &RepeatInput) {
    let causes = input.causes();
    open(out, "causes", "What went wrong most often");
    let Some(most) = causes.first() else {
        out.push_str("<p>Nothing: every flight was completed undamaged.</p></section>\n");
        return;
    };
    open_table(out, &["What happened", "Flights", "Seeds"]);
    for cause in causes.iter().take(CAUSES) {
        let named: Vec<String> = cause.seeds.iter().take(SEEDS).map(u64::to_string).collect();
        let more = match cause.seeds.len().saturating_sub(SEEDS) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{}</th><td class=\"num\" data-name=\"Flights\">{}</td>\
             <td data-name=\"Seeds\">{}{more}</td></tr>",
            escape(&cause.words),
            cause.seeds.len(),
            named.join(", "),
        );
    }
    out.push_str("</tbody></table>\n");
    if let Some(others) = causes.get(CAUSES..).filter(|others| !others.is_empty()) {
        let flights: usize = others.iter().map(|cause| cause.seeds.len()).sum();
        let _ = writeln!(
            out,
            "<p>Flights that went wrong in other ways: {flights}; the table has them all.</p>",
        );
    }
    let broke: Vec<String> = input
        .first_broken()
        .iter()
        .map(|(part, count)| format!("{part} {count}"))
        .collect();
    if !broke.is_empty() {
        let _ = writeln!(
            out,
            "<p>First to break, in so many flights: {}.</p>",
            escape(&broke.join(", "))
        );
    }
    if let Some(seed) = most.seeds.first() {
        fly_again(
            out,
            input,
            *seed,
            "To see one of them step by step, fly it again",
        );
    }
    out.push_str("</section>\n");
}

/// The command that flies a seed again.
fn fly_again(out: &mut String, input: &RepeatInput, seed: u64, why: &str) {
    if !input.again_command.is_empty() {
        let _ = writeln!(
            out,
            "<p>{why}; in the folder of this page: <code>{}</code></p>",
            escape(&input.again(seed))
        );
    }
}

pub(super) fn worst(out: &mut String, input: &RepeatInput) {
    let runs = input.worst_first();
    open(out, "worst", "The worst, to look at again");
    if let Some(worst) = runs.first() {
        fly_again(out, input, worst.seed, "The worst of all");
    }
    open_table(
        out,
        &[
            "Seed",
            "Score",
            "Ended in",
            "Lowest",
            "In the air",
            "What happened",
        ],
    );
    for run in runs.iter().take(WORST) {
        let lowest = if run.lowest_height_m.is_finite() {
            format!("{} m", fixed(run.lowest_height_m, 1))
        } else {
            "–".to_owned()
        };
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\" class=\"num\">Seed {}</th>\
             <td class=\"num\" data-name=\"Score\">{}</td>\
             <td class=\"phase\" data-name=\"Ended in\">{}</td>\
             <td class=\"num\" data-name=\"Lowest\">{}</td>\
             <td class=\"num\" data-name=\"In the air\">{} s</td><td>{}</td></tr>",
            run.seed,
            fixed(run.score, 0),
            escape(ended_in(input, run)),
            lowest,
            fixed(run.airborne_s, 1),
            escape(&run.headline),
        );
    }
    out.push_str(
        "</tbody></table>\n<p>“Lowest” is the lowest height of the balance point in the first \
         three seconds.</p></section>\n",
    );
}

pub(super) fn about(out: &mut String, input: &RepeatInput) {
    open(out, "about", "What was flown");
    out.push_str("<dl>\n");
    let rows = [
        ("Plane", &input.plane_name),
        ("Lesson", &input.lesson_name),
        ("Wind", &input.wind_summary),
        ("Pilot", &input.pilot_name),
    ];
    for (name, value) in rows {
        let _ = writeln!(out, "<dt>{name}</dt><dd>{}</dd>", escape(value));
    }
    out.push_str(
        "</dl>\n<p>One row for each flight, with a unit in every column name, is in \
         <code>flights.csv</code> beside this page; what was flown is in <code>inputs</code>.</p>\n",
    );
    crate::page::assumed(out, &input.assumed);
    out.push_str("</section>\n");
}
