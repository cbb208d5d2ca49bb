//! The page about radio files says what the program does: its examples are
//! read, its fields are all the fields there are, its ranges and defaults are
//! the ones in force, and the list of shipped files is whole.

mod support;

use std::collections::BTreeSet;
use std::path::Path;

use larkfield_files::radio::{load_radio, read_radio, write_radio};
use larkfield_pilot::{FailSafe, StickMode, Trims};
use larkfield_radio::{Function, Gimbal, Link, Shaping, ThrottleStop};
use support::{examples, fields_known};

const PAGE: &str = include_str!("../../../assets/radios/FORMAT.md");

/// A whole file around an example.
fn whole(label: &str, example: &str) -> String {
    let name = label.strip_prefix("ron ").unwrap_or_default();
    if name == "file" {
        return example.to_owned();
    }
    let mut inputs = "Channels(order: \"AETR\")".to_owned();
    let mut rest = String::new();
    match name {
        "inputs" => inputs = example.to_owned(),
        "switches" => rest = format!("switches: [{example}],"),
        "trims" | "shaping" | "link" => rest = format!("{name}: {example},"),
        other => panic!("no way to read an example labelled `{other}`"),
    }
    format!("(schema: 1, name: \"page\", mode: 2, inputs: {inputs}, {rest})")
}

fn refused(text: &str) -> String {
    let error = read_radio(text, "page.ron").err();
    error.map(|e| e.to_string()).unwrap_or_default()
}

#[test]
fn every_example_is_read_and_written_back() {
    let examples = examples(PAGE);
    assert!(examples.len() >= 9, "only {} examples", examples.len());
    for (label, text) in examples {
        let file = whole(&label, &text);
        let radio = read_radio(&file, "page.ron").unwrap_or_else(|e| panic!("{file}\n{e}"));
        let written = write_radio(&radio);
        let again = read_radio(&written, "w").unwrap_or_else(|e| panic!("{written}\n{e}"));
        assert_eq!(again, radio, "{written}");
    }
}

/// Cells of the field tables: field, what, left out, range.
fn rows() -> Vec<[&'static str; 4]> {
    PAGE.lines()
        .filter_map(|line| {
            let cells: Vec<&str> = line.split('|').map(str::trim).collect();
            match cells.as_slice() {
                &["", field, what, left_out, range, ""] if field.starts_with('`') => {
                    Some([field.trim_matches('`'), what, left_out, range])
                }
                _ => None,
            }
        })
        .collect()
}

#[test]
fn every_field_is_described_and_every_described_field_exists() {
    let mut known = BTreeSet::new();
    for (label, text) in examples(PAGE) {
        known.extend(fields_known(&whole(&label, &text), |text| {
            read_radio(text, "page.ron").map(|_| ())
        }));
    }
    let described: BTreeSet<String> = (rows().into_iter())
        .map(|[field, ..]| field.rsplit('.').next().unwrap_or_default().to_owned())
        .collect();
    assert_eq!(known, described);
}

