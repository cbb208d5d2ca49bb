//! Whatever is done to a file, reading it neither panics nor leaves a person
//! without line and remedy; a plane that is accepted has finite numbers.

use larkfield_airframe::{Airframe, MassProperties};
use larkfield_files::FileErrors;
use larkfield_files::airframe::read_airframe;
use larkfield_files::field::read_field;
use larkfield_files::lesson::read_lesson;
use larkfield_files::radio::{read_radio, write_radio};
use larkfield_files::wind::read_wind;
use proptest::prelude::*;

const FILES: [&str; 4] = [
    include_str!("../../../shared/airframes/marram.ron"),
    include_str!("../../../shared/airframes/marram-tail-heavy.ron"),
    include_str!("../../../shared/airframes/marram-warped.ron"),
    include_str!("../../../shared/airframes/marram-under-powered.ron"),
];

const WINDS: [&str; 3] = [
    include_str!("../../../assets/winds/gusty.ron"),
    include_str!("../../../assets/winds/breeze_2.ron"),
    include_str!("../../../assets/winds/thermal_afternoon.ron"),
];
const RADIOS: [&str; 3] = [
    include_str!("../../../assets/radios/pad_mode_2.ron"),
    include_str!("../../../assets/radios/eight_channels_mode_1.ron"),
    include_str!("../../../assets/radios/trainer_mode_2.ron"),
];
const FIELD: &str = include_str!("../../../assets/fields/meadow_behind_trees.ron");
const LESSON: &str = include_str!("../../../assets/lessons/first_launch.ron");

/// Pieces that are likely to get through the first checks.
const PIECES: [&str; 24] = [
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    ",",
    ":",
    "\"",
    "/*",
    "//",
    "\n",
    "0",
    "-1",
    "1e300",
    "NaN",
    "\"0 mm\"",
    "\"-5 deg\"",
    "\"1e9 m\"",
    "None",
    "Both",
    "\u{e9}",
    "r#\"",
    "\\",
];

#[derive(Debug, Clone)]
enum Change {
    Remove(usize, usize),
    Insert(usize, usize),
    SwapLines(usize, usize),
    DropLine(usize),
    Digit(usize, u8),
    Cut(usize),
}

fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        (any::<usize>(), 1..40_usize).prop_map(|(at, len)| Change::Remove(at, len)),
        (any::<usize>(), any::<usize>()).prop_map(|(at, piece)| Change::Insert(at, piece)),
        (any::<usize>(), any::<usize>()).prop_map(|(a, b)| Change::SwapLines(a, b)),
        any::<usize>().prop_map(Change::DropLine),
        (any::<usize>(), b'0'..=b'9').prop_map(|(at, digit)| Change::Digit(at, digit)),
        any::<usize>().prop_map(Change::Cut),
    ]
}

fn apply(text: &str, change: &Change) -> String {
    let chars: Vec<char> = text.chars().collect();
    let count = chars.len().max(1);
    let mut lines: Vec<&str> = text.split('\n').collect();
    let line_count = lines.len();
    match *change {
        Change::Remove(at, len) => {
            let at = at % count;
            let end = (at + len).min(chars.len());
            let kept = chars[..at.min(chars.len())].iter();
            kept.chain(&chars[end..]).collect()
        }
        Change::Insert(at, piece) => {
            let at = at % count;
            let (before, after) = chars.split_at(at.min(chars.len()));
            let piece = PIECES[piece % PIECES.len()];
            before
                .iter()
                .copied()
                .chain(piece.chars())
                .chain(after.iter().copied())
                .collect()
        }
        Change::SwapLines(a, b) => {
            lines.swap(a % line_count, b % line_count);
            lines.join("\n")
        }
        Change::DropLine(at) => {
            lines.remove(at % line_count);
            lines.join("\n")
        }
        Change::Digit(at, digit) => {
            let digits: Vec<usize> = (0..chars.len())
                .filter(|&i| chars[i].is_ascii_digit())
                .collect();
            let mut chars = chars;
            if !digits.is_empty() {
                chars[digits[at % digits.len()]] = char::from(digit);
            }
            chars.into_iter().collect()
        }
        Change::Cut(at) => chars[..at % count].iter().collect(),
    }
}

