//! Mistakes in files and on the command line, and the words for them.

use crate::program::{changed, err, expect_code, larkfield, root, temporary, text_of};

#[test]
fn a_mistake_in_a_file_is_named_by_place_field_and_cure() {
    let folder = temporary();
    let shipped = "shared/airframes/marram.ron";
    let (path, line) = changed(
        folder.path(),
        shipped,
        "span: \"300 mm\"",
        "span: \"300 g\"",
    );
    for arguments in [
        vec!["preflight", text_of(&path)],
        vec!["rehearse", "--airframe", text_of(&path), "--out", "never"],
    ] {
        let run = larkfield(&arguments);
        expect_code(&run, 2);
        let said = err(&run);
        assert!(said.contains(&format!("changed.ron:{line}:")), "{said}");
        assert!(said.contains("span") && said.contains("mm"), "{said}");
    }
    assert!(!root().join("never").exists() && !root().join("never.partial").exists());

    let wind = "assets/winds/gusty.ron";
    let (path, line) = changed(folder.path(), wind, "stated_height", "statd_height");
    let run = larkfield(&["rehearse", "--wind", text_of(&path), "--out", "never"]);
    expect_code(&run, 2);
    let said = err(&run);
    assert!(said.contains(&format!("changed.ron:{line}:")), "{said}");
    assert!(said.contains("stated_height"), "{said}");

    // Each file for itself is sound: such a wind over such ground is not.
    let (field, _) = changed(
        folder.path(),
        "assets/fields/meadow_behind_trees.ron",
        "\"10 mm\"",
        "\"1 m\"",
    );
    let lesson = folder.path().join("lesson.ron");
    let shipped = "assets/lessons/first_launch.ron";
    let text = std::fs::read_to_string(root().join(shipped)).unwrap_or_else(|e| panic!("{e}"));
    let text = text.replacen("../fields/open_meadow.ron", text_of(&field), 1);
    let text = text.replace("\"../", &format!("\"{}/assets/", text_of(&root())));
    std::fs::write(&lesson, text).unwrap_or_else(|e| panic!("{e}"));
    let run = larkfield(&["rehearse", "--lesson", text_of(&lesson), "--out", "never"]);
    expect_code(&run, 2);
    let said = err(&run);
    assert!(
        said.contains("breeze_2.ron") && said.contains("changed.ron"),
        "{said}"
    );
    assert!(said.contains("roughness_length"), "{said}");
}

#[test]
fn missing_files_and_wrong_arguments_are_told_plainly() {
    for (arguments, part) in [
        (vec!["preflight", "nowhere.ron"], "nowhere.ron"),
        (vec!["preflight", "crates"], "crates"),
        (vec!["rehearse", "--lesson", "nowhere.ron"], "nowhere.ron"),
        (vec!["rehearse", "--pilot", "ace"], "competent"),
        (
            vec!["rehearse", "--pilot", "playback:nowhere.csv"],
            "nowhere.csv",
        ),
        (
            vec!["rehearse", "--pilot", "playback:README.md"],
            "README.md",
        ),
        (vec!["rehearse", "--repeat", "0"], "repeat"),
        (vec!["rehearse", "--seed", "-1"], "seed"),
        (vec!["rehearse", "--replace"], "--out"),
        (vec!["rehearse", "--threads", "2"], "--repeat"),
        (
            vec!["rehearse", "--repeat", "2", "--threads", "0"],
            "threads",
        ),
        (vec!["rehearse", "--again", "nowhere"], "nowhere"),
        (vec!["rehearse", "--again", "crates"], "no run folder"),
        (
            vec!["rehearse", "--again", "a", "--lesson", "b"],
            "--lesson",
        ),
        (
            vec![
                "rehearse",
                "--repeat",
                "2",
                "--seed",
                "18446744073709551615",
            ],
            "start lower",
        ),
        (vec!["join"], "DIR"),
        (vec!["join", "nowhere"], "nowhere"),
        (vec!["preflight", "a.ron", "--speed", "8"], "m/s"),
        (
            vec!["preflight", "a.ron", "--temprature", "15 C"],
            "--temperature",
        ),
        (
            vec![
                "preflight",
                "shared/airframes/marram.ron",
                "--temperature",
                "500 C",
            ],
            "temperature",
        ),
        (vec!["fly"], "fly"),
    ] {
        let run = larkfield(&arguments);
        expect_code(&run, 2);
        assert!(err(&run).contains(part), "{arguments:?}: {}", err(&run));
    }
}
