//! A person's flights are kept, counted once, and shown; nobody else's are.

use std::path::Path;
use std::process::Output;

use serde_json::Value;

use crate::program::{changed, err, expect_code, larkfield, out, temporary, text_of};

/// Flies a playback into a logbook.
fn fly(tape: &str, logbook: &Path, folder: &Path, more: &[&str]) -> Output {
    let mut all = vec!["rehearse", "--pilot", tape, "--logbook", text_of(logbook)];
    all.extend(["--out", text_of(folder)]);
    all.extend(more);
    larkfield(&all)
}

fn shown(logbook: &Path) -> Value {
    let run = larkfield(&["logbook", "--logbook", text_of(logbook), "--json"]);
    expect_code(&run, 0);
    serde_json::from_str(&out(&run)).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn a_flight_with_a_name_is_kept_once_and_travels_as_a_table() {
    let folder = temporary();
    let at = |name: &str| folder.path().join(name);
    let script = at("script");
    expect_code(
        &larkfield(&[
            "rehearse",
            "--pilot",
            "hands-off",
            "--out",
            text_of(&script),
        ]),
        0,
    );
    let tape = format!("playback:{}", script.join("controls.csv").display());
    let book = at("book.db");
    let time = ["--name", "Anna", "--flown-at", "2026-05-03T18:20:00+02:00"];
    let run = fly(&tape, &book, &at("one"), &time);
    expect_code(&run, 0);
    assert!(
        err(&run).contains("In the logbook of Anna"),
        "{}",
        err(&run)
    );
    // The very same flight counts once; without a name it does not count.
    let run = fly(&tape, &book, &at("two"), &["--name", "Anna"]);
    expect_code(&run, 0);
    assert!(err(&run).contains("counts once"), "{}", err(&run));
    let run = fly(&tape, &book, &at("three"), &[]);
    expect_code(&run, 0);
    assert!(!err(&run).contains("ogbook"), "{}", err(&run));

    let report = shown(&book);
    let pilot = &report["pilots"][0];
    assert_eq!(pilot["pilot"], "Anna");
    assert_eq!(pilot["flights"], 1);
    assert_eq!(pilot["lessons"][0]["points"][0][0], "2026-05-03");
    assert_eq!(pilot["first_real_launch"][0]["ready"]["attempts"], 1);
    assert_eq!(
        pilot["first_real_launch"][0]["ready"]["verdict"],
        "practise_on"
    );

    let run = larkfield(&["logbook", "--logbook", text_of(&book)]);
    expect_code(&run, 0);
    for word in [
        "Anna: 1 flight",
        "practise on",
        "cannot check",
        "Beta(1, 1)",
    ] {
        assert!(out(&run).contains(word), "{word}: {}", out(&run));
    }
    let page = at("page.html");
    let run = larkfield(&[
        "logbook",
        "--logbook",
        text_of(&book),
        "--page",
        text_of(&page),
    ]);
    expect_code(&run, 0);
    let text = std::fs::read_to_string(&page).unwrap_or_default();
    assert!(
        text.contains("<svg") && text.contains("Anna"),
        "{text:.300}"
    );

    // Out, into another logbook, and out again: the same bytes.
    let (table, copy, back) = (at("table.csv"), at("copy.db"), at("back.csv"));
    for (book, option, file) in [
        (&book, "--export", &table),
        (&copy, "--import", &table),
        (&copy, "--import", &table),
        (&copy, "--export", &back),
    ] {
        let run = larkfield(&["logbook", "--logbook", text_of(book), option, text_of(file)]);
        expect_code(&run, 0);
    }
    assert!(std::fs::read(&table).ok() == std::fs::read(&back).ok());
    assert_eq!(shown(&copy)["pilots"], report["pilots"]);
    let run = larkfield(&[
        "logbook",
        "--logbook",
        text_of(&book),
        "--export",
        text_of(&back),
    ]);
    expect_code(&run, 2);
    // A mistake is named and nothing comes in.
    let broken = at("broken.csv");
    let text = std::fs::read_to_string(&table).unwrap_or_default();
    let text = text.replace("2026-05-03T18:20:00+02:00", "yesterday");
    std::fs::write(&broken, text).unwrap_or_else(|e| panic!("{e}"));
    let new = at("new.db");
    let run = larkfield(&[
        "logbook",
        "--logbook",
        text_of(&new),
        "--import",
        text_of(&broken),
    ]);
    expect_code(&run, 2);
    assert!(
        err(&run).contains("line 2, column flown_at"),
        "{}",
        err(&run)
    );
    assert!(!new.exists());

    // A file that is no logbook is found out before anybody flies.
    let run = fly(&tape, &table, &at("four"), &["--name", "Anna"]);
    expect_code(&run, 2);
    assert!(err(&run).contains("not a logbook"), "{}", err(&run));
    assert!(!at("four").exists() && !at("four.partial").exists());
    assert!(std::fs::read(&table).ok() == std::fs::read(&back).ok());

    let run = larkfield(&["lessons", "--logbook", text_of(&book)]);
    expect_code(&run, 0);
    for word in [
        "0 of 1 safe",
        "not flown yet",
        "assets/lessons/first_launch.ron",
    ] {
        assert!(out(&run).contains(word), "{word}: {}", out(&run));
    }
}

#[test]
fn what_does_not_belong_into_a_logbook_is_refused_before_the_flight() {
    let folder = temporary();
    let (book, run_folder) = (folder.path().join("book.db"), folder.path().join("run"));
    let run = fly("competent", &book, &run_folder, &["--name", "Anna"]);
    expect_code(&run, 2);
    assert!(err(&run).contains("flies by script"), "{}", err(&run));
    assert!(!book.exists());
    // A file that is no logbook stays as it is.
    std::fs::write(&book, "my notes").unwrap_or_else(|e| panic!("{e}"));
    for arguments in [
        vec!["logbook", "--logbook", text_of(&book)],
        vec!["lessons", "--logbook", text_of(&book)],
    ] {
        let run = larkfield(&arguments);
        expect_code(&run, 2);
        assert!(err(&run).contains("not a logbook"), "{}", err(&run));
    }
    assert_eq!(std::fs::read(&book).ok().as_deref(), Some(&b"my notes"[..]));
    assert!(!run_folder.exists());
}

#[test]
fn drills_are_kept_with_a_name_and_shown_in_the_course() {
    let folder = temporary();
    let at = |name: &str| folder.path().join(name);
    let (answers, book) = (at("answers.txt"), at("book.db"));
    std::fs::write(&answers, "all\nno wind\nall\ngo\n").unwrap_or_else(|e| panic!("{e}"));
    let drill = |more: &[&str]| {
        let mut all = vec!["drill", "go-or-no-go", "--hidden", "wind,none"];
        all.extend(["--answers", text_of(&answers), "--logbook", text_of(&book)]);
        all.extend(more);
        larkfield(&all)
    };
    // A file of answers is nobody's unless it is said whose.
    let run = drill(&[]);
    expect_code(&run, 0);
    assert!(!err(&run).contains("ogbook") && !book.exists());
    let run = drill(&["--name", "Anna"]);
    expect_code(&run, 0);
    assert!(
        err(&run).contains("In the logbook of Anna"),
        "{}",
        err(&run)
    );
    let report = shown(&book);
    let pilot = &report["pilots"][0];
    assert_eq!(
        (&pilot["pilot"], &pilot["flights"]),
        (&"Anna".into(), &0.into())
    );
    assert_eq!(pilot["drills"][0]["drill"], "go-or-no-go");
    assert_eq!(pilot["drills"][0]["passed"], 1);
    assert_eq!(pilot["drills"][0]["points"][0][1], 100.0);
    for (command, says) in [
        ("logbook", "go-or-no-go: 1 time, 1 good enough"),
        ("lessons", "1 time, 1 good enough"),
        ("lessons", "not practised yet"),
    ] {
        let run = larkfield(&[command, "--logbook", text_of(&book)]);
        expect_code(&run, 0);
        assert!(out(&run).contains(says), "{says}: {}", out(&run));
    }
    // One that was left early does not count.
    std::fs::write(&answers, "all\nno wind\n").unwrap_or_else(|e| panic!("{e}"));
    let run = drill(&["--name", "Anna"]);
    expect_code(&run, 0);
    assert!(err(&run).contains("not in the logbook"), "{}", err(&run));
    assert_eq!(shown(&book)["pilots"], report["pilots"]);

    let (table, copy) = (at("drills.csv"), at("copy.db"));
    for (book, option) in [
        (&book, "--export"),
        (&copy, "--import"),
        (&copy, "--import"),
    ] {
        let book = text_of(book);
        let run = larkfield(&[
            "logbook",
            "--logbook",
            book,
            "--drills",
            option,
            text_of(&table),
        ]);
        expect_code(&run, 0);
    }
    assert_eq!(shown(&copy)["pilots"], report["pilots"]);
    // A table of drills is none of flights.
    let run = larkfield(&[
        "logbook",
        "--logbook",
        text_of(&copy),
        "--import",
        text_of(&table),
    ]);
    expect_code(&run, 2);
    assert!(
        err(&run).contains("line 1, column done_at"),
        "{}",
        err(&run)
    );
}

#[test]
fn a_lesson_of_ones_own_is_checked() {
    let run = larkfield(&["lessons", "check", "assets/lessons/figure_eight.ron"]);
    expect_code(&run, 0);
    assert!(out(&run).contains("no mistake found"), "{}", out(&run));
    let folder = temporary();
    let (path, line) = changed(
        folder.path(),
        "assets/lessons/first_launch.ron",
        "name:",
        "nome:",
    );
    let run = larkfield(&["lessons", "check", text_of(&path)]);
    expect_code(&run, 2);
    let place = format!("changed.ron:{line}");
    assert!(err(&run).contains(&place), "{place}: {}", err(&run));
}
