//! The database.
//!
//! It keeps a rollback journal beside the file rather than a write-ahead log:
//! flights are few, and a logbook that is one file can be copied. Every flight
//! is one transaction, written through to the disk before the program goes on.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, Row, Transaction, TransactionBehavior, params};

use crate::entry::{Entry, FlownAt};
use crate::error::{LogbookError, PATIENCE_S};
use crate::practice::Practice;
use crate::schema::{APPLICATION_ID, VERSION, application_id, upgrade, version};

/// What came of adding a flight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Added {
    /// It is in the logbook now.
    New,
    /// It had been there before, and nothing changed.
    Known,
}

/// A logbook that is open.
#[derive(Debug)]
pub struct Logbook {
    connection: Connection,
    file: PathBuf,
}

impl Logbook {
    /// Opens a logbook; makes it, and its folder, when there is none. An older
    /// one is brought up to date.
    ///
    /// # Errors
    /// A file that is no logbook or a damaged one, which is left as it is; a
    /// disk that is full or refuses.
    pub fn open(file: &Path) -> Result<Self, LogbookError> {
        if let Some(folder) = file.parent() {
            std::fs::create_dir_all(folder).map_err(|e| LogbookError::Refused {
                file: file.to_owned(),
                what: e.to_string(),
            })?;
        }
        let mut logbook = Self::connect(file)?;
        logbook.check()?;
        let begun = logbook
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate);
        begun
            .and_then(|transaction| {
                upgrade(&transaction, VERSION)?;
                transaction.commit()
            })
            .map_err(|e| LogbookError::of(file, &e))?;
        Ok(logbook)
    }

    fn connect(file: &Path) -> Result<Self, LogbookError> {
        let wrong = |e: rusqlite::Error| LogbookError::of(file, &e);
        let connection = Connection::open(file).map_err(wrong)?;
        connection
            .busy_timeout(Duration::from_secs(PATIENCE_S))
            .map_err(wrong)?;
        // A journal's removal reaches the disk too.
        connection
            .pragma_update(None, "synchronous", "EXTRA")
            .map_err(wrong)?;
        Ok(Self {
            connection,
            file: file.to_owned(),
        })
    }

    /// Lets nothing be written to a file that is not sound and ours.
    fn check(&self) -> Result<(), LogbookError> {
        let wrong = |e: rusqlite::Error| LogbookError::of(&self.file, &e);
        let found = version(&self.connection).map_err(wrong)?;
        let whose = application_id(&self.connection).map_err(wrong)?;
        let tables: i64 = self
            .connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(wrong)?;
        let empty = found == 0 && whose == 0 && tables == 0;
        if !empty && whose != APPLICATION_ID {
            return Err(LogbookError::NotALogbook(self.file.clone()));
        }
        if found > VERSION {
            return Err(LogbookError::Newer {
                file: self.file.clone(),
                version: found,
                known: VERSION,
            });
        }
        let what: String = self
            .connection
            .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
            .map_err(wrong)?;
        if what == "ok" {
            Ok(())
        } else {
            Err(LogbookError::Damaged {
                file: self.file.clone(),
                what: what.replace('\n', "; "),
            })
        }
    }

    /// Where it is.
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// Adds a flight.
    ///
    /// # Errors
    /// A disk that is full or refuses; then the logbook is as it was.
    pub fn add(&mut self, entry: &Entry) -> Result<Added, LogbookError> {
        let added = self.add_all(std::slice::from_ref(entry))?;
        Ok(if added == 1 { Added::New } else { Added::Known })
    }

    /// Adds flights, all of them or none, leaving those out that it has. Says
    /// how many were new.
    ///
    /// # Errors
    /// A disk that is full or refuses; then the logbook is as it was.
    pub fn add_all(&mut self, entries: &[Entry]) -> Result<usize, LogbookError> {
        self.insert_all(entries, insert)
    }

    /// Adds drills likewise.
    ///
    /// # Errors
    /// A disk that is full or refuses; then the logbook is as it was.
    pub fn add_practices(&mut self, practices: &[Practice]) -> Result<usize, LogbookError> {
        self.insert_all(practices, insert_practice)
    }

    fn insert_all<T>(
        &mut self,
        all: &[T],
        insert: impl Fn(&Transaction, &T) -> rusqlite::Result<usize>,
    ) -> Result<usize, LogbookError> {
        let begun = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate);
        begun
            .and_then(|transaction| {
                let mut added = 0;
                for one in all {
                    added += insert(&transaction, one)?;
                }
                transaction.commit()?;
                Ok(added)
            })
            .map_err(|e| LogbookError::of(&self.file, &e))
    }

    /// Every flight, the oldest first.
    ///
    /// # Errors
    /// A disk that refuses, a row that no program of ours wrote.
    pub fn entries(&self) -> Result<Vec<Entry>, LogbookError> {
        self.all(
            &format!("SELECT {COLUMNS}, id FROM flights"),
            read,
            |entry| &entry.flown_at,
        )
    }

    /// Every drill, the oldest first.
    ///
    /// # Errors
    /// A disk that refuses, a row that no program of ours wrote.
    pub fn practices(&self) -> Result<Vec<Practice>, LogbookError> {
        let select = "SELECT done_at, pilot, drill, seed, points, passed, id FROM drills";
        self.all(select, read_practice, |practice| &practice.done_at)
    }

    fn all<T>(
        &self,
        select: &str,
        read: impl Fn(&Row) -> Result<T, (&'static str, String)>,
        at: impl Fn(&T) -> &FlownAt,
    ) -> Result<Vec<T>, LogbookError> {
        let wrong = |e: rusqlite::Error| LogbookError::of(&self.file, &e);
        let mut rows = self.connection.prepare(select).map_err(wrong)?;
        let mut found = Vec::new();
        let mut rows = rows.query([]).map_err(wrong)?;
        while let Some(row) = rows.next().map_err(wrong)? {
            let id: i64 = row.get("id").map_err(wrong)?;
            let one = read(row).map_err(|(column, what)| LogbookError::Row {
                file: self.file.clone(),
                id,
                column,
                what,
            })?;
            found.push((id, one));
        }
        // Times with different offsets do not sort as texts; days do, and what
        // was done on a day was logged in its order.
        found.sort_by(|(a_id, a), (b_id, b)| (at(a).day(), a_id).cmp(&(at(b).day(), b_id)));
        Ok(found.into_iter().map(|(_, one)| one).collect())
    }
}

