//! The flight model: plain Rust in `f64`, no Bevy, no files, no clock.

pub mod power;
