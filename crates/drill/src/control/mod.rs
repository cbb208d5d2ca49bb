//! Control check: the plane from behind, surfaces that follow the sticks, and
//! perhaps one thing wrong.

mod bench;
mod check;
mod ends;
mod fault;
mod round;
mod sketch;

pub use bench::{AtTransmitter, Bench, MotorSeen, stick_of};
pub use check::{CheckReport, ControlCheck, PASS_POINTS};
pub use ends::{End, HELD_S};
pub use fault::SetupFault;
pub use round::{Call, Called, Round, Verdict, drawn};
pub use sketch::{card, from_behind, moved_in_words};
