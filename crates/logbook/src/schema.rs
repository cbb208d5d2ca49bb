//! The tables, and how older ones become newer ones.

use rusqlite::{Connection, Transaction};

/// Says that a database is a logbook of ours: "Lark" in ASCII.
pub(crate) const APPLICATION_ID: i64 = 0x4c61_726b;

/// What makes each version from the one before. The first makes it from
/// nothing. Never change one that was released: add another.
const STEPS: [&str; 3] = [
    "CREATE TABLE flights (
        id INTEGER PRIMARY KEY,
        flown_at TEXT NOT NULL,
        pilot TEXT NOT NULL,
        plane TEXT NOT NULL,
        airframe_sha256 TEXT NOT NULL,
        lesson TEXT NOT NULL,
        lesson_sha256 TEXT NOT NULL,
        wind TEXT NOT NULL,
        wind_sha256 TEXT NOT NULL,
        wind_m_s REAL NOT NULL,
        gust_m_s REAL NOT NULL,
        seed TEXT NOT NULL,
        device TEXT NOT NULL,
        thrown INTEGER NOT NULL CHECK (thrown IN (0, 1)),
        points REAL NOT NULL,
        passed INTEGER NOT NULL CHECK (passed IN (0, 1)),
        goal_reached INTEGER NOT NULL CHECK (goal_reached IN (0, 1)),
        danger TEXT NOT NULL,
        score_lines TEXT NOT NULL,
        damage TEXT NOT NULL,
        run_folder TEXT NOT NULL,
        recording_sha256 TEXT NOT NULL,
        UNIQUE (pilot, lesson_sha256, recording_sha256)
    );
    CREATE INDEX flights_by_pilot ON flights (pilot, lesson, flown_at);",
    "ALTER TABLE flights ADD COLUMN causes TEXT NOT NULL DEFAULT '[]';",
    "CREATE TABLE drills (
        id INTEGER PRIMARY KEY,
        done_at TEXT NOT NULL,
        pilot TEXT NOT NULL,
        drill TEXT NOT NULL,
        seed TEXT NOT NULL,
        points REAL NOT NULL,
        passed INTEGER NOT NULL CHECK (passed IN (0, 1)),
        UNIQUE (pilot, drill, seed, done_at)
    );",
];

/// The version that this program writes.
pub(crate) const VERSION: i64 = STEPS.len() as i64;

/// The version of a database; 0 for an empty one.
pub(crate) fn version(connection: &Connection) -> rusqlite::Result<i64> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Whose database it is; 0 for an empty one.
pub(crate) fn application_id(connection: &Connection) -> rusqlite::Result<i64> {
    connection.query_row("PRAGMA application_id", [], |row| row.get(0))
}

/// Takes a database from its version to another, all of it or nothing.
pub(crate) fn upgrade(transaction: &Transaction, to: i64) -> rusqlite::Result<()> {
    let from = version(transaction)?;
    for (number, step) in (1..).zip(STEPS) {
        if number > from && number <= to {
            transaction.execute_batch(step)?;
        }
    }
    if from < to {
        transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
        transaction.pragma_update(None, "user_version", to)?;
    }
    Ok(())
}
