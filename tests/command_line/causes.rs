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
fn a_fault_too_small_to_matter_has_no_effect_and_one_that_matters_what_it_cost() {
    let folder = temporary();
    let flown = |name: &str, faults: &[&str]| -> Value {
        let path = folder.path().join(name);
        let mut asked = vec!["rehearse", "--json", "--out", text_of(&path)];
        for fault in faults {
            asked.extend(["--fault", fault]);
        }
        let flown = larkfield(&asked);
        expect_code(&flown, 0);
        serde_json::from_str(&out(&flown)).expect("JSON")
    };
    let verdict = |report: &Value| report["effect"]["verdict"].as_str().map(str::to_owned);

    // A hundredth of the mean chord, and less than throws of one person differ by
    // (common practice, no source).
    let small = flown("small", &["tail-heavy=2 mm", "nose-high-throw=1 deg"]);
    assert_eq!(small["effect"]["matters"], false);
    let said = verdict(&small).unwrap_or_default();
    assert!(said.contains("no effect"), "{said}");
    let page = std::fs::read_to_string(folder.path().join("small/debrief.html")).expect("a page");
    assert!(page.contains("no effect"));

    let large = flown("large", &["elevator-reversed"]);
    assert_eq!(large["effect"]["matters"], true);
    assert_eq!(large["effect"]["passed_without"], true);
    let said = verdict(&large).unwrap_or_default();
    assert!(said.contains("elevator-reversed cost the pass"), "{said}");

    // Nothing was asked for, nothing is weighed.
    assert_eq!(flown("sound", &[])["effect"], Value::Null);

    // What a recording shows of a flight that passed was too small as well.
    expect_code(
        &larkfield(&[
            "rehearse",
            "--fault",
            "battery-used=small",
            "--out",
            text_of(&folder.path().join("used")),
        ]),
        0,
    );
    let told = larkfield(&["causes", text_of(&folder.path().join("used"))]);
    let said = out(&told);
    assert!(
        said.contains("No effect on the outcome") && said.contains("battery-used"),
        "{said}"
    );
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
