//! Fields, lessons, the referee who ends a run, and scores from physical margins.
//!
//! A [`Lesson`] says what is thrown, by whom, and what each [`Phase`] is marked
//! on; a [`Field`] says where people stand and which line the plane may not
//! cross. During the flight a [`Referee`] watches the truth; afterwards
//! [`score()`] reads the recording and nothing else, so a flight can be scored
//! again from its file.

mod body;
mod circuit;
mod conditions;
mod course;
mod day;
mod field;
mod goals;
mod lesson;
mod marks;
mod outcome;
mod performance;
mod phase;
mod problem;
mod referee;
mod score;
mod sequence;
mod start;
mod surprise;
mod watch;

pub use body::{Disk, PersonBody};
pub use circuit::{CALM_M_S, CircuitFrame, LandingPlan};
pub use conditions::{Conditions, QUOTED_HEIGHT_M, undercarriage};
pub use course::{Course, Step, StepKind};
pub use field::{Fence, Field, FlyingSide, Ground, GroundKind, SafetyLine, Strip, Sun, Terrain};
pub use goals::{Goal, GoalWatch, Progress, TouchArea};
pub use larkfield_units::Problem;
pub use lesson::Lesson;
pub use marks::{MarkKind, MarkRule, Scale};
pub use outcome::{FIRST_S, FirstTouch, Outcome, outcome};
pub use performance::{LevelSpeed, Performance};
pub use phase::Phase;
pub use referee::Referee;
pub use score::{Mark, PASS_POINTS, PhaseFlown, Score, score};
pub use start::AirStart;
pub use surprise::{Moment, Surprise};
pub use watch::Watch;

/// Nearer than this to anybody after release, and the score is zero.
pub const SAFE_DISTANCE_M: f64 = 10.0;
