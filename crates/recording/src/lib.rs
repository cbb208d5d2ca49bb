//! What a flight leaves behind: samples at a fixed rate and events at exact times.
//!
//! Plain data. Scores and debriefs read nothing else, so a flight can be
//! scored again from its file. [`table`] writes and reads those files.

mod event;
mod sample;
pub mod table;

pub use event::{Event, EventKind, Person};
pub use sample::{FlightStage, Sample};

/// One flight, from the thrower's first move to the end.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Recording {
    /// Time between samples.
    pub interval_s: f64,
    /// Samples in order of time.
    pub samples: Vec<Sample>,
    /// Events in order of time.
    pub events: Vec<Event>,
}
