//! The page about lesson files says what the program does.

use std::collections::BTreeSet;
use std::path::Path;

use larkfield_files::lesson::read_lesson;
use larkfield_lesson::{Goal, Moment};

const PAGE: &str = include_str!("../../../assets/lessons/FORMAT.md");

/// The fenced example with this label.
fn example(label: &str) -> String {
    let fence = format!("```{label}\n");
    let from = PAGE.find(&fence).map(|at| at + fence.len());
    let text = from.and_then(|from| PAGE.get(from..)).unwrap_or_default();
    text.split("```").next().unwrap_or_default().to_owned()
}

/// First cells of the table below a heading, without their quotes.
fn rows(heading: &str) -> BTreeSet<String> {
    let section = PAGE
        .split("\n## ")
        .find(|section| section.starts_with(heading))
        .unwrap_or_else(|| panic!("no section {heading}"));
    section
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .map(str::to_owned)
        .collect()
}

/// The choices that a message about a wrong one names.
fn choices(from: &str, to: &str) -> BTreeSet<String> {
    let text = example("ron file").replacen(from, to, 1);
    let message = read_lesson(&text, "f.ron")
        .err()
        .map(|e| e.to_string())
        .unwrap_or_default();
    message
        .split(|c: char| !c.is_ascii_alphanumeric() && c != '_')
        .map(str::to_owned)
        .collect()
}

#[test]
fn the_example_is_a_lesson() {
    let lesson = read_lesson(&example("ron file"), "FORMAT.md").unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(lesson.phases.len(), 4);
    assert_eq!(lesson.phases[3].goal, Goal::Disarm { within_s: 8.0 });
}

#[test]
fn the_surprises_are_read_as_the_page_says() {
    let surprises = format!("    surprises: [{}],\n    pilot:", example("ron surprises"));
    let text = example("ron file").replacen("    pilot:", &surprises, 1);
    let lesson = read_lesson(&text, "FORMAT.md").unwrap_or_else(|e| panic!("{e}"));
    let moments: Vec<&Moment> = lesson.surprises.iter().map(|s| s.moment()).collect();
    assert_eq!(
        moments,
        [
            &Moment::Time { after_s: 12.0 },
            &Moment::Height { height_m: 10.0 },
            &Moment::Phase {
                name: "roll out".to_owned(),
                after_s: 1.0
            },
        ]
    );
}

#[test]
fn the_faults_are_read_as_the_page_says_and_others_refused() {
    let with = |faults: &str| {
        let faults = format!("    faults: [{faults}],\n    pilot:");
        read_lesson(
            &example("ron file").replacen("    pilot:", &faults, 1),
            "FORMAT.md",
        )
    };
    let lesson = with(&example("ron faults")).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(lesson.faults, ["tail-heavy=12 mm", "elevator-reversed"]);
    for (wrong, says) in [
        ("\"tail-heavi\"", "tail-heavy"),
        ("\"tail-heavy=400 mm\"", "1 to 60 mm"),
        ("\"elevator-reversed=5 mm\"", "no size"),
    ] {
        let error = with(wrong).err().map(|e| e.to_string()).unwrap_or_default();
        assert!(
            error.contains(says) && error.contains("faults[0]"),
            "{error}"
        );
    }
}

#[test]
fn every_field_goal_and_mark_is_on_the_page_and_known_to_the_program() {
    for (heading, from, to) in [
        (
            "The whole file",
            "    pilot:",
            "    no_such_field: 1,\n    pilot:",
        ),
        ("Phases", "goal: RollOut", "goal: NoSuchGoal"),
        ("Marks", "kind: SinkAtTouch", "kind: NoSuchMark"),
    ] {
        let known = choices(from, to);
        let written = rows(heading);
        assert!(written.len() > 10, "{heading}: {written:?}");
        for name in &written {
            assert!(
                known.contains(name),
                "{heading}: {name} is not in {known:?}"
            );
        }
    }
}

#[test]
fn all_shipped_lessons_are_on_the_page() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/lessons");
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{e}"));
    let there: BTreeSet<String> = entries
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| name.ends_with(".ron"))
        .collect();
    assert_eq!(rows("Shipped lessons"), there);
}
