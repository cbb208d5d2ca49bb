//! What is known of each of many flights, and what of all of them together.

use crate::input::Assumed;

/// How a plane met the ground first, a moment before the ground changed
/// anything.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TouchDown {
    /// Time since the start of the run.
    pub time_s: f64,
    /// Beyond the middle of the landing area, along the landing direction.
    pub along_m: f64,
    /// To the right of the landing line.
    pub right_m: f64,
    /// Inside the landing area.
    pub in_area: bool,
    /// Rate of descent.
    pub sink_m_s: f64,
    /// Speed over the ground.
    pub ground_speed_m_s: f64,
    /// Part of that speed across the nose, to the right positive.
    pub drift_m_s: f64,
    /// Bank, right wing low positive.
    pub bank_deg: f64,
    /// Nose against the landing direction, to the right positive.
    pub heading_error_deg: f64,
    /// Throttle stick, 0 to 1.
    pub throttle_fraction: f64,
    /// Part that touched.
    pub part: String,
}

/// The first stall after the release.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FirstStall {
    /// Time since the start of the run.
    pub time_s: f64,
    /// Height of the balance point.
    pub height_m: f64,
}

/// One flight of many. Numbers that nobody knows are NaN.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RunSummary {
    /// Its seed.
    pub seed: u64,
    /// Its score, 0 to 100.
    pub score: f64,
    /// Whether it counts as passed.
    pub passed: bool,
    /// Whether it did all that the lesson asks.
    pub completed: bool,
    /// Why the score is zero whatever the marks say.
    pub zeroed_by: Option<String>,
    /// When each phase was done, since the start of the run; `None` for one
    /// that was not. In the order of [`RepeatInput::phases`].
    pub phases_done_s: Vec<Option<f64>>,
    /// When the hand let go, since the start of the run.
    pub released_s: f64,
    /// Lowest height of the balance point in the first three seconds.
    pub lowest_height_m: f64,
    /// Still flying and unbroken after three seconds; `None` when it started on
    /// the ground.
    pub flying_after_3_s: Option<bool>,
    /// Highest height of the balance point.
    pub highest_height_m: f64,
    /// First stall in flight.
    pub first_stall: Option<FirstStall>,
    /// First touch of the ground after the take-off.
    pub touch: Option<TouchDown>,
    /// Parts that broke, the first one first.
    pub broken_parts: Vec<String>,
    /// From the release to the touch or the end.
    pub airborne_s: f64,
    /// Phase that could not be done any more, and why; empty when there was none.
    pub failed: String,
    /// Why the run was over.
    pub ended_by: String,
    /// What happened, in one sentence.
    pub headline: String,
}

impl RunSummary {
    /// Nothing broke.
    #[must_use]
    pub fn undamaged(&self) -> bool {
        self.broken_parts.is_empty()
    }

    /// Completed with nothing broken.
    #[must_use]
    pub fn good(&self) -> bool {
        self.completed && self.undamaged()
    }

    /// Phases done before the first that was not.
    #[must_use]
    pub fn phases_done(&self) -> usize {
        self.phases_done_s
            .iter()
            .take_while(|done| done.is_some())
            .count()
    }
}

/// Where a lesson wants the plane to touch.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LandingArea {
    /// Its name in a sentence, such as "the box".
    pub name: String,
    /// A touch outside is no landing.
    pub required: bool,
    /// Along the landing direction.
    pub length_m: f64,
    /// Across.
    pub width_m: f64,
    /// Phase that touches, counted from 0.
    pub phase: usize,
}

/// Many flights that differ in their seed only.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RepeatInput {
    /// Name the builder gave the plane.
    pub plane_name: String,
    /// Name of the lesson.
    pub lesson_name: String,
    /// Phases of the lesson.
    pub phases: Vec<String>,
    /// Where to touch; `None` for a lesson without a landing.
    pub landing: Option<LandingArea>,
    /// Name of the pilot.
    pub pilot_name: String,
    /// The wind in words.
    pub wind_summary: String,
    /// Command that flies one of them again, `{seed}` standing for its seed.
    pub again_command: String,
    /// Values nobody measured.
    pub assumed: Vec<Assumed>,
    /// The flights.
    pub runs: Vec<RunSummary>,
}

impl RepeatInput {
    /// The command that flies one of them again.
    #[must_use]
    pub fn again(&self, seed: u64) -> String {
        self.again_command.replace("{seed}", &seed.to_string())
    }
}
