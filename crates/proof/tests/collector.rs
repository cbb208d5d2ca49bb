//! The collector itself: what is out fails, and what is left can be read again.
#![allow(missing_docs)]

use std::panic::catch_unwind;

use larkfield_proof::{Chapter, Checks, Figure, Place, Record, Row, Table};

fn one(title: &'static str, ours: f64, reference: f64, allowed: f64) -> bool {
    catch_unwind(|| {
        let mut checks = Checks::new(Chapter::Practice, title, "made up");
        let _ = checks.near("it", ours, reference, allowed);
        let (count, missed) = checks.misses();
        assert!(count == 1 && missed == 0);
    })
    .is_ok()
}

#[test]
fn what_is_out_or_not_a_number_fails() {
    assert!(one("inside", 1.04, 1.0, 0.05));
    assert!(!one("outside", 1.06, 1.0, 0.05));
    assert!(!one("no number", f64::NAN, 1.0, 0.05));
    assert!(!one("no reference", 1.0, f64::NAN, 0.05));
    assert!(!one("no limit", 1.0, 1.0, f64::NAN));
    assert!(!one("infinite", f64::INFINITY, f64::INFINITY, 1.0));
}

#[test]
fn a_known_miss_passes_only_while_it_is_one() {
    let known = |title: &str, ours: f64| {
        let mut checks = Checks::new(Chapter::Practice, title, "made up");
        checks.known_miss("it", ours, 1.0, 0.1, "made up");
        checks.finish();
    };
    assert!(catch_unwind(|| known("known", 2.0)).is_ok());
    assert!(catch_unwind(|| known("known no more", 1.05)).is_err());
    assert!(catch_unwind(|| known("known but no number", f64::NAN)).is_err());
    for title in ["known", "known-no-more", "known-but-no-number"] {
        let left = larkfield_proof::folder().join(format!("collector-{title}.csv"));
        let _ = std::fs::remove_file(left);
    }
}

#[test]
fn nothing_compared_nothing_finished_and_one_title_twice_fail() {
    let made = || Checks::new(Chapter::Practice, "nothing", "made up");
    assert!(catch_unwind(|| made().finish()).is_err());
    assert!(catch_unwind(|| made().finish()).is_err());
    assert!(catch_unwind(|| drop(Checks::new(Chapter::Practice, "open", "made up"))).is_err());
    assert!(catch_unwind(|| Checks::new(Chapter::Practice, "bare", " ")).is_err());
    let left = larkfield_proof::folder().join("collector-nothing.csv");
    let _ = std::fs::remove_file(left);
}

#[test]
fn a_record_comes_back_as_it_was() {
    let figure = Figure {
        figure: "a, \"b\"",
        line: "c # d",
        x: "e, deg",
        y: "f",
    };
    let row = |ours: f64, place: Option<Place>| Row {
        quantity: "lift, \"quoted\"".to_owned(),
        ours,
        reference: 0.1 + 0.2,
        allowed: 1e-300,
        source: "a book, page 1 # 2".to_owned(),
        place,
        known_miss: "a, b".to_owned(),
    };
    let place = Place {
        figure: figure.figure.to_owned(),
        line: figure.line.to_owned(),
        x_name: figure.x.to_owned(),
        y_name: figure.y.to_owned(),
        x: -12.5,
    };
    let record = Record {
        chapter: Chapter::GroundEffect,
        title: "One: two".to_owned(),
        reference_files: vec!["file.csv".to_owned()],
        notes: vec!["first, note".to_owned(), "second".to_owned()],
        rows: vec![row(0.3, None), row(f64::INFINITY, Some(place))],
    };
    let text = record.to_text();
    assert_eq!(Record::parse("made up", &text), record);
    assert_eq!(record.misses(), 1 + usize::from(0.3 != 0.1 + 0.2));
}

#[test]
fn a_table_keeps_sources_and_columns_apart() {
    let table = Table::parse("t", "# from here\n# and there\na,b\none,1.5\n\ntwo,-2\n");
    assert_eq!(table.sources(), ["from here", "and there"]);
    assert_eq!(table.number(table.row("two"), "b"), -2.0);
    assert_eq!(table.text(&table.rows[0], "a"), "one");
    assert!(catch_unwind(|| Table::parse("t", "a,b\n1\n")).is_err());
    assert!(catch_unwind(|| Table::read("no such file")).is_err());
}
