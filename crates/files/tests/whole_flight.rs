//! Shipped lessons fit their files, and lessons that ask for the impossible are
//! refused with line, field, reason and remedy.

use std::path::{Path, PathBuf};

use larkfield_files::airframe::load_airframe;
use larkfield_files::field::load_field;
use larkfield_files::lesson::{load_lesson, read_lesson};
use larkfield_files::wind::load_wind;
use larkfield_lesson::{Conditions, Goal, Lesson};
use larkfield_weather::Wind;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/lessons")
}

/// Name, path and model of every shipped lesson.
fn shipped() -> Vec<(String, PathBuf, Lesson)> {
    let entries = std::fs::read_dir(folder()).unwrap_or_else(|e| panic!("{e}"));
    let mut lessons: Vec<(String, PathBuf, Lesson)> = entries
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "ron"))
        .map(|path| {
            let lesson = load_lesson(&path).unwrap_or_else(|e| panic!("{e}"));
            let name = path.file_stem().unwrap_or_default().to_string_lossy();
            (name.into_owned(), path, lesson)
        })
        .collect();
    lessons.sort_by(|a, b| a.0.cmp(&b.0));
    lessons
}

#[test]
fn every_shipped_lesson_fits_its_field_wind_and_airframe() {
    let lessons = shipped();
    assert!(lessons.len() >= 16, "{}", lessons.len());
    for (name, path, lesson) in &lessons {
        let beside = |reference: &str| path.with_file_name(reference);
        let field = load_field(&beside(&lesson.field)).unwrap_or_else(|e| panic!("{name}: {e}"));
        let wind = load_wind(&beside(&lesson.wind)).unwrap_or_else(|e| panic!("{name}: {e}"));
        let plane =
            load_airframe(&beside(&lesson.airframe)).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(lesson.check_with(&field), Ok(()), "{name}");
        assert_eq!(lesson.check_with_airframe(&plane), Ok(()), "{name}");
        for seed in 1..4 {
            let wind =
                Wind::new(&wind.over_field(&field), seed).unwrap_or_else(|e| panic!("{name}: {e}"));
            let day = Conditions::of(&wind, &plane, lesson.place(), lesson.time_limit_s);
            assert_eq!(lesson.check_conditions(&day), Ok(()), "{name}, seed {seed}");
        }
        // Whoever is sent here first has somewhere to begin.
        for required in &lesson.requires {
            assert!(
                lessons.iter().any(|(other, ..)| other == required),
                "{required}"
            );
        }
        assert!(lesson.description.ends_with('.'), "{name}");
    }
    let lands = |lesson: &Lesson| {
        let touch = |goal: &Goal| matches!(goal, Goal::Touch { .. });
        lesson.phases.iter().any(|phase| touch(&phase.goal))
    };
    assert!(lessons.iter().filter(|(.., lesson)| lands(lesson)).count() >= 11);
}

#[test]
fn the_stall_limit_lesson_is_refused_in_gusts() {
    let path = folder().join("stall_limit_landing.ron");
    let lesson = load_lesson(&path).unwrap_or_else(|e| panic!("{e}"));
    let field = load_field(&path.with_file_name(&lesson.field)).unwrap_or_else(|e| panic!("{e}"));
    let gusty = load_wind(&folder().join("../winds/gusty.ron")).unwrap_or_else(|e| panic!("{e}"));
    let plane =
        load_airframe(&path.with_file_name(&lesson.airframe)).unwrap_or_else(|e| panic!("{e}"));
    let wind = Wind::new(&gusty.over_field(&field), 1).unwrap_or_else(|e| panic!("{e}"));
    let day = Conditions::of(&wind, &plane, lesson.place(), lesson.time_limit_s);
    // The file's gusts of 3 m/s come on top of a mean wind of 3 to 5 m/s.
    assert!(day.gust_m_s > 2.0, "{}", day.gust_m_s);
    let problems = lesson.check_conditions(&day).err().unwrap_or_default();
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].field, "wind");
    assert!(problems[0].remedy.contains("gusts"), "{}", problems[0]);
}

