//! Why a flight went wrong.
//!
//! [`diagnose`] takes what a logger on board could have measured and the plane as
//! it was designed, and asks of every fault in the library: would a plane with
//! this fault have flown like that, with these sticks? The method is likelihood
//! from simulated faults. It was chosen over rules, which have to be written anew
//! for every plane and every fault, and over filters that estimate one coefficient
//! after the other, which say that the pitching moment is odd but not which of
//! balance, tail and thrust line a builder should look at. The physics of a fault
//! is already there, in the change it makes to the plane; so the same library that
//! makes a plane go wrong finds out what went wrong.
//!
//! Where a flight is too short for that, what the motor did in the hand is looked at.
//! What the pilot's hands did cannot be flown again; rules over the sticks look at
//! that, and come after what is wrong with the plane: somebody who fights a
//! tail-heavy plane over-controls as well.

mod air;
mod besides;
mod causes;
mod fit;
mod hands;
mod in_hand;
mod in_wind;
mod inquiry;
mod log;
mod refly;
mod remembered;
mod throw;
mod words;

pub use causes::{Cause, Diagnosis, Evidence, NotDiagnosed, Plane, diagnose};
pub use remembered::{Answered, Lineup, Remembered, Seen, Suspect, Throws, Tried, Unpowered, Went};
