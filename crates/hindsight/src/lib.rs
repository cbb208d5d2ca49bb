//! What would have saved it: a flight that broke something, or came where it must
//! not, is flown once more up to earlier and earlier moments, and from each
//! with a few plain corrections.
//!
//! The moments are exact: a copy of the whole flight between two ticks goes on
//! byte for byte as the flight did. What differs is who is at the sticks. A
//! correction takes hold a human delay after its moment; until then everything
//! goes on as it was, and a throwing hand that is still on its way back cannot
//! correct anything with its stick.

mod correction;
mod cue;
mod look_back;
mod trouble;

pub use correction::Correction;
pub use cue::{Cue, first_cue};
pub use look_back::{DELAY_S, FARTHEST_S, Hindsight, LastMoment, STEP_S, look_back};
pub use trouble::{Trouble, trouble_in};
