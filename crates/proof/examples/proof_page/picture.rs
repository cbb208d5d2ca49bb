//! Pictures of comparisons: ours, the reference, and what is allowed.

use larkfield_debrief::plot::{Axis, Chart, Corridor, Dot, Ink, Series};
use larkfield_proof::{Place, Record, Row};

/// Lines in one picture; more would hide each other.
const MOST_LINES: usize = 3;
const INKS: [Ink; MOST_LINES] = [Ink::Main, Ink::Limit, Ink::Third];

/// A picture and the words under it.
pub struct Picture {
    pub svg: String,
    pub caption: String,
}

/// Points of one line in the order of the horizontal axis.
struct Line<'a> {
    name: &'a str,
    points: Vec<(&'a Place, &'a Row)>,
}

/// All pictures of a record; `id` is unique in the page.
pub fn pictures(record: &Record, id: &str) -> Vec<Picture> {
    let mut figures: Vec<(&str, Vec<Line<'_>>)> = Vec::new();
    for row in &record.rows {
        let Some(place) = &row.place else { continue };
        let lines = match figures
            .iter_mut()
            .position(|(name, _)| *name == place.figure)
        {
            Some(at) => &mut figures[at].1,
            None => {
                figures.push((&place.figure, Vec::new()));
                let last = figures.len() - 1;
                &mut figures[last].1
            }
        };
        match lines.iter_mut().find(|line| line.name == place.line) {
            Some(line) => line.points.push((place, row)),
            None => lines.push(Line {
                name: &place.line,
                points: vec![(place, row)],
            }),
        }
    }
    let mut pictures = Vec::new();
    for (name, mut lines) in figures {
        for line in &mut lines {
            line.points.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        }
        for some in lines.chunks(MOST_LINES) {
            let number = pictures.len();
            pictures.push(picture(name, some, &format!("{id}-{number}")));
        }
    }
    pictures
}

/// An axis may ask for powers of ten in its name.
fn scaled(name: &str) -> (Axis, fn(f64) -> f64) {
    let (what, unit) = name.split_once(", ").unwrap_or((name, ""));
    match unit.strip_suffix(" (log)") {
        Some(unit) => (
            Axis::new(&format!("log\u{2081}\u{2080} of {what}"), unit),
            f64::log10,
        ),
        None => (Axis::new(what, unit), |x| x),
    }
}

fn picture(name: &str, lines: &[Line<'_>], id: &str) -> Picture {
    let first = lines.first().and_then(|line| line.points.first());
    let (x_name, y_name) = first.map_or(("", ""), |(place, _)| (&*place.x_name, &*place.y_name));
    let ((x, along), (mut y, up)) = (scaled(x_name), scaled(y_name));
    // Small numbers would be wider than the room beside the axis.
    let largest = (lines.iter().flat_map(|line| &line.points))
        .map(|(_, row)| up(row.ours).abs().max(up(row.reference).abs()))
        .fold(0.0, f64::max);
    let times = if largest < 0.02 { 1000.0 } else { 1.0 };
    if times > 1.0 {
        y.label.push_str(" in thousandths");
    }
    let up = |value: f64| times * up(value);
    let mut chart = Chart {
        id: id.to_owned(),
        title: name.to_owned(),
        description: format!(
            "{y_name} over {x_name}: ours as lines, the reference as dots, what is allowed shaded"
        ),
        x,
        y,
        size: [380.0, 240.0],
        ..Chart::default()
    };
    for (line, ink) in lines.iter().zip(INKS) {
        let each = |of: fn(&Row) -> f64| -> Vec<[f64; 2]> {
            (line.points.iter())
                .map(|(place, row)| [along(place.x), up(of(row))])
                .collect()
        };
        chart.corridors.push(Corridor {
            points: (line.points.iter())
                .map(|(place, row)| {
                    let (low, high) = (row.reference - row.allowed, row.reference + row.allowed);
                    [along(place.x), up(low), up(high)]
                })
                .collect(),
        });
        chart.series.push(Series {
            label: if lines.len() > 1 {
                line.name.to_owned()
            } else {
                String::new()
            },
            points: each(|row| row.ours),
            ink,
            ..Series::default()
        });
        chart
            .dots
            .extend(each(|row| row.reference).into_iter().map(|at| Dot {
                at,
                label: String::new(),
            }));
    }
    let missed = (lines.iter().flat_map(|line| &line.points))
        .filter(|(_, row)| !row.holds())
        .count();
    let of_what = match lines {
        [only] if only.name != name => format!("{name}, {}", only.name),
        _ => name.to_owned(),
    };
    let caption = if missed > 0 {
        format!("{of_what}: {missed} missed")
    } else {
        of_what
    };
    Picture {
        svg: chart.svg(),
        caption,
    }
}
