//! The page that explains one flight: one HTML file that needs nothing else.
//!
//! Its order is the order of a reader's questions: how did it go, what do I do
//! next, what was judged, how did it happen, what was assumed. The page runs
//! no script and loads nothing, and says so to the browser, so that text in a
//! file made by a stranger stays text.

mod causes;
mod flight;
mod landing;
mod look_back;
mod phases;
mod pictures;
mod places;
mod sections;
mod style;
mod timeline;
mod traces;

pub(crate) use sections::{assumed, checked_by_hand, footer};
pub use style::document;

use crate::input::DebriefInput;
use flight::Flight;

/// The page of one flight.
///
/// Any input gives a page: an empty recording, numbers that are not finite and
/// names that look like markup included.
#[must_use]
pub fn debrief_page(input: &DebriefInput) -> String {
    let flight = Flight::new(input);
    let mut body = String::new();
    sections::result(&mut body, input);
    sections::next_steps(&mut body, input);
    causes::section(&mut body, input);
    look_back::section(&mut body, input, &flight);
    sections::score(&mut body, input);
    phases::section(&mut body, input, &flight);
    timeline::section(&mut body, &flight);
    landing::section(&mut body, input, &flight);
    pictures::first_seconds(&mut body, input, &flight);
    places::section(&mut body, input, &flight);
    traces::section(&mut body, input, &flight);
    sections::about(&mut body, input, &flight);
    body.push_str(&checked_by_hand());
    body.push_str(&footer());
    let title = format!("{}: {}", input.lesson_name, input.plane_name);
    document(&title, &body)
}
