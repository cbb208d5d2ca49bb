//! A plan of a field: metres to scale, north up.

use core::fmt::Write;

use super::ink::Ink;
use super::label::{Room, text_width};
use super::line::{clip, split, thin};
use super::scale::{Scale, Ticks};
use super::svg::{coordinate, escape, fixed, open, push_path};

const TEXT: f64 = 12.0;
const MARGIN: f64 = 6.0;

/// What an item of a map is.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A line through points.
    Path(Vec<[f64; 2]>),
    /// A straight line without end through two points.
    Line([[f64; 2]; 2]),
    /// A circle.
    Circle {
        /// Middle.
        centre: [f64; 2],
        /// Radius in metres.
        radius_m: f64,
    },
    /// A filled outline.
    Area(Vec<[f64; 2]>),
    /// A person, drawn as head and shoulders.
    Person([f64; 2]),
    /// A cross where something is.
    Cross([f64; 2]),
    /// A small flag with a letter or number.
    Flag([f64; 2]),
    /// A small round mark.
    Dot([f64; 2]),
}

/// Something on a map. Places are metres east and metres north.
#[derive(Debug, Clone, PartialEq)]
pub struct MapItem {
    /// What and where.
    pub shape: Shape,
    /// Name, written beside it; nothing when empty.
    pub label: String,
    /// Look.
    pub ink: Ink,
    /// Whether the map must be large enough to show it.
    pub frames: bool,
}

/// A map; [`Map::svg`] draws it.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// Unique in its page.
    pub id: String,
    /// Title for those who hear the page.
    pub title: String,
    /// What the picture shows, in a sentence.
    pub description: String,
    /// Items, the lowest first.
    pub items: Vec<MapItem>,
    /// Direction the wind blows to, clockwise from north, and its name.
    pub wind: Option<(f64, String)>,
    /// Name of the direction that is up when it is not north; "north" and
    /// "east" of the items then mean ahead and to the right.
    pub up: Option<String>,
    /// Width of the picture; its height follows from the items.
    pub width: f64,
}

/// Where a map puts things.
struct Plan {
    east: Scale,
    north: Scale,
    size: [f64; 2],
}

impl Plan {
    fn place(&self, at: [f64; 2]) -> [f64; 2] {
        [self.east.place(at[0]), self.north.place(at[1])]
    }
    fn low(&self) -> [f64; 2] {
        [0.0, 0.0]
    }
}

impl Map {
    fn plan(&self) -> Plan {
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        let mut take = |at: [f64; 2], around: f64| {
            if at[0].is_finite() && at[1].is_finite() && around.is_finite() {
                for axis in 0..2 {
                    low[axis] = low[axis].min(at[axis] - around);
                    high[axis] = high[axis].max(at[axis] + around);
                }
            }
        };
        for item in self.items.iter().filter(|item| item.frames) {
            match &item.shape {
                Shape::Path(points) | Shape::Area(points) => {
                    points.iter().for_each(|p| take(*p, 0.0));
                }
                Shape::Line(ends) => ends.iter().for_each(|p| take(*p, 0.0)),
                Shape::Circle { centre, radius_m } => take(*centre, *radius_m),
                Shape::Person(at) | Shape::Cross(at) | Shape::Flag(at) | Shape::Dot(at) => {
                    take(*at, 2.0);
                }
            }
        }
        if low[0] > high[0] {
            (low, high) = ([-10.0; 2], [10.0; 2]);
        }
        // One scale for both directions; the picture is never a sliver.
        let span = [(high[0] - low[0]).max(1.0), (high[1] - low[1]).max(1.0)];
        let inner = self.width - 2.0 * MARGIN;
        let scale = (inner / span[0]).min(1.25 * self.width / span[1]);
        let height = (span[1] * scale).clamp(0.45 * self.width, 1.25 * self.width);
        let middle = [0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])];
        let half = [0.5 * inner / scale, 0.5 * height / scale];
        Plan {
            east: Scale {
                values: [middle[0] - half[0], middle[0] + half[0]],
                places: [MARGIN, self.width - MARGIN],
            },
            north: Scale {
                values: [middle[1] - half[1], middle[1] + half[1]],
                places: [MARGIN + height, MARGIN],
            },
            size: [self.width, height + 2.0 * MARGIN + 26.0],
        }
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self) -> String {
        let plan = self.plan();
        let mut out = String::new();
        open(
            &mut out,
            &self.id,
            &self.title,
            &self.description,
            plan.size,
        );
        let field = [plan.size[0], plan.size[1] - 26.0];
        let _ = write!(
            out,
            "<rect width=\"{}\" height=\"{}\" fill=\"#f3f4ea\"/>",
            coordinate(field[0]),
            coordinate(field[1]),
        );
        let mut room = Room::new(plan.low(), field);
        let mut labels = String::new();
        for item in &self.items {
            draw_item(&mut out, item, &plan, field, &mut room);
        }
        draw_compass(&mut labels, self, field, &mut room);
        for item in self.items.iter().filter(|item| !item.label.is_empty()) {
            label_item(&mut labels, item, &plan, field, &mut room);
        }
        out.push_str(&labels);
        draw_scale_bar(&mut out, &plan);
        out.push_str("</svg>");
        out
    }
}

