//! `larkfield logbook`: what a person has flown, and what it says about being
//! ready.

pub mod args;
pub mod keep;
mod show;
mod tables;

pub use show::run;
