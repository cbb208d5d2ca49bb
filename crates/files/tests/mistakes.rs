//! Every mistake is named by file, line, column and field, says what is wrong
//! and what would be right. Each case changes one piece of a shipped file.

use larkfield_files::FileErrors;
use larkfield_files::airframe::read_airframe;

const GOOD: &str = include_str!("../../../shared/airframes/marram.ron");

/// Replaces one piece that occurs in the file; where it occurs first.
#[track_caller]
fn changed(from: &str, to: &str) -> (String, usize) {
    let Some(at) = GOOD.find(from) else {
        panic!("the file has no {from:?}")
    };
    let line = GOOD[..at].matches('\n').count() + 1;
    (GOOD.replacen(from, to, 1), line)
}

#[track_caller]
fn errors(text: &str) -> FileErrors {
    match read_airframe(text, "my.ron") {
        Ok(_) => panic!("this was accepted"),
        Err(errors) => {
            for e in &errors.errors {
                assert!(e.line > 0 && e.column > 0, "{e}");
                assert!(!e.problem.is_empty() && !e.remedy.is_empty(), "{e}");
                assert_eq!(e.file, "my.ron");
            }
            errors
        }
    }
}

/// One change, one mistake: on the line of the change (or `lines_below` it:
/// what is missing from a group is named where the group begins, a comma where
/// it should have been), with words in problem and remedy.
#[track_caller]
fn refused(from: &str, to: &str, lines_below: i64, field: &str, problem: &str, remedy: &str) {
    let (text, line) = changed(from, to);
    let found = errors(&text);
    assert_eq!(found.errors.len(), 1, "{found}");
    let e = &found.errors[0];
    assert_eq!(e.line as i64, line as i64 + lines_below, "{e}");
    assert_eq!(e.field, field, "{e}");
    assert!(e.problem.contains(problem), "{e}");
    assert!(e.remedy.contains(remedy), "{e}");
}

#[test]
fn quantities() {
    let span = "panels[0].shape.span";
    let mm = "as in \"1150 mm\"";
    refused(
        "span: \"300 mm\"",
        "span: \"300 mas\"",
        0,
        span,
        "`mas` is not a unit of length",
        mm,
    );
    refused(
        "span: \"300 mm\"",
        "span: \"300 g\"",
        0,
        span,
        "`g` is not a unit of length",
        mm,
    );
    refused(
        "span: \"300 mm\"",
        "span: \"300\"",
        0,
        span,
        "has no unit",
        mm,
    );
    refused(
        "span: \"300 mm\"",
        "span: 300",
        0,
        span,
        "300 has no unit",
        mm,
    );
    refused(
        "span: \"300 mm\"",
        "span: \"NaN mm\"",
        0,
        span,
        "not a finite",
        "1150 mm",
    );
    refused("span: \"300 mm\"", "span: inf", 0, span, "inf", mm);
    refused(
        "span: \"300 mm\"",
        "span: \"-300 mm\"",
        0,
        span,
        "outside",
        "5 mm and 3 m",
    );
    refused(
        "span: \"300 mm\"",
        "span: \"100 m\"",
        0,
        span,
        "outside",
        "5 mm and 3 m",
    );
    refused(
        "span: \"300 mm\"",
        "span: 300 mm",
        0,
        span,
        "without quotes",
        "\"1150 mm\"",
    );
    refused(
        "chord: \"235 mm\"",
        "chord: \"0 mm\"",
        0,
        "panels[0].shape.chord",
        "outside",
        "5 mm",
    );
    refused(
        "mass: \"46 g\"",
        "mass: \"0 g\"",
        0,
        "components[0].mass",
        "outside",
        "0.01 g",
    );
}

#[test]
fn the_column_is_that_of_the_value() {
    let (text, line) = changed("span: \"300 mm\"", "span: \"300 mas\"");
    let column = text
        .lines()
        .nth(line - 1)
        .and_then(|l| l.find("\"300 mas\""))
        .map(|i| i + 1);
    assert_eq!(Some(errors(&text).errors[0].column), column);
}

