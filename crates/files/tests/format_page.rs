//! The description of the format says what the program does: its examples are
//! read, its fields are all the fields there are, its ranges and defaults are
//! the ones in force.

mod support;

use std::collections::BTreeSet;

use larkfield_airframe::Airframe;
use larkfield_files::FileErrors;
use larkfield_files::airframe::read_airframe;
use larkfield_units::{
    Angle, ArealDensity, Charge, Current, DischargeRate, Force, Impulse, Length, Mass,
    MomentOfInertia, Quantity, Ratio, Resistance, SpeedConstant, SurfaceRate, Time, Voltage, parse,
};
use support::{examples, fields_known};

const PAGE: &str = include_str!("../../../shared/airframe-format.md");

/// A whole file around an example.
fn whole(label: &str, example: &str) -> String {
    let mut panels =
        "(name: \"base\", kind: Wing, root: (aft: \"0 mm\", up: \"0 mm\"), sheet: \"foam\",
        section: ThinIdeal, shape: Straight(span: \"300 mm\", chord: \"200 mm\")),"
            .to_owned();
    let mut sheets =
        "(name: \"foam\", thickness: \"6 mm\", areal_density: \"200 g/m2\"),".to_owned();
    let mut components = String::new();
    let mut rest = String::new();
    let plate = |kind: &str, more: &str| {
        format!(
            "(name: \"plate\", kind: {kind}, root: (aft: \"400 mm\", up: \"0 mm\"), sheet: \"foam\",
              shape: Straight(span: \"300 mm\", chord: \"200 mm\"), {more}),"
        )
    };
    match label {
        "ron file" => return example.to_owned(),
        "ron sheets" => sheets.push_str(example),
        "ron panels" => panels.push_str(example),
        "ron section" => panels.push_str(&plate("Wing", &format!("section: {example}"))),
        "ron hinges" => panels.push_str(&plate("Wing", &format!("hinges: [{example}]"))),
        "ron rudder" => panels.push_str(&plate("Fin", &format!("hinges: [{example}]"))),
        "ron components" => components.push_str(example),
        "ron bodies" | "ron contacts" | "ron break_limits" => {
            rest = format!("{}: [{example}],", &label[4..]);
        }
        "ron power" | "ron grip" | "ron wing_seat" => rest = format!("{}: {example},", &label[4..]),
        "ron measured" => {
            let power = "(motor: (speed_constant: \"1000 rpm/V\"), propeller: (diameter: \"8 in\", pitch: \"4 in\"),
                battery: (cells: 2, capacity: \"1 Ah\"), hub: (aft: \"-200 mm\", up: \"0 mm\"))";
            rest = format!("power: {power}, measured: {example},");
        }
        other => panic!("no way to read an example labelled `{other}`"),
    }
    format!(
        "(schema: 1, name: \"page\", sheets: [{sheets}], panels: [{panels}], components: [{components}], {rest})"
    )
}

fn read(label: &str, example: &str) -> Result<Airframe, FileErrors> {
    read_airframe(&whole(label, example), "page.ron")
}

#[test]
fn every_example_is_read() {
    let examples = examples(PAGE);
    assert!(examples.len() >= 20, "only {} examples", examples.len());
    for (label, text) in examples {
        if let Err(errors) = read(&label, &text) {
            panic!("{label}\n{text}\n{errors}");
        }
    }
}

#[test]
fn every_quantity_of_the_table_is_read() {
    fn all<Q: Quantity>(units: &str, texts: &[&str]) {
        for text in texts {
            if let Err(e) = parse::<Q>(text) {
                panic!("{e}");
            }
        }
        for name in units.split([',', '(', ')']) {
            let name = name.replace("or ", "");
            let name = name.trim();
            if name.is_empty() || name == "a bare number" {
                continue;
            }
            if let Err(e) = parse::<Q>(&format!("1 {name}")) {
                panic!("{e}");
            }
        }
        // No unit is kept from the reader.
        for unit in Q::UNITS {
            let tidy = units.replace(' ', "");
            assert!(
                unit.names.iter().any(|n| tidy.contains(n)),
                "{:?} in {units}",
                unit.names
            );
        }
    }
    let mut rows = 0;
    for line in PAGE.lines() {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        let &[_, what, units, texts, _] = cells.as_slice() else {
            continue;
        };
        let texts: Vec<&str> = texts
            .split('`')
            .filter_map(|t| t.strip_prefix('"')?.strip_suffix('"'))
            .collect();
        rows += 1;
        match what {
            "length" => all::<Length>(units, &texts),
            "mass" => all::<Mass>(units, &texts),
            "sheet" => all::<ArealDensity>(units, &texts),
            "angle" => all::<Angle>(units, &texts),
            "speed constant" => all::<SpeedConstant>(units, &texts),
            "resistance" => all::<Resistance>(units, &texts),
            "current" => all::<Current>(units, &texts),
            "capacity" => all::<Charge>(&format!("{units}, As"), &texts),
            "discharge rate" => all::<DischargeRate>(&format!("{units}, 1/s"), &texts),
            "voltage" => all::<Voltage>(units, &texts),
            "servo speed" => all::<SurfaceRate>(units, &texts),
            "time" => all::<Time>(units, &texts),
            "force" => all::<Force>(units, &texts),
            "impulse" => all::<Impulse>(units, &texts),
            "moment of inertia" => all::<MomentOfInertia>(units, &texts),
            "share" => all::<Ratio>(&format!("{units}, 1"), &texts),
            _ => rows -= 1,
        }
    }
    assert_eq!(rows, 16);
}

/// A row of a field table.
#[derive(Debug)]
struct Row {
    /// Last part of the field's name.
    field: String,
    left_out: String,
    range: String,
}

fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for line in PAGE.lines() {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        if let &[_, field, _, left_out, range, _] = cells.as_slice()
            && let Some(path) = field.strip_prefix('`').and_then(|f| f.strip_suffix('`'))
        {
            rows.push(Row {
                field: path.rsplit('.').next().unwrap_or(path).to_owned(),
                left_out: left_out.to_owned(),
                range: range.to_owned(),
            });
        }
    }
    rows
}

#[test]
fn every_field_is_described_and_every_described_field_exists() {
    let mut known = BTreeSet::new();
    for (label, text) in examples(PAGE) {
        let file = whole(&label, &text);
        known.extend(fields_known(&file, |text| {
            read_airframe(text, "page.ron").map(|_| ())
        }));
    }
    assert!(known.len() > 80, "only {} fields found", known.len());
    let described: BTreeSet<String> = rows().into_iter().map(|r| r.field).collect();
    assert_eq!(known, described);
}

#[test]
fn stated_ranges_are_in_force() {
    let examples = examples(PAGE);
    let mut tested = 0;
    for row in rows() {
        let Some((least, most)) = row.range.split_once(" to ") else {
            continue;
        };
        // Counts of lists and plain numbers have no unit; they have their own
        // tests.
        let Some((_, unit)) = most.split_once(' ') else {
            continue;
        };
        let mut answers = Vec::new();
        for (label, text) in &examples {
            let key = format!("{}: ", row.field);
            for (at, _) in text.match_indices(&key) {
                if text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
                    continue;
                }
                let value = &text[at + key.len()..];
                // The quoted text, inside a choice such as Up("1 mm") too.
                let Some(open) = value
                    .find('"')
                    .filter(|o| value[..*o].len() < 8 && !value[..*o].contains([',', '\n']))
                else {
                    continue;
                };
                let Some(close) = value[open + 1..].find('"') else {
                    continue;
                };
                let start = at + key.len() + open;
                let end = start + close + 2;
                let changed = format!("{}\"1e9 {unit}\"{}", &text[..start], &text[end..]);
                if let Err(errors) = read(label, &changed) {
                    answers.extend(errors.errors.into_iter().map(|e| format!("{e}")));
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
    assert!(tested > 60, "only {tested} ranges");
}

#[test]
fn stated_defaults_are_in_force() {
    let text = "(schema: 1, name: \"page\",
        sheets: [(name: \"foam\", thickness: \"6 mm\", areal_density: \"200 g/m2\")],
        panels: [
            (name: \"wing\", kind: Wing, root: (aft: \"0 mm\", up: \"0 mm\"), sheet: \"foam\",
             shape: Straight(span: \"300 mm\", chord: \"200 mm\"), section: FoamSheet(),
             hinges: [(name: \"elevon\", function: Elevon, chord: \"20 %\", travel_up: \"9 deg\", travel_down: \"9 deg\")]),
            (name: \"vee\", kind: Tailplane, root: (aft: \"0 mm\", up: \"0 mm\"), sheet: \"foam\",
             shape: Straight(span: \"300 mm\", chord: \"200 mm\"),
             hinges: [(name: \"vee\", function: VTail, chord: \"20 %\", travel_up: \"9 deg\", travel_down: \"9 deg\")]),
        ],
        components: [(name: \"motor\", kind: Motor, mass: \"30 g\", aft: \"0 mm\", up: \"0 mm\")],
        power: (motor: (speed_constant: \"1000 rpm/V\"), propeller: (diameter: \"8 in\", pitch: \"4 in\"),
            battery: (cells: 2, capacity: \"1300 mAh\"), hub: (aft: \"0 mm\", up: \"0 mm\")),
        contacts: [(name: \"wheel\", kind: Wheel, part: Gear, radius: \"9 mm\", aft: \"0 mm\", up: \"0 mm\")],
    )";
    let airframe = match read_airframe(text, "page.ron") {
        Ok(airframe) => airframe,
        Err(errors) => panic!("{errors}"),
    };
    let rows = rows();
    let tidy = |text: &str| text.replace([' ', '`'], "");
    // Stated as a formula or in words rather than as the value itself.
    let formula = ["rotor_inertia", "grip", "break_limits"];
    let mut fields = BTreeSet::new();
    for assumed in &airframe.assumed {
        let last = assumed.field.rsplit('.').next().unwrap_or_default();
        fields.insert(last.to_owned());
        if formula.contains(&last) {
            continue;
        }
        let value = match (last, assumed.value.as_str()) {
            // 12.5 C of 1300 mAh, to three digits (16.25 rounds to even).
            ("current_limit", "16.2 A") => "12.5 C",
            // Mass of the propeller: described below the table.
            ("components", "7 g") => continue,
            (_, value) => value,
        };
        let found = rows.iter().any(|r| {
            r.field == last
                && r.left_out.contains("assumed")
                && tidy(&r.left_out).contains(&tidy(value))
        });
        assert!(found, "{assumed:?}");
    }
    // Nothing is said to be assumed that is not.
    for row in rows.iter().filter(|r| r.left_out.contains("assumed")) {
        let known = fields.contains(&row.field) || row.field == "contacts" || row.field == "servo";
        assert!(known || row.left_out == "all assumed", "{row:?}");
    }
    assert!(PAGE.contains("7 g at 8 in"));
}
