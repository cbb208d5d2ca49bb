//! Where it flew: from above and from the side.

use larkfield_recording::Person;

use super::flight::Flight;
use super::pictures::{figure, series};
use crate::input::{DebriefInput, LandingPlace, Strip};
use crate::plot::{Axis, Chart, Ink, Level, Map, MapItem, Mark, Shape, fixed};

/// Both views.
pub(super) fn section(out: &mut String, input: &DebriefInput, flight: &Flight) {
    if flight.samples.is_empty() {
        return;
    }
    out.push_str(
        "<section aria-labelledby=\"where\"><h2 id=\"where\">Where it flew</h2>\n\
         <div class=\"figures\">\n",
    );
    let (map, caption) = ground_track(input, flight);
    figure(out, "From above", &[map.svg()], &caption);
    let (side, caption) = side_view(input, flight);
    figure(out, "From the side", &[side.svg()], &caption);
    out.push_str("</div></section>\n");
}

fn item(shape: Shape, label: &str, ink: Ink, frames: bool) -> MapItem {
    MapItem {
        shape,
        label: label.to_owned(),
        ink,
        frames,
    }
}

/// East and north, the way the map takes them.
fn east_north(north_m: f64, east_m: f64) -> [f64; 2] {
    [east_m, north_m]
}

fn strip_outline(strip: &Strip) -> Vec<[f64; 2]> {
    let (sin, cos) = (libm::sin(strip.heading_rad), libm::cos(strip.heading_rad));
    let (l, w) = (strip.length_m / 2.0, strip.width_m / 2.0);
    [(l, w), (l, -w), (-l, -w), (-l, w)]
        .into_iter()
        .map(|(along, across)| {
            let north = strip.north_m + along * cos - across * sin;
            let east = strip.east_m + along * sin + across * cos;
            east_north(north, east)
        })
        .collect()
}

fn ground_track(input: &DebriefInput, flight: &Flight) -> (Map, String) {
    let mut items = Vec::new();
    if let Some(strip) = &input.field.strip {
        items.push(item(
            Shape::Area(strip_outline(strip)),
            "strip",
            Ink::Plain,
            false,
        ));
    }
    if let Some([a, b]) = input.field.safety_line {
        let ends = [east_north(a[0], a[1]), east_north(b[0], b[1])];
        items.push(item(Shape::Line(ends), "safety line", Ink::Limit, false));
    }
    for ends in &input.field.tree_lines {
        let ends = ends.iter().map(|end| east_north(end[0], end[1])).collect();
        items.push(item(Shape::Path(ends), "trees", Ink::Third, false));
    }
    if let Some(landing) = &input.landing {
        items.extend(landing_items(landing));
    }
    let safe_m = input.field.safe_distance_m;
    for stander in &input.field.people {
        let at = east_north(stander.north_m, stander.east_m);
        if safe_m > 0.0 {
            let circle = Shape::Circle {
                centre: at,
                radius_m: safe_m,
            };
            items.push(item(circle, "", Ink::Faint, true));
        }
        let name = match stander.person {
            Person::Thrower => "thrower",
            Person::Pilot => "pilot",
            Person::Helper => "helper",
            Person::Bystander => "bystander",
        };
        items.push(item(Shape::Person(at), name, Ink::Plain, true));
    }
    let track: Vec<[f64; 2]> = flight
        .samples
        .iter()
        .map(|s| east_north(s.north_m, s.east_m))
        .collect();
    items.push(item(Shape::Path(track), "", Ink::Main, true));
    if flight.released {
        items.push(item(Shape::Cross([0.0, 0.0]), "launch", Ink::Plain, true));
    }
    if let Some([north, east]) = flight.touch() {
        let at = east_north(north, east);
        items.push(item(Shape::Dot(at), "touch", Ink::Limit, true));
    }
    for flag in &flight.flags {
        if let Some([north, east]) = flag.place {
            // The release stands at the launch point, which is named already.
            if flag.at_s > 0.05 || !flight.released {
                let at = east_north(north, east);
                items.push(item(Shape::Flag(at), &flag.letter, Ink::Main, true));
            }
        }
    }
    let wind = mean_wind(flight);
    let circles = if safe_m > 0.0 && !input.field.people.is_empty() {
        format!(
            " Circles: {} m around each person, to be kept clear after release.",
            fixed(safe_m, 0)
        )
    } else {
        String::new()
    };
    let boxed = if input.landing.is_some() {
        " The box is where it should touch, the cross in it the aim point."
    } else {
        ""
    };
    let farthest = farthest_m(flight);
    let caption = format!(
        "The blue line is the track over the ground, farthest {} m from the launch point.{circles}\
         {boxed} The arrow flies with the wind.",
        fixed(farthest, 0)
    );
    let map = Map {
        id: "ground-track".to_owned(),
        title: "Ground track".to_owned(),
        description: "The field from above, north up: launch point, people, safety line, strip, \
                      trees, wind, and the track of the plane."
            .to_owned(),
        items,
        wind,
        up: None,
        width: 380.0,
    };
    (map, caption)
}

