//! The pages about wind and field files say what the program does: their
//! examples are read, their fields are all the fields there are, their ranges
//! and defaults are the ones in force, and the lists of shipped files are whole.

mod support;

use std::collections::BTreeSet;
use std::path::Path;

use larkfield_files::FileErrors;
use larkfield_files::field::read_field;
use larkfield_files::wind::read_wind;
use larkfield_lesson::{Field, GroundKind};
use larkfield_units::{Angle, Length, Quantity, Ratio, Speed, Temperature, Time, parse};
use support::{examples, fields_known};

const WINDS: &str = include_str!("../../../assets/winds/FORMAT.md");
const FIELDS: &str = include_str!("../../../assets/fields/FORMAT.md");

/// A whole wind file around an example.
fn whole_wind(label: &str, example: &str) -> String {
    let mut mean = "(time: \"0 s\", speed: \"2 m/s\", from: \"0 deg\"),";
    let mut rest = String::new();
    match label {
        "ron file" => return example.to_owned(),
        "ron mean" => mean = example,
        "ron gusts" | "ron thermals" => rest = format!("{}: [{example}],", &label[4..]),
        "ron gradient" | "ron turbulence" => rest = format!("{}: {example},", &label[4..]),
        other => panic!("no way to read an example labelled `{other}`"),
    }
    format!("(schema: 1, name: \"page\", mean: [{mean}], {rest})")
}

/// A whole field file around an example.
fn whole_field(label: &str, example: &str) -> String {
    if label == "ron file" {
        return example.to_owned();
    }
    let mut text = "(schema: 1, name: \"page\", elevation: \"0 m\", temperature: \"15 C\",
        roughness_length: \"10 mm\""
        .to_owned();
    let mut parts = vec![
        ("ground", "(kind: Hard)".to_owned()),
        (
            "strip",
            "(north: \"40 m\", east: \"0 m\", heading: \"0 deg\", length: \"100 m\", width: \"15 m\")"
                .to_owned(),
        ),
        (
            "safety_line",
            "(north: \"0 m\", east: \"-15 m\", direction: \"0 deg\", flying_side: Right)"
                .to_owned(),
        ),
        ("people", "[]".to_owned()),
        ("tree_lines", "[]".to_owned()),
        ("fences", "[]".to_owned()),
        (
            "sun",
            "(azimuth: \"0 deg\", elevation: \"45 deg\")".to_owned(),
        ),
    ];
    let name = label.strip_prefix("ron ").unwrap_or_default();
    let Some((_, part)) = parts.iter_mut().find(|(known, _)| *known == name) else {
        panic!("no way to read an example labelled `{label}`");
    };
    *part = match name {
        "people" | "tree_lines" | "fences" => format!("[{example}]"),
        _ => example.to_owned(),
    };
    for (name, part) in parts {
        text.push_str(&format!(", {name}: {part}"));
    }
    text + ")"
}

/// Reads a file and keeps only what is wrong with it.
type Read = fn(&str) -> Result<(), FileErrors>;

struct Page {
    text: &'static str,
    whole: fn(&str, &str) -> String,
    read: Read,
    /// Folder whose files it lists.
    folder: &'static str,
}

fn pages() -> [Page; 2] {
    [
        Page {
            text: WINDS,
            whole: whole_wind,
            read: |text| read_wind(text, "page.ron").map(|_| ()),
            folder: "winds",
        },
        Page {
            text: FIELDS,
            whole: whole_field,
            read: |text| read_field(text, "page.ron").map(|_| ()),
            folder: "fields",
        },
    ]
}

#[test]
fn every_example_is_read() {
    for page in pages() {
        let examples = examples(page.text);
        assert!(examples.len() >= 7, "only {} examples", examples.len());
        for (label, text) in examples {
            if let Err(errors) = (page.read)(&(page.whole)(&label, &text)) {
                panic!("{label}\n{text}\n{errors}");
            }
        }
    }
}

#[test]
fn every_quantity_of_the_tables_is_read() {
    fn all<Q: Quantity>(units: &str, texts: &str) {
        for text in texts.split('`').skip(1).step_by(2) {
            let text = text.trim_matches('"');
            parse::<Q>(text).unwrap_or_else(|e| panic!("{e}"));
        }
        let named: Vec<&str> = units.split(',').map(str::trim).collect();
        for name in &named {
            if *name != "or a bare number" {
                parse::<Q>(&format!("1 {name}")).unwrap_or_else(|e| panic!("{e}"));
            }
        }
        // No unit is kept from the reader.
        for unit in Q::UNITS {
            let told = unit.names.iter().any(|n| named.contains(n));
            assert!(told || unit.names == ["1"], "{:?} in {units}", unit.names);
        }
    }
    let mut rows = 0;
    for page in pages() {
        for line in page.text.lines() {
            let cells: Vec<&str> = line.split('|').map(str::trim).collect();
            let &[_, what, units, texts, _] = cells.as_slice() else {
                continue;
            };
            rows += 1;
            match what {
                "speed" => all::<Speed>(units, texts),
                "angle" => all::<Angle>(units, texts),
                "length" => all::<Length>(units, texts),
                "time" => all::<Time>(units, texts),
                "temperature" => all::<Temperature>(units, texts),
                "share" => all::<Ratio>(units, texts),
                _ => rows -= 1,
            }
        }
    }
    assert_eq!(rows, 9);
}