fn anchors(shape: &Shape, plan: &Plan, field: [f64; 2]) -> Vec<[f64; 2]> {
    match shape {
        Shape::Path(points) => split(points)
            .iter()
            .flat_map(|run| {
                let shown: Vec<[f64; 2]> = run.iter().map(|p| plan.place(*p)).collect();
                clip(&thin(&shown, 1.0), plan.low(), field)
            })
            .flatten()
            .collect(),
        Shape::Line(ends) => {
            let [a, b] = [plan.place(ends[0]), plan.place(ends[1])];
            let run = [b[0] - a[0], b[1] - a[1]];
            let length = (run[0] * run[0] + run[1] * run[1]).sqrt();
            if !(length > 0.0 && length.is_finite()) {
                return Vec::new();
            }
            let far = 4.0 * (field[0] + field[1]) + (a[0].abs() + a[1].abs());
            let at = |t: f64| [a[0] + run[0] / length * t, a[1] + run[1] / length * t];
            let across = clip(&[at(-far), at(far)], plan.low(), field);
            across.first().map_or_else(Vec::new, |ends| {
                let step = |i: i32, axis: usize| {
                    ends[0][axis] + (ends[1][axis] - ends[0][axis]) * f64::from(i) / 40.0
                };
                (0..=40).map(|i| [step(i, 0), step(i, 1)]).collect()
            })
        }
        Shape::Circle { centre, radius_m } => {
            let at = plan.place(*centre);
            let radius = radius_m * plan.east.size();
            let turn = |i: i32| {
                let angle = f64::from(i) * core::f64::consts::PI / 24.0;
                [
                    at[0] + radius * libm::cos(angle),
                    at[1] + radius * libm::sin(angle),
                ]
            };
            (0..=48).map(turn).collect()
        }
        Shape::Area(points) => points.iter().map(|p| plan.place(*p)).collect(),
        Shape::Person(at) | Shape::Cross(at) | Shape::Flag(at) | Shape::Dot(at) => {
            vec![plan.place(*at)]
        }
    }
}

fn draw_item(out: &mut String, item: &MapItem, plan: &Plan, field: [f64; 2], room: &mut Room) {
    let places = anchors(&item.shape, plan, field);
    let ink = item.ink;
    let stroke = format!(
        "stroke=\"{}\" stroke-width=\"{}\" stroke-dasharray=\"{}\"",
        ink.line(),
        coordinate(ink.width()),
        ink.dash(),
    );
    match &item.shape {
        Shape::Path(points) => {
            for run in split(points) {
                let shown: Vec<[f64; 2]> = run.iter().map(|p| plan.place(*p)).collect();
                for part in clip(&thin(&shown, 0.7), plan.low(), field) {
                    room.add_line(&part);
                    out.push_str("<path fill=\"none\" stroke-linejoin=\"round\" d=\"");
                    push_path(out, &part);
                    let _ = write!(out, "\" {stroke}/>");
                }
            }
        }
        Shape::Line(_) => {
            if let [first, .., last] = places.as_slice() {
                room.add_line(&places);
                out.push_str("<path d=\"");
                push_path(out, &[*first, *last]);
                let _ = write!(out, "\" {stroke}/>");
            }
        }
        Shape::Circle { centre, radius_m } => {
            let at = plan.place(*centre);
            for part in clip(&places, plan.low(), field) {
                room.add_line(&part);
            }
            let _ = write!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"none\" {stroke}/>",
                coordinate(at[0]),
                coordinate(at[1]),
                coordinate(radius_m * plan.east.size()),
            );
        }
        Shape::Area(_) => {
            out.push_str("<path fill=\"#dfe2cf\" stroke=\"#8b917d\" d=\"");
            push_path(out, &places);
            out.push_str("Z\"/>");
        }
        Shape::Person(_) | Shape::Cross(_) | Shape::Flag(_) | Shape::Dot(_) => {
            if let [at] = places.as_slice() {
                draw_sign(out, item, *at, room);
            }
        }
    }
}

fn draw_sign(out: &mut String, item: &MapItem, at: [f64; 2], room: &mut Room) {
    let [x, y] = [coordinate(at[0]), coordinate(at[1])];
    let colour = item.ink.line();
    room.add_box([at[0] - 5.0, at[1] - 5.0], [10.0, 10.0]);
    let _ = match &item.shape {
        Shape::Person(_) => write!(
            out,
            "<path transform=\"translate({x} {y})\" fill=\"{colour}\" stroke=\"#fff\" \
             stroke-width=\"0.8\" d=\"M0 -6a2.8 2.8 0 1 1 -.01 0ZM-5 6.5c0 -8 10 -8 10 0Z\"/>"
        ),
        Shape::Cross(_) => write!(
            out,
            "<path transform=\"translate({x} {y})\" stroke=\"{colour}\" stroke-width=\"2\" \
             d=\"M-4.5 -4.5L4.5 4.5M-4.5 4.5L4.5 -4.5\"/>"
        ),
        _ => write!(
            out,
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"3.2\" fill=\"{colour}\" stroke=\"#fff\"/>"
        ),
    };
}

