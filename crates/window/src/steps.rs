//! The order of a frame.

use bevy::prelude::*;

/// What happens in a frame, in this order.
#[derive(SystemSet, Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Steps {
    /// Keys and buttons become what hands do.
    Hands,
    /// Keys that are no sticks: again, next, another view.
    Choose,
    /// The flight goes on for as long as the frame took.
    Fly,
    /// What there is to see is drawn.
    Draw,
}