#[test]
fn stated_ranges_are_in_force() {
    let mut tested = 0;
    for [field, _, _, range] in rows() {
        let (Some((least, most)), Some((group, name))) =
            (range.split_once(" to "), field.split_once('.'))
        else {
            continue;
        };
        let (before, after) = if name == "steps" {
            ("", "")
        } else {
            ("\"", "\"")
        };
        let unit = most.split_once(' ').map_or("", |(_, unit)| unit);
        let number = |text: &str| {
            text.split(' ')
                .next()
                .unwrap_or_default()
                .parse::<f64>()
                .unwrap_or(f64::NAN)
        };
        let whole_of = |value: String| {
            let value = format!("{before}{value}{after}");
            match group {
                "inputs" => {
                    let mut ends = ["-90 %", "0 %", "90 %", "1 %"].map(|e| format!("\"{e}\""));
                    let names = ["from", "centre", "to", "noise"];
                    let at = names.iter().position(|n| *n == name).unwrap_or(0);
                    ends[at] = value;
                    let [from, centre, to, noise] = ends;
                    let ends = format!("from: {from}, centre: {centre}, to: {to}, noise: {noise}");
                    whole(
                        "ron inputs",
                        &format!("Channels(order: \"AETR\", aileron: ({ends}))"),
                    )
                }
                "shaping" if name == "rudder_from_aileron" => {
                    whole("ron shaping", &format!("Here({name}: {value})"))
                }
                _ => {
                    let others: String = ["roll", "pitch", "yaw"]
                        .into_iter()
                        .filter(|other| *other != name && group != "link")
                        .map(|other| format!(", {other}: \"5 %\""))
                        .collect();
                    let group_of = format!("({name}: {value}{others})");
                    match group {
                        "shaping" => whole("ron shaping", &format!("Here(rates: {group_of})")),
                        _ => whole(&format!("ron {group}"), &group_of),
                    }
                }
            }
        };
        for (limit, beyond) in [(least, -1.0), (most, 1.0)] {
            let text = whole_of(
                format!("{} {unit}", number(limit) + beyond)
                    .trim()
                    .to_owned(),
            );
            let answer = refused(&text);
            let last = least.replace(" s", "");
            assert!(
                answer.contains(name) && answer.contains(&last) && answer.contains(most),
                "{field} {limit}: {answer}\n{text}"
            );
            // Ends that meet are refused for another reason.
            if group != "inputs" {
                let text = whole_of(limit.to_owned());
                assert_eq!(refused(&text), "", "{text}");
            }
        }
        tested += 1;
    }
    assert!(tested >= 14, "only {tested} ranges");
    for [field, what, ..] in rows() {
        if field == "shaping.expo" {
            assert!(what.contains("-100 % to 100 %"));
        }
    }
    let expo = "Here(expo: (roll: \"101 %\", pitch: \"0 %\", yaw: \"0 %\"))";
    assert!(refused(&whole("ron shaping", expo)).contains("-100 % and 100 %"));
    let switch = "(does: Throw, when: Held(\"BTN_TRIGGER\")),".repeat(7);
    assert!(refused(&whole("ron switches", &switch)).contains("at most 6"));
    for (mode, right) in [(0, false), (1, true), (4, true), (5, false)] {
        let text = whole("ron trims", "(roll: 0, pitch: 0, yaw: 0)")
            .replace("mode: 2", &format!("mode: {mode}"));
        assert_eq!(refused(&text).is_empty(), right, "{mode}");
    }
}

#[test]
fn stated_defaults_are_in_force() {
    let least = &examples(PAGE)[0].1;
    let radio = read_radio(least, "page.ron").unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(radio.device, None);
    assert_eq!(radio.throttle_stop, ThrottleStop::LowEnd);
    assert_eq!(radio.trims, Trims::default());
    assert_eq!(radio.steering, None);
    assert_eq!(radio.shaping, Some(Shaping::default()));
    let expo = Shaping::default().expo;
    assert_eq!([expo.roll, expo.pitch, expo.yaw], [0.3; 3]);
    let written = "Here(rates: (roll: \"75 %\", pitch: \"75 %\", yaw: \"100 %\"))";
    assert!(read_radio(&whole("ron shaping", written), "p").is_ok());
    let link = radio.link;
    assert_eq!(
        [link.latency_s, link.frame_s, link.fail_safe_after_s],
        [0.040, 0.020, 0.5]
    );
    assert_eq!((link.steps, link), (2048, Link::default()));
    for function in Function::ALL {
        let axis = radio.axis(function);
        assert_eq!(
            [axis.from, axis.centre, axis.to, axis.noise],
            [-1.0, 0.0, 1.0, 0.0]
        );
    }
    // Half-way between the ends.
    let axis = "Channels(order: \"AETR\", aileron: (from: \"-80 %\", to: \"60 %\"))";
    let radio = read_radio(&whole("ron inputs", axis), "p").unwrap_or_else(|e| panic!("{e}"));
    assert!((radio.axis(Function::Aileron).centre + 0.1).abs() < 1e-12);
    let hold = refused(&whole("ron link", "(fail_safe: Hold)"));
    assert!(
        hold.contains("link.fail_safe") && hold.contains("MotorOff"),
        "{hold}"
    );
    assert_eq!(FailSafe::default(), FailSafe::MotorOff);
}

