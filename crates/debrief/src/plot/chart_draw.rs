//! Drawing a chart.

use core::fmt::Write;

use super::chart::{Chart, Frame, Mark, Series};
use super::ink::Ink;
use super::label::{Room, text_width};
use super::line::{clip, decimate, split};
use super::svg::{coordinate, escape, fixed, open, push_path};

/// Points kept of a line: more than a phone has pixels across.
const MOST_POINTS: usize = 600;
/// Height of the letters of names.
const TEXT: f64 = 12.0;

impl Chart {
    /// The picture.
    #[must_use]
    pub fn svg(&self) -> String {
        let frame = self.frame();
        let mut out = String::new();
        open(
            &mut out,
            &self.id,
            &self.title,
            &self.description,
            self.size,
        );
        let mut room = Room::new(frame.low(), frame.high());
        self.draw_bands(&mut out, &frame, &mut room);
        self.draw_corridors(&mut out, &frame);
        self.draw_axes(&mut out, &frame);
        self.draw_bars(&mut out, &frame, &mut room);
        self.draw_marks(&mut out, &frame);
        let runs: Vec<Vec<Vec<[f64; 2]>>> = self.series.iter().map(|s| placed(s, &frame)).collect();
        for run in runs.iter().flatten() {
            room.add_line(run);
        }
        let mut labels = String::new();
        self.draw_levels(&mut out, &mut labels, &frame, &mut room);
        for (series, runs) in self.series.iter().zip(&runs) {
            draw_series(&mut out, series, runs);
        }
        // Marked values first: they cannot move, names can.
        for (series, runs) in self.series.iter().zip(&runs) {
            draw_extremes(&mut labels, series, runs, &frame, &mut room);
        }
        self.draw_dots(&mut labels, &frame, &mut room);
        for (series, runs) in self.series.iter().zip(&runs) {
            if !series.label.is_empty() {
                let line: Vec<[f64; 2]> = runs.iter().flatten().copied().collect();
                draw_label(&mut labels, &series.label, series.ink, &line, &mut room);
            }
        }
        out.push_str(&labels);
        out.push_str("</svg>");
        out
    }

    fn draw_bands(&self, out: &mut String, frame: &Frame, room: &mut Room) {
        let [top, bottom] = [frame.y.places[1], frame.y.places[0]];
        for band in &self.bands {
            let a = frame.x.place(band.from_to[0]).max(frame.x.places[0]);
            let b = frame.x.place(band.from_to[1]).min(frame.x.places[1]);
            if b <= a || a.is_nan() || b.is_nan() {
                continue;
            }
            let _ = write!(
                out,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#e7e3d6\"/>",
                coordinate(a),
                coordinate(top),
                coordinate(b - a),
                coordinate(bottom - top),
            );
            let width = text_width(&band.label, TEXT - 1.0);
            // A name wider than its band would claim what is not shaded.
            if !band.label.is_empty() && width + 6.0 <= b - a {
                let low = [a + 4.0, bottom - 16.0];
                room.add_box(low, [width, 13.0]);
                push_text(out, [a + 4.0, bottom - 5.0], &band.label, "#565e69", "note");
            }
        }
        if let Some(height) = self.ground
            && frame.holds_y(height)
        {
            let y = frame.y.place(height);
            let _ = write!(
                out,
                "<rect x=\"{0}\" y=\"{1}\" width=\"{2}\" height=\"{3}\" fill=\"#dcd8c4\"/>\
                 <path d=\"M{0} {1}h{2}\" stroke=\"#20262e\" stroke-width=\"1.4\"/>",
                coordinate(frame.x.places[0]),
                coordinate(y),
                coordinate(frame.x.places[1] - frame.x.places[0]),
                coordinate(bottom - y),
            );
        }
    }

    fn draw_corridors(&self, out: &mut String, frame: &Frame) {
        for corridor in &self.corridors {
            let edge = |which: usize| {
                let finite = |c: &&[f64; 3]| c.iter().all(|x| x.is_finite());
                (corridor.points.iter().filter(finite)).map(move |c| frame.place([c[0], c[which]]))
            };
            let mut points: Vec<[f64; 2]> = edge(2).collect();
            let mut low: Vec<[f64; 2]> = edge(1).collect();
            low.reverse();
            points.append(&mut low);
            if points.len() < 4 {
                continue;
            }
            out.push_str("<path class=\"corridor\" fill=\"#d9d6ca\" fill-opacity=\".55\" d=\"");
            push_path(out, &points);
            out.push_str("z\"/>");
        }
    }

