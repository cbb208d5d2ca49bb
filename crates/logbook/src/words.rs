//! The logbook in words.

use std::fmt::Write;

use crate::entry::Entry;
use crate::practice::{DrillProgress, Practice, practised};
use crate::progress::{LessonProgress, progress};
use crate::ready::{CANNOT_CHECK, Launch, METHOD, Readiness, Verdict, launches};

/// A rate for people: "8 of 10 safe: between 48 and 94 %; practise on".
pub fn rate_in_words(ready: &Readiness) -> String {
    let percent = |share: f64| (share * 100.0).round();
    let verdict = match ready.verdict {
        Verdict::PractiseOn => "practise on",
        Verdict::NoReasonToWait => "rehearsal alone gives no reason to wait",
    };
    if ready.attempts == 0 {
        return format!("none flown; {verdict}");
    }
    format!(
        "{} of {} safe: between {} and {} %; {verdict}",
        ready.safe,
        ready.attempts,
        percent(ready.rate.low),
        percent(ready.rate.high),
    )
}

/// How a drill goes, for people: "2 times, 1 good enough; 75 points lately".
pub fn practised_in_words(drill: &DrillProgress) -> String {
    format!(
        "{}, {} good enough; {:.0} points lately",
        counted(drill.points.len(), "time"),
        drill.passed,
        drill.lately
    )
}

/// What a pilot's flights and drills show, the oldest of both first.
pub fn in_words(pilot: &str, flights: &[Entry], practices: &[Practice]) -> String {
    let mut out = String::new();
    // Writing to a text cannot fail.
    let _ = writeln!(out, "{pilot}: {}", counted(flights.len(), "flight"));
    if !practices.is_empty() {
        out.push_str("\nOn the ground\n");
        for drill in practised(practices) {
            let _ = writeln!(out, "  {}: {}", drill.drill, practised_in_words(&drill));
        }
    }
    if flights.is_empty() {
        out.push_str(
            "No flight is in the logbook yet. Flights with --pilot device go in by themselves; \
             --name says whose they are.\n",
        );
        return out;
    }
    for lesson in progress(flights) {
        lesson_in_words(&mut out, &lesson);
    }
    out.push_str("\nReady for a first real launch?\n");
    for launch in launches(flights) {
        launch_in_words(&mut out, &launch);
    }
    let _ = writeln!(out, "\n{METHOD}");
    out.push_str("\nNo rehearsal says that a real flight is safe. It cannot check:\n");
    for item in CANNOT_CHECK {
        let _ = writeln!(out, "  - {item}");
    }
    out
}

fn lesson_in_words(out: &mut String, lesson: &LessonProgress) {
    let _ = writeln!(out, "\n{}", lesson.lesson);
    let _ = writeln!(
        out,
        "  {}, {} passed, {} with damage; best {:.0}, lately {:.0} points",
        counted(lesson.points.len(), "flight"),
        lesson.passed,
        lesson.damaged,
        lesson.best,
        lesson.lately,
    );
    let _ = writeln!(out, "  {}", rate_in_words(&lesson.ready));
    let _ = writeln!(
        out,
        "  from {}, counting for {:.1} attempts",
        counted(lesson.ready.days, "day"),
        lesson.ready.counted
    );
    if let Some((line, points)) = &lesson.weakest {
        let _ = writeln!(out, "  most to gain: {line} ({points:.1} points a flight)");
    }
    if let Some(cause) = &lesson.cause {
        let _ = writeln!(out, "  cause found most often: {cause}");
    }
}

fn launch_in_words(out: &mut String, launch: &Launch) {
    let _ = writeln!(out, "  {}: {}", launch.plane, rate_in_words(&launch.ready));
    if launch.of_earlier_files > 0 {
        let _ = writeln!(
            out,
            "    {} with earlier forms of its file not counted",
            counted(launch.of_earlier_files, "flight")
        );
    }
}

fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}
