//! Go or no-go: a field, a day, a pilot. What is looked at, and what is decided.

mod day;
mod drill;
mod point;

pub use day::{Day, drawn};
pub use drill::{Call, Decided, GoNoGoDrill, GoNoGoReport, PASS_POINTS, Verdict};
pub use point::Point;
