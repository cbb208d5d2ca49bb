//! What a rehearsal leaves for the person who ran it.
//!
//! - [`page`]: one self-contained HTML page that explains one flight;
//! - [`summary`]: the same for many flights of one lesson;
//! - [`run_folder`]: the folder that holds a run, complete or plainly named
//!   as not;
//! - [`plot`]: the pictures.
//!
//! Everything comes in as plain data and a recording. Nothing here computes a
//! flight or a score, and nothing here reads a clock: the same input gives the
//! same bytes.

pub mod input;
pub mod page;
pub mod plot;
pub mod run_folder;
pub mod summary;

pub use input::{
    Assumed, CauseLine, Causes, DebriefInput, FieldPlan, GoalHeight, LandingPlace, LookBack,
    MarkLine, PhaseLine, Rescue, Stander, Strip,
};
pub use page::debrief_page;
pub use run_folder::{
    Existing, Manifest, RunFacts, RunFolder, RunFolderError, Versions, check_run_folder,
    read_run_folder,
};
pub use summary::{
    FirstStall, LandingArea, RepeatInput, RunSummary, TouchDown, read_summary_csv, summary_csv,
    summary_page,
};
