//! What the window is at.

use bevy::prelude::*;

/// What somebody at the window does. One at a time has the sticks and keys.
#[derive(States, Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Activity {
    /// Flies a lesson.
    #[default]
    Flight,
    /// Looks at a flight again.
    Replay,
    /// Practises on the ground.
    Drill,
    /// Picks what comes next.
    Menu,
    /// Is shown around, the first time.
    Guide,
}