/// A row of a field table.
#[derive(Debug)]
struct Row {
    /// Last part of the field's name.
    field: String,
    /// The group it is in.
    group: String,
    range: String,
}

fn rows(page: &str) -> Vec<Row> {
    let mut rows = Vec::new();
    for line in page.lines() {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        if let &[_, field, _, _, range, _] = cells.as_slice()
            && let Some(path) = field.strip_prefix('`').and_then(|f| f.strip_suffix('`'))
        {
            let (group, field) = path.split_once('.').unwrap_or(("", path));
            rows.push(Row {
                field: field.to_owned(),
                group: group.to_owned(),
                range: range.to_owned(),
            });
        }
    }
    rows
}

#[test]
fn every_field_is_described_and_every_described_field_exists() {
    for page in pages() {
        let mut known = BTreeSet::new();
        for (label, text) in examples(page.text) {
            known.extend(fields_known(&(page.whole)(&label, &text), page.read));
        }
        assert!(known.len() > 15, "only {} fields found", known.len());
        let described: BTreeSet<String> = rows(page.text).into_iter().map(|r| r.field).collect();
        assert_eq!(known, described);
    }
}

#[test]
fn stated_ranges_are_in_force() {
    let mut tested = 0;
    for page in pages() {
        for row in rows(page.text) {
            let Some((least, most)) = row.range.split_once(" to ") else {
                continue;
            };
            let unit = most.split_once(' ').map_or("", |(_, unit)| unit);
            // Counts of lists have a test of their own.
            if unit.is_empty() && row.group.is_empty() {
                continue;
            }
            let key = format!("{}: \"", row.field);
            let bare = format!("{}: ", row.field);
            let mut answers = Vec::new();
            for (label, text) in examples(page.text) {
                let group = label.strip_prefix("ron ").unwrap_or_default();
                if group != row.group && !(row.group.is_empty() && group == "file") {
                    continue;
                }
                let key = if unit.is_empty() { &bare } else { &key };
                for (at, _) in text.match_indices(key.as_str()) {
                    let rest = &text[at + key.len()..];
                    let close = rest
                        .find(['"', ',', ')'])
                        .unwrap_or_else(|| panic!("{key} in {text}"));
                    let head = &text[..at + key.len()];
                    let changed = format!("{head}{}{}", format_args!("1e9 {unit}"), &rest[close..]);
                    if let Err(errors) = (page.read)(&(page.whole)(&label, &changed)) {
                        answers.extend(errors.errors.into_iter().map(|e| e.to_string()));
                    }
                }
            }
            let stated = [format!("{least} and {most}"), format!("{least} to {most}")];
            assert!(
                answers
                    .iter()
                    .any(|a| a.contains(&row.field) && stated.iter().any(|s| a.contains(s))),
                "{row:?}: {answers:#?}"
            );
            tested += 1;
        }
    }
    assert!(tested >= 38, "only {tested} ranges");
}

#[test]
fn stated_counts_are_in_force() {
    let point = |i: usize| format!("(time: \"{i} s\", speed: \"1 m/s\", from: \"0 deg\"),");
    let many = |count: usize, text: &str| text.repeat(count);
    let thermal =
        "(time: \"0 s\", north: \"0 m\", east: \"0 m\", core_radius: \"9 m\", up: \"1 m/s\"),";
    let trees = "(north: \"90 m\", east: \"99 m\", direction: \"0 deg\", length: \"9 m\", height: \"9 m\"),";
    let fence = "(north: \"9 m\", east: \"9 m\", direction: \"0 deg\", length: \"9 m\"),";
    let person = "(person: Helper, north: \"0 m\", east: \"5 m\"),";
    let gust = "(time: \"0 s\", duration: \"1 s\", up: \"1 m/s\"),";
    let [winds, fields] = pages();
    let points = |count: usize| (0..count).map(point).collect::<String>();
    for (page, label, most, within, beyond) in [
        (&winds, "ron mean", 1000, points(1000), points(1001)),
        (
            &winds,
            "ron gusts",
            1000,
            many(1000, gust),
            many(1001, gust),
        ),
        (
            &winds,
            "ron thermals",
            100,
            many(100, thermal),
            many(101, thermal),
        ),
        (
            &fields,
            "ron people",
            100,
            many(100, person),
            many(101, person),
        ),
        (
            &fields,
            "ron tree_lines",
            20,
            many(20, trees),
            many(21, trees),
        ),
        (&fields, "ron fences", 20, many(20, fence), many(21, fence)),
    ] {
        let stated = format!(" to {most} |");
        let name = label.strip_prefix("ron ").unwrap_or_default();
        let row = page
            .text
            .lines()
            .find(|l| l.starts_with(&format!("| `{name}` |")));
        assert!(row.is_some_and(|row| row.ends_with(&stated)), "{name}");
        let read = |text: &str| (page.read)(&(page.whole)(label, text));
        if let Err(errors) = read(&within) {
            panic!("{label}: {errors}");
        }
        let refused = read(&beyond)
            .err()
            .map(|e| e.to_string())
            .unwrap_or_default();
        assert!(refused.contains(&format!("at most {most}")), "{refused}");
    }
    assert!((winds.read)(&whole_wind("ron mean", "")).is_err());
}

