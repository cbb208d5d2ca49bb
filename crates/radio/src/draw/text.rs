//! The mapping for a terminal.

use std::fmt::Write;

use super::{UNCHECKED, answer, mode_number, notes, percent};
use crate::{Function, Gimbal, Transmitter};

/// Both sticks with what they steer, the axes behind them, and what else is
/// set. Plain characters only.
pub fn mapping_text(radio: &Transmitter) -> String {
    let name = |gimbal: Gimbal| gimbal.function(radio.mode).name();
    let (left, right) = (name(Gimbal::LeftAlong), name(Gimbal::RightAlong));
    let (left_across, right_across) = (name(Gimbal::LeftAcross), name(Gimbal::RightAcross));
    let mut out = format!("{}: mode {}\n\n", radio.name, mode_number(radio.mode));
    for (left, right) in [
        ("left stick", "right stick"),
        (left, right),
        ("^", "^"),
        ("|", "|"),
    ] {
        out += &row(left, right);
    }
    let across = |name: &str| format!("<----+----> {name}");
    let _ = writeln!(
        out,
        "         {:<30}{}",
        across(left_across),
        across(right_across)
    );
    for (left, right) in [("|", "|"), ("v", "v")] {
        out += &row(left, right);
    }
    let _ = writeln!(
        out,
        "\n{:<9} {:<12} {:<13} {:>15} {:>8} {:>11} {:>7}",
        "steers", "stick", "axis", "left or toward", "let go", "right/away", "noise"
    );
    for function in Function::ALL {
        let (axis, gimbal) = (radio.axis(function), function.gimbal(radio.mode));
        let _ = writeln!(
            out,
            "{:<9} {:<12} {:<13} {:>15} {:>8} {:>11} {:>7}  {}{}",
            function.name(),
            gimbal.stick(),
            axis.code.to_string(),
            percent(axis.from),
            percent(axis.centre),
            percent(axis.to),
            percent(axis.noise),
            format_args!("{}: {}", gimbal.way(true), answer(function)),
            if axis.to < axis.from {
                ", reversed"
            } else {
                ""
            }
        );
    }
    out.push('\n');
    for note in notes(radio) {
        out += &note;
        out.push('\n');
    }
    out + UNCHECKED + "\n"
}

/// A line with one text in the middle of each stick.
fn row(left: &str, right: &str) -> String {
    let line = format!("{left:^28}  {right:^28}");
    line.trim_end().to_owned() + "\n"
}
