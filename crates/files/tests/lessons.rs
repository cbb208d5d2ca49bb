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

/// Names of the files of a folder, without their ending.
fn shipped_names(folder: &str) -> Vec<String> {
    let entries = std::fs::read_dir(assets(folder)).unwrap_or_else(|e| panic!("{folder}: {e}"));
    let mut names: Vec<String> = entries
        .flatten()
        .filter_map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            name.strip_suffix(".ron").map(str::to_owned)
        })
        .collect();
    names.sort();
    names
}

/// Speed, toward the south and toward the west, that a name promises at 2 m.
const WINDS: [(&str, f64, f64); 12] = [
    ("behind_trees", 3.0, 0.0),
    ("breeze_2", 2.0, 0.0),
    ("breeze_3_gradient", 3.0, 0.0),
    ("calm", 0.0, 0.0),
    // From the left of a launch to the north is from the west, toward the east.
    ("crosswind", 0.0, 2.5),
    ("crosswind_left_2", 0.0, -2.0),
    ("crosswind_left_4", 0.0, -4.0),
    ("crosswind_right_2", 0.0, 2.0),
    ("crosswind_right_4", 0.0, 4.0),
    ("gusty", 3.0, 0.0),
    ("gusty_afternoon", 3.5, 0.0),
    ("thermal_afternoon", 1.5, 0.0),
];

#[test]
fn every_shipped_wind_blows_as_its_name_says() {
    assert_eq!(shipped_names("winds"), WINDS.map(|(name, ..)| name));
    for (name, south_m_s, west_m_s) in WINDS {
        let path = assets(&format!("winds/{name}.ron"));
        let file = load_wind(&path).unwrap_or_else(|e| panic!("{e}"));
        let script = file.over_field(&Field::open_meadow());
        let wind = Wind::new(&script, 1).unwrap_or_else(|e| panic!("{e}"));
        // Height 2 m, where the files state the wind.
        let mean_m_s = wind.at(0.0).mean_m_s(2.0);
        let wanted = DVec3::new(-south_m_s, -west_m_s, 0.0);
        assert!((mean_m_s - wanted).length() < 1e-9, "{name}: {mean_m_s}");
    }
}

#[test]
fn every_shipped_field_is_possible_and_the_trees_stand_where_its_name_says() {
    for name in shipped_names("fields") {
        let path = assets(&format!("fields/{name}.ron"));
        let field = load_field(&path).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(field.tree_lines.is_empty(), !name.contains("trees"));
    }
    let path = assets("fields/meadow_behind_trees.ron");
    let field = load_field(&path).unwrap_or_else(|e| panic!("{e}"));
    let wind = load_wind(&assets("winds/behind_trees.ron")).unwrap_or_else(|e| panic!("{e}"));
    let wind = Wind::new(&wind.over_field(&field), 1).unwrap_or_else(|e| panic!("{e}"));
    // Over the middle of the strip less than three quarters of the wind is left.
    let left = wind.at(0.0).mean_at_m_s(DVec3::new(40.0, 25.0, -2.0)).x / -3.0;
    assert!(left > 0.1 && left < 0.75, "{left}");
}

/// Reference: gusts of 1.3 to 1.6 times the mean (common practice, no source).
#[test]
fn the_gusty_afternoon_gusts_as_afternoons_do() {
    let path = assets("winds/gusty_afternoon.ron");
    let file = load_wind(&path).unwrap_or_else(|e| panic!("{e}"));
    let script = file.over_field(&Field::open_meadow());
    let (mut sum, mut count, mut peaks) = (0.0, 0.0, 0.0);
    let seeds = 10;
    for seed in 0..seeds {
        let wind = Wind::new(&script, seed).unwrap_or_else(|e| panic!("{e}"));
        let mut most: f64 = 0.0;
        // Gusts of 3 s over five minutes, as weather services count them.
        for start in 0..100 {
            let mut mean = 0.0;
            for step in 0..30 {
                let time_s = 3.0 * f64::from(start) + 0.1 * f64::from(step);
                let here = wind.sample(DVec3::new(0.0, 0.0, -2.0), time_s);
                mean += here.truncate().length() / 30.0;
            }
            sum += mean;
            count += 1.0;
            most = most.max(mean);
        }
        peaks += most / f64::from(u32::try_from(seeds).unwrap_or(1));
    }
    let factor = peaks / (sum / count);
    println!(
        "mean {:.2} m/s, gusts {peaks:.2} m/s, factor {factor:.2}",
        sum / count
    );
    assert!(factor > 1.3 && factor < 1.6, "{factor}");
}