/// Changes a shipped lesson in one place and wants a message at that line with
/// these parts in it.
#[track_caller]
fn refused(lesson: &str, from: &str, to: &str, parts: &[&str]) {
    let text = std::fs::read_to_string(folder().join(format!("{lesson}.ron")))
        .unwrap_or_else(|e| panic!("{lesson}: {e}"));
    assert!(text.contains(from), "{lesson}: {from}");
    let errors = read_lesson(&text.replacen(from, to, 1), "f.ron")
        .err()
        .unwrap_or_else(|| panic!("{lesson}: {to:?} was accepted"));
    for error in &errors.errors {
        assert!(error.line > 0 && error.column > 0, "{error}");
        assert!(
            !error.problem.is_empty() && !error.remedy.is_empty(),
            "{error}"
        );
    }
    let message = errors.to_string();
    for part in parts {
        assert!(message.contains(part), "{part:?} is not in: {message}");
    }
}

#[test]
fn two_starts_or_none_are_refused() {
    let throw = "throw: (kind: Overhand, speed: \"6 m/s\", path: \"0 deg\", pitch: \"0 deg\", \
                 heading: \"0 deg\", release_height: \"1.8 m\", power: Before, throttle: \"70 %\")";
    let start = "    air_start: Downwind(before: \"60 m\"),";
    let both = format!("{start}\n{throw}, thrower: Exact,");
    refused(
        "approach_calm",
        start,
        &both,
        &["air_start", "another start"],
    );
    refused(
        "approach_calm",
        start,
        "",
        &["how the flight begins", "air_start"],
    );
    refused("approach_calm", start, &format!("{throw},"), &["thrower"]);
}

#[test]
fn places_that_cannot_be_are_refused() {
    for (lesson, from, to, parts) in [
        (
            "approach_calm",
            "before: \"60 m\"",
            "before: \"-60 m\"",
            ["air_start.before", "300 m"],
        ),
        (
            "approach_calm",
            "before: \"60 m\"",
            "before: \"60 s\"",
            ["air_start.before", "m"],
        ),
        (
            "approach_calm",
            "length: \"40 m\"",
            "length: \"0 m\"",
            ["landing.box.length", "2 m"],
        ),
        (
            "approach_calm",
            "height: \"12 m\"",
            "height: \"1 m\"",
            ["landing.circuit.height", "5 m"],
        ),
        (
            "approach_calm",
            "spacing: \"35 m\"",
            "spacing: \"3 km\"",
            ["landing.circuit.spacing", "m"],
        ),
        (
            "figure_eight",
            "height: \"25 m\"",
            "height: \"250 m\"",
            ["air_start.height", "120 m"],
        ),
        (
            "figure_eight",
            "heading: \"0 deg\"",
            "heading: \"north\"",
            ["air_start.heading", "deg"],
        ),
        (
            "trim_out",
            "roll: \"12 %\"",
            "roll: \"120 %\"",
            ["trim_error.roll", "50 %"],
        ),
        (
            "trim_out",
            "roll: \"12 %\"",
            "role: \"12 %\"",
            ["role", "roll"],
        ),
    ] {
        refused(lesson, from, to, &parts);
    }
}

#[test]
fn a_landing_without_a_place_is_refused() {
    let text = std::fs::read_to_string(folder().join("approach_calm.ron")).unwrap_or_default();
    let from = text.find("    landing: (").unwrap_or_default();
    let to = text.find("    pilot:").unwrap_or_default();
    let without = text.replacen(&text[from..to], "", 1);
    let message = read_lesson(&without, "f.ron")
        .err()
        .map(|e| e.to_string())
        .unwrap_or_default();
    for part in [
        "air_start",
        "phases[0].goal",
        "phases[3].goal",
        "needs a place to land",
    ] {
        assert!(message.contains(part), "{part}: {message}");
    }
}