fn label_item(out: &mut String, item: &MapItem, plan: &Plan, field: [f64; 2], room: &mut Room) {
    let mut places = anchors(&item.shape, plan, field);
    let flag = matches!(item.shape, Shape::Flag(_));
    if let (Shape::Area(_), Some(first)) = (&item.shape, places.first().copied()) {
        // An area is named along its edge, inside or outside.
        places.push(first);
        places = places
            .windows(2)
            .flat_map(|side| {
                let at = |i: i32, axis: usize| {
                    side[0][axis] + (side[1][axis] - side[0][axis]) * f64::from(i) / 20.0
                };
                (0..20).map(move |i| [at(i, 0), at(i, 1)])
            })
            .collect();
    }
    let size = [text_width(&item.label, TEXT), TEXT];
    let Some(low) = room.place(&places, size) else {
        return;
    };
    if flag {
        let width = text_width(&item.label, 11.0) + 7.0;
        let _ = write!(
            out,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"14\" rx=\"3\" fill=\"#fff\" \
             stroke=\"#6b7480\"/><text class=\"flag\" x=\"{}\" y=\"{}\" \
             text-anchor=\"middle\">{}</text>",
            coordinate(low[0] - 3.5),
            coordinate(low[1] - 1.0),
            coordinate(width),
            coordinate(low[0] - 3.5 + width / 2.0),
            coordinate(low[1] + 10.0),
            escape(&item.label),
        );
    } else {
        let _ = write!(
            out,
            "<text class=\"name\" x=\"{}\" y=\"{}\" fill=\"{}\">{}</text>",
            coordinate(low[0]),
            coordinate(low[1] + TEXT - 2.0),
            item.ink.text(),
            escape(&item.label),
        );
    }
}

/// North, or what else is up, and the wind as an arrow that flies with it, in
/// the emptiest corner.
fn draw_compass(out: &mut String, map: &Map, field: [f64; 2], room: &mut Room) {
    let wind = map.wind.as_ref();
    let text = wind.map_or("", |(_, name)| name.as_str());
    let width = text_width(text, TEXT).max(60.0);
    let corners = [
        [8.0, 8.0],
        [field[0] - width - 10.0, 8.0],
        [8.0, field[1] - 59.0],
        [field[0] - width - 10.0, field[1] - 59.0],
    ];
    let low = room.freest(&corners, [width, 56.0]);
    room.add_box(low, [width, 56.0]);
    let _ = write!(
        out,
        "<g transform=\"translate({} {})\"><path fill=\"#20262e\" d=\"M8 2l4.5 12 -4.5 -3 -4.5 3Z\"/>\
         {}</text>",
        coordinate(low[0]),
        coordinate(low[1]),
        match &map.up {
            None =>
                "<text class=\"name\" x=\"8\" y=\"28\" text-anchor=\"middle\" fill=\"#20262e\">N"
                    .to_owned(),
            Some(name) => format!(
                "<text class=\"name\" x=\"2\" y=\"28\" fill=\"#20262e\">{}",
                escape(name)
            ),
        },
    );
    if let Some((toward_rad, name)) = wind {
        let _ = write!(
            out,
            "<path transform=\"translate(40 18) rotate({})\" fill=\"none\" stroke=\"#005a8f\" \
             stroke-width=\"2\" d=\"M0 15V-14M-5 -7L0 -15L5 -7\"/>\
             <text class=\"name\" x=\"0\" y=\"50\" fill=\"#005a8f\">{}</text>",
            coordinate(toward_rad * 180.0 / core::f64::consts::PI),
            escape(name),
        );
    }
    out.push_str("</g>");
}

fn draw_scale_bar(out: &mut String, plan: &Plan) {
    let across_m = plan.east.values[1] - plan.east.values[0];
    let ticks = Ticks::new(0.0, across_m, 5);
    let length = ticks.step * plan.east.size();
    let y = plan.size[1] - 12.0;
    let _ = write!(
        out,
        "<path class=\"axis\" d=\"M{0} {1}v-4v8v-4h{2}v-4v8\"/>\
         <text class=\"tick\" x=\"{3}\" y=\"{4}\">{5} m, drawn to scale</text>",
        coordinate(MARGIN),
        coordinate(y),
        coordinate(length),
        coordinate(MARGIN + length + 7.0),
        coordinate(y + 4.0),
        fixed(ticks.step, ticks.decimals),
    );
}
