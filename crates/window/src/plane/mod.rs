//! The plane as it was cut: every panel with its thickness, its hinges, its
//! colours, in body axes from the balance point.

mod body;
mod faces;
mod panel;
mod propeller;
mod show;

pub use faces::Faces;
pub use show::{Group, PlanePlugin, PlaneToShow, pose_of};
