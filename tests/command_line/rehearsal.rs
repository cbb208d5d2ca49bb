//! One rehearsal: its folder, its score, its recording.

use std::collections::BTreeMap;
use std::path::Path;
use std::path::PathBuf;

use larkfield_debrief::check_run_folder;
use larkfield_lesson::Field;
use larkfield_lesson::Lesson;
use larkfield_recording::table::read_recording;
use serde_json::Value;

use crate::program::{
    err, expect_code, files_below, larkfield, out, root, same, temporary, text_of,
};

#[test]
fn a_rehearsal_leaves_a_complete_folder_and_the_same_bytes_again() {
    let folder = temporary();
    let runs = ["first", "second"].map(|name| {
        let path = folder.path().join(name);
        let run = larkfield(&["rehearse", "--seed", "3", "--out", text_of(&path)]);
        expect_code(&run, 0);
        assert!(out(&run).contains("debrief.html"), "{}", out(&run));
        // Neither output is a terminal here: no colour, no progress.
        assert!(
            !out(&run).contains('\x1b') && err(&run).is_empty(),
            "{}",
            err(&run)
        );
        path
    });
    let faults = check_run_folder(&runs[0]);
    assert!(faults.is_empty(), "{faults:?}");
    let [first, second] = runs.each_ref().map(|path| files_below(path));
    for name in [
        "run.json",
        "recording.csv",
        "events.csv",
        "score.json",
        "debrief.html",
        "inputs/lesson/first_launch.ron",
        "inputs/airframe/marram.ron",
        "inputs/field/open_meadow.ron",
        "inputs/wind/breeze_2.ron",
    ] {
        assert!(first.contains_key(Path::new(name)), "{name}");
    }
    let airframe = std::fs::read(root().join("shared/airframes/marram.ron")).ok();
    let kept = first.get(Path::new("inputs/airframe/marram.ron"));
    assert_eq!(kept, airframe.as_ref());
    let names = |files: &BTreeMap<PathBuf, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&first), names(&second));
    for (name, bytes) in &first {
        assert!(
            second.get(name) == Some(bytes),
            "{} differs",
            name.display()
        );
    }
    // Nothing of this machine or this day is in any of them.
    let place = folder.path().to_string_lossy().into_owned();
    for (name, bytes) in &first {
        let text = String::from_utf8_lossy(bytes);
        assert!(!text.contains(&place), "{}", name.display());
    }
}

#[test]
fn the_score_can_be_worked_out_again_from_the_files() {
    let folder = temporary();
    let path = folder.path().join("run");
    let arguments = ["rehearse", "--pilot", "beginner", "--seed", "11", "--out"];
    expect_code(&larkfield(&[&arguments[..], &[text_of(&path)]].concat()), 0);
    let read = |name: &str| std::fs::read(path.join(name)).unwrap_or_else(|e| panic!("{e}"));
    let (recording, faults) = read_recording(
        "recording.csv",
        &read("recording.csv"),
        "events.csv",
        &read("events.csv"),
    );
    assert!(faults.is_empty(), "{faults:?}");
    let written: Value = serde_json::from_slice(&read("score.json")).unwrap_or_default();
    // With no performance the speed margin cannot be had; every other line
    // follows from the recording alone.
    let lesson: Lesson =
        larkfield_files::lesson::load_lesson(&root().join("assets/lessons/first_launch.ron"))
            .unwrap_or_else(|e| panic!("{e}"));
    let field: Field =
        larkfield_files::field::load_field(&root().join("assets/fields/open_meadow.ron"))
            .unwrap_or_else(|e| panic!("{e}"));
    let again = larkfield_lesson::score(
        &lesson,
        &field,
        &recording,
        &Default::default(),
        &Default::default(),
    );
    let marks = written["marks"].as_array().cloned().unwrap_or_default();
    assert_eq!(marks.len(), again.marks.len());
    assert!(marks.len() > 5);
    for (mark, expected) in marks.iter().zip(&again.marks) {
        if expected.name != "speed margin" {
            let points = same(mark["points"].as_f64(), Some(expected.points));
            let value = same(mark["value"].as_f64(), expected.value);
            assert!(points && value, "{mark} {expected:?}");
        }
    }
}

