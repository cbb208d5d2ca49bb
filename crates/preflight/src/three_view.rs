//! Three views to scale as one SVG drawing.

use std::fmt::Write;

use glam::DVec3;
use larkfield_airframe::{Airframe, SurfaceKind};

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

/// Polygons of the plane in airframe axes, with a class for each.
fn outlines(airframe: &Airframe) -> Vec<(&'static str, Vec<DVec3>)> {
    let mut found = Vec::new();
    for body in &airframe.bodies {
        let corner = |s: &larkfield_airframe::BodyStation, y: f64, z: f64| {
            DVec3::new(
                s.x_m,
                body.y_m + y * 0.5 * s.width_m,
                s.z_m + z * 0.5 * s.height_m,
            )
        };
        for pair in body.stations.windows(2) {
            let [a, b] = pair else { continue };
            for (p, q) in [
                ((-1.0, -1.0), (1.0, -1.0)),
                ((1.0, -1.0), (1.0, 1.0)),
                ((1.0, 1.0), (-1.0, 1.0)),
                ((-1.0, 1.0), (-1.0, -1.0)),
            ] {
                found.push((
                    "body",
                    vec![
                        corner(a, p.0, p.1),
                        corner(a, q.0, q.1),
                        corner(b, q.0, q.1),
                        corner(b, p.0, p.1),
                    ],
                ));
            }
        }
    }
    for panel in &airframe.panels {
        let upright = matches!(panel.kind, SurfaceKind::Fin | SurfaceKind::EndPlate);
        let back = |s: &larkfield_airframe::Station| {
            let (sine, cosine) = (libm::sin(s.incidence_rad), libm::cos(s.incidence_rad));
            let turned = if upright {
                DVec3::new(-cosine, -sine, 0.0)
            } else {
                DVec3::new(-cosine, 0.0, sine)
            };
            s.leading_edge_m + turned * s.chord_m
        };
        let mut polygon: Vec<DVec3> = panel.stations.iter().map(|s| s.leading_edge_m).collect();
        polygon.extend(panel.stations.iter().rev().map(back));
        found.push(("panel", polygon));
    }
    found
}

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
        if k < 2 {
            let _ = writeln!(
                body,
                "<text x=\"{:.1}\" y=\"{:.1}\">balance {:.0} mm</text>",
                x + 12.0,
                y - 8.0,
                -balance_m.x * 1e3
            );
            if let Some(aft) = neutral_point_aft_m.filter(|a| a.is_finite()) {
                let (x, y) = place(DVec3::new(-aft, balance_m.y, balance_m.z));
                let _ = writeln!(
                    body,
                    "<path class=\"mark\" d=\"M{:.1},{:.1} l8,14 h-16 z\" fill=\"#e69f00\"/><text x=\"{:.1}\" y=\"{:.1}\">neutral point {:.0} mm</text>",
                    x,
                    y - 9.0,
                    x + 12.0,
                    y + 16.0,
                    aft * 1e3
                );
            }
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
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH:.0} {height:.0}\" role=\"img\" aria-labelledby=\"t d\">\n<title id=\"t\">Three views of {name}</title>\n<desc id=\"d\">Top, side and front view to scale. A quartered disk marks the balance point, {:.0} mm behind the wing root's leading edge{}.</desc>\n<style>text{{font:13px sans-serif;fill:#222}}.h{{font-size:18px}}.t{{font-size:12px;fill:#555}}.panel{{fill:#56b4e9;fill-opacity:.35;stroke:#12507a;stroke-width:1.2}}.body{{fill:#ddd;fill-opacity:.5;stroke:#666;stroke-width:.8}}.mark{{stroke:#000;stroke-width:1.5}}.bar{{stroke:#000;stroke-width:1.5;fill:none}}</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n<text x=\"{GAP:.0}\" y=\"28\" class=\"h\">{name}</text>\n{body}</svg>\n",
        -balance_m.x * 1e3,
        neutral_point_aft_m
            .filter(|a| a.is_finite())
            .map_or(String::new(), |a| format!(
                "; a triangle marks the neutral point at {:.0} mm",
                a * 1e3
            )),
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