const COLUMNS: &str = "flown_at, pilot, plane, airframe_sha256, lesson, lesson_sha256, wind, \
     wind_sha256, wind_m_s, gust_m_s, seed, device, thrown, points, passed, goal_reached, danger, \
     score_lines, damage, causes, run_folder, recording_sha256";

fn insert(transaction: &Transaction, entry: &Entry) -> rusqlite::Result<usize> {
    let mut statement = transaction.prepare_cached(&format!(
        "INSERT INTO flights ({COLUMNS}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, \
         ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22) \
         ON CONFLICT (pilot, lesson_sha256, recording_sha256) DO NOTHING"
    ))?;
    statement.execute(params![
        entry.flown_at.as_str(),
        entry.pilot,
        entry.plane,
        entry.airframe_sha256,
        entry.lesson,
        entry.lesson_sha256,
        entry.wind,
        entry.wind_sha256,
        entry.wind_m_s,
        entry.gust_m_s,
        // All 64 bits of a seed fit no integer of the database.
        entry.seed.to_string(),
        entry.device,
        entry.thrown,
        entry.points,
        entry.passed,
        entry.goal_reached,
        entry.danger,
        json(&entry.score_lines)?,
        json(&entry.damage)?,
        json(&entry.causes)?,
        entry.run_folder,
        entry.recording_sha256,
    ])
}

fn insert_practice(transaction: &Transaction, practice: &Practice) -> rusqlite::Result<usize> {
    let mut statement = transaction.prepare_cached(
        "INSERT INTO drills (done_at, pilot, drill, seed, points, passed) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6) ON CONFLICT (pilot, drill, seed, done_at) DO NOTHING",
    )?;
    statement.execute(params![
        practice.done_at.as_str(),
        practice.pilot,
        practice.drill,
        practice.seed.to_string(),
        practice.points,
        practice.passed,
    ])
}

fn json(value: &impl serde::Serialize) -> rusqlite::Result<String> {
    serde_json::to_string(value).map_err(|e| rusqlite::Error::ToSqlConversionFailure(e.into()))
}

/// A cell, or its column and what is wrong with it.
fn get<T: rusqlite::types::FromSql>(
    row: &Row,
    column: &'static str,
) -> Result<T, (&'static str, String)> {
    row.get(column).map_err(|e| (column, e.to_string()))
}

/// A list inside a cell.
fn list<T: serde::de::DeserializeOwned>(
    row: &Row,
    column: &'static str,
) -> Result<Vec<T>, (&'static str, String)> {
    let text: String = get(row, column)?;
    serde_json::from_str(&text).map_err(|e| (column, e.to_string()))
}

/// All 64 bits of a seed fit no integer of the database.
fn seed_of(row: &Row) -> Result<u64, (&'static str, String)> {
    let seed: String = get(row, "seed")?;
    let no_seed = |_| ("seed", format!("{seed:?} is no seed"));
    seed.parse().map_err(no_seed)
}

/// A time.
fn time_of(row: &Row, column: &'static str) -> Result<FlownAt, (&'static str, String)> {
    let time: String = get(row, column)?;
    FlownAt::parse(&time).map_err(|what| (column, what))
}

/// A row as a drill, or the column that is wrong.
fn read_practice(row: &Row) -> Result<Practice, (&'static str, String)> {
    Ok(Practice {
        done_at: time_of(row, "done_at")?,
        pilot: get(row, "pilot")?,
        drill: get(row, "drill")?,
        seed: seed_of(row)?,
        points: get(row, "points")?,
        passed: get(row, "passed")?,
    })
}

/// A row as a flight, or the column that is wrong.
fn read(row: &Row) -> Result<Entry, (&'static str, String)> {
    Ok(Entry {
        flown_at: time_of(row, "flown_at")?,
        pilot: get(row, "pilot")?,
        plane: get(row, "plane")?,
        airframe_sha256: get(row, "airframe_sha256")?,
        lesson: get(row, "lesson")?,
        lesson_sha256: get(row, "lesson_sha256")?,
        wind: get(row, "wind")?,
        wind_sha256: get(row, "wind_sha256")?,
        wind_m_s: get(row, "wind_m_s")?,
        gust_m_s: get(row, "gust_m_s")?,
        seed: seed_of(row)?,
        device: get(row, "device")?,
        thrown: get(row, "thrown")?,
        points: get(row, "points")?,
        passed: get(row, "passed")?,
        goal_reached: get(row, "goal_reached")?,
        danger: get(row, "danger")?,
        score_lines: list(row, "score_lines")?,
        damage: list(row, "damage")?,
        causes: list(row, "causes")?,
        run_folder: get(row, "run_folder")?,
        recording_sha256: get(row, "recording_sha256")?,
    })
}

#[cfg(test)]
pub(crate) mod sample;
#[cfg(test)]
mod tests;
