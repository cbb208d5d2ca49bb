//! The logbook as a page with plots: one HTML file that needs nothing else.

use std::fmt::Write;

use larkfield_debrief::page::document;
use larkfield_debrief::plot::{Axis, Chart, Dot, Ink, Level, Series, escape};
use larkfield_lesson::PASS_POINTS;

use crate::entry::Entry;
use crate::practice::{Practice, practised};
use crate::progress::{LessonProgress, progress};
use crate::ready::{CANNOT_CHECK, ENOUGH, METHOD, Readiness, launches};
use crate::words::rate_in_words;

/// The page of one pilot's flights and drills, the oldest first.
pub fn page(pilot: &str, flights: &[Entry], practices: &[Practice]) -> String {
    let lessons = progress(flights);
    let mut body = format!(
        "<p class=\"eyebrow\">Logbook</p>\n<h1>{}: {} flights</h1>\n",
        escape(pilot),
        flights.len()
    );
    launch_section(&mut body, flights);
    drill_table(&mut body, practices);
    lesson_table(&mut body, &lessons);
    figures(&mut body, &lessons);
    let _ = writeln!(
        body,
        "<h2>How ready is reckoned</h2>\n<p>{}</p>",
        escape(METHOD)
    );
    cautions(&mut body);
    document(&format!("Logbook of {pilot}"), &body)
}

fn launch_section(body: &mut String, flights: &[Entry]) {
    body.push_str("<h2>Ready for a first real launch?</h2>\n");
    if flights.is_empty() {
        body.push_str("<p>Nothing is in the logbook yet: practise.</p>\n");
        return;
    }
    for launch in launches(flights) {
        let _ = writeln!(
            body,
            "<p><strong>{}</strong>: {}.</p>",
            escape(&launch.plane),
            escape(&rate_in_words(&launch.ready))
        );
        if launch.of_earlier_files > 0 {
            let _ = writeln!(
                body,
                "<p>Its file was changed since: {} earlier flights do not count.</p>",
                launch.of_earlier_files
            );
        }
    }
    body.push_str(
        "<p>This is about rehearsals. No rehearsal says that a real flight is safe.</p>\n",
    );
}

fn drill_table(body: &mut String, practices: &[Practice]) {
    if practices.is_empty() {
        return;
    }
    body.push_str(
        "<h2>On the ground</h2>\n<table class=\"stack\"><thead><tr><th>Drill</th><th>Times</th>\
         <th>Good enough</th><th>Lately</th></tr></thead><tbody>\n",
    );
    for drill in practised(practices) {
        let _ = writeln!(
            body,
            "<tr><th>{}</th><td data-name=\"Times\" class=\"num\">{}</td>\
             <td data-name=\"Good enough\" class=\"num\">{}</td>\
             <td data-name=\"Lately\" class=\"num\">{:.0} points</td></tr>",
            escape(&drill.drill),
            drill.points.len(),
            drill.passed,
            drill.lately,
        );
    }
    body.push_str("</tbody></table>\n");
}

fn lesson_table(body: &mut String, lessons: &[LessonProgress]) {
    if lessons.is_empty() {
        return;
    }
    body.push_str(
        "<h2>Lessons</h2>\n<table class=\"stack\"><thead><tr><th>Lesson</th><th>Flights</th>\
         <th>Passed</th><th>Lately</th><th>Safe attempts</th><th>Most to gain</th></tr></thead>\
         <tbody>\n",
    );
    for lesson in lessons {
        let most = match &lesson.weakest {
            Some((line, points)) => format!("{line} ({points:.1} points)"),
            None => "nothing that matters".to_owned(),
        };
        let _ = writeln!(
            body,
            "<tr><th>{}</th><td data-name=\"Flights\" class=\"num\">{}</td>\
             <td data-name=\"Passed\" class=\"num\">{}</td>\
             <td data-name=\"Lately\" class=\"num\">{:.0} points</td>\
             <td data-name=\"Safe attempts\">{}</td><td data-name=\"Most to gain\">{}</td></tr>",
            escape(&lesson.lesson),
            lesson.points.len(),
            lesson.passed,
            lesson.lately,
            escape(&rate_in_words(&lesson.ready)),
            escape(&most),
        );
    }
    body.push_str("</tbody></table>\n");
}

