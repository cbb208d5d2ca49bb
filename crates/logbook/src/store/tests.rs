use std::fs;

use super::sample::entry;
use super::*;

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap_or_else(|e| panic!("{e}"))
}

fn open(file: &Path) -> Logbook {
    Logbook::open(file).unwrap_or_else(|e| panic!("{e}"))
}

fn seeds(logbook: &Logbook) -> Vec<u64> {
    let entries = logbook.entries().unwrap_or_else(|e| panic!("{e}"));
    entries.iter().map(|entry| entry.seed).collect()
}

/// A logbook with flights, and its bytes.
fn filled(file: &Path, flights: u64) -> Vec<u8> {
    let entries: Vec<Entry> = (1..=flights).map(entry).collect();
    open(file)
        .add_all(&entries)
        .unwrap_or_else(|e| panic!("{e}"));
    fs::read(file).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn flights_come_back_as_they_went_in() {
    let folder = folder();
    let file = folder.path().join("new/folder/logbook.db");
    let big = Entry {
        seed: u64::MAX,
        causes: vec!["a".to_owned()],
        ..entry(3)
    };
    let mut logbook = open(&file);
    for (flight, added) in [
        (&big, Added::New),
        (&entry(2), Added::New),
        (&big, Added::Known),
    ] {
        assert_eq!(logbook.add(flight).ok(), Some(added));
    }
    drop(logbook);
    assert_eq!(open(&file).entries().ok(), Some(vec![entry(2), big]));
    // One file and nothing beside it, so that it can be copied.
    let there = fs::read_dir(file.parent().unwrap_or(&file)).map(Iterator::count);
    assert_eq!(there.ok(), Some(1));
}

#[test]
fn drills_come_back_as_they_went_in_and_count_once() {
    let folder = folder();
    let file = folder.path().join("logbook.db");
    let practice = |seed: u64, at: &str, points: f64| Practice {
        done_at: FlownAt::parse(at).unwrap_or_else(|e| panic!("{e}")),
        pilot: "Anna".to_owned(),
        drill: "orientation".to_owned(),
        seed,
        points,
        passed: points >= 80.0,
    };
    let later = practice(u64::MAX, "2026-05-03T18:20:00+02:00", 87.5);
    let sooner = practice(1, "2026-05-02T18:20:00Z", 25.0);
    let mut logbook = open(&file);
    let both = [later.clone(), sooner.clone()];
    assert_eq!(logbook.add_practices(&both).ok(), Some(2));
    assert_eq!(logbook.add_practices(&both).ok(), Some(0));
    drop(logbook);
    let mut logbook = open(&file);
    let found = logbook.practices().unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(found, [sooner, later]);
    let table = crate::write_practices(&found);
    assert_eq!(crate::read_practices(&table), Ok(found.clone()));
    let wrong = crate::read_practices(&table.replace("87.5", "870.5"));
    let said = wrong.expect_err("too many points").to_string();
    assert!(said.contains("line 3") && said.contains("points"), "{said}");
    // Flights are another table.
    assert_eq!(logbook.entries().ok(), Some(Vec::new()));
    assert_eq!(logbook.add(&entry(1)).ok(), Some(Added::New));
    let progress = crate::practised(&found);
    assert_eq!(progress.len(), 1);
    assert_eq!((progress[0].passed, progress[0].lately), (1, 56.25));
}

/// The first version, as its program left it.
#[test]
fn an_older_logbook_is_brought_up_to_date() {
    let folder = folder();
    let file = folder.path().join("logbook.db");
    let mut old = Connection::open(&file).unwrap_or_else(|e| panic!("{e}"));
    let transaction = old.transaction().unwrap_or_else(|e| panic!("{e}"));
    upgrade(&transaction, 1).unwrap_or_else(|e| panic!("{e}"));
    transaction
        .execute(
            "INSERT INTO flights VALUES (1, '2026-05-01T18:20:00+02:00', 'Anna', 'Marram', 'a', \
             'First launch', 'l', 'light', 'w', 2.5, 1.25, '7', 'sticks', 1, 72.5, 1, 1, '', '[]', \
             '[\"wing\"]', 'runs/one', 'r')",
            [],
        )
        .unwrap_or_else(|e| panic!("{e}"));
    transaction.commit().unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(version(&old).ok(), Some(1));
    drop(old);
    let mut logbook = open(&file);
    assert_eq!(version(&logbook.connection).ok(), Some(VERSION));
    let found = logbook.entries().unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].seed, &found[0].causes), (7, &Vec::new()));
    assert_eq!(found[0].damage, ["wing"]);
    assert_eq!(logbook.add(&entry(2)).ok(), Some(Added::New));
}

#[test]
fn a_newer_logbook_is_left_to_the_newer_program() {
    let folder = folder();
    let file = folder.path().join("logbook.db");
    let logbook = open(&file);
    let newer = logbook
        .connection
        .pragma_update(None, "user_version", VERSION + 1);
    newer.unwrap_or_else(|e| panic!("{e}"));
    drop(logbook);
    let before = fs::read(&file).ok();
    assert!(matches!(
        Logbook::open(&file),
        Err(LogbookError::Newer { .. })
    ));
    assert_eq!(fs::read(&file).ok(), before);
}

