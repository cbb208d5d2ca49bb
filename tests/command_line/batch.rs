//! Many flights: their table, their threads, runs joined.

use std::path::Path;
use std::path::PathBuf;

use larkfield_debrief::check_run_folder;
use serde_json::Value;

use crate::program::{
    err, expect_code, expect_same_files, files_below, larkfield, larkfield_in, same, temporary,
    text_of,
};

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
