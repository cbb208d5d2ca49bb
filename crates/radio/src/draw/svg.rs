//! The mapping as a picture.

use std::fmt::Write;

use super::{UNCHECKED, answer, mode_number, notes, percent};
use crate::{Function, Gimbal, Transmitter};

/// Width of the picture, of a stick's square, and height of a line of text, in
/// units of the picture.
const WIDTH: f64 = 760.0;
const SQUARE: f64 = 170.0;
const LINE: f64 = 20.0;

/// Both sticks with what they steer, the axes behind them, and what else is
/// set, as an SVG document.
pub fn mapping_svg(radio: &Transmitter) -> String {
    let notes = notes(radio);
    let below = 4.0 * LINE + SQUARE + 2.0 * LINE;
    let rows = Function::ALL.len() + notes.len() + 3;
    let height = below + rows as f64 * LINE + LINE;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height}\" \
         width=\"{WIDTH}\" height=\"{height}\" role=\"img\" font-family=\"sans-serif\" \
         font-size=\"13\" fill=\"#222\">\n<title>{}</title>\n\
         <rect width=\"{WIDTH}\" height=\"{height}\" fill=\"#fff\"/>\n",
        escaped(&format!("Sticks of {}", radio.name))
    );
    let title = format!("{}: mode {}", radio.name, mode_number(radio.mode));
    text(&mut out, (20.0, 28.0), "font-size=\"18\"", &title);
    for (x, name, across, along) in [
        (60.0, "left stick", Gimbal::LeftAcross, Gimbal::LeftAlong),
        (
            420.0,
            "right stick",
            Gimbal::RightAcross,
            Gimbal::RightAlong,
        ),
    ] {
        stick(&mut out, radio, x, name, (across, along));
    }
    let columns = [20.0, 110.0, 210.0, 330.0, 430.0, 510.0, 610.0];
    let heads = [
        "steers",
        "stick",
        "axis",
        "left, toward",
        "let go",
        "right, away",
        "noise",
    ];
    let mut y = below;
    for (x, head) in columns.into_iter().zip(heads) {
        text(&mut out, (x, y), "font-weight=\"bold\"", head);
    }
    for function in Function::ALL {
        y += LINE;
        let (axis, gimbal) = (radio.axis(function), function.gimbal(radio.mode));
        let cells = [
            function.name().to_owned(),
            gimbal.stick().to_owned(),
            axis.code.to_string(),
            percent(axis.from),
            percent(axis.centre),
            percent(axis.to),
            percent(axis.noise),
        ];
        for (x, cell) in columns.into_iter().zip(cells) {
            text(&mut out, (x, y), "", &cell);
        }
    }
    y += LINE;
    for note in notes.iter().map(String::as_str).chain([UNCHECKED]) {
        y += LINE;
        text(&mut out, (20.0, y), "", note);
    }
    out + "</svg>\n"
}

fn stick(
    out: &mut String,
    radio: &Transmitter,
    x: f64,
    name: &str,
    (across, along): (Gimbal, Gimbal),
) {
    let y = 3.5 * LINE;
    let (middle_x, middle_y) = (x + 0.5 * SQUARE, y + 0.5 * SQUARE);
    let (near, far) = (0.1 * SQUARE, 0.9 * SQUARE);
    // Writing to a text cannot fail.
    let _ = writeln!(
        out,
        "<rect x=\"{x}\" y=\"{y}\" width=\"{SQUARE}\" height=\"{SQUARE}\" rx=\"12\" \
         fill=\"#f4f1ea\" stroke=\"#555\"/>\n\
         <path d=\"M{} {middle_y}H{}M{middle_x} {}V{}\" stroke=\"#2a6f97\" stroke-width=\"3\"/>\n\
         <circle cx=\"{middle_x}\" cy=\"{middle_y}\" r=\"9\" fill=\"#2a6f97\"/>",
        x + near,
        x + far,
        y + near,
        y + far
    );
    text(out, (x, y - 8.0), "", name);
    let (across, along) = (across.function(radio.mode), along.function(radio.mode));
    let right = x + SQUARE + 8.0;
    for (y, function, way) in [(y + 1.5 * LINE, along, "away"), (middle_y, across, "right")] {
        text(out, (right, y), "font-weight=\"bold\"", function.name());
        let answer = format!("{way}: {}", answer(function));
        text(out, (right, y + 0.8 * LINE), "font-size=\"11\"", &answer);
    }
}

fn text(out: &mut String, (x, y): (f64, f64), style: &str, words: &str) {
    let _ = writeln!(
        out,
        "<text x=\"{x}\" y=\"{y}\" {style}>{}</text>",
        escaped(words)
    );
}

fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            // Not allowed in such a document at all.
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}
