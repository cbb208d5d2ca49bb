//! The shipped course is whole, and mistakes in one of somebody's own are told
//! with place and remedy.

use std::collections::BTreeSet;
use std::path::Path;

use larkfield_files::course::{load_course, read_course};
use larkfield_lesson::StepKind;

const STEP: &str =
    r#"(name: "a", with: Drill("orientation"), trains: "b", good: "c", enough: "d")"#;

#[test]
fn the_shipped_course_names_lessons_that_are_there_each_once() {
    let assets = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets");
    let course = load_course(&assets.join("course.ron")).unwrap_or_else(|e| panic!("{e}"));
    let mut seen = BTreeSet::new();
    for step in &course.steps {
        if let StepKind::Lesson(name) = &step.kind {
            let file = assets.join(format!("lessons/{name}.ron"));
            assert!(file.is_file(), "{name}");
            assert!(seen.insert(name.clone()), "{name} twice");
            assert!(course.step_of(name).is_some());
        }
    }
    // A beginner meets talks and drills before anything is thrown.
    let first = course
        .steps
        .iter()
        .position(|step| matches!(step.kind, StepKind::Lesson(_)));
    assert!(first.is_some_and(|first| first >= 4));
    assert_eq!(course.step_of("no such lesson"), None);
}

#[test]
fn mistakes_are_told_with_their_line_and_what_would_be_right() {
    let course = |steps: &str| format!("(\n schema: 1,\n name: \"x\",\n steps: [\n{steps}\n ],\n)");
    let said = |text: &str| match read_course(text, "c.ron") {
        Ok(course) => panic!("{course:?}"),
        Err(errors) => errors.to_string(),
    };
    assert!(read_course(&course(STEP), "c.ron").is_ok());
    for (steps, place, right) in [
        (
            STEP.replace("orientation", "orientaton"),
            "c.ron:5",
            "before-power",
        ),
        (STEP.replace("\"b\"", "\" \""), "c.ron:5", "sentence"),
        (
            STEP.replace("Drill(\"orientation\")", "Lesson(\"a/b.ron\")"),
            "c.ron:5",
            "first_launch",
        ),
        (
            STEP.replace("Drill(\"orientation\")", "Talk([])"),
            "c.ron:5",
            "1",
        ),
        (STEP.replace("good:", "gut:"), "c.ron:5", "good"),
        (format!("{STEP},\n{STEP}"), "c.ron:6", "name of its own"),
        (String::new(), "c.ron:4", "1"),
    ] {
        let said = said(&course(&steps));
        assert!(
            said.contains(place) && said.contains(right),
            "{steps}\n{said}"
        );
    }
    assert!(said("(schema: 2, name: \"x\", steps: [])").contains("schema"));
    assert!(!said("").is_empty());
}
