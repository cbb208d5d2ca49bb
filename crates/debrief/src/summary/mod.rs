//! Many flights of one lesson: how often it goes well, and which went worst.

mod share;
mod sheet;

use core::fmt::Write;

pub use share::{Share, Z_95};
pub use sheet::summary_csv;

use crate::input::Assumed;
use crate::page::{checked_by_hand, document, footer};
use crate::plot::{Axis, Bar, Chart, Ticks, escape, fixed};

/// Flights named in the table of the worst.
const WORST: usize = 8;

/// One flight of many.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RunSummary {
    /// Its seed.
    pub seed: u64,
    /// Its score, 0 to 100.
    pub score: f64,
    /// Whether nothing broke.
    pub undamaged: bool,
    /// Whether it did what the lesson asks.
    pub reached_goal: bool,
    /// Why the score is zero whatever the marks say.
    pub zeroed_by: Option<String>,
    /// Lowest height above the ground in the first three seconds.
    pub lowest_height_m: f64,
    /// Time from release to the first touch of the ground, or to the end.
    pub airborne_s: f64,
    /// What happened, in one sentence.
    pub headline: String,
    /// Name of its run folder, if one was kept.
    pub folder: Option<String>,
}

/// Many flights that differ in their seed only.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RepeatInput {
    /// Name the builder gave the plane.
    pub plane_name: String,
    /// Name of the lesson.
    pub lesson_name: String,
    /// What counts as reached, such as "30 m high".
    pub goal: String,
    /// Name of the pilot.
    pub pilot_name: String,
    /// The wind in words.
    pub wind_summary: String,
    /// Command that flies one of them again, `{seed}` standing for its seed.
    pub again_command: String,
    /// Values nobody measured.
    pub assumed: Vec<Assumed>,
    /// The flights.
    pub runs: Vec<RunSummary>,
}

impl RepeatInput {
    fn share(&self, holds: impl Fn(&RunSummary) -> bool) -> Share {
        Share {
            hits: self.runs.iter().filter(|run| holds(run)).count() as u64,
            of: self.runs.len() as u64,
        }
    }

    /// Flights from the worst on: zeroed, then by score, then by seed.
    fn worst_first(&self) -> Vec<&RunSummary> {
        let mut runs: Vec<&RunSummary> = self.runs.iter().collect();
        // A score that is not a number is worse than any that is one.
        let rank = |run: &RunSummary| if run.score.is_nan() { -1.0 } else { run.score };
        runs.sort_by(|a, b| {
            let zeroed = b.zeroed_by.is_some().cmp(&a.zeroed_by.is_some());
            zeroed
                .then(rank(a).total_cmp(&rank(b)))
                .then(a.seed.cmp(&b.seed))
        });
        runs
    }
}

/// The middle of numbers in order; the mean of two when there is no middle
/// one. NaN when there are none.
#[must_use]
pub fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    match sorted.len() {
        0 => f64::NAN,
        n if n % 2 == 1 => sorted[n / 2],
        n => 0.5 * (sorted[n / 2 - 1] + sorted[n / 2]),
    }
}

/// The page of many flights.
#[must_use]
pub fn summary_page(input: &RepeatInput) -> String {
    let mut body = String::new();
    head(&mut body, input);
    shares(&mut body, input);
    spread(&mut body, input);
    worst(&mut body, input);
    about(&mut body, input);
    body.push_str(&checked_by_hand());
    body.push_str(&footer());
    let title = format!("{} flights, {}", input.runs.len(), input.plane_name);
    document(&title, &body)
}

