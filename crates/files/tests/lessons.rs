//! The shipped lessons, fields and winds are what the program knows, and
//! mistakes in such files are named by place, field and remedy.

use std::path::{Path, PathBuf};

use glam::DVec3;
use larkfield_files::field::{load_field, read_field};
use larkfield_files::lesson::{load_lesson, read_lesson};
use larkfield_files::wind::{load_wind, read_wind};
use larkfield_lesson::{Field, Lesson};
use larkfield_weather::Wind;

fn assets(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../assets")
        .join(path)
}

fn text(path: &str) -> String {
    std::fs::read_to_string(assets(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

#[test]
fn the_shipped_field_is_the_open_meadow() {
    let field = load_field(&assets("fields/open_meadow.ron")).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(field, Field::open_meadow());
}

#[test]
fn the_shipped_lesson_marks_what_the_first_hand_launch_marks() {
    let lesson = load_lesson(&assets("lessons/first_launch.ron")).unwrap_or_else(|e| panic!("{e}"));
    let known = Lesson::first_hand_launch();
    assert_eq!(lesson.phases, known.phases);
    assert_eq!(lesson.name, known.name);
    let field = Field::open_meadow();
    assert_eq!(lesson.check_with(&field), Ok(()));
    for named in [&lesson.airframe, &lesson.field, &lesson.wind] {
        let path = assets("lessons").join(named);
        assert!(path.is_file(), "{}", path.display());
    }
}

#[test]
fn every_shipped_wind_blows_as_its_name_says() {
    // Height 2 m, where the files state the wind; z is down.
    let place_m = DVec3::new(0.0, 0.0, -2.0);
    let mean = |name: &str| {
        let file =
            load_wind(&assets(&format!("winds/{name}.ron"))).unwrap_or_else(|e| panic!("{e}"));
        let script = file.over_ground(0.01);
        let wind = Wind::new(&script, 1).unwrap_or_else(|e| panic!("{e}"));
        wind.at(0.0).mean_m_s(-place_m.z)
    };
    assert_eq!(mean("calm").length(), 0.0);
    // From the north is toward the south; from the east toward the west.
    let close = |a: DVec3, b: DVec3| (a - b).length() < 1e-9;
    let breeze = mean("breeze_2");
    assert!(close(breeze, DVec3::new(-2.0, 0.0, 0.0)), "{breeze}");
    let cross = mean("crosswind");
    assert!(close(cross, DVec3::new(0.0, -2.5, 0.0)), "{cross}");
    assert!(close(mean("gusty"), DVec3::new(-3.0, 0.0, 0.0)));
}

#[test]
fn a_gust_blows_from_where_it_says_and_up_is_up() {
    // In a calm a gust is everywhere at once and strongest in its middle.
    let text = "(schema: 1, name: \"g\", mean: [(time: \"0 s\", speed: \"0 m/s\", from: \"0 deg\")],
        gradient: SameAtEveryHeight,
        gusts: [(time: \"1 s\", duration: \"2 s\", speed: \"3 m/s\", from: \"90 deg\", up: \"1 m/s\")])";
    let file = read_wind(text, "g.ron").unwrap_or_else(|e| panic!("{e}"));
    let wind = Wind::new(&file.over_ground(0.01), 0).unwrap_or_else(|e| panic!("{e}"));
    let middle = wind.sample(DVec3::new(0.0, 0.0, -50.0), 2.0);
    let wanted = DVec3::new(0.0, -3.0, -1.0);
    assert!((middle - wanted).length() < 1e-9, "{middle}");
}

/// One change to a shipped file, and what its message must name.
fn refused(
    read: impl Fn(&str) -> Option<String>,
    text: &str,
    from: &str,
    to: &str,
    parts: &[&str],
) {
    assert!(text.contains(from), "{from}");
    let line = text.lines().take_while(|l| !l.contains(from)).count() + 1;
    let message = read(&text.replacen(from, to, 1));
    let message = message.unwrap_or_else(|| panic!("{to} was accepted"));
    assert!(message.starts_with(&format!("f.ron:{line}:")), "{message}");
    for part in parts {
        assert!(message.contains(part), "{part}: {message}");
    }
}

#[test]
fn mistakes_in_a_lesson_are_named() {
    let shipped = text("lessons/first_launch.ron");
    let read = |text: &str| read_lesson(text, "f.ron").err().map(|e| e.to_string());
    for (from, to, parts) in [
        ("\"6.5 m/s\"", "\"6.5 m\"", ["throw.speed", "m/s"]),
        ("\"6.5 m/s\"", "6.5", ["throw.speed", "m/s"]),
        ("\"6.5 m/s\"", "\"65 m/s\"", ["throw.speed", "15 m/s"]),
        ("points: 15", "points: 150", ["points", "100"]),
        (
            "\"1.5 m\"",
            "\"1.5 deg\"",
            ["phases[0].marks[0].scale.full", "mm"],
        ),
        ("pilot: Competent", "pilot: Ace", ["pilot", "Competent"]),
        (
            "throttle: \"75 %\"",
            "throtle: \"75 %\"",
            ["throtle", "throttle"],
        ),
        ("\"30 m\"", "\"3000 m\"", ["phases[1].goal.height", "120 m"]),
    ] {
        refused(read, &shipped, from, to, &parts);
    }
    let few = shipped.replacen("points: 15", "points: 14", 1);
    let message = read(&few).unwrap_or_default();
    assert!(message.contains("add up to 99"), "{message}");
}

#[test]
fn mistakes_in_a_field_are_named() {
    let shipped = text("fields/open_meadow.ron");
    let read = |text: &str| read_field(text, "f.ron").err().map(|e| e.to_string());
    for (from, to, parts) in [
        ("\"15 C\"", "\"150 C\"", ["temperature", "60 C"]),
        (
            "person: Pilot",
            "person: Thrower",
            ["people[0].person", "not listed"],
        ),
        (
            "north: \"-5 m\", east: \"-30 m\"",
            "north: \"-5 m\", east: \"-2 m\"",
            ["people[1].north", "10 m"],
        ),
        (
            "east: \"-15 m\"",
            "east: \"8 m\"",
            ["safety_line", "flying side"],
        ),
    ] {
        refused(read, &shipped, from, to, &parts);
    }
}

#[test]
fn mistakes_in_a_wind_are_named() {
    let shipped = text("winds/gusty.ron");
    let read = |text: &str| read_wind(text, "f.ron").err().map(|e| e.to_string());
    for (from, to, parts) in [
        ("time: \"10 s\"", "time: \"0 s\"", ["mean[1].time", "order"]),
        ("duration: \"2 s\", ", "", ["gusts[0]", "duration"]),
        ("\"100 %\"", "\"900 %\"", ["turbulence.intensity", "500 %"]),
        (
            "speed: \"3 m/s\", from: \"10 deg\"",
            "speed: \"3 m/s\"",
            ["gusts[0]", "from"],
        ),
    ] {
        refused(read, &shipped, from, to, &parts);
    }
}
