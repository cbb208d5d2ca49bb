//! The program as a person at a keyboard meets it: exit codes, words, files.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use larkfield_debrief::check_run_folder;
use larkfield_lesson::{Field, Lesson};
use larkfield_recording::table::read_recording;
use serde_json::Value;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The program, in the top of the repository unless told otherwise, without
/// whatever the tester's shell sets.
fn larkfield(arguments: &[&str]) -> Output {
    larkfield_in(&root(), arguments)
}

fn larkfield_in(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_larkfield"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("NO_COLOR")
        .env_remove("CLICOLOR_FORCE")
        .output()
        .unwrap_or_else(|e| panic!("the program could not be started: {e}"))
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Fails with everything the program said.
fn expect_code(output: &Output, code: i32) {
    assert_eq!(
        output.status.code(),
        Some(code),
        "out: {}\nerr: {}",
        out(output),
        err(output)
    );
    assert!(!err(output).contains("panicked"), "{}", err(output));
}

fn temporary() -> tempfile::TempDir {
    tempfile::tempdir().unwrap_or_else(|e| panic!("{e}"))
}

fn text_of(path: &Path) -> &str {
    path.to_str().unwrap_or_else(|| panic!("{path:?}"))
}

fn files_below(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(here) = folders.pop() {
        let entries = std::fs::read_dir(&here).unwrap_or_else(|e| panic!("{here:?}: {e}"));
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{path:?}: {e}"));
                let name = path.strip_prefix(folder).unwrap_or(&path).to_owned();
                found.insert(name, bytes);
            }
        }
    }
    found
}

/// A copy of a shipped file with one change, and the line of the change.
fn changed(folder: &Path, shipped: &str, from: &str, to: &str) -> (PathBuf, usize) {
    let text = std::fs::read_to_string(root().join(shipped)).unwrap_or_else(|e| panic!("{e}"));
    let line = text.lines().take_while(|line| !line.contains(from)).count() + 1;
    assert!(text.contains(from), "{from}");
    let path = folder.join("changed.ron");
    std::fs::write(&path, text.replacen(from, to, 1)).unwrap_or_else(|e| panic!("{e}"));
    (path, line)
}

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

/// Equal but for the last place, which the JSON reader of this test may miss.
fn same(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= 1e-12 * b.abs().max(1.0),
        (None, None) => true,
        _ => false,
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
fn many_flights_leave_a_table_with_a_row_for_each() {
    let folder = temporary();
    let path = folder.path().join("many");
    let arguments = [
        "rehearse",
        "--repeat",
        "3",
        "--seed",
        "5",
        "--out",
        text_of(&path),
    ];
    expect_code(&larkfield(&arguments), 0);
    let faults = check_run_folder(&path);
    assert!(faults.is_empty(), "{faults:?}");
    let table = std::fs::read_to_string(path.join("flights.csv")).unwrap_or_default();
    let seeds: Vec<&str> = table
        .lines()
        .skip(1)
        .filter_map(|l| l.split(',').next())
        .collect();
    assert_eq!(seeds, ["5", "6", "7"]);
    assert!(path.join("summary.html").is_file());

    // A flight among others is the flight alone.
    let alone = folder.path().join("alone");
    let run = larkfield(&[
        "rehearse",
        "--seed",
        "6",
        "--json",
        "--out",
        text_of(&alone),
    ]);
    expect_code(&run, 0);
    let report: Value = serde_json::from_slice(&run.stdout).unwrap_or_default();
    let row = table.lines().nth(2).unwrap_or_default();
    let in_table: Option<f64> = row.split(',').nth(1).and_then(|cell| cell.parse().ok());
    assert!(in_table.is_some());
    assert!(
        same(in_table, report["score"]["total"].as_f64()),
        "{report}"
    );
}

/// Every file of two folders, byte for byte.
fn expect_same_files(one: &Path, other: &Path) {
    let [one, other] = [one, other].map(files_below);
    assert!(one.len() > 5);
    let names = |files: &BTreeMap<PathBuf, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&one), names(&other));
    for (name, bytes) in &one {
        assert!(other.get(name) == Some(bytes), "{} differs", name.display());
    }
}

/// Flies many and returns the folder.
fn many(place: &Path, name: &str, arguments: &[&str]) -> PathBuf {
    let path = place.join(name);
    let all = [&["rehearse", "--out", text_of(&path)], arguments].concat();
    expect_code(&larkfield(&all), 0);
    let faults = check_run_folder(&path);
    assert!(faults.is_empty(), "{faults:?}");
    path
}

/// A wind with gusts and a pilot who makes mistakes, so that seeds differ.
const DIFFERING: [&str; 4] = ["--pilot", "beginner", "--wind", "assets/winds/gusty.ron"];

#[test]
fn the_number_of_threads_changes_no_byte() {
    let folder = temporary();
    let [one, two, three] = ["1", "2", "3"].map(|threads| {
        let more = ["--repeat", "13", "--threads", threads];
        many(folder.path(), threads, &[&more[..], &DIFFERING].concat())
    });
    expect_same_files(&one, &two);
    expect_same_files(&one, &three);
}

