use super::*;
use crate::entry::ScoreLine;
use crate::store::sample::entry;

fn awkward() -> Entry {
    Entry {
        pilot: "Anna, \"the\nsecond\"".to_owned(),
        wind: "gusty; 5 m/s from 270°".to_owned(),
        wind_m_s: 0.1 + 0.2,
        seed: u64::MAX,
        danger: "a person, struck".to_owned(),
        damage: vec!["left, wing".to_owned()],
        causes: vec!["tail-heavy".to_owned(), "down \"thrust\"".to_owned()],
        score_lines: vec![ScoreLine {
            phase: "climb".to_owned(),
            name: "bank".to_owned(),
            value: None,
            unit: "deg".to_owned(),
            limit: "at most 15 deg".to_owned(),
            points: 1.0 / 3.0,
            of: 20.0,
        }],
        ..entry(7)
    }
}

#[test]
fn a_table_comes_back_as_it_was() {
    let entries = vec![entry(1), awkward(), entry(2)];
    let text = write_table(&entries);
    assert_eq!(read_table(&text), Ok(entries));
    assert_eq!(read_table(&write_table(&[])), Ok(Vec::new()));
}

/// A spreadsheet may write its columns in another order, and end lines with
/// carriage returns.
#[test]
fn other_orders_and_line_ends_are_read() {
    let text = write_table(&[entry(1)]);
    let turned: String = text
        .lines()
        .map(|line| line.replacen(',', "\u{1}", 1))
        .map(|line| {
            let (first, rest) = line.split_once('\u{1}').unwrap_or((&line, ""));
            format!("{rest},{first}\r\n")
        })
        .collect();
    assert_eq!(read_table(&turned), Ok(vec![entry(1)]));
}

#[test]
fn mistakes_are_named_with_line_and_column() {
    let text = write_table(&[entry(1), entry(2)]);
    for (from, to, line, column) in [
        ("flown_at,pilot", "flown_at,captain", 1, "captain"),
        ("flown_at,pilot", "pilot,pilot", 1, "pilot"),
        (",recording_sha256", "", 1, "recording_sha256"),
        ("2026-05-02T", "2026-05-32T", 3, "flown_at"),
        ("Anna", " ", 2, "pilot"),
        (",yes,", ",maybe,", 2, "thrown"),
        (",72.5,", ",172.5,", 2, "points"),
        (",72.5,", ",NaN,", 2, "points"),
        (",72.5,", ",seventy,", 2, "points"),
        (",1,stick", ",-1,stick", 2, "seed"),
        ("[],[],", "[],none,", 2, "causes"),
        ("[],[],", "[],", 2, "recording_sha256"),
    ] {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}");
        let error = read_table(&changed).err();
        let found = error.as_ref().map(|e| (e.line, e.column.as_str()));
        assert_eq!(found, Some((line, column)), "{from} to {to}: {error:?}");
    }
}

/// Cut off anywhere, a table gives the flights before the cut or a mistake,
/// never a flight that was not there.
#[test]
fn a_table_that_is_cut_off_gives_no_wrong_flight() {
    let entries = vec![entry(1), awkward()];
    let text = write_table(&entries);
    for cut in (0..text.len()).filter(|cut| text.is_char_boundary(*cut)) {
        if let Ok(found) = read_table(&text[..cut]) {
            assert!(found.len() <= 2 && found == entries[..found.len()], "{cut}");
        }
    }
}