#[test]
fn a_thermal_of_the_shipped_afternoon_is_where_its_remark_says() {
    let path = assets("winds/thermal_afternoon.ron");
    let file = load_wind(&path).unwrap_or_else(|e| panic!("{e}"));
    let mut script = file.over_field(&Field::open_meadow());
    script.turbulence = None;
    let wind = Wind::new(&script, 1).unwrap_or_else(|e| panic!("{e}"));
    // The first one: over the strip's north end after 30 s, 30 m high.
    let up_m_s = -wind.sample(DVec3::new(82.0, 25.0, -29.0), 30.0).z;
    assert!(up_m_s > 1.9 && up_m_s < 2.1, "{up_m_s}");
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
        (
            "GoalReached, points: 9",
            "GoalReached, points: 150",
            ["points", "100"],
        ),
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
    let few = shipped.replacen("GoalReached, points: 9", "GoalReached, points: 8", 1);
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
fn mistakes_in_trees_are_named() {
    let shipped = text("fields/meadow_behind_trees.ron");
    let read = |text: &str| read_field(text, "f.ron").err().map(|e| e.to_string());
    for (from, to, parts) in [
        (
            "height: \"10 m\"",
            "height: \"100 m\"",
            ["tree_lines[0].height", "40 m"],
        ),
        (
            "height: \"10 m\"",
            "height: 10",
            ["tree_lines[0].height", "m"],
        ),
        (
            "porosity: \"30 %\"",
            "porosity: \"100 %\"",
            ["tree_lines[0].porosity", "95 %"],
        ),
        (
            "length: \"180 m\"",
            "length: \"180 deg\"",
            ["tree_lines[0].length", "m"],
        ),
        (
            "direction: \"90 deg\"",
            "heading: \"90 deg\"",
            ["heading", "direction"],
        ),
        (
            "north: \"120 m\", east: \"25 m\"",
            "north: \"60 m\", east: \"25 m\"",
            ["tree_lines[0]", "landing strip"],
        ),
        (
            "north: \"120 m\", east: \"25 m\"",
            "north: \"-2 m\", east: \"25 m\"",
            ["tree_lines[0]", "launch point"],
        ),
    ] {
        refused(read, &shipped, from, to, &parts);
    }
}

#[test]
fn mistakes_in_thermals_are_named() {
    let shipped = text("winds/thermal_afternoon.ron");
    let read = |text: &str| read_wind(text, "f.ron").err().map(|e| e.to_string());
    for (from, to, parts) in [
        (
            "core_radius: \"15 m\"",
            "core_radius: \"15 m/s\"",
            ["thermals[0].core_radius", "mm"],
        ),
        (
            "core_radius: \"15 m\"",
            "core_radius: \"0 m\"",
            ["thermals[0].core_radius", "200 m"],
        ),
        (
            "up: \"1.5 m/s\"",
            "up: \"-1.5 m/s\"",
            ["thermals[1].up", "10 m/s"],
        ),
        (
            "time: \"60 s\"",
            "time: \"7200 s\"",
            ["thermals[2].time", "3600 s"],
        ),
        (
            "up: \"1.5 m/s\"",
            "strength: 2",
            ["strength", "core_radius"],
        ),
    ] {
        refused(read, &shipped, from, to, &parts);
    }
}

#[test]
fn mistakes_in_a_wind_are_named() {
    let shipped = text("winds/gusty.ron").replacen("    stated_height: \"2 m\",\n", "", 1);
    let read = |text: &str| read_wind(text, "f.ron").err().map(|e| e.to_string());
    for (from, to, parts) in [
        ("time: \"10 s\"", "time: \"0 s\"", ["mean[1].time", "order"]),
        ("duration: \"2 s\", ", "", ["gusts[0]", "duration"]),
        ("\"100 %\"", "\"900 %\"", ["turbulence.intensity", "500 %"]),
        (
            "gradient: OverField",
            "gradient: Roughness(\"0.4 m\"), stated_height: \"1 m\"",
            ["gradient", "1.6 m"],
        ),
        (
            "speed: \"3 m/s\", from: \"10 deg\"",
            "speed: \"3 m/s\"",
            ["gusts[0]", "from"],
        ),
    ] {
        refused(read, &shipped, from, to, &parts);
    }
}
