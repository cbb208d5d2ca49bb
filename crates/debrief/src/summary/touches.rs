//! How and where planes touched that had come as far as landing.

use core::fmt::Write;

use super::figures::spread;
use super::histograms::{figure, from_zero};
use super::runs::{LandingArea, RepeatInput, RunSummary, TouchDown};
use super::sections::{open, open_table};
use crate::plot::{Ink, Map, MapItem, Shape, escape, fixed};

/// A touch farther from the middle than this many half lengths or widths is
/// left out of the picture, which would become too small for the others.
const SHOWN: f64 = 3.0;

pub(super) fn section(out: &mut String, input: &RepeatInput) {
    let Some(area) = &input.landing else {
        return;
    };
    let landings = input.landings();
    open(out, "touch", "At the touch");
    if landings.is_empty() {
        out.push_str("<p>No flight came as far as its landing.</p></section>\n");
        return;
    }
    let _ = writeln!(
        out,
        "<p>{} of {} flights came as far as landing; these are their first touches, a moment \
         before the ground changed anything.</p>",
        landings.len(),
        input.runs.len(),
    );
    numbers(out, area, &landings);
    out.push_str("<div class=\"figures\">\n");
    let (map, caption) = places(area, &landings);
    figure(out, "Where they touched", &map.svg(), &caption);
    // The two small ones stand beside the tall one.
    out.push_str("<div>\n");
    let of = |value: fn(&TouchDown) -> f64| -> Vec<f64> {
        landings.iter().map(|(_, touch)| value(touch)).collect()
    };
    let sink = of(|touch| touch.sink_m_s);
    if let Some(chart) = from_zero("sink", "Sink at touch", "sink", "m/s", &sink) {
        figure(
            out,
            "Sink",
            &chart.svg(),
            "How fast they came down at the touch: 1 m/s is a fall from 5 cm, 2 m/s is one from 20 cm.",
        );
    }
    let drift = of(|touch| touch.drift_m_s);
    if let Some(chart) = from_zero(
        "drift",
        "Drift at touch",
        "drift to the right",
        "m/s",
        &drift,
    ) {
        figure(
            out,
            "Drift",
            &chart.svg(),
            "Speed across the nose at the touch, to the right positive. A skid that drifts digs in \
             a wing tip, a wheel that drifts bends its leg.",
        );
    }
    out.push_str("</div></div></section>\n");
}

type Landing<'a> = (&'a RunSummary, &'a TouchDown);

/// A line of the table: its name, its unit, its decimals, its value.
type Line = (&'static str, &'static str, usize, fn(&TouchDown) -> f64);

fn numbers(out: &mut String, area: &LandingArea, landings: &[Landing]) {
    let lines: [Line; 8] = [
        ("Sink", "m/s", 2, |touch| touch.sink_m_s),
        ("Speed over the ground", "m/s", 1, |touch| {
            touch.ground_speed_m_s
        }),
        ("Drift to either side", "m/s", 2, |touch| {
            touch.drift_m_s.abs()
        }),
        ("Bank to either side", "°", 1, |touch| touch.bank_deg.abs()),
        ("Nose off the landing direction", "°", 1, |touch| {
            touch.heading_error_deg.abs()
        }),
        ("Throttle", "%", 0, |touch| 100.0 * touch.throttle_fraction),
        ("Short of or beyond the aim", "m", 1, |touch| {
            touch.along_m.abs()
        }),
        ("Beside the landing line", "m", 1, |touch| {
            touch.right_m.abs()
        }),
    ];
    let inside = landings.iter().filter(|(_, touch)| touch.in_area).count();
    let _ = writeln!(
        out,
        "<p>{inside} of {} touched inside {}, which is {} m long and {} m wide.</p>",
        landings.len(),
        escape(&area.name),
        fixed(area.length_m, 0),
        fixed(area.width_m, 0),
    );
    open_table(
        out,
        &["Value", "Half stayed below", "Nine of ten below", "Largest"],
    );
    for (name, unit, decimals, value) in lines {
        let spread = spread(landings.iter().map(|(_, touch)| value(touch)));
        let space = if unit == "°" { "" } else { " " };
        let cell = |value: f64| format!("{}{space}{unit}", fixed(value, decimals));
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{name}</th><td class=\"num\" data-name=\"Half below\">{}</td>\
             <td class=\"num\" data-name=\"9 of 10 below\">{}</td>\
             <td class=\"num\" data-name=\"Largest\">{}</td></tr>",
            cell(spread.median),
            cell(spread.p90),
            cell(spread.most),
        );
    }
    out.push_str("</tbody></table>\n");
}

/// The landing area from above with every touch, landing direction up.
fn places(area: &LandingArea, landings: &[Landing]) -> (Map, String) {
    let (l, w) = (0.5 * area.length_m, 0.5 * area.width_m);
    let item = |shape: Shape, label: &str, ink: Ink, frames: bool| MapItem {
        shape,
        label: label.to_owned(),
        ink,
        frames,
    };
    let corners = vec![[w, l], [w, -l], [-w, -l], [-w, l]];
    let mut items = vec![
        item(Shape::Area(corners), &area.name, Ink::Plain, true),
        item(
            Shape::Path(vec![[0.0, -1.5 * l], [0.0, 1.5 * l]]),
            "",
            Ink::Faint,
            true,
        ),
        item(
            Shape::Path(vec![[-0.3 * w, 0.0], [0.3 * w, 0.0]]),
            "",
            Ink::Faint,
            true,
        ),
    ];
    let near = |touch: &TouchDown| {
        touch.along_m.abs() <= SHOWN * l && touch.right_m.abs() <= (SHOWN * w).max(SHOWN * l)
    };
    let mut hidden = 0;
    // Whole planes first, so that broken ones are never hidden below them.
    for broken in [false, true] {
        for (run, touch) in landings.iter().filter(|(run, _)| run.undamaged() != broken) {
            if !near(touch) {
                hidden += 1;
                continue;
            }
            let at = [touch.right_m, touch.along_m];
            items.push(if run.undamaged() {
                item(Shape::Dot(at), "", Ink::Main, true)
            } else {
                item(Shape::Cross(at), "", Ink::Limit, true)
            });
        }
    }
    let mut caption =
        "The dashed line is the landing line, the short one across it the aim. A dot is \
                       a plane that stayed whole, a cross one that broke something."
            .to_owned();
    if hidden > 0 {
        let _ = write!(caption, " {hidden} more touched outside the picture.");
    }
    let map = Map {
        id: "touches".to_owned(),
        title: "Where they touched".to_owned(),
        description: format!(
            "{} touches around {}, seen from above.",
            landings.len() - hidden,
            area.name
        ),
        items,
        wind: None,
        up: Some("landing".to_owned()),
        width: 380.0,
    };
    (map, caption)
}
