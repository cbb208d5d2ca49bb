//! Fields, lessons, the referee who ends a run, and scores from physical margins.
//!
//! A [`Lesson`] says what is thrown, by whom, and what each [`Phase`] is marked
//! on; a [`Field`] says where people stand and which line the plane may not
//! cross. During the flight a [`Referee`] watches the truth; afterwards
//! [`score()`] reads the recording and nothing else, so a flight can be scored
//! again from its file.

mod body;
mod field;
mod lesson;
mod performance;
mod phase;
mod problem;
mod referee;
mod score;

pub use body::{Disk, PersonBody};
pub use field::{Field, FlyingSide, Ground, GroundKind, SafetyLine, Strip};
pub use lesson::Lesson;
pub use performance::{LevelSpeed, Performance};
pub use phase::{Goal, MarkKind, MarkRule, Phase, Scale};
pub use problem::Problem;
pub use referee::{Referee, Watch};
pub use score::{Mark, Score, score};

/// Nearer than this to anybody after release, and the score is zero.
pub const SAFE_DISTANCE_M: f64 = 10.0;
