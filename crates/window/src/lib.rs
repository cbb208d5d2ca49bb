//! The field in a window: a leaf on the same flights.
//!
//! Data flows one way in a frame: [`control`] makes keys into [`hands`], or reads
//! the pilot's own [`sticks`]; what they do goes to a [`drill`] or to the
//! [`session`], which runs the same ticks as every other flight; what came of it
//! is copied into [`seen`], and everything that draws reads only that.
//!
//! # Invariants
//! - Ticks never depend on frames: a slow frame changes when messages are given,
//!   never what a message does.
//! - Only what somebody is at (an [`activity`]) knows the session; nothing that
//!   draws a plane or a field does, and nothing that draws knows the flight model.
//! - No picture, model or sound is read from a file: all is drawn from code.

pub mod activity;
pub mod after;
pub mod args;
pub mod attempt;
pub mod control;
pub mod drill;
pub mod eyes;
pub mod field;
pub mod first_frame;
pub mod guide;
pub mod hands;
pub mod hud;
pub mod link;
pub mod measure;
pub mod menu;
pub mod opening;
pub mod picture;
pub mod plane;
pub mod replay;
pub mod seen;
pub mod session;
pub mod settings;
pub mod shadow;
pub mod sound;
pub mod steps;
pub mod sticks;
pub mod track;
pub mod walk;
pub mod words;