#[test]
fn json_can_be_read_by_programs() {
    let folder = temporary();
    let path = folder.path().join("run");
    let run = larkfield(&["rehearse", "--json", "--out", text_of(&path)]);
    expect_code(&run, 0);
    let report: Value = serde_json::from_slice(&run.stdout).unwrap_or_else(|e| panic!("{e}"));
    let total = report["score"]["total"].as_f64().unwrap_or(f64::NAN);
    assert!((0.0..=100.0).contains(&total), "{report}");
    assert_eq!(report["plane"], "Marram");

    let run = larkfield(&["preflight", "shared/airframes/marram.ron", "--json"]);
    expect_code(&run, 0);
    let report: Value = serde_json::from_slice(&run.stdout).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(report["name"], "Marram");
    assert!(report["neutral_point_aft_m"].is_number(), "{report}");
}

#[test]
fn a_recording_can_be_flown_again() {
    let folder = temporary();
    let (first, again) = (folder.path().join("first"), folder.path().join("again"));
    expect_code(&larkfield(&["rehearse", "--out", text_of(&first)]), 0);
    let pilot = format!("playback:{}", text_of(&first.join("recording.csv")));
    let run = larkfield(&["rehearse", "--pilot", &pilot, "--out", text_of(&again)]);
    expect_code(&run, 0);
    assert!(again.join("inputs/sticks/recording.csv").is_file());
}

/// The table of a pilot's hands gives the same flight, not only a similar one.
#[test]
fn a_flight_is_flown_again_byte_for_byte_from_its_controls() {
    let folder = temporary();
    let (first, again) = (folder.path().join("first"), folder.path().join("again"));
    let seed = ["rehearse", "--seed", "5"];
    let run = larkfield(&[&seed[..], &["--out", text_of(&first)]].concat());
    expect_code(&run, 0);
    let pilot = format!("playback:{}", text_of(&first.join("controls.csv")));
    let more = ["--pilot", &pilot, "--out", text_of(&again)];
    expect_code(&larkfield(&[&seed[..], &more].concat()), 0);
    for file in ["recording.csv", "events.csv", "controls.csv", "score.json"] {
        let [one, other] = [&first, &again].map(|run| std::fs::read(run.join(file)));
        let one = one.unwrap_or_else(|e| panic!("{file}: {e}"));
        assert!(Some(one) == other.ok(), "{file} differs");
    }
}

/// A lesson that has to be earned says what is missing; a run folder of
/// something else does not open it, and --unlocked does.
#[test]
fn a_locked_lesson_says_what_unlocks_it() {
    let folder = temporary();
    let other = folder.path().join("other");
    let flown = larkfield(&["rehearse", "--out", text_of(&other)]);
    assert_eq!(flown.status.code(), Some(0), "{}", err(&flown));
    let lesson = "assets/lessons/stall_limit_landing.ron";
    let locked = larkfield(&["rehearse", "--lesson", lesson]);
    assert_eq!(locked.status.code(), Some(2));
    for part in ["is locked", "approach_calm", "--passed", "--unlocked"] {
        assert!(err(&locked).contains(part), "{part}: {}", err(&locked));
    }
    let other = text_of(&other);
    let locked = larkfield(&["rehearse", "--lesson", lesson, "--passed", other]);
    assert_eq!(locked.status.code(), Some(2));
    let message = err(&locked);
    assert!(message.contains("not a run of approach_calm"), "{message}");
    let out_folder = folder.path().join("unlocked");
    let out_folder = text_of(&out_folder);
    let open = larkfield(&[
        "rehearse",
        "--lesson",
        lesson,
        "--unlocked",
        "--out",
        out_folder,
    ]);
    assert_eq!(open.status.code(), Some(0), "{}", err(&open));
    let gusty = larkfield(&[
        "rehearse",
        "--lesson",
        lesson,
        "--unlocked",
        "--wind",
        "assets/winds/gusty.ron",
    ]);
    assert_eq!(gusty.status.code(), Some(2));
    assert!(err(&gusty).contains("gusts exceed"), "{}", err(&gusty));
}
