//! What somebody wants to rehearse. Nothing here opens a file.

use std::path::PathBuf;

use larkfield_pilot::Skill;

/// A pilot by name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PilotChoice {
    /// Small, timely corrections.
    Competent,
    /// Late, over-controls.
    Beginner,
    /// Somewhere between the first day and mastery.
    Learner(Skill),
    /// Only sets the throttle.
    HandsOff,
    /// Somebody at keys, whose sticks need no radio file.
    AtKeys,
    /// Sticks of a recording, or every message of a flight.
    Playback(PathBuf),
    /// Somebody at the sticks of a device.
    Person,
}

/// A rehearsal that somebody wants; what is missing comes from the lesson.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Request {
    /// The lesson file; otherwise the first launch.
    pub lesson: Option<PathBuf>,
    /// The airframe file.
    pub airframe: Option<PathBuf>,
    /// The wind file.
    pub wind: Option<PathBuf>,
    /// Who flies.
    pub pilot: Option<PilotChoice>,
    /// The radio file of a person's sticks.
    pub radio: Option<PathBuf>,
    /// Faults that plane, radio or thrower have, as `NAME` or `NAME=SIZE`.
    pub faults: Vec<String>,
    /// Seed of everything random.
    pub seed: u64,
    /// Run folders of lessons that were passed.
    pub passed: Vec<PathBuf>,
    /// A locked lesson is flown all the same.
    pub unlocked: bool,
    /// An earlier run, whose files and pilot are used again.
    pub again: Option<PathBuf>,
    /// Folder for the run; otherwise a new one below `runs`.
    pub out: Option<PathBuf>,
    /// Whether an earlier run in that folder may be replaced.
    pub replace: bool,
}