#[test]
fn names_and_choices() {
    refused(
        "span: \"300 mm\"",
        "spam: \"300 mm\"",
        0,
        "panels[0].shape.spam",
        "no field `spam`",
        "did you mean `span`?",
    );
    refused(
        "kind: Wing",
        "kind: Wnig",
        0,
        "panels[0].kind",
        "`Wnig`",
        "did you mean `Wing`?",
    );
    refused(
        "angle: \"6 deg\"",
        "angel: \"6 deg\"",
        0,
        "panels[0].section.fold.angel",
        "no field",
        "did you mean `angle`?",
    );
    refused(
        "joins: \"wing_centre\"",
        "joins: \"wing_center\"",
        0,
        "panels[1].joins",
        "no panel `wing_center`",
        "did you mean `wing_centre`?",
    );
    refused(
        "joins: \"wing_centre\"",
        "joins: \"fin\"",
        0,
        "panels[1].joins",
        "later in the list",
        "before",
    );
    refused(
        "sheet: \"6 mm sheet\"",
        "sheet: \"5 mm sheet\"",
        0,
        "panels[0].sheet",
        "no sheet",
        "`6 mm sheet`",
    );
    refused(
        "name: \"tailplane\"",
        "name: \"wing_tip\"",
        0,
        "panels[2].name",
        "another panel",
        "name of its own",
    );
    refused(
        "name: \"propeller\"",
        "name: \"motor\"",
        0,
        "components[1].name",
        "another component",
        "name of its own",
    );
    refused(
        "name: \"rudder\"",
        "name: \"elevator_left\"",
        0,
        "panels[3].hinges[0].name",
        "another surface",
        "name of its own",
    );
    refused(
        "name: \"nose\"",
        "name: \"tail\"",
        7,
        "contacts[8].name",
        "another contact point",
        "name of its own",
    );
}

#[test]
fn form() {
    refused(
        "name: \"fin\",",
        "name: \"fin\"",
        1,
        "panels[3].name",
        "comma",
        "comma",
    );
    refused(
        "name: \"fin\",",
        "name: \"fin\", name: \"fin\",",
        0,
        "panels[3].name",
        "twice",
        "one of the two",
    );
    refused(
        "cells: 2",
        "cells: \"2\"",
        0,
        "power.battery.cells",
        "whole number",
        "without quotes",
    );
    refused(
        "cells: 2",
        "cells: 0",
        0,
        "power.battery.cells",
        "0 cells",
        "from 1 to 14",
    );
    refused(
        "brake: false",
        "brake: \"no\"",
        0,
        "power.propeller.brake",
        "yes or no",
        "true or false",
    );
    refused(
        "mass: \"46 g\", ",
        "",
        0,
        "components[0].mass",
        "`mass` is missing",
        "mass: \"28 g\"",
    );
    refused(
        "schema: 1",
        "schema: 2",
        0,
        "schema",
        "`2` is not a version",
        "schema: 1",
    );
    refused(
        "schema: 1",
        "schema: one",
        0,
        "schema",
        "`one` is not a version",
        "schema: 1",
    );
    refused(
        "schema: 1,",
        "",
        -1,
        "schema",
        "`schema` is missing",
        "schema: 1",
    );
    refused(
        "(\"150 mm\", \"50 mm\")",
        "(\"150 mm\")",
        0,
        "panels[3].shape[1]",
        "values is 1",
        "a pair",
    );
    refused(
        "hub: (aft: \"-208 mm\", up: \"-33 mm\")",
        "hub: [1, 2]",
        0,
        "power.hub",
        "group of fields",
        "name: value",
    );
}

#[test]
fn impossible_planes() {
    let hinge = "panels[2].hinges[0]";
    refused(
        "travel_up: \"15 deg\"",
        "travel_up: \"100 deg\"",
        0,
        &format!("{hinge}.travel_up"),
        "outside",
        "90 deg",
    );
    refused(
        "travel_up: \"15 deg\"",
        "travel_up: \"60 mm\"",
        0,
        &format!("{hinge}.travel_up"),
        "outside",
        "45 mm behind its hinge",
    );
    refused(
        "travel_up: \"15 deg\"",
        "travel_left: \"15 deg\", travel_up: \"15 deg\"",
        0,
        &format!("{hinge}.travel_left"),
        "no meaning",
        "travel_down",
    );
    refused(
        "chord: \"45 mm\"",
        "chord: \"145 mm\"",
        0,
        &format!("{hinge}.chord"),
        "outside",
        "140.0 mm",
    );
    refused(
        "chord: \"45 mm\"",
        "chord: \"130 %\"",
        0,
        &format!("{hinge}.chord"),
        "outside",
        "100 %",
    );
    refused(
        "chord: \"45 mm\"",
        "from: \"90 %\", to: \"80 %\", chord: \"45 mm\"",
        0,
        &format!("{hinge}.to"),
        "before",
        "farther",
    );
    refused(
        "chord: \"45 mm\"",
        "mix: (roll: \"10 %\"), chord: \"45 mm\"",
        0,
        &format!("{hinge}.mix.roll"),
        "no share",
        "Elevon",
    );
    refused(
        "function: Rudder",
        "function: Elevator",
        0,
        "panels[3].hinges[0].function",
        "upright",
        "Rudder",
    );
    refused(
        "function: Elevator",
        "function: Rudder",
        0,
        &format!("{hinge}.function"),
        "upright panel",
        "Elevator",
    );
    refused(
        "thickness: \"6 mm\"",
        "thickness: \"600 mm\"",
        0,
        "sheets[0].thickness",
        "outside",
        "60 mm",
    );
    refused(
        "(\"150 mm\", \"50 mm\")",
        "(\"150 mm\", \"250 mm\")",
        -2,
        "panels[3].shape",
        "crosses itself",
        "once around",
    );
    refused(
        "top: \"#e3a72f\"",
        "top: \"red\"",
        0,
        "panels[0].colours.top",
        "not a colour",
        "#e8b321",
    );
    refused(
        "root: (aft: \"0 mm\", up: \"0 mm\"),",
        "",
        -3,
        "panels[0].root",
        "neither",
        "root: (aft",
    );
}

