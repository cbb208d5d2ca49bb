//! Outside data and comparisons with it, for tests only.
//!
//! [`Table`] reads a file of `tests/reference`. [`Checks`] collects
//! comparisons: each prints quantity, ours, reference, difference and what is
//! allowed, NaN is never within what is allowed, and [`Checks::finish`] fails
//! when anything was out. What was compared is left in [`folder`] as a table
//! for the page that `cargo xtask test` makes of them all
//! (`cargo run --package larkfield-proof --example proof_page`).

mod checks;
mod record;
mod table;

pub use checks::{Checks, Figure};
pub use record::{Chapter, Place, Record, Row, folder, target};
pub use table::Table;
