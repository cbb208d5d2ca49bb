//! Columns that count flights.

use core::fmt::Write;

use super::runs::RepeatInput;
use super::sections::open;
use crate::plot::{Axis, Bar, Chart, Ticks, escape, fixed};

/// Flights that get no lower than the hand have the same lowest height.
const SAME_HEIGHT_M: f64 = 0.1;
/// Columns at most where the data decide.
const COLUMNS: usize = 12;

pub(super) fn section(out: &mut String, input: &RepeatInput) {
    open(out, "spread", "How they spread");
    out.push_str("<div class=\"figures\">\n");
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
    let lowest: Vec<f64> = input.runs.iter().map(|run| run.lowest_height_m).collect();
    let least = lowest.iter().copied().fold(f64::NAN, f64::min);
    let greatest = lowest.iter().copied().fold(f64::NAN, f64::max);
    // One column for all says nothing.
    if greatest - least > SAME_HEIGHT_M
        && let Some(chart) = from_zero("lowest", "Lowest heights", "lowest height", "m", &lowest)
    {
        let caption = format!(
            "Lowest height of the balance point in the first three seconds; the lowest of all was \
             {} m.",
            fixed(least, 2)
        );
        figure(out, "Lowest height at the start", &chart.svg(), &caption);
    }
    out.push_str("</div></section>\n");
}

pub(super) fn figure(out: &mut String, heading: &str, picture: &str, caption: &str) {
    let _ = writeln!(
        out,
        "<figure><h3>{}</h3>\n{picture}\n<figcaption>{}</figcaption></figure>",
        escape(heading),
        escape(caption),
    );
}

/// Columns of a round width from zero, or from the lowest value below it.
/// `None` when no value is known.
pub(super) fn from_zero(
    id: &str,
    title: &str,
    label: &str,
    unit: &str,
    values: &[f64],
) -> Option<Chart> {
    let known = || values.iter().copied().filter(|value| value.is_finite());
    let most = known().fold(0.0, f64::max);
    let least = known().fold(0.0, f64::min);
    let step = Ticks::new(least, most.max(least + 0.5), COLUMNS).step;
    if known().next().is_none() || step <= 0.0 {
        return None;
    }
    let below = ((least / step) - 1e-9).floor().min(0.0) * step;
    let low = if least < 0.0 { below } else { 0.0 };
    let high = (most / step + 1e-9).floor() * step + step;
    let axis = Axis::new(label, unit).from_to(low, high);
    Some(histogram(id, title, axis, values, [low, high], step))
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