#[test]
fn the_drawn_modes_are_those_of_the_program() {
    let modes = [
        StickMode::Mode1,
        StickMode::Mode2,
        StickMode::Mode3,
        StickMode::Mode4,
    ];
    for (number, mode) in modes.into_iter().enumerate() {
        let of = |gimbal: Gimbal| gimbal.function(mode).name();
        let row = format!(
            "| {} | {} | {} | {} | {} |",
            number + 1,
            of(Gimbal::LeftAlong),
            of(Gimbal::LeftAcross),
            of(Gimbal::RightAlong),
            of(Gimbal::RightAcross)
        );
        assert!(PAGE.contains(&row), "{row}");
    }
}

#[test]
fn every_shipped_radio_is_listed_and_can_be_read() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/radios");
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{e}"));
    let mut count = 0;
    for path in entries.flatten().map(|entry| entry.path()) {
        if path.extension().is_some_and(|extension| extension == "ron") {
            let radio = load_radio(&path).unwrap_or_else(|e| panic!("{e}"));
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            assert!(PAGE.contains(&format!("| `{name}` |")), "{name}");
            assert_eq!(read_radio(&write_radio(&radio), "w"), Ok(radio), "{name}");
            count += 1;
        }
    }
    let listed = PAGE.lines().filter(|line| line.contains(".ron` |")).count();
    assert_eq!((count, listed), (3, 3));
}

/// Each mistake with its line, its field and a word of the remedy.
#[test]
fn mistakes_are_named_by_line_field_and_remedy() {
    let pad = include_str!("../../../assets/radios/pad_mode_2.ron");
    let line_of = |text: &str| {
        let at = pad.find(text).unwrap_or_else(|| panic!("no {text}"));
        pad[..at].lines().count().max(1)
    };
    for (from, to, field, remedy) in [
        (
            "\"ABS_X\"",
            "\"ABS_RX\"",
            "inputs.left_across.axis",
            "axis of its own",
        ),
        (
            "\"ABS_RX\"",
            "\"ABS_Q\"",
            "inputs.right_across.axis",
            "radio list",
        ),
        (
            "\"-100 %\", centre: \"0 %\", to: \"100 %\"",
            "\"-100 %\", centre: \"0 %\", to: \"-95 %\"",
            "inputs.left_across.to",
            "end to end",
        ),
        (
            "\"-100 %\", centre: \"0 %\"",
            "\"-100 %\", centre: \"99.9 %\"",
            "inputs.left_across.centre",
            "let go",
        ),
        (
            "noise: \"4 %\"",
            "noise: \"40 %\"",
            "inputs.left_across.noise",
            "0 % and 20 %",
        ),
        (
            "\"BTN_EAST\"",
            "\"BTN_SOUTH\"",
            "switches[1].when",
            "button of its own",
        ),
        (
            "Held(\"BTN_EAST\")",
            "Above(\"ABS_RY\", \"50 %\")",
            "switches[1].when",
            "of its own",
        ),
        (
            "Held(\"BTN_EAST\")",
            "Above(\"ABS_Z\", \"500 %\")",
            "switches[1].when",
            "100 %",
        ),
        (
            "does: Again",
            "does: Throw",
            "switches[3].does",
            "leave one",
        ),
        ("mode: 2", "mode: 7", "mode", "1, 2, 3 or 4"),
        ("roll: \"75 %\"", "roll: \"75\"", "shaping.rates.roll", "%"),
        (
            "throttle_stop: Centre",
            "throttle_stop: Middle",
            "throttle_stop",
            "Centre",
        ),
        (
            "throttle_stop:",
            "throttle_stopp:",
            "throttle_stop",
            "throttle_stop",
        ),
    ] {
        let changed = pad.replacen(from, to, 1);
        assert_ne!(changed, pad, "{from}");
        let answer = refused(&changed);
        let first = answer.lines().next().unwrap_or_default();
        let place = format!("page.ron:{}:", line_of(from));
        assert!(
            first.starts_with(&place) && first.contains(field) && first.contains(remedy),
            "{from} -> {to}: {answer}"
        );
    }
}
