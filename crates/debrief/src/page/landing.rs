//! The last seconds before the touch.

use super::flight::Flight;
use super::pictures::{figure, series, time_axis};
use crate::input::DebriefInput;
use crate::plot::{Axis, Chart, Ink, Level, fixed};

/// Shown before and after the touch; common practice, no source.
const BEFORE_S: f64 = 6.0;
const AFTER_S: f64 = 3.0;

/// Close-ups around the touch, for lessons that land and flights that did.
pub(super) fn section(out: &mut String, input: &DebriefInput, flight: &Flight) {
    let Some(touched_s) = flight.touched_s.filter(|_| input.landing.is_some()) else {
        return;
    };
    let at_s = touched_s - flight.release_s;
    let axis = || time_axis(flight).from_to(at_s - BEFORE_S, at_s + AFTER_S);
    let near = |points: Vec<[f64; 2]>| -> Vec<[f64; 2]> {
        let keep = |p: &[f64; 2]| p[0] >= at_s - BEFORE_S - 0.1 && p[0] <= at_s + AFTER_S + 0.1;
        points.into_iter().filter(keep).collect()
    };
    out.push_str(
        "<section aria-labelledby=\"landing\"><h2 id=\"landing\">The landing</h2>\n\
         <p>Level off low, let it settle, motor shut before the touch.</p>\n\
         <div class=\"figures\">\n",
    );
    let touch_m = flight
        .samples
        .iter()
        .find(|s| s.time_s >= touched_s)
        .map(|s| s.height_m)
        .filter(|h| h.is_finite());
    let height = Chart {
        id: "landing-height".to_owned(),
        title: "Height before the touch".to_owned(),
        description: "Height of the balance point above the ground against time, around the touch."
            .to_owned(),
        x: axis(),
        y: Axis::new("height", "m").holding(0.0),
        series: vec![series("", Ink::Main, near(flight.trace(|s| s.height_m)))],
        levels: touch_m
            .map(|y| Level {
                y: y + 1.0,
                label: "1 m above the touch".to_owned(),
                ink: Ink::Faint,
            })
            .into_iter()
            .collect(),
        marks: flight.marks(),
        ground: Some(0.0),
        ..Chart::default()
    };
    let caption = format!(
        "It touched at {} s. A good flare bends the line level in the last metre.",
        fixed(at_s, 1)
    );
    figure(out, "Height", &[height.svg()], &caption);
    let sink = Chart {
        id: "landing-sink".to_owned(),
        title: "Sink and power before the touch".to_owned(),
        description: "Rate of descent in metres a second and throttle from 0 to 1, around the \
                      touch."
            .to_owned(),
        x: axis(),
        y: Axis::new("", "m/s, throttle 0 to 1").holding(0.0),
        series: vec![
            series("sink", Ink::Main, near(flight.trace(|s| -s.climb_m_s))),
            series(
                "throttle",
                Ink::Limit,
                near(flight.trace(|s| s.stick_throttle)),
            ),
        ],
        marks: flight.marks(),
        ..Chart::default()
    };
    let caption = "The sink should have died away, and the throttle be shut, before the touch.";
    figure(out, "Sink and power", &[sink.svg()], caption);
    out.push_str("</div></section>\n");
}