/// The box to touch in, the point to aim at, and the circuit as it is meant.
fn landing_items(landing: &LandingPlace) -> Vec<MapItem> {
    let turned = |places: &[[f64; 2]]| -> Vec<[f64; 2]> {
        places
            .iter()
            .map(|[north, east]| east_north(*north, *east))
            .collect()
    };
    let mut around = turned(&landing.corners);
    around.extend(around.first().copied());
    let circuit = Shape::Path(turned(&landing.circuit));
    let aim = east_north(landing.aim[0], landing.aim[1]);
    vec![
        item(circuit, "circuit as planned", Ink::Faint, true),
        item(Shape::Path(around), "box", Ink::Plain, true),
        item(Shape::Cross(aim), "", Ink::Plain, true),
    ]
}

fn farthest_m(flight: &Flight) -> f64 {
    let away = flight
        .samples
        .iter()
        .map(|s| libm::hypot(s.north_m, s.east_m));
    away.filter(|d| d.is_finite()).fold(0.0, f64::max)
}

/// Where the mean recorded wind blows to, and its name.
fn mean_wind(flight: &Flight) -> Option<(f64, String)> {
    let (mut north, mut east, mut count) = (0.0, 0.0, 0.0);
    for sample in flight.samples {
        if sample.wind_north_m_s.is_finite() && sample.wind_east_m_s.is_finite() {
            north += sample.wind_north_m_s;
            east += sample.wind_east_m_s;
            count += 1.0;
        }
    }
    if count == 0.0 {
        return None;
    }
    let speed = libm::hypot(north, east) / count;
    if speed < 0.05 {
        return None;
    }
    let toward = libm::atan2(east, north);
    Some((toward, format!("wind {} m/s", fixed(speed, 1))))
}

fn side_view(input: &DebriefInput, flight: &Flight) -> (Chart, String) {
    let mut along = 0.0;
    let mut points: Vec<[f64; 2]> = Vec::with_capacity(flight.samples.len());
    let mut last: Option<[f64; 2]> = None;
    let mut marks = Vec::new();
    let mut flags = flight.flags.iter().peekable();
    let mut at_release = 0.0;
    for sample in flight.samples {
        let here = [sample.north_m, sample.east_m];
        if let Some(before) = last {
            let step = libm::hypot(here[0] - before[0], here[1] - before[1]);
            if step.is_finite() {
                along += step;
            }
        }
        last = Some(here);
        if flight.at_s(sample) <= 0.0 {
            at_release = along;
        }
        points.push([along, sample.height_m]);
        while let Some(flag) = flags.next_if(|f| f.at_s <= flight.at_s(sample)) {
            marks.push(Mark {
                x: along,
                label: flag.letter.clone(),
            });
        }
    }
    marks.extend(flags.map(|flag| Mark {
        x: along,
        label: flag.letter.clone(),
    }));
    // Distance counts from the release, as time does.
    points.iter_mut().for_each(|p| p[0] -= at_release);
    marks.iter_mut().for_each(|m| m.x -= at_release);
    let mut levels: Vec<Level> = input
        .goal_heights
        .iter()
        .filter(|goal| goal.height_m.is_finite())
        .map(|goal| Level {
            y: goal.height_m,
            label: format!("{}, {} m", goal.name, fixed(goal.height_m, 0)),
            ink: Ink::Limit,
        })
        .collect();
    let release = flight.samples.iter().find(|s| s.time_s >= flight.release_s);
    if let Some(sample) = release.filter(|_| flight.released) {
        levels.push(Level {
            y: sample.height_m,
            label: "release height".to_owned(),
            ink: Ink::Faint,
        });
    }
    let mut line = series("", Ink::Main, points);
    line.mark_highest = true;
    let chart = Chart {
        id: "side-view".to_owned(),
        title: "Side view".to_owned(),
        description: "Height above the ground against distance flown over the ground.".to_owned(),
        x: Axis::new("flown over the ground", "m"),
        y: Axis::new("height", "m").holding(0.0),
        series: vec![line],
        levels,
        marks,
        ground: Some(0.0),
        size: [380.0, 240.0],
        ..Chart::default()
    };
    let frame = chart.frame();
    let stretch = frame.y.size() / frame.x.size();
    let drawn = if stretch.is_finite() && (stretch - 1.0).abs() > 0.15 {
        format!(
            " Heights are drawn {} times as large as distances, so climbs look {} than they were.",
            fixed(stretch, 1),
            if stretch > 1.0 { "steeper" } else { "flatter" }
        )
    } else {
        String::new()
    };
    let caption = format!("The path unrolled along the ground, turns and all.{drawn}");
    (chart, caption)
}