fn head(out: &mut String, input: &RepeatInput) {
    let _ = writeln!(
        out,
        "<header><p class=\"eyebrow\">Larkfield summary · {} · {}</p>",
        escape(&input.lesson_name),
        escape(&input.plane_name),
    );
    let both = input.share(|run| run.reached_goal && run.undamaged);
    if input.runs.is_empty() {
        out.push_str("<h1>No flight was made.</h1></header>\n");
        return;
    }
    let _ = write!(
        out,
        "<h1>{} of {} flights got there undamaged.</h1></header>\n\
         <p>Every flight had the same plane, wind script and pilot; only the luck of the gusts, \
         the throw and the hands differed. Half of them scored {} points or more.</p>\n",
        both.hits,
        both.of,
        fixed(median(input.runs.iter().map(|run| run.score)), 0),
    );
}

fn shares(out: &mut String, input: &RepeatInput) {
    if input.runs.is_empty() {
        return;
    }
    let goal = if input.goal.is_empty() {
        "Reached the goal".to_owned()
    } else {
        format!("Reached the goal: {}", input.goal)
    };
    let rows = [
        (
            "Reached the goal undamaged".to_owned(),
            input.share(|run| run.reached_goal && run.undamaged),
        ),
        (goal, input.share(|run| run.reached_goal)),
        ("Undamaged".to_owned(), input.share(|run| run.undamaged)),
        (
            "Endangered somebody (score zero)".to_owned(),
            input.share(|run| run.zeroed_by.is_some()),
        ),
    ];
    out.push_str(
        "<section aria-labelledby=\"often\"><h2 id=\"often\">How often</h2>\n\
         <table class=\"stack\"><thead><tr><th scope=\"col\">What</th>\
         <th scope=\"col\">Flights</th><th scope=\"col\">Share</th>\
         <th scope=\"col\">In the long run</th></tr></thead>\n<tbody>\n",
    );
    for (name, share) in rows {
        let [low, high] = share.interval(Z_95);
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{}</th><td class=\"num\" data-name=\"Flights\">{} of {}</td>\
             <td class=\"num\" data-name=\"Share\">{} %</td>\
             <td class=\"num\" data-name=\"In the long run\">{} to {} %</td></tr>",
            escape(&name),
            share.hits,
            share.of,
            fixed(100.0 * share.value(), 0),
            fixed(100.0 * low, 1),
            fixed(100.0 * high, 1),
        );
    }
    out.push_str(
        "</tbody></table>\n<p>“In the long run” is the 95 % interval of Wilson: with so many \
         flights, that is how well the share is known. More flights make it narrower.</p>\
         </section>\n",
    );
}

fn spread(out: &mut String, input: &RepeatInput) {
    if input.runs.is_empty() {
        return;
    }
    out.push_str(
        "<section aria-labelledby=\"spread\"><h2 id=\"spread\">How they spread</h2>\n\
         <div class=\"figures\">\n",
    );
    let scores: Vec<f64> = input.runs.iter().map(|run| run.score).collect();
    let chart = histogram(
        "scores",
        "Scores",
        Axis::new("score", "points").from_to(0.0, 100.0),
        &scores,
        [0.0, 100.0],
        10.0,
    );
    figure(
        out,
        "Scores",
        &chart.svg(),
        "Each column counts the flights whose score falls within its ten points.",
    );
    let lowest: Vec<f64> = input
        .runs
        .iter()
        .map(|run| run.lowest_height_m)
        .filter(|h| h.is_finite())
        .collect();
    let top = lowest.iter().copied().fold(0.0, f64::max);
    let step = Ticks::new(0.0, top.max(0.5), 12).step;
    if step > 0.0 && !lowest.is_empty() {
        let end = (top / step + 1e-9).floor() * step + step;
        let axis = Axis::new("lowest height", "m").from_to(0.0, end);
        let ends = [0.0, end];
        let chart = histogram("lowest", "Lowest heights", axis, &lowest, ends, step);
        let least = lowest.iter().copied().fold(f64::INFINITY, f64::min);
        let caption = format!(
            "Lowest height in the first three seconds after release; the lowest of all was {} m.",
            fixed(least, 2)
        );
        figure(out, "Lowest height", &chart.svg(), &caption);
    }
    out.push_str("</div></section>\n");
}