fn finite(airframe: &Airframe) -> bool {
    let stations = airframe.panels.iter().flat_map(|p| &p.stations);
    let mass = MassProperties::of(airframe);
    mass.mass_kg.is_finite()
        && mass.mass_kg > 0.0
        && mass.cg_m.is_finite()
        && mass.inertia_kg_m2.is_finite()
        && stations
            .into_iter()
            .all(|s| s.leading_edge_m.is_finite() && s.chord_m > 0.0 && s.incidence_rad.is_finite())
        && airframe.controls.iter().all(|c| {
            c.span_from < c.span_to
                && c.flap_fraction_from > 0.0
                && c.flap_fraction_to > 0.0
                && c.servo.speed_rad_s > 0.0
                && c.panel < airframe.panels.len()
        })
}

fn check(text: &str) -> Result<(), TestCaseError> {
    match read_airframe(text, "m.ron") {
        Ok(airframe) => prop_assert!(finite(&airframe), "not finite"),
        Err(errors) => explained(text, &errors)?,
    }
    Ok(())
}

fn explained(text: &str, errors: &FileErrors) -> Result<(), TestCaseError> {
    prop_assert!(!errors.errors.is_empty());
    for e in &errors.errors {
        prop_assert!(e.line > 0 && e.column > 0, "{}", e);
        prop_assert!(!e.field.is_empty(), "{}", e);
        prop_assert!(!e.problem.trim().is_empty(), "{}", e);
        prop_assert!(!e.remedy.trim().is_empty(), "{}", e);
        // Never past the end of the text.
        prop_assert!(e.line <= text.matches('\n').count() + 1, "{}", e);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn mutated_files(which in 0..4_usize, changes in prop::collection::vec(change(), 1..6)) {
        let text = changes.iter().fold(FILES[which].to_owned(), |t, c| apply(&t, c));
        check(&text)?;
    }

    #[test]
    fn random_text(text in "\\PC{0,300}") {
        check(&text)?;
    }

    #[test]
    fn random_brackets(text in "[()\\[\\]{},:\"a-c0-9 \n/*#r\\\\']{0,200}") {
        check(&text)?;
    }

    #[test]
    fn mutated_winds(which in 0..3_usize, changes in prop::collection::vec(change(), 1..4)) {
        let text = changes.iter().fold(WINDS[which].to_owned(), |t, c| apply(&t, c));
        if let Err(errors) = read_wind(&text, "m.ron") {
            explained(&text, &errors)?;
        }
    }

    /// What is accepted can be written and read back, and is checked as whole.
    #[test]
    fn mutated_radios(which in 0..3_usize, changes in prop::collection::vec(change(), 1..4)) {
        let text = changes.iter().fold(RADIOS[which].to_owned(), |t, c| apply(&t, c));
        match read_radio(&text, "m.ron") {
            Ok(radio) => {
                prop_assert!(radio.check().is_ok());
                let written = write_radio(&radio);
                let again = read_radio(&written, "w.ron");
                prop_assert!(again.is_ok(), "{written}\n{again:?}");
            }
            Err(errors) => explained(&text, &errors)?,
        }
    }

    #[test]
    fn mutated_fields_and_lessons(changes in prop::collection::vec(change(), 1..4)) {
        let text = changes.iter().fold(FIELD.to_owned(), |t, c| apply(&t, c));
        if let Err(errors) = read_field(&text, "m.ron") {
            explained(&text, &errors)?;
        }
        let text = changes.iter().fold(LESSON.to_owned(), |t, c| apply(&t, c));
        if let Err(errors) = read_lesson(&text, "m.ron") {
            explained(&text, &errors)?;
        }
    }

    /// Numbers and units alone, so that most files get past their form.
    #[test]
    fn mutated_digits(which in 0..4_usize, changes in prop::collection::vec((any::<usize>(), b'0'..=b'9'), 1..12)) {
        let text = changes
            .iter()
            .fold(FILES[which].to_owned(), |t, (at, d)| apply(&t, &Change::Digit(*at, *d)));
        check(&text)?;
    }
}