    fn draw_bars(&self, out: &mut String, frame: &Frame, room: &mut Room) {
        for bar in self.bars.iter().filter(|b| b.height != 0.0) {
            let [a, b] = bar.from_to.map(|x| frame.x.place(x));
            let [y, base] = [frame.y.place(bar.height), frame.y.place(0.0)];
            if b <= a || !y.is_finite() {
                continue;
            }
            room.add_box([a, y.min(base)], [b - a, (base - y).abs()]);
            let _ = write!(
                out,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\"/>",
                coordinate(a + 0.8),
                coordinate(y.min(base)),
                coordinate((b - a - 1.6).max(0.8)),
                coordinate((base - y).abs()),
                Ink::Main.line(),
            );
        }
    }

    fn draw_axes(&self, out: &mut String, frame: &Frame) {
        let [left, right] = frame.x.places;
        let bottom = frame.y.places[0];
        for value in &frame.y_ticks.values {
            let y = frame.y.place(*value);
            let zero = *value == 0.0 && frame.y.values[0] < 0.0;
            let class = if zero { "zero" } else { "grid" };
            let _ = write!(
                out,
                "<path class=\"{class}\" d=\"M{} {}H{}\"/><text class=\"tick\" x=\"{}\" \
                 y=\"{}\" text-anchor=\"end\">{}</text>",
                coordinate(left),
                coordinate(y),
                coordinate(right),
                coordinate(left - 5.0),
                coordinate(y + 4.0),
                frame.y_ticks.label(*value),
            );
        }
        let _ = write!(
            out,
            "<path class=\"axis\" d=\"M{} {}H{}\"/>",
            coordinate(left),
            coordinate(bottom),
            coordinate(right),
        );
        for value in &frame.x_ticks.values {
            let x = frame.x.place(*value);
            let _ = write!(
                out,
                "<path class=\"axis\" d=\"M{0} {1}v4\"/><text class=\"tick\" x=\"{0}\" \
                 y=\"{2}\" text-anchor=\"middle\">{3}</text>",
                coordinate(x),
                coordinate(bottom),
                coordinate(bottom + 16.0),
                frame.x_ticks.label(*value),
            );
        }
        let caption = self.y.caption();
        push_text(out, [2.0, 12.0], &caption, "#3d4550", "unit");
        if !self.above {
            let _ = write!(
                out,
                "<text class=\"unit\" x=\"{}\" y=\"{}\" text-anchor=\"end\">{}</text>",
                coordinate(right),
                coordinate(bottom + 31.0),
                escape(&self.x.caption()),
            );
        }
    }

    fn draw_marks(&self, out: &mut String, frame: &Frame) {
        let [bottom, top] = frame.y.places;
        let shown: Vec<&Mark> = self.marks.iter().filter(|m| frame.holds_x(m.x)).collect();
        if self.below {
            for mark in shown {
                let [x, top, bottom] = [frame.x.place(mark.x), top, bottom].map(coordinate);
                let _ = write!(out, "<path class=\"pole\" d=\"M{x} {top}V{bottom}\"/>");
            }
            return;
        }
        let wanted: Vec<[f64; 2]> = shown
            .iter()
            .map(|m| [frame.x.place(m.x), text_width(&m.label, 10.5) + 7.0])
            .collect();
        for ((mark, [x, width]), middle) in shown
            .iter()
            .zip(&wanted)
            .zip(side_by_side(&wanted, self.size[0]))
        {
            let _ = write!(
                out,
                "<path class=\"pole\" d=\"M{} {}L{} {}V{}\"/><rect x=\"{}\" y=\"{}\" \
                 width=\"{}\" height=\"14\" rx=\"3\" fill=\"#fff\" stroke=\"#6b7480\"/>\
                 <text class=\"flag\" x=\"{}\" y=\"{}\" text-anchor=\"middle\">{}</text>",
                coordinate(middle),
                coordinate(top - 6.0),
                coordinate(*x),
                coordinate(top),
                coordinate(bottom),
                coordinate(middle - width / 2.0),
                coordinate(top - 20.0),
                coordinate(*width),
                coordinate(middle),
                coordinate(top - 9.0),
                escape(&mark.label),
            );
        }
    }

    fn draw_levels(&self, out: &mut String, labels: &mut String, frame: &Frame, room: &mut Room) {
        for level in self.levels.iter().filter(|l| frame.holds_y(l.y)) {
            let y = frame.y.place(level.y);
            let line: Vec<[f64; 2]> = (0..=20)
                .map(|i| {
                    let [a, b] = frame.x.places;
                    [a + (b - a) * f64::from(i) / 20.0, y]
                })
                .collect();
            room.add_line(&line);
            let ends = [line[0], line[20]];
            push_line(out, &ends, level.ink);
            if !level.label.is_empty() {
                draw_label(labels, &level.label, level.ink, &line, room);
            }
        }
    }