fn figure(out: &mut String, heading: &str, picture: &str, caption: &str) {
    let _ = writeln!(
        out,
        "<figure><h3>{}</h3>\n{picture}\n<figcaption>{}</figcaption></figure>",
        escape(heading),
        escape(caption),
    );
}

/// Counts values in columns of equal width; the last column holds its upper
/// end as well, values outside go to the nearest.
fn histogram(id: &str, title: &str, x: Axis, values: &[f64], ends: [f64; 2], width: f64) -> Chart {
    let columns = (((ends[1] - ends[0]) / width).round() as usize).clamp(1, 200);
    let mut counts = vec![0u32; columns];
    for value in values.iter().filter(|v| v.is_finite()) {
        let column = ((value - ends[0]) / width).floor().max(0.0) as usize;
        counts[column.min(columns - 1)] += 1;
    }
    let bars = counts
        .iter()
        .enumerate()
        .map(|(i, count)| {
            let from = ends[0] + i as f64 * width;
            Bar {
                from_to: [from, from + width],
                height: f64::from(*count),
            }
        })
        .collect();
    let mut y = Axis::new("flights", "number");
    y.unit.clear();
    Chart {
        id: id.to_owned(),
        title: title.to_owned(),
        description: format!("Number of flights in each column: {counts:?}."),
        x,
        y: y.holding(0.0).holding(4.0),
        bars,
        ..Chart::default()
    }
}

fn worst(out: &mut String, input: &RepeatInput) {
    let runs = input.worst_first();
    if runs.is_empty() {
        return;
    }
    out.push_str(
        "<section aria-labelledby=\"worst\"><h2 id=\"worst\">The worst, to look at again</h2>\n",
    );
    if !input.again_command.is_empty() {
        let seed = runs[0].seed.to_string();
        let command = input.again_command.replace("{seed}", &seed);
        let _ = writeln!(
            out,
            "<p>Fly the worst again, step by step: <code>{}</code></p>",
            escape(&command)
        );
    }
    out.push_str(
        "<table class=\"stack\"><thead><tr><th scope=\"col\">Seed</th>\
         <th scope=\"col\">Score</th><th scope=\"col\">Lowest</th>\
         <th scope=\"col\">In the air</th><th scope=\"col\">What happened</th></tr></thead>\n\
         <tbody>\n",
    );
    for run in runs.iter().take(WORST) {
        let why = run.zeroed_by.as_deref().map_or(String::new(), |reason| {
            format!(" <strong>Zeroed: {}</strong>", escape(reason))
        });
        let folder = run.folder.as_deref().map_or(String::new(), |name| {
            format!(" <span class=\"tag\">{}</span>", escape(name))
        });
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\" class=\"num\">Seed {}</th>\
             <td class=\"num\" data-name=\"Score\">{}</td>\
             <td class=\"num\" data-name=\"Lowest\">{} m</td>\
             <td class=\"num\" data-name=\"In the air\">{} s</td><td>{}{why}{folder}</td></tr>",
            run.seed,
            fixed(run.score, 0),
            fixed(run.lowest_height_m, 1),
            fixed(run.airborne_s, 1),
            escape(&run.headline),
        );
    }
    out.push_str("</tbody></table></section>\n");
}

fn about(out: &mut String, input: &RepeatInput) {
    out.push_str("<section aria-labelledby=\"about\"><h2 id=\"about\">What was flown</h2>\n<dl>\n");
    let rows = [
        ("Plane", &input.plane_name),
        ("Lesson", &input.lesson_name),
        ("Wind", &input.wind_summary),
        ("Pilot", &input.pilot_name),
    ];
    for (name, value) in rows {
        let _ = writeln!(out, "<dt>{name}</dt><dd>{}</dd>", escape(value));
    }
    out.push_str("</dl>\n");
    crate::page::assumed(out, &input.assumed);
    out.push_str("</section>\n");
}
