//! The plane from behind in letters and words. What the letters show the words
//! say as well.

use std::fmt::Write;

use larkfield_airframe::{Airframe, ControlSurface, Panel, SurfaceKind};
use larkfield_pilot::RadioSetup;
use larkfield_radio::Function;

use super::bench::{Bench, MotorSeen};
use super::ends::End;

/// Letters across.
const COLUMNS: usize = 61;
/// Letters are about twice as high as wide.
const LETTER_SHAPE: f64 = 2.0;
/// Less is no movement to an eye at arm's length.
const STILL_DEG: f64 = 1.0;
/// A surface is drawn a letter away from its panel for each of these.
const LETTER_DEG: f64 = 12.0;

/// Where a surface has gone, for people: up or down, or left or right.
pub fn moved_in_words(panel: &Panel, deflection_rad: f64) -> String {
    let degrees = deflection_rad.to_degrees();
    let upright = is_upright(panel);
    let way = match (upright, degrees > 0.0) {
        _ if degrees.abs() < STILL_DEG => return "in the middle".to_owned(),
        // Positive is away from the normal: down, or to port.
        (false, true) => "down",
        (false, false) => "up",
        (true, true) => "left",
        (true, false) => "right",
    };
    format!("{way} {:.0} degrees", degrees.abs())
}

fn is_upright(panel: &Panel) -> bool {
    matches!(panel.kind, SurfaceKind::Fin | SurfaceKind::EndPlate)
}

/// The plane from behind, then every surface and the motor in words.
pub fn from_behind(
    airframe: &Airframe,
    deflections_rad: &[f64],
    motor: Option<MotorSeen>,
) -> String {
    let mut out = String::new();
    let tail = |panel: &Panel| panel.kind != SurfaceKind::Wing;
    for (title, pick) in [("wing", false), ("tail and fins", true)] {
        if airframe.panels.iter().any(|panel| tail(panel) == pick) {
            let drawn = draw(airframe, deflections_rad, |panel| tail(panel) == pick);
            let _ = write!(out, "{title}, from behind:\n{drawn}");
        }
    }
    for (surface, deflection_rad) in airframe.controls.iter().zip(deflections_rad) {
        let words = moved_in_words(&airframe.panels[surface.panel], *deflection_rad);
        let _ = writeln!(out, "  {:<18} {words}", spoken(&surface.name));
    }
    if let Some(motor) = motor {
        let _ = writeln!(out, "  {:<18} {}", "motor", motor_in_words(&motor));
    }
    out
}

fn motor_in_words(motor: &MotorSeen) -> String {
    if motor.rpm < 100.0 {
        return "still".to_owned();
    }
    format!("turns at {:.0} rpm, pulls {:.1} N", motor.rpm, motor.pull_n)
}

/// A name as people say it.
fn spoken(name: &str) -> String {
    name.replace('_', " ")
}

/// Letters on a sheet.
struct Sheet {
    rows: Vec<Vec<char>>,
    left_m: f64,
    top_m: f64,
    letter_m: f64,
}

impl Sheet {
    fn around(points_m: &[(f64, f64)]) -> Self {
        let bounds = |pick: fn(&(f64, f64)) -> f64| {
            points_m
                .iter()
                .map(pick)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
                    (low.min(x), high.max(x))
                })
        };
        let (left, right) = bounds(|p| p.0);
        let (top, bottom) = bounds(|p| p.1);
        let wide = right.abs().max(left.abs()).max(0.05);
        let letter_m = 2.0 * wide / (COLUMNS - 7) as f64;
        let rows = ((bottom - top) / (letter_m * LETTER_SHAPE)).ceil() as usize + 1;
        // Room for a surface that moves off its panel.
        let margin = 2;
        Self {
            rows: vec![vec![' '; COLUMNS]; rows.min(40) + 2 * margin],
            left_m: -0.5 * COLUMNS as f64 * letter_m,
            top_m: top - margin as f64 * letter_m * LETTER_SHAPE,
            letter_m,
        }
    }

    /// Puts letters along a line; `aside` moves them by letters right and down.
    fn line(&mut self, from_m: (f64, f64), to_m: (f64, f64), aside: (i64, i64), letter: char) {
        let steps = 4 * COLUMNS;
        for step in 0..=steps {
            let share = step as f64 / steps as f64;
            let y_m = from_m.0 + (to_m.0 - from_m.0) * share;
            let z_m = from_m.1 + (to_m.1 - from_m.1) * share;
            let column = ((y_m - self.left_m) / self.letter_m).floor() as i64 + aside.0;
            let row =
                ((z_m - self.top_m) / (self.letter_m * LETTER_SHAPE)).floor() as i64 + aside.1;
            let place = usize::try_from(row).ok().zip(usize::try_from(column).ok());
            if let Some((row, column)) = place
                && let Some(cell) = self.rows.get_mut(row).and_then(|row| row.get_mut(column))
            {
                *cell = letter;
            }
        }
    }

    fn text(&self) -> String {
        let mut out = String::new();
        for row in &self.rows {
            let line: String = row.iter().collect();
            if !line.trim().is_empty() {
                let _ = writeln!(out, "  {}", line.trim_end());
            }
        }
        out
    }
}

