//! What a person has flown and practised, kept: every scored flight and drill in an
//! embedded database,
//! what it says about progress, and whether rehearsal finds the pilot ready.
//!
//! - [`Logbook`]: the database. It survives a program that is killed while it
//!   writes, two programs at once and a full disk, and never writes to a file
//!   that is not a sound logbook.
//! - [`write_table`], [`read_table`]: the same flights as a table of text.
//! - [`progress`]: what the flights of each lesson show, [`practised`]: how drills go.
//! - [`ready`]: how often attempts were safe, and how sure that is.
//! - [`in_words`], [`page`]: both for a reader.
//!
//! Nothing here asks a clock: the time of a flight comes with the flight.

mod beta;
mod entry;
mod error;
mod page;
mod practice;
mod progress;
mod ready;
mod schema;
mod store;
mod table;
mod words;

pub use beta::{Interval, posterior};
pub use entry::{Entry, FlownAt, ScoreLine, sha256_hex};
pub use error::LogbookError;
pub use page::page;
pub use practice::{DrillProgress, Practice, practised};
pub use progress::{LessonProgress, progress};
pub use ready::{
    CANNOT_CHECK, ENOUGH, FEWEST_DAYS, Launch, METHOD, Readiness, SEEN_WIND, Verdict, launches,
    ready,
};
pub use store::{Added, Logbook};
pub use table::{TableError, read_practices, read_table, write_practices, write_table};
pub use words::{in_words, practised_in_words, rate_in_words};