fn figures(body: &mut String, lessons: &[LessonProgress]) {
    if lessons.is_empty() {
        return;
    }
    body.push_str("<h2>Points, flight by flight</h2>\n<div class=\"figures\">\n");
    for (number, lesson) in lessons.iter().enumerate() {
        let _ = writeln!(
            body,
            "<figure>{}<figcaption>{}. {}</figcaption></figure>",
            points_chart(number, lesson).svg(),
            escape(&lesson.lesson),
            days(lesson),
        );
    }
    body.push_str(
        "</div>\n<h2>Rate of safe attempts, lesson by lesson</h2>\n<figure class=\"wide\">\n",
    );
    let rates: Vec<&Readiness> = lessons.iter().map(|lesson| &lesson.ready).collect();
    body.push_str(&rates_chart(&rates).svg());
    body.push_str(
        "<figcaption>Each upright line holds the rate with 95 %. Lessons from left to right: ",
    );
    let named = lessons.iter().zip(1..);
    let named: Vec<String> = named
        .map(|(lesson, number)| format!("{number} {}", escape(&lesson.lesson)))
        .collect();
    let _ = writeln!(body, "{}.</figcaption></figure>", named.join(", "));
}

fn days(lesson: &LessonProgress) -> String {
    match (lesson.points.first(), lesson.points.last()) {
        (Some((first, _)), Some((last, _))) if first != last => {
            format!("From {} to {}.", escape(first), escape(last))
        }
        (Some((day, _)), _) => format!("On {}.", escape(day)),
        _ => String::new(),
    }
}

fn points_chart(number: usize, lesson: &LessonProgress) -> Chart {
    let points: Vec<[f64; 2]> = (1..)
        .zip(&lesson.points)
        .map(|(nth, (_, points))| [f64::from(nth), *points])
        .collect();
    Chart {
        id: format!("points-{number}"),
        title: format!("Points in {}", lesson.lesson),
        description: format!(
            "Points of {} flights; the last ten have {:.0} on average.",
            points.len(),
            lesson.lately
        ),
        x: Axis::new("flight", "").holding(1.0).holding(5.0).counting(),
        y: Axis::new("points", "").from_to(0.0, 100.0),
        dots: points
            .iter()
            .map(|at| Dot {
                at: *at,
                label: String::new(),
            })
            .collect(),
        series: vec![Series {
            points,
            ..Series::default()
        }],
        levels: vec![Level {
            y: PASS_POINTS,
            label: "enough to pass".to_owned(),
            ink: Ink::Limit,
        }],
        ..Chart::default()
    }
}

fn rates_chart(rates: &[&Readiness]) -> Chart {
    let at = |number: usize| (number + 1) as f64;
    let series = rates.iter().enumerate().map(|(number, ready)| Series {
        points: [ready.rate.low, ready.rate.high]
            .map(|rate| [at(number), rate * 100.0])
            .to_vec(),
        ..Series::default()
    });
    let dots = rates.iter().enumerate().map(|(number, ready)| Dot {
        at: [at(number), ready.rate.mean * 100.0],
        label: String::new(),
    });
    Chart {
        id: "rates".to_owned(),
        title: "Rate of safe attempts".to_owned(),
        description: "For each lesson the range that holds the rate with 95 %, and its mean."
            .to_owned(),
        x: Axis::new("lesson", "")
            .from_to(0.0, rates.len() as f64 + 1.0)
            .counting(),
        y: Axis::new("safe", "%").from_to(0.0, 100.0),
        series: series.collect(),
        dots: dots.collect(),
        levels: vec![Level {
            y: ENOUGH * 100.0,
            label: "low end wanted".to_owned(),
            ink: Ink::Limit,
        }],
        ..Chart::default()
    }
}

fn cautions(body: &mut String) {
    body.push_str(
        "<section class=\"caution\" aria-labelledby=\"safety\">\
         <h2 id=\"safety\">What no rehearsal can check</h2>\n<ul>\n",
    );
    for item in CANNOT_CHECK {
        let _ = writeln!(body, "<li>{}</li>", escape(item));
    }
    body.push_str(
        "</ul>\n<p>Local rules and the practice of your club come first.</p></section>\n",
    );
}