#[test]
fn runs_over_neighbouring_seeds_join_into_the_whole() {
    let folder = temporary();
    let fly = |name: &str, seed: &str, count: &str| {
        let more = ["--seed", seed, "--repeat", count];
        many(folder.path(), name, &[&more[..], &DIFFERING].concat())
    };
    let whole = fly("whole", "4", "12");
    let (first, second, last) = (fly("a", "4", "7"), fly("b", "11", "1"), fly("c", "12", "4"));
    let joined = folder.path().join("joined");
    let join = |folders: &[&Path], out: &Path| {
        let names: Vec<&str> = folders.iter().map(|folder| text_of(folder)).collect();
        larkfield(&[&["join"], &names[..], &["--json", "--out", text_of(out)]].concat())
    };
    // In any order.
    let run = join(&[&last, &first, &second], &joined);
    expect_code(&run, 0);
    expect_same_files(&whole, &joined);
    let report: Value = serde_json::from_slice(&run.stdout).unwrap_or_default();
    assert_eq!(report["flights"], 12, "{report}");
    assert_eq!(report["first_seed"], 4, "{report}");
    let good = report["completed_undamaged"]["flights"].as_u64();
    let table = std::fs::read_to_string(joined.join("flights.csv")).unwrap_or_default();
    let mut rows = table
        .lines()
        .map(|line| line.split(',').collect::<Vec<_>>());
    let header = rows.next().unwrap_or_default();
    let column = |name: &str| header.iter().position(|cell| *cell == name);
    let (completed, undamaged) = (column("completed"), column("undamaged"));
    let yes = |row: &[&str], column: Option<usize>| column.and_then(|at| row.get(at)) == Some(&"1");
    let counted = rows.filter(|row| yes(row, completed) && yes(row, undamaged));
    assert_eq!(good, Some(counted.count() as u64), "{report}");

    // Once more with what is joined already.
    let twice = folder.path().join("twice");
    let ab = folder.path().join("ab");
    expect_code(&join(&[&first, &second], &ab), 0);
    expect_code(&join(&[&ab, &last], &twice), 0);
    expect_same_files(&whole, &twice);

    let never = folder.path().join("never");
    let other_pilot = many(
        folder.path(),
        "pilot",
        &[
            "--seed",
            "16",
            "--repeat",
            "1",
            "--wind",
            "assets/winds/gusty.ron",
        ],
    );
    let other_wind = many(
        folder.path(),
        "wind",
        &["--seed", "16", "--repeat", "1", "--pilot", "beginner"],
    );
    let alone = many(
        folder.path(),
        "alone",
        &[&["--seed", "16"][..], &DIFFERING].concat(),
    );
    let partial = folder.path().join("unfinished.partial");
    copy(&last, &partial);
    let changed = folder.path().join("changed");
    copy(&last, &changed);
    let path = changed.join("flights.csv");
    let text = std::fs::read_to_string(&path).unwrap_or_default();
    let better = text.replacen(",0,", ",1,", 1);
    assert_ne!(text, better);
    std::fs::write(&path, better).unwrap_or_else(|e| panic!("{e}"));
    let older = folder.path().join("older");
    copy(&last, &older);
    let manifest = older.join("run.json");
    let text = std::fs::read_to_string(&manifest).unwrap_or_default();
    let old = text.replacen("\"libm\": \"", "\"libm\": \"0.", 1);
    assert_ne!(text, old);
    std::fs::write(&manifest, old).unwrap_or_else(|e| panic!("{e}"));

    for (folders, parts) in [
        (
            vec![&first, &last],
            vec!["seed 11 is missing", "--seed 11 --repeat 1"],
        ),
        (
            vec![&first, &second, &second, &last],
            vec!["both hold seed 11"],
        ),
        (vec![&whole, &second], vec!["both hold seed 11"]),
        (
            vec![&last, &other_pilot],
            vec!["pilots", "competent", "beginner"],
        ),
        (vec![&last, &other_wind], vec!["\"wind\""]),
        (vec![&last, &alone], vec!["flights.csv", "--repeat"]),
        (vec![&first, &second, &partial], vec!["did not finish"]),
        (
            vec![&first, &second, &changed],
            vec!["flights.csv", "not what was written"],
        ),
        (vec![&first, &second, &older], vec!["libraries"]),
        (vec![&older], vec!["libraries"]),
    ] {
        let folders: Vec<&Path> = folders.into_iter().map(PathBuf::as_path).collect();
        let run = join(&folders, &never);
        expect_code(&run, 2);
        for part in parts {
            assert!(err(&run).contains(part), "{part}: {}", err(&run));
        }
    }
    expect_code(&join(&[folder.path()], &never), 2);
    // Nothing was begun, and nobody's run is written over.
    assert!(!never.exists() && !folder.path().join("never.partial").exists());
    expect_code(&join(&[&first, &second], &whole), 2);
    expect_same_files(&whole, &twice);
}

