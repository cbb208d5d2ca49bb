//! RON files in, checked models out.
//!
//! Every kind of file has a module with its serde types (what a person writes)
//! and a conversion to the model types of its crate (what everybody else
//! uses). The conversion happens once, checks everything, and either gives a
//! model or the list of *all* mistakes it could find.
//!
//! # How a kind of file is read
//! 1. [`read_ron`] refuses what is not text, scans it with a [`Locator`],
//!    checks the schema version and lets serde build the file type. A mistake
//!    of form (unknown field, missing comma, wrong type) ends here.
//! 2. The file type holds quantities as [`Given`], so that a wrong unit is not
//!    the end of reading: it is reported with everything else.
//! 3. The conversion walks the file type with a [`Checker`] and a
//!    [`FieldPath`]. [`Checker::quantity`] checks a range and returns a usable
//!    number even after a mistake, [`Checker::refuse`] records a mistake that
//!    involves several fields, [`Checker::assume`] records a default.
//! 4. [`Checker::finish`] gives the model or [`FileErrors`].
//!
//! A [`FileError`] always has file, line, column, field, problem and remedy.

pub mod airframe;
mod check;
mod fault;
pub mod field;
mod given;
pub mod lesson;
mod locate;
pub mod radio;
mod reading;
mod scan;
pub mod wind;

pub use check::{Checker, FieldPath};
pub use fault::{FileError, FileErrors};
pub use given::{Given, LengthOrAngle, LengthOrShare};
pub use locate::{Locator, Position};
pub use reading::{LARGEST_FILE_BYTES, load_text, read_ron};
/// Course files.
pub mod course;
