//! Before power: in which order a plane comes to life, and what is looked at
//! before its propeller may turn near anybody.

mod act;
mod bench;

pub use act::Act;
pub use bench::{Danger, Finding, Hidden, PowerDrill, PowerReport};