fn copy(from: &Path, to: &Path) {
    for (name, bytes) in files_below(from) {
        let path = to.join(name);
        let made = path.parent().map(std::fs::create_dir_all);
        assert!(made.is_some_and(|made| made.is_ok()));
        std::fs::write(path, bytes).unwrap_or_else(|e| panic!("{e}"));
    }
}

#[test]
fn a_flight_of_many_can_be_flown_again_from_their_folder() {
    let folder = temporary();
    let more = ["--repeat", "3", "--seed", "20"];
    let batch = many(folder.path(), "batch", &[&more[..], &DIFFERING].concat());
    let direct = many(
        folder.path(),
        "direct",
        &[&["--seed", "21"][..], &DIFFERING].concat(),
    );
    // As the page says it, in the folder of the page.
    let page = std::fs::read_to_string(batch.join("summary.html")).unwrap_or_default();
    assert!(page.contains("<code>larkfield rehearse --again . --seed 2"));
    let again = folder.path().join("again");
    let run = larkfield_in(
        &batch,
        &[
            "rehearse",
            "--again",
            ".",
            "--seed",
            "21",
            "--out",
            text_of(&again),
        ],
    );
    expect_code(&run, 0);
    expect_same_files(&direct, &again);
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

#[test]
fn preflight_ends_in_a_verdict_and_draws() {
    let folder = temporary();
    let svg = folder.path().join("plane.svg");
    let run = larkfield(&[
        "preflight",
        "shared/airframes/marram.ron",
        "--svg",
        text_of(&svg),
    ]);
    expect_code(&run, 0);
    let text = out(&run).to_lowercase();
    assert!(text.contains("no fault found by calculation"), "{text}");
    let drawing = std::fs::read_to_string(&svg).unwrap_or_default();
    assert!(
        drawing.starts_with("<svg") || drawing.starts_with("<?xml"),
        "{drawing:.80}"
    );
    let run = larkfield(&["preflight", "shared/airframes/marram-tail-heavy.ron"]);
    expect_code(&run, 0);
    assert!(
        out(&run).to_lowercase().contains("not yet"),
        "{}",
        out(&run)
    );
}

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

#[test]
fn an_output_that_cannot_be_written_leaves_nothing_that_looks_complete() {
    let folder = temporary();
    let blocker = folder.path().join("file");
    std::fs::write(&blocker, "not a folder").unwrap_or_else(|e| panic!("{e}"));
    let inside = blocker.join("run");
    let run = larkfield(&["rehearse", "--out", text_of(&inside)]);
    expect_code(&run, 1);
    assert!(err(&run).contains("file"), "{}", err(&run));

    // Somebody's folder is never written into.
    let taken = folder.path().join("taken");
    std::fs::create_dir(&taken).unwrap_or_else(|e| panic!("{e}"));
    let run = larkfield(&["rehearse", "--out", text_of(&taken)]);
    expect_code(&run, 2);
    let run = larkfield(&["rehearse", "--replace", "--out", text_of(&taken)]);
    expect_code(&run, 2);
    assert_eq!(files_below(&taken).len(), 0);

    let run = larkfield(&[
        "preflight",
        "shared/airframes/marram.ron",
        "--svg",
        text_of(&inside),
    ]);
    expect_code(&run, 1);
}

/// A device that is always full, where the system has one.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_an_error() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full");
    let Ok(full) = full else { return };
    let status = Command::new(env!("CARGO_BIN_EXE_larkfield"))
        .args(["preflight", "shared/airframes/marram.ron"])
        .current_dir(root())
        .stdout(full)
        .status();
    assert_eq!(status.ok().and_then(|status| status.code()), Some(1));
}

/// Ctrl-C while a long rehearsal runs: exit code, and a folder that says so.
#[cfg(unix)]
#[test]
fn ctrl_c_leaves_only_a_partial_folder() {
    let folder = temporary();
    let path = folder.path().join("long");
    let mut child = Command::new(env!("CARGO_BIN_EXE_larkfield"))
        .args(["rehearse", "--repeat", "100000", "--threads", "2"])
        .args(["--out", text_of(&path)])
        .current_dir(root())
        .stderr(std::process::Stdio::null())
        .spawn()
        .unwrap_or_else(|e| panic!("{e}"));
    let partial = folder.path().join("long.partial");
    for _ in 0..600 {
        if partial.join("inputs/airframe/marram.ron").is_file() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    // Let it fly a while.
    std::thread::sleep(std::time::Duration::from_millis(500));
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(sent.is_ok_and(|status| status.success()));
    let asked = std::time::Instant::now();
    let status = child.wait().unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(status.code(), Some(130));
    // Alone it takes a fraction of a second; this machine may be busy.
    assert!(asked.elapsed().as_secs() < 20, "{:?}", asked.elapsed());
    assert!(!path.exists());
    let manifest = std::fs::read(partial.join("run.json")).unwrap_or_default();
    let manifest: Value = serde_json::from_slice(&manifest).unwrap_or_default();
    assert_eq!(manifest["complete"], false, "{manifest}");
}

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
        "competent",
        "beginner",
        "hands-off",
        "playback:FILE",
        "assets/lessons/first_launch.ron",
    ] {
        assert!(rehearse.contains(word), "{word}: {rehearse}");
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
