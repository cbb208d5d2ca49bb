//! Three views to scale as one SVG drawing.

mod outlines;

use std::fmt::Write;

use glam::DVec3;
use larkfield_airframe::Airframe;

use outlines::outlines;

/// Pixels of margin round each view.
const GAP: f64 = 30.0;
/// Largest width of the drawing.
const WIDTH: f64 = 900.0;

/// A view: two axes of the airframe laid on the paper.
struct View {
    title: &'static str,
    /// Right and down on the paper, millimetres.
    flat: fn(DVec3) -> (f64, f64),
}

const VIEWS: [View; 3] = [
    View {
        title: "from above",
        flat: |p| (p.y * 1e3, -p.x * 1e3),
    },
    View {
        title: "from the left",
        flat: |p| (-p.x * 1e3, p.z * 1e3),
    },
    View {
        title: "from the front",
        flat: |p| (-p.y * 1e3, p.z * 1e3),
    },
];

/// Draws top, side and front view to one scale with a scale bar; the balance
/// point is a quartered disk, the neutral point a triangle, both named.
#[must_use]
pub fn three_view_svg(
    airframe: &Airframe,
    balance_m: DVec3,
    neutral_point_aft_m: Option<f64>,
) -> String {
    let shapes = outlines(airframe);
    let finite = |v: f64| if v.is_finite() { v } else { 0.0 };
    let mut bounds = Vec::new();
    for view in &VIEWS {
        let mut b = [
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::INFINITY,
            f64::NEG_INFINITY,
        ];
        for point in shapes
            .iter()
            .flat_map(|(_, s)| s)
            .copied()
            .chain([balance_m])
        {
            let (x, y) = (view.flat)(point);
            b = [b[0].min(x), b[1].max(x), b[2].min(y), b[3].max(y)];
        }
        bounds.push(b.map(finite));
    }
    let widest = bounds.iter().map(|b| b[1] - b[0]).fold(1.0, f64::max);
    let scale = (WIDTH - 2.0 * GAP) / widest;
    let mut top = 46.0;
    let mut body = String::new();
    for (k, (view, b)) in VIEWS.iter().zip(&bounds).enumerate() {
        let left = 0.5 * (WIDTH - scale * (b[1] - b[0]));
        let place = |p: DVec3| {
            let (x, y) = (view.flat)(p);
            (left + scale * (x - b[0]), top + 22.0 + scale * (y - b[2]))
        };
        let _ = writeln!(
            body,
            "<text x=\"{GAP:.0}\" y=\"{:.1}\" class=\"t\">{}</text>",
            top + 10.0,
            view.title
        );
        for (class, polygon) in &shapes {
            let points: Vec<String> = polygon
                .iter()
                .map(|p| {
                    let (x, y) = place(*p);
                    format!("{x:.1},{y:.1}")
                })
                .collect();
            let _ = writeln!(
                body,
                "<polygon class=\"{class}\" points=\"{}\"/>",
                points.join(" ")
            );
        }
        let (x, y) = place(balance_m);
        let _ = writeln!(
            body,
            "<g class=\"mark\"><circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"7\" fill=\"#fff\"/><path d=\"M{x:.1},{y:.1} v-7 a7,7 0 0 1 7,7 z M{x:.1},{y:.1} v7 a7,7 0 0 1 -7,-7 z\" fill=\"#000\"/></g>"
        );
        let bottom = top + 22.0 + scale * (b[3] - b[2]);
        let neutral = neutral_point_aft_m
            .filter(|a| a.is_finite())
            .map(|aft| (aft, place(DVec3::new(-aft, balance_m.y, balance_m.z))));
        if let Some((_, (x, y))) = neutral
            && k < 2
        {
            let _ = writeln!(
                body,
                "<path class=\"mark\" d=\"M{x:.1},{:.1} l8,14 h-16 z\" fill=\"#e69f00\"/>",
                y - 9.0,
            );
        }
        let balance_text = format!("balance {:.0} mm", -balance_m.x * 1e3);
        match k {
            // Above the wing there is room beside the marks.
            0 => {
                let _ = writeln!(body, "{}", label(x + 14.0, y - 8.0, &balance_text));
                if let Some((aft, (x, y))) = neutral {
                    let text = format!("neutral point {:.0} mm", aft * 1e3);
                    let _ = writeln!(body, "{}", label(x + 14.0, y + 16.0, &text));
                }
            }
            // Beside a body there is none: below it, on leaders that part.
            1 => {
                let to_y = bottom + 14.0;
                let ahead = neutral.is_none_or(|(_, n)| x <= n.0);
                let _ = writeln!(body, "{}", leader(x, y + 8.0, to_y, &balance_text, ahead));
                if let Some((aft, (x, y))) = neutral {
                    let text = format!("neutral point {:.0} mm", aft * 1e3);
                    let _ = writeln!(body, "{}", leader(x, y + 6.0, to_y, &text, !ahead));
                }
                top += 16.0;
            }
            _ => {}
        }
        top += 22.0 + scale * (b[3] - b[2]) + GAP;
    }
    let bar_mm = [1000.0, 500.0, 200.0, 100.0, 50.0, 20.0]
        .into_iter()
        .find(|mm| mm * scale < 0.35 * WIDTH)
        .unwrap_or(10.0);
    let _ = writeln!(
        body,
        "<path class=\"bar\" d=\"M{GAP:.1},{y0:.1} v8 M{GAP:.1},{y1:.1} h{w:.1} m0,-4 v8\"/><text x=\"{x:.1}\" y=\"{yt:.1}\">{bar_mm:.0} mm</text>",
        y0 = top,
        y1 = top + 4.0,
        w = bar_mm * scale,
        x = GAP + bar_mm * scale + 8.0,
        yt = top + 9.0,
    );
    let height = top + 30.0;
    let name = escaped(&airframe.name);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH:.0} {height:.0}\" role=\"img\" aria-labelledby=\"t d\">\n<title id=\"t\">Three views of {name}</title>\n<desc id=\"d\">Top, side and front view to scale. A quartered disk marks the balance point, {:.0} mm behind the wing root's leading edge{}.</desc>\n<style>text{{font:13px sans-serif;fill:#222}}.h{{font-size:18px}}.t{{font-size:12px;fill:#555}}.panel{{fill:#56b4e9;fill-opacity:.35;stroke:#12507a;stroke-width:1.2}}.body{{fill:#ddd;fill-opacity:.5;stroke:#666;stroke-width:.8}}.mark{{stroke:#000;stroke-width:1.5}}.hinged{{fill:#12507a;fill-opacity:.25;stroke:#12507a;stroke-width:.8}}.wheel{{fill:#555;fill-opacity:.6;stroke:#222;stroke-width:.8}}.propeller{{fill:#888;fill-opacity:.15;stroke:#555;stroke-width:1;stroke-dasharray:4 3}}.leader{{stroke:#222;stroke-width:.8;fill:none}}.l{{paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}}.bar{{stroke:#000;stroke-width:1.5;fill:none}}</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n<text x=\"{GAP:.0}\" y=\"28\" class=\"h\">{name}</text>\n{body}</svg>\n",
        -balance_m.x * 1e3,
        neutral_point_aft_m
            .filter(|a| a.is_finite())
            .map_or(String::new(), |a| format!(
                "; a triangle marks the neutral point at {:.0} mm",
                a * 1e3
            )),
    )
}

/// A word with a light rim, readable over whatever it crosses.
fn label(x: f64, y: f64, text: &str) -> String {
    format!("<text class=\"l\" x=\"{x:.1}\" y=\"{y:.1}\">{text}</text>")
}

/// A line down from a mark to its word, which stands to the left or right.
fn leader(x: f64, from_y: f64, to_y: f64, text: &str, to_left: bool) -> String {
    let (step, anchor) = if to_left {
        (-8.0, "end")
    } else {
        (8.0, "start")
    };
    format!(
        "<path class=\"leader\" d=\"M{x:.1},{from_y:.1} V{to_y:.1} h{step:.0}\"/><text class=\"l\" x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\">{text}</text>",
        x + 1.4 * step,
        to_y + 4.0
    )
}

fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