#[test]
fn stated_defaults_are_in_force() {
    let read = |label: &str, text: &str| {
        let file = read_wind(&whole_wind(label, text), "page.ron");
        file.unwrap_or_else(|e| panic!("{e}"))
    };
    let open = Field::open_meadow();
    let least = read("ron gradient", "OverField");
    assert_eq!(least.description, least.name);
    let script = least.over_field(&open);
    assert_eq!(script.stated_height_m, 2.0);
    assert_eq!(script.roughness_m, Some(open.roughness_length_m));
    assert_eq!(script.turbulence, None);
    assert!(script.features.is_empty());
    // Left out, as most of this page is: the same script.
    let bare = read(
        "ron mean",
        "(time: \"0 s\", speed: \"2 m/s\", from: \"0 deg\")",
    );
    assert_eq!(bare.over_field(&open), script);
    let seedless = read("ron turbulence", "(intensity: \"50 %\")").over_field(&open);
    let zero = read("ron turbulence", "(intensity: \"50 %\", seed: 0)").over_field(&open);
    assert_eq!(seedless, zero);
    let same = |label: &str, left_out: &str, given: &str| {
        let of = |text: &str| read(label, text).over_field(&open);
        assert_eq!(of(left_out), of(given), "{left_out}");
    };
    let gust = "(time: \"0 s\", duration: \"1 s\", speed: \"1 m/s\", from: \"0 deg\"";
    same(
        "ron gusts",
        &format!("{gust})"),
        &format!("{gust}, up: \"0 m/s\")"),
    );

    let field = |label: &str, text: &str| {
        let field = read_field(&whole_field(label, text), "page.ron");
        field.unwrap_or_else(|e| panic!("{e}"))
    };
    for (kind, name, slides, rolls) in [
        (GroundKind::MownGrass, "MownGrass", 0.45, 0.08),
        (GroundKind::LongGrass, "LongGrass", 0.6, 0.2),
        (GroundKind::Hard, "Hard", 0.5, 0.02),
    ] {
        let ground = field("ron ground", &format!("(kind: {name})")).ground;
        assert_eq!(ground.kind, kind);
        assert_eq!((ground.friction, ground.rolling_friction), (slides, rolls));
    }
    let person = &field(
        "ron people",
        "(person: Pilot, north: \"0 m\", east: \"3 m\")",
    )
    .people[0];
    assert_eq!((person.radius_m, person.height_m), (0.25, 1.75));
    let trees =
        "(north: \"120 m\", east: \"0 m\", direction: \"0 deg\", length: \"9 m\", height: \"9 m\")";
    assert_eq!(field("ron tree_lines", trees).tree_lines[0].porosity, 0.4);
    let fence = "(north: \"9 m\", east: \"0 m\", direction: \"0 deg\", length: \"9 m\")";
    assert_eq!(field("ron fences", fence).fences[0].height_m, 1.1);
    let bare = whole_field("ron fences", "")
        .replace(", sun: (azimuth: \"0 deg\", elevation: \"45 deg\")", "");
    assert!(!bare.contains("sun"));
    let sun = read_field(&bare, "page.ron")
        .unwrap_or_else(|e| panic!("{e}"))
        .sun;
    let degrees = [sun.azimuth_rad, sun.elevation_rad].map(f64::to_degrees);
    assert!((degrees[0] - 215.0).abs() < 1e-9 && (degrees[1] - 40.0).abs() < 1e-9);
}

#[test]
fn the_lists_of_shipped_files_are_whole() {
    for page in pages() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../assets")
            .join(page.folder);
        let listed: BTreeSet<String> = page
            .text
            .lines()
            .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
            .filter(|name| name.ends_with(".ron"))
            .map(str::to_owned)
            .collect();
        let there: BTreeSet<String> = std::fs::read_dir(&folder)
            .unwrap_or_else(|e| panic!("{e}"))
            .flatten()
            .map(|entry| entry.file_name().to_string_lossy().into_owned())
            .filter(|name| name.ends_with(".ron"))
            .collect();
        assert_eq!(listed, there);
    }
}
