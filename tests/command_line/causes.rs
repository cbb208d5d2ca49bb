//! What a recording says about its plane.

use serde_json::Value;

use crate::program::{err, expect_code, larkfield, out, temporary, text_of};

#[test]
fn a_crash_with_a_reversed_elevator_says_so_from_its_recording_alone() {
    let folder = temporary();
    let path = folder.path().join("run");
    let run = text_of(&path);
    let flown = larkfield(&["rehearse", "--fault", "elevator-reversed", "--out", run]);
    expect_code(&flown, 0);
    assert!(out(&flown).contains("What was wrong"), "{}", out(&flown));
    let page = std::fs::read_to_string(path.join("debrief.html")).expect("a page");
    assert!(page.contains("What was wrong") && page.contains("elevator-reversed"));

    let told = larkfield(&["causes", run]);
    expect_code(&told, 0);
    for words in [
        "elevator-reversed",
        "Seen:",
        "Check:",
        "Propeller off",
        "Do:",
    ] {
        assert!(out(&told).contains(words), "{words}: {}", out(&told));
    }
    let told = larkfield(&["causes", run, "--json"]);
    let report: Value = serde_json::from_str(&out(&told)).expect("JSON");
    assert_eq!(report["causes"][0]["fault"], "elevator-reversed");
    assert!(
        report["causes"][0]["gain"]
            .as_f64()
            .is_some_and(|gain| gain > 8.0)
    );

    // A recording that was cut off in the middle of a row still says it.
    let table = std::fs::read(path.join("recording.csv")).expect("a recording");
    let cut = folder.path().join("cut.csv");
    std::fs::write(&cut, &table[..table.len() - 40]).expect("written");
    let told = larkfield(&["causes", run, "--recording", text_of(&cut)]);
    expect_code(&told, 0);
    assert!(err(&told).contains("cut.csv"), "{}", err(&told));
    assert!(out(&told).contains("elevator-reversed"), "{}", out(&told));
}

#[test]
fn what_is_no_run_is_refused_with_what_would_be_right() {
    let folder = temporary();
    let nothing = larkfield(&["causes", text_of(folder.path())]);
    expect_code(&nothing, 2);
    let path = folder.path().join("sound");
    let run = text_of(&path);
    expect_code(&larkfield(&["rehearse", "--out", run]), 0);
    let told = larkfield(&["causes", run]);
    expect_code(&told, 0);
    assert!(out(&told).contains("check by hand"), "{}", out(&told));
    let missing = larkfield(&["causes", run, "--recording", "/nowhere/log.csv"]);
    expect_code(&missing, 2);
    assert!(err(&missing).contains("--recording"), "{}", err(&missing));
}