    fn draw_dots(&self, out: &mut String, frame: &Frame, room: &mut Room) {
        for dot in &self.dots {
            if !(frame.holds_x(dot.at[0]) && frame.holds_y(dot.at[1])) {
                continue;
            }
            let at = frame.place(dot.at);
            push_dot(out, at, Ink::Plain);
            room.add_box([at[0] - 3.0, at[1] - 3.0], [6.0, 6.0]);
            draw_label(out, &dot.label, Ink::Plain, &[at], room);
        }
    }
}

/// Middles of flags, given where each wants to stand and its width: close ones
/// move apart to the right, and back to the left at the edge of the picture.
/// Each then stands on a slanted pole.
fn side_by_side(wanted: &[[f64; 2]], edge: f64) -> Vec<f64> {
    let mut middles: Vec<f64> = Vec::with_capacity(wanted.len());
    let mut free_from = f64::NEG_INFINITY;
    for [x, width] in wanted {
        let middle = x.max(free_from + width / 2.0);
        free_from = middle + width / 2.0 + 1.0;
        middles.push(middle);
    }
    let mut free_to = edge - 0.5;
    for (middle, [_, width]) in middles.iter_mut().zip(wanted).rev() {
        *middle = middle.min(free_to - width / 2.0);
        free_to = *middle - width / 2.0 - 1.0;
    }
    middles
}

fn placed(series: &Series, frame: &Frame) -> Vec<Vec<[f64; 2]>> {
    split(&series.points)
        .iter()
        .flat_map(|run| {
            let shown: Vec<[f64; 2]> = run.iter().map(|p| frame.place(*p)).collect();
            clip(&shown, frame.low(), frame.high())
        })
        .map(|run| decimate(&run, MOST_POINTS))
        .collect()
}

fn push_line(out: &mut String, points: &[[f64; 2]], ink: Ink) {
    out.push_str("<path fill=\"none\" stroke-linejoin=\"round\" d=\"");
    push_path(out, points);
    let _ = write!(
        out,
        "\" stroke=\"{}\" stroke-width=\"{}\" stroke-dasharray=\"{}\"/>",
        ink.line(),
        coordinate(ink.width()),
        ink.dash(),
    );
}

fn draw_series(out: &mut String, series: &Series, runs: &[Vec<[f64; 2]>]) {
    for run in runs {
        if let [only] = run.as_slice() {
            push_dot(out, *only, series.ink);
        } else {
            push_line(out, run, series.ink);
        }
    }
}

fn draw_extremes(
    out: &mut String,
    series: &Series,
    runs: &[Vec<[f64; 2]>],
    frame: &Frame,
    room: &mut Room,
) {
    let shown = |p: &&[f64; 2]| {
        p[1].is_finite() && frame.holds_x(p[0]) && frame.holds_y(p[1]) && !runs.is_empty()
    };
    let better = |wanted: bool, low: bool| {
        let mut best: Option<[f64; 2]> = None;
        if wanted {
            for point in series.points.iter().filter(shown) {
                let replaces = best.is_none_or(|b| {
                    if low {
                        point[1] < b[1]
                    } else {
                        point[1] > b[1]
                    }
                });
                if replaces {
                    best = Some(*point);
                }
            }
        }
        best
    };
    let lowest = better(series.mark_lowest, true);
    let highest = better(series.mark_highest, false);
    for value in [lowest, highest].into_iter().flatten() {
        let at = frame.place(value);
        push_dot(out, at, series.ink);
        room.add_box([at[0] - 3.0, at[1] - 3.0], [6.0, 6.0]);
        let decimals = (frame.y_ticks.decimals + 1).min(2);
        draw_label(out, &fixed(value[1], decimals), series.ink, &[at], room);
    }
}

fn draw_label(out: &mut String, label: &str, ink: Ink, line: &[[f64; 2]], room: &mut Room) {
    let size = [text_width(label, TEXT), TEXT];
    if let Some(low) = room.place(line, size) {
        push_text(
            out,
            [low[0], low[1] + TEXT - 2.0],
            label,
            ink.text(),
            "name",
        );
    }
}

fn push_dot(out: &mut String, at: [f64; 2], ink: Ink) {
    let _ = write!(
        out,
        "<circle cx=\"{}\" cy=\"{}\" r=\"3.2\" fill=\"{}\" stroke=\"#fff\"/>",
        coordinate(at[0]),
        coordinate(at[1]),
        ink.line(),
    );
}

fn push_text(out: &mut String, at: [f64; 2], text: &str, colour: &str, class: &str) {
    let _ = write!(
        out,
        "<text class=\"{class}\" x=\"{}\" y=\"{}\" fill=\"{colour}\">{}</text>",
        coordinate(at[0]),
        coordinate(at[1]),
        escape(text),
    );
}
