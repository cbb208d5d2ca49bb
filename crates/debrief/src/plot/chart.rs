//! A line chart: what is on it and where. [`Chart::svg`] is in `chart_draw`.

use super::ink::Ink;
use super::scale::{Scale, Ticks, round_ends, tight_ends};

const LEFT: f64 = 38.0;
const RIGHT: f64 = 13.0;
const BOTTOM: f64 = 34.0;

/// An axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Axis {
    /// What it shows, written at its end.
    pub label: String,
    /// Unit, written after the label.
    pub unit: String,
    /// Ends; found from the data when not given.
    pub range: Option<[f64; 2]>,
    /// Values that must be on it when its ends are found from the data.
    pub include: Vec<f64>,
    /// It counts something: no ticks between whole numbers.
    pub counts: bool,
}

impl Axis {
    /// An axis that fits its data.
    #[must_use]
    pub fn new(label: &str, unit: &str) -> Self {
        Self {
            label: label.to_owned(),
            unit: unit.to_owned(),
            ..Self::default()
        }
    }

    /// The same axis with fixed ends.
    #[must_use]
    pub fn from_to(mut self, lo: f64, hi: f64) -> Self {
        self.range = Some([lo, hi]);
        self
    }

    /// The same axis, holding `value` whatever the data are.
    #[must_use]
    pub fn holding(mut self, value: f64) -> Self {
        self.include.push(value);
        self
    }

    /// The same axis for what comes in whole numbers.
    #[must_use]
    pub fn counting(mut self) -> Self {
        self.counts = true;
        self
    }

    pub(super) fn caption(&self) -> String {
        match (self.label.is_empty(), self.unit.is_empty()) {
            (_, true) => self.label.clone(),
            (true, false) => self.unit.clone(),
            (false, false) => format!("{}, {}", self.label, self.unit),
        }
    }
}

/// A line through points; one that is not finite breaks it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    /// Name, written beside the line; nothing when empty.
    pub label: String,
    /// Points, in order.
    pub points: Vec<[f64; 2]>,
    /// Look.
    pub ink: Ink,
    /// Mark the lowest point with its value.
    pub mark_lowest: bool,
    /// Mark the highest point with its value.
    pub mark_highest: bool,
}

/// A shaded stretch of the x axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// Ends.
    pub from_to: [f64; 2],
    /// Name, written inside if there is room.
    pub label: String,
}

/// A shaded strip between two heights that change along the x axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Corridor {
    /// Place on the x axis, lower and upper height, in order of place.
    pub points: Vec<[f64; 3]>,
}

/// A filled column from zero, as in a histogram.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Ends on the x axis.
    pub from_to: [f64; 2],
    /// Height on the y axis.
    pub height: f64,
}

/// A constant of the y axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Where.
    pub y: f64,
    /// Name, written beside it.
    pub label: String,
    /// Look.
    pub ink: Ink,
}

/// An instant on the x axis: a thin line with a flag on top.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where.
    pub x: f64,
    /// A letter or number or two.
    pub label: String,
}

/// A point of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Dot {
    /// Where.
    pub at: [f64; 2],
    /// Text beside it.
    pub label: String,
}

/// A chart; [`Chart::svg`] draws it.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Unique in its page: letters, digits and dashes.
    pub id: String,
    /// Title for those who hear the page instead of seeing it.
    pub title: String,
    /// What the picture shows, in a sentence.
    pub description: String,
    /// Horizontal axis.
    pub x: Axis,
    /// Vertical axis.
    pub y: Axis,
    /// Lines.
    pub series: Vec<Series>,
    /// Shaded stretches, behind everything.
    pub bands: Vec<Band>,
    /// Shaded strips between heights, behind the lines.
    pub corridors: Vec<Corridor>,
    /// Columns, behind the lines.
    pub bars: Vec<Bar>,
    /// Constants.
    pub levels: Vec<Level>,
    /// Instants.
    pub marks: Vec<Mark>,
    /// Points.
    pub dots: Vec<Dot>,
    /// Whether another picture with the same horizontal axis stands above;
    /// flags are left to that one.
    pub below: bool,
    /// Whether another picture with the same horizontal axis stands below;
    /// the name of the axis is left to that one.
    pub above: bool,
    /// Fill below this height as ground.
    pub ground: Option<f64>,
    /// Width and height of the picture.
    pub size: [f64; 2],
}

