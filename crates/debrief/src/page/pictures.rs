//! Figures: a picture with a heading and a sentence, and those of the first
//! seconds.

use core::fmt::Write;

use super::flight::Flight;
use crate::input::DebriefInput;
use crate::plot::{Axis, Chart, Dot, Ink, Level, Series, escape, fixed};

pub(super) const DEG: f64 = 180.0 / core::f64::consts::PI;
/// The stretch after release that decides a hand launch; common practice, no
/// source.
const FIRST_S: f64 = 3.0;

/// Adds a figure.
pub(super) fn figure(out: &mut String, heading: &str, pictures: &[String], caption: &str) {
    let _ = writeln!(out, "<figure><h3>{}</h3>", escape(heading));
    for picture in pictures {
        out.push_str(picture);
        out.push('\n');
    }
    let _ = writeln!(out, "<figcaption>{}</figcaption></figure>", escape(caption));
}

/// A line with a name.
pub(super) fn series(label: &str, ink: Ink, points: Vec<[f64; 2]>) -> Series {
    Series {
        label: label.to_owned(),
        points,
        ink,
        ..Series::default()
    }
}

/// Seconds after release, over the whole recording.
pub(super) fn time_axis(flight: &Flight) -> Axis {
    let name = if flight.released {
        "after release"
    } else {
        "from the start"
    };
    let axis = Axis::new(name, "s");
    match (flight.samples.first(), flight.samples.last()) {
        (Some(first), Some(last)) if first.time_s < last.time_s => {
            axis.from_to(flight.at_s(first), flight.at_s(last))
        }
        _ => axis,
    }
}

/// Close-ups around the release.
pub(super) fn first_seconds(out: &mut String, input: &DebriefInput, flight: &Flight) {
    if !flight.released || flight.samples.is_empty() {
        return;
    }
    out.push_str(
        "<section aria-labelledby=\"first\"><h2 id=\"first\">The first three seconds</h2>\n\
         <p>Most hand launches are won or lost here, close to the ground and close to the \
         stall.</p>\n<div class=\"figures\">\n",
    );
    let axis = || time_axis(flight).from_to(-0.5, FIRST_S);
    let release = flight.samples.iter().find(|s| s.time_s >= flight.release_s);
    let release_height = release.map(|s| s.height_m).filter(|h| h.is_finite());
    let near = |points: Vec<[f64; 2]>| -> Vec<[f64; 2]> {
        let keep = |p: &[f64; 2]| (-0.6..=FIRST_S + 0.1).contains(&p[0]);
        points.into_iter().filter(keep).collect()
    };
    let height = near(flight.trace(|s| s.height_m));
    let lowest = least(height.iter().filter(|p| p[0] >= 0.0 && p[0] <= FIRST_S));
    let mut chart = Chart {
        id: "first-height".to_owned(),
        title: "Height in the first three seconds".to_owned(),
        description: "Height above the ground against time, with the height of release.".to_owned(),
        x: axis(),
        y: Axis::new("height", "m").holding(0.0),
        series: vec![series("", Ink::Main, height)],
        bands: flight.busy(),
        marks: flight.marks(),
        ground: Some(0.0),
        ..Chart::default()
    };
    if let Some(height_m) = release_height {
        chart.levels.push(Level {
            y: height_m,
            label: "release height".to_owned(),
            ink: Ink::Faint,
        });
    }
    let caption = match (lowest, release_height) {
        (Some([at, low]), Some(release)) => {
            chart.dots.push(Dot {
                at: [at, low],
                label: format!("lowest {} m", fixed(low, 1)),
            });
            let drop = release - low;
            let sank = if drop > 0.05 {
                format!("it sank {} m below the hand", fixed(drop, 1))
            } else {
                "it never sank below the hand".to_owned()
            };
            format!(
                "Lowest {} m above the ground, +{} s: {sank}.",
                fixed(low, 1),
                fixed(at, 1)
            )
        }
        _ => "Height of the balance point above the ground.".to_owned(),
    };
    figure(out, "Height", &[chart.svg()], &caption);

    let speed = speed_chart(input, flight, "first-speed", axis());
    figure(
        out,
        "Speed through the air",
        &[speed.svg()],
        &speed_caption(flight),
    );

    let attitude = Chart {
        id: "first-attitude".to_owned(),
        title: "Bank and pitch in the first three seconds".to_owned(),
        description: "Bank, right wing low positive, and pitch, nose up positive, in degrees."
            .to_owned(),
        x: axis(),
        y: Axis::new("", "degrees").holding(0.0),
        series: vec![
            series(
                "nose up",
                Ink::Main,
                near(flight.trace(|s| s.pitch_rad * DEG)),
            ),
            series(
                "right wing low",
                Ink::Limit,
                near(flight.trace(|s| s.bank_rad * DEG)),
            ),
        ],
        bands: flight.busy(),
        marks: flight.marks(),
        ..Chart::default()
    };
    let caption = "What you see from behind: nose above or below level, and which wing is low. \
                   Below zero the left wing is low, or the nose.";
    figure(out, "Nose and wings", &[attitude.svg()], caption);
    super::traces::stall(out, flight, "first-stall", axis());
    out.push_str("</div></section>\n");
}

fn least<'a>(points: impl Iterator<Item = &'a [f64; 2]>) -> Option<[f64; 2]> {
    let mut best: Option<[f64; 2]> = None;
    for point in points.filter(|p| p[1].is_finite()) {
        if best.is_none_or(|b| point[1] < b[1]) {
            best = Some(*point);
        }
    }
    best
}

/// Air speed against the speeds it should stay above.
pub(super) fn speed_chart(input: &DebriefInput, flight: &Flight, id: &str, x: Axis) -> Chart {
    let mut lines = vec![series(
        "your speed",
        Ink::Main,
        flight.trace_free(|s| s.airspeed_m_s),
    )];
    let limits = flight.limits();
    if limits.iter().any(|p| p[1].is_finite()) {
        lines.push(series("lowest that holds height", Ink::Limit, limits));
    }
    let stall = input.stall_speed_m_s.filter(|v| v.is_finite());
    Chart {
        id: id.to_owned(),
        title: "Speed through the air".to_owned(),
        description: "Air speed against time, with stall speed and the lowest speed that holds \
                      height at the throttle and bank of the moment."
            .to_owned(),
        x,
        y: Axis::new("air speed", "m/s"),
        series: lines,
        levels: stall
            .map(|y| Level {
                y,
                label: "stall, power off".to_owned(),
                ink: Ink::Third,
            })
            .into_iter()
            .collect(),
        bands: flight.busy(),
        marks: flight.marks(),
        ..Chart::default()
    }
}

/// The least margin in words.
pub(super) fn speed_caption(flight: &Flight) -> String {
    match flight.least_margin() {
        Some((margin, at)) if margin < 0.0 => format!(
            "At +{} s it was {} m/s slower than it needed to hold its height; it had to sink. \
             From the ground you hear the motor labour and see it mush, nose high.",
            fixed(at, 1),
            fixed(-margin, 1)
        ),
        Some((margin, at)) => format!(
            "The least margin over the lowest speed that holds height was {} m/s, at +{} s.",
            fixed(margin, 1),
            fixed(at, 1)
        ),
        None => "Above the dotted line the wing carries; near it the controls go soft.".to_owned(),
    }
}
