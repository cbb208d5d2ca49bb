//! What the program says about itself and where it looks.

use crate::program::{expect_code, larkfield, larkfield_in, out, root, temporary, text_of};

#[test]
fn shipped_files_are_found_from_below_the_repository() {
    let folder = temporary();
    let path = folder.path().join("run");
    let below = root().join("crates/larkfield");
    let run = larkfield_in(&below, &["rehearse", "--out", text_of(&path)]);
    expect_code(&run, 0);
}

#[test]
fn help_lists_every_option() {
    let top = out(&larkfield(&["--help"]));
    for word in [
        "preflight",
        "rehearse",
        "lessons",
        "logbook",
        "radio",
        "Exit codes",
        "NO_COLOR",
        "--version",
    ] {
        assert!(top.contains(word), "{word}: {top}");
    }
    let preflight = out(&larkfield(&["help", "preflight"]));
    for word in ["--json", "--svg", "--speed", "--elevation", "--temperature"] {
        assert!(preflight.contains(word), "{word}: {preflight}");
    }
    let join = out(&larkfield(&["join", "--help"]));
    for word in ["<DIR>...", "--out", "--replace", "--json"] {
        assert!(join.contains(word), "{word}: {join}");
    }
    let rehearse = out(&larkfield(&["rehearse", "--help"]));
    for word in [
        "--lesson",
        "--airframe",
        "--wind",
        "--pilot",
        "--seed",
        "--repeat",
        "--threads",
        "--again",
        "--out",
        "--replace",
        "--json",
        "--name",
        "--logbook",
        "--flown-at",
        "competent",
        "beginner",
        "hands-off",
        "playback:FILE",
        "assets/lessons/first_launch.ron",
    ] {
        assert!(rehearse.contains(word), "{word}: {rehearse}");
    }
}
