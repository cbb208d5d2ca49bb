//! Orientation: the plane is out there with one wing low. Which way does the
//! aileron stick go to level it?
//!
//! A plane that comes toward you has its right on your left. Its low wing is
//! then on the side to which the stick has to go.

mod drill;
mod sketch;

pub use drill::{
    Answered, ByHeading, Heading, OrientationDrill, OrientationReport, Side, View, drawn,
};
pub use sketch::{in_words, outline, seen};