/// The trailing edge of a panel at a share of its span: across and down.
fn edge_m(panel: &Panel, share: f64) -> (f64, f64) {
    let spans = panel.stations.len().saturating_sub(1).max(1);
    let along = share.clamp(0.0, 1.0) * spans as f64;
    let index = (along.floor() as usize).min(spans - 1);
    let (from, to) = (
        &panel.stations[index],
        &panel.stations[(index + 1).min(panel.stations.len() - 1)],
    );
    let point = from
        .leading_edge_m
        .lerp(to.leading_edge_m, along - index as f64);
    (point.y, point.z)
}

fn draw(airframe: &Airframe, deflections_rad: &[f64], pick: impl Fn(&Panel) -> bool) -> String {
    let chosen = || airframe.panels.iter().filter(|panel| pick(panel));
    let corners: Vec<(f64, f64)> = chosen()
        .flat_map(|panel| panel.stations.iter())
        .map(|station| (station.leading_edge_m.y, station.leading_edge_m.z))
        .collect();
    let mut sheet = Sheet::around(&corners);
    for panel in chosen() {
        let letter = if is_upright(panel) { '|' } else { '-' };
        let shares: Vec<f64> = (0..=8).map(|i| f64::from(i) / 8.0).collect();
        for pair in shares.windows(2) {
            let ends = (edge_m(panel, pair[0]), edge_m(panel, pair[1]));
            sheet.line(ends.0, ends.1, (0, 0), letter);
        }
    }
    for (surface, deflection_rad) in airframe.controls.iter().zip(deflections_rad) {
        let panel = &airframe.panels[surface.panel];
        if pick(panel) {
            draw_surface(&mut sheet, panel, surface, *deflection_rad);
        }
    }
    sheet.text()
}

fn draw_surface(sheet: &mut Sheet, panel: &Panel, surface: &ControlSurface, deflection_rad: f64) {
    let degrees = deflection_rad.to_degrees();
    let letters = if degrees.abs() < STILL_DEG {
        0
    } else {
        let size = (degrees.abs() / LETTER_DEG).round().clamp(1.0, 2.0) as i64;
        if degrees > 0.0 { size } else { -size }
    };
    let (aside, letter) = if is_upright(panel) {
        ((-letters, 0), '#')
    } else {
        ((0, letters), '=')
    };
    let share =
        |i: u32| surface.span_from + (surface.span_to - surface.span_from) * f64::from(i) / 8.0;
    for i in 0..8 {
        sheet.line(
            edge_m(panel, share(i)),
            edge_m(panel, share(i + 1)),
            aside,
            letter,
        );
    }
}

/// What this plane does when everything is right, as a builder has it on a card:
/// each end of each stick, degrees at full and at half stick; surfaces that do
/// the same are named once.
pub fn card(airframe: &Airframe, setup: &RadioSetup) -> String {
    let mut out = "Right is, at full (half) stick:\n".to_owned();
    for end in End::all(airframe, setup) {
        let End::Stick(function, to) = end else {
            continue;
        };
        if function == Function::Throttle {
            continue;
        }
        let stick = if to { 1.0 } else { -1.0 };
        let whole = Bench::meant_rad(airframe, setup, function, stick);
        let half = Bench::meant_rad(airframe, setup, function, 0.5 * stick);
        let _ = writeln!(out, "{}", end.in_words());
        let mut said: Vec<(String, String)> = Vec::new();
        for (index, surface) in airframe.controls.iter().enumerate() {
            if (whole[index] - surface.neutral_rad).abs().to_degrees() < STILL_DEG {
                continue;
            }
            let moves = format!(
                "{} ({:.0})",
                moved_in_words(&airframe.panels[surface.panel], whole[index]),
                half[index].to_degrees().abs()
            );
            let name = spoken(&surface.name);
            match said.iter_mut().find(|(_, other)| *other == moves) {
                Some((names, _)) => *names = alike(names, &name),
                None => said.push((name, moves)),
            }
        }
        for (names, moves) in said {
            let _ = writeln!(out, "  {names} {moves}");
        }
    }
    if let Some(motor) = full_pull(airframe) {
        let _ = writeln!(
            out,
            "throttle open\n  pulls {:.1} N; still when shut, and without the radio",
            motor.pull_n
        );
    }
    out
}

/// One name for two that differ in their last word.
fn alike(one: &str, other: &str) -> String {
    let stem = |name: &str| name.rsplit_once(' ').map(|(stem, _)| stem.to_owned());
    match (stem(one), stem(other)) {
        (Some(a), Some(b)) if a == b => a,
        _ => format!("{one}, {other}"),
    }
}

fn full_pull(airframe: &Airframe) -> Option<MotorSeen> {
    let setup = RadioSetup::for_airframe(airframe);
    let mut bench = Bench::new(airframe, &setup, larkfield_pilot::StickMode::Mode2, None, 0);
    let mut at = super::bench::AtTransmitter::default();
    at.message.sticks.throttle = 1.0;
    bench.pass(0.5, &at);
    bench.motor()
}