impl Default for Chart {
    fn default() -> Self {
        Self {
            id: "chart".to_owned(),
            title: String::new(),
            description: String::new(),
            x: Axis::default(),
            y: Axis::default(),
            series: Vec::new(),
            bands: Vec::new(),
            corridors: Vec::new(),
            bars: Vec::new(),
            levels: Vec::new(),
            marks: Vec::new(),
            dots: Vec::new(),
            below: false,
            above: false,
            ground: None,
            size: [380.0, 200.0],
        }
    }
}

/// Where a chart puts things.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Values to coordinates, left to right.
    pub x: Scale,
    /// Values to coordinates, bottom to top.
    pub y: Scale,
    /// Ticks of the horizontal axis.
    pub x_ticks: Ticks,
    /// Ticks of the vertical axis.
    pub y_ticks: Ticks,
}

impl Frame {
    pub(super) fn low(&self) -> [f64; 2] {
        [self.x.places[0], self.y.places[1]]
    }
    pub(super) fn high(&self) -> [f64; 2] {
        [self.x.places[1], self.y.places[0]]
    }
    pub(super) fn place(&self, point: [f64; 2]) -> [f64; 2] {
        [self.x.place(point[0]), self.y.place(point[1])]
    }
    pub(super) fn holds_x(&self, x: f64) -> bool {
        self.x.values[0] <= x && x <= self.x.values[1]
    }
    pub(super) fn holds_y(&self, y: f64) -> bool {
        self.y.values[0] <= y && y <= self.y.values[1]
    }
}

impl Chart {
    fn top(&self) -> f64 {
        if self.marks.is_empty() || self.below {
            20.0
        } else {
            38.0
        }
    }

    fn bottom(&self) -> f64 {
        if self.above { BOTTOM - 15.0 } else { BOTTOM }
    }

    /// Scales and ticks.
    #[must_use]
    pub fn frame(&self) -> Frame {
        let y_steps = ((self.size[1] - self.top() - self.bottom()) / 26.0)
            .floor()
            .max(2.0) as usize;
        let points = || self.series.iter().flat_map(|s| &s.points);
        let xs = points()
            .chain(self.dots.iter().map(|d| &d.at))
            .map(|p| p[0])
            .chain(self.bars.iter().flat_map(|b| b.from_to))
            .chain(self.x.include.iter().copied());
        let x_values = self.x.range.unwrap_or_else(|| tight_ends(xs));
        let x_ticks = Ticks::new(x_values[0], x_values[1], 7);
        let seen = |p: &&[f64; 2]| x_values[0] <= p[0] && p[0] <= x_values[1];
        let corridors = || self.corridors.iter().flat_map(|c| &c.points);
        let ys = points()
            .filter(seen)
            .chain(self.dots.iter().map(|d| &d.at))
            .map(|p| p[1])
            .chain(self.bars.iter().flat_map(|b| [0.0, b.height]))
            .chain(corridors().flat_map(|c| [c[1], c[2]]))
            .chain(self.levels.iter().map(|l| l.y))
            .chain(self.y.include.iter().copied());
        let (y_values, y_ticks) = match self.y.range {
            Some([lo, hi]) => ([lo, hi], Ticks::new(lo, hi, y_steps)),
            None => round_ends(ys, y_steps),
        };
        Frame {
            x: Scale {
                values: x_values,
                places: [LEFT, self.size[0] - RIGHT],
            },
            y: Scale {
                values: y_values,
                places: [self.size[1] - self.bottom(), self.top()],
            },
            x_ticks: if self.x.counts {
                x_ticks.whole(x_values[0], x_values[1])
            } else {
                x_ticks
            },
            y_ticks,
        }
    }
}