#[test]
fn all_mistakes_come_out_in_one_pass() {
    let mut text = GOOD.to_owned();
    for (from, to) in [
        ("span: \"300 mm\"", "span: \"300 mas\""),
        ("joins: \"wing_centre\"", "joins: \"center\""),
        ("travel_down: \"15 deg\"", "travel_down: \"95 deg\""),
        ("mass: \"46 g\"", "mass: 46"),
        ("cells: 2", "cells: 99"),
        (
            "part: Nose, impulse: \"1.9 N s\"",
            "part: Nose, impulse: \"1.9 N\"",
        ),
    ] {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    let found = errors(&text);
    assert_eq!(found.errors.len(), 6, "{found}");
    // In the order of the file.
    assert!(found.errors.is_sorted_by_key(|e| e.line));
}

#[test]
fn what_is_no_airframe_file_at_all() {
    let deep = "(".repeat(100_000);
    let huge = " ".repeat(5 * 1024 * 1024);
    for (text, problem) in [
        ("", "empty"),
        ("  \n\t ", "empty"),
        ("\0\0\0\0", "not text"),
        (deep.as_str(), "nested"),
        (huge.as_str(), "bytes"),
        ("hello", ""),
        ("[1, 2, 3]", ""),
        ("(schema: 1", ""),
        ("/* never closed", ""),
        ("(schema: 1, name: \"never closed", ""),
        ("#![enable(everything)] ()", ""),
    ] {
        let found = errors(text);
        assert!(found.errors[0].problem.contains(problem), "{found}");
    }
}

#[test]
fn files_that_cannot_be_read() {
    use larkfield_files::airframe::load_airframe;
    let folder = std::env::temp_dir().join(format!("larkfield-files-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap_or_else(|e| panic!("{e}"));
    let latin = folder.join("latin.ron");
    std::fs::write(&latin, b"(\n  name: \"caf\xe9\",\n)").unwrap_or_else(|e| panic!("{e}"));
    for (path, line, problem) in [
        (folder.join("none.ron"), 1, "cannot be read"),
        (folder.clone(), 1, "cannot be read"),
        (latin, 2, "not UTF-8"),
    ] {
        match load_airframe(&path) {
            Ok(_) => panic!("{} was accepted", path.display()),
            Err(found) => {
                assert!(found.errors[0].problem.contains(problem), "{found}");
                assert_eq!(found.errors[0].line, line, "{found}");
                assert_eq!(found.errors[0].file, path.display().to_string());
            }
        }
    }
    std::fs::remove_dir_all(&folder).unwrap_or_else(|e| panic!("{e}"));
}

#[test]
fn line_ends_and_byte_order_marks_of_other_editors_are_fine() {
    let text = format!("\u{feff}{}", GOOD.replace('\n', "\r\n"));
    assert!(read_airframe(&text, "my.ron").is_ok());
    let wrong = text.replacen("span: \"300 mm\"", "span: \"300 mas\"", 1);
    let (plain, _) = changed("span: \"300 mm\"", "span: \"300 mas\"");
    let places = |found: FileErrors| (found.errors[0].line, found.errors[0].column);
    assert_eq!(places(errors(&wrong)), places(errors(&plain)));
}

#[test]
fn thousands_of_mistakes_are_refused_quickly_and_briefly() {
    let row = "(reynolds: 0, alpha: \"x\", lift: 99, drag: -1, moment: 99),";
    let table = format!("section: Polar([{}])", row.repeat(5000));
    let (text, _) = changed("section: FoamSheet(edges: Rounded)", &table);
    let started = std::time::Instant::now();
    let found = errors(&text);
    assert_eq!(found.errors.len(), 100);
    assert!(started.elapsed().as_secs() < 20);
}