#[test]
fn orders_that_nobody_can_fly_are_refused() {
    for (lesson, from, to, parts) in [
        // The base leg first.
        (
            "approach_calm",
            "goal: Downwind",
            "goal: Base",
            ["phases[0].goal", "without a downwind"],
        ),
        (
            "approach_calm",
            "goal: Base",
            "goal: LiftOff",
            ["phases[1].goal", "first"],
        ),
        (
            "approach_calm",
            "goal: Final(to: \"2 m\")",
            "goal: RollOut",
            ["phases[2].goal", "before it has touched"],
        ),
        (
            "approach_calm",
            "goal: RollOut",
            "goal: FigureEight(band: \"5 m\")",
            ["phases[4].goal", "after the landing"],
        ),
        (
            "approach_calm",
            "goal: RollOut",
            "goal: Touch(area: Field)",
            ["phases[4].goal", "lands twice"],
        ),
        (
            "approach_calm",
            "goal: Touch(area: Box)",
            "goal: ClimbTo(height: \"20 m\")",
            ["phases[4].goal", "RollOut"],
        ),
        (
            "approach_calm",
            "Final(to: \"2 m\")",
            "Final(to: \"12 m\")",
            ["phases[2].goal.to", "12 m"],
        ),
        (
            "go_round",
            "below: \"5 m\"",
            "below: \"12 m\"",
            ["phases[2].goal.below", "circuit"],
        ),
        (
            "go_round",
            "climb_to: \"10 m\"",
            "climb_to: \"4 m\"",
            ["phases[2].goal.climb_to", "climbs"],
        ),
        (
            "launch_circuit_landing",
            "FlyAway(for: \"2 s\")",
            "LiftOff",
            ["phases[0].goal", "ground"],
        ),
        (
            "rise_off_ground",
            "goal: LiftOff",
            "goal: FlyAway(for: \"2 s\")",
            ["phases[0].goal", "throws"],
        ),
        (
            "figure_eight",
            "FigureEight(band: \"12 m\")",
            "ClimbTo(height: \"25 m\")",
            ["phases[0].goal.height", "starts at 25 m"],
        ),
        (
            "trim_out",
            "for: \"4 s\"",
            "for: \"400 s\"",
            ["phases[0].goal.for", "60 s"],
        ),
        (
            "trim_out",
            "time_limit: \"120 s\"",
            "time_limit: \"3.5 s\"",
            ["time_limit", "at least 4 s"],
        ),
    ] {
        refused(lesson, from, to, &parts);
    }
}

#[test]
fn marks_that_cannot_be_measured_are_refused() {
    for (lesson, from, to, parts) in [
        (
            "approach_calm",
            "kind: CircuitHeight",
            "kind: SinkAtTouch",
            ["phases[0].marks[1]", "m/s"],
        ),
        (
            "approach_calm",
            "kind: Spacing",
            "kind: RollOut",
            ["phases[0].marks[2].kind", "cannot be measured"],
        ),
        (
            "approach_calm",
            "only: Skids",
            "only: Floats",
            ["only", "Wheels"],
        ),
        (
            "approach_calm",
            "points: 5, only: Skids",
            "points: 6, only: Skids",
            ["add up to", "101 with skids"],
        ),
        (
            "trim_out",
            "\"20 deg/s\"",
            "\"20 deg\"",
            ["phases[0].marks[2].scale.zero", "deg/s"],
        ),
    ] {
        refused(lesson, from, to, &parts);
    }
}

#[test]
fn surprises_and_locks_that_make_no_sense_are_refused() {
    for (lesson, from, to, parts) in [
        (
            "power_loss_10m",
            "height: \"10 m\")]",
            "height: \"10 m\", time: \"3 s\")]",
            ["surprises[0]", "when"],
        ),
        (
            "power_loss_10m",
            ", height: \"10 m\")]",
            ")]",
            ["surprises[0]", "when"],
        ),
        (
            "power_loss_10m",
            "kind: PowerLoss, height: \"10 m\"",
            "kind: PowerLoss, height: \"10000 m\"",
            ["surprises[0].height", "120 m"],
        ),
        (
            "power_loss_downwind",
            "phase: \"turn in\"",
            "phase: \"turn inn\"",
            ["surprises[0].phase", "downwind, turn in, glide"],
        ),
        (
            "power_loss_downwind",
            "after: \"0 s\"",
            "after: \"-2 s\"",
            ["surprises[0].after", "0 s"],
        ),
        (
            "power_loss_10m",
            "kind: PowerLoss",
            "kind: WingFallsOff",
            ["WingFallsOff", "PowerLoss"],
        ),
        (
            "stall_limit_landing",
            "    requires: [\"approach_calm\"],\n",
            "",
            ["requires", "unlocked"],
        ),
        (
            "stall_limit_landing",
            "[\"approach_calm\"]",
            "[\"../approach calm.ron\"]",
            ["requires[0]", "without folder"],
        ),
    ] {
        refused(lesson, from, to, &parts);
    }
}