/// Other files, texts and other programs' databases among them, stay as they
/// are.
#[test]
fn other_files_are_never_written_to() {
    let folder = folder();
    let file = folder.path().join("file");
    let other = Connection::open(&file).unwrap_or_else(|e| panic!("{e}"));
    other
        .execute_batch("CREATE TABLE notes (text TEXT)")
        .unwrap_or_else(|e| panic!("{e}"));
    drop(other);
    let database = fs::read(&file).unwrap_or_else(|e| panic!("{e}"));
    for bytes in [
        b"flown_at,pilot\n".to_vec(),
        vec![0xff; 10_000],
        vec![0; 4096],
        database,
    ] {
        fs::write(&file, &bytes).unwrap_or_else(|e| panic!("{e}"));
        let refused = Logbook::open(&file);
        assert!(refused.is_err(), "{:?}", &bytes[..8]);
        assert!(fs::read(&file).unwrap_or_default() == bytes);
    }
    assert!(Logbook::open(folder.path()).is_err());
}

/// Cut off anywhere, a logbook opens with flights that were there or is refused
/// and stays as it is.
#[test]
fn a_logbook_that_is_cut_off_gives_a_message_and_stays() {
    let folder = folder();
    let file = folder.path().join("logbook.db");
    let whole = filled(&file, 40);
    let cut_file = folder.path().join("cut.db");
    let mut refused = 0;
    for cut in (1..whole.len()).step_by(511) {
        fs::write(&cut_file, &whole[..cut]).unwrap_or_else(|e| panic!("{e}"));
        match Logbook::open(&cut_file).and_then(|logbook| logbook.entries()) {
            Ok(entries) => assert!(entries.iter().all(|e| *e == entry(e.seed)), "{cut}"),
            Err(error) => {
                refused += 1;
                assert!(error.to_string().contains("cut.db"), "{error}");
                assert!(
                    fs::read(&cut_file).unwrap_or_default() == whole[..cut],
                    "{cut}"
                );
            }
        }
    }
    // The last page is the only one that may be short without a loss.
    assert!(refused > whole.len() / 511 / 2, "{refused}");
}

/// Wrong bytes inside never panic.
#[test]
fn a_logbook_with_wrong_bytes_gives_a_message_or_rows_that_can_be_read() {
    let folder = folder();
    let file = folder.path().join("logbook.db");
    let whole = filled(&file, 20);
    let wrong_file = folder.path().join("wrong.db");
    for at in (0..whole.len()).step_by(257) {
        let mut bytes = whole.clone();
        for byte in bytes.iter_mut().skip(at).take(16) {
            *byte ^= 0xa5;
        }
        fs::write(&wrong_file, &bytes).unwrap_or_else(|e| panic!("{e}"));
        if let Err(error) = Logbook::open(&wrong_file).and_then(|logbook| logbook.entries()) {
            assert!(error.to_string().contains("wrong.db"), "{error}");
        }
    }
}

/// SQLite's own limit of pages stands for the end of a disk: it fails with the
/// same code.
#[test]
fn a_full_disk_loses_nothing() {
    let folder = folder();
    let file = folder.path().join("logbook.db");
    filled(&file, 5);
    let mut logbook = open(&file);
    let pages: i64 = logbook
        .connection
        .query_row("PRAGMA page_count", [], |row| row.get(0))
        .unwrap_or_else(|e| panic!("{e}"));
    let limit = logbook
        .connection
        .pragma_update(None, "max_page_count", pages);
    limit.unwrap_or_else(|e| panic!("{e}"));
    let many: Vec<Entry> = (100..300).map(entry).collect();
    let error = logbook
        .add_all(&many)
        .err()
        .map(|e| e.to_string())
        .unwrap_or_default();
    assert!(error.contains("disk is full"), "{error}");
    assert_eq!(seeds(&logbook), [1, 2, 3, 4, 5]);
    drop(logbook);
    let mut logbook = open(&file);
    assert_eq!(seeds(&logbook), [1, 2, 3, 4, 5]);
    assert_eq!(logbook.add_all(&many).ok(), Some(200));
}

#[test]
fn a_program_that_writes_for_ever_is_named() {
    let folder = folder();
    let file = folder.path().join("logbook.db");
    let mut first = open(&file);
    let mut second = open(&file);
    let held = first
        .connection
        .transaction_with_behavior(TransactionBehavior::Immediate);
    let _held = held.unwrap_or_else(|e| panic!("{e}"));
    // Nobody waits ten seconds for a test.
    let impatient = second.connection.busy_timeout(Duration::from_millis(20));
    impatient.unwrap_or_else(|e| panic!("{e}"));
    assert!(matches!(
        second.add(&entry(1)),
        Err(LogbookError::Busy { .. })
    ));
}
