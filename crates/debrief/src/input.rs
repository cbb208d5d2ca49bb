//! What a debrief is made from.

use larkfield_recording::{Person, Recording};

/// A value nobody measured, taken from a default.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Assumed {
    /// What it is, in words.
    pub name: String,
    /// The value with its unit.
    pub value: String,
}

/// One line of the score.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MarkLine {
    /// What was judged.
    pub name: String,
    /// What was measured, with its unit.
    pub value: String,
    /// What was asked, with its unit.
    pub limit: String,
    /// Points given.
    pub points: f64,
    /// Points to be had.
    pub of: f64,
    /// One sentence in cues that a pilot has.
    pub advice: String,
}

/// A person on the field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stander {
    /// Who.
    pub person: Person,
    /// North of the launch point.
    pub north_m: f64,
    /// East of the launch point.
    pub east_m: f64,
}

/// A landing strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// Middle, north of the launch point.
    pub north_m: f64,
    /// Middle, east of the launch point.
    pub east_m: f64,
    /// Along its direction.
    pub length_m: f64,
    /// Across.
    pub width_m: f64,
    /// Direction, clockwise from north.
    pub heading_rad: f64,
}

/// The field from above.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FieldPlan {
    /// Everybody on it.
    pub people: Vec<Stander>,
    /// Two points of the safety line, each north and east of the launch point.
    pub safety_line: Option<[[f64; 2]; 2]>,
    /// The strip.
    pub strip: Option<Strip>,
    /// Both ends of each row of trees, north and east of the launch point.
    pub tree_lines: Vec<[[f64; 2]; 2]>,
    /// Distance to keep from everybody; drawn around each person.
    pub safe_distance_m: f64,
}

/// Where the lesson lands. Places are north and east of the launch point.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LandingPlace {
    /// Corners of the box to touch in, in order around it.
    pub corners: Vec<[f64; 2]>,
    /// Point to aim at.
    pub aim: [f64; 2],
    /// The circuit as it is meant: from the downwind leg to the aim point.
    pub circuit: Vec<[f64; 2]>,
}

/// A phase as it was flown; times since the start of the run.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PhaseLine {
    /// Its name.
    pub name: String,
    /// Begin and end; `None` when it was never begun.
    pub from_to_s: Option<[f64; 2]>,
    /// Its goal was reached.
    pub done: bool,
}

/// A height the lesson asks for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GoalHeight {
    /// What it is for, such as "goal" or "safe to turn".
    pub name: String,
    /// Above the ground.
    pub height_m: f64,
}

/// By when one thing would have saved the flight.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rescue {
    /// What is done.
    pub name: String,
    /// The last moment to decide upon it, since the start of the run; `None`:
    /// there is none.
    pub decided_s: Option<f64>,
}

/// What would have saved the flight. Times since the start of the run.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LookBack {
    /// What went wrong first.
    pub trouble: String,
    /// When.
    pub trouble_s: f64,
    /// The earliest moment that was tried.
    pub tried_from_s: f64,
    /// When it could first be seen coming, and by what.
    pub first_cue: Option<(f64, String)>,
    /// From deciding to the sticks.
    pub delay_s: f64,
    /// Everything that was tried.
    pub rescues: Vec<Rescue>,
    /// What it means.
    pub verdict: String,
}

/// Something that may have been wrong: with plane, throw, radio, air or hands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CauseLine {
    /// Name and size.
    pub name: String,
    /// What it is.
    pub what: String,
    /// The number in the recording that speaks for it.
    pub evidence: String,
    /// How to check for it on the ground.
    pub bench: String,
    /// What to do about it.
    pub remedy: String,
}

/// What was wrong, as far as the recording says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Causes {
    /// What it comes to.
    pub verdict: String,
    /// The causes, the likeliest first.
    pub causes: Vec<CauseLine>,
}

/// Everything a debrief page says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DebriefInput {
    /// Name the builder gave the plane.
    pub plane_name: String,
    /// What the builder says about this build; may be empty.
    pub build_note: String,
    /// Values nobody measured.
    pub assumed: Vec<Assumed>,
    /// Name of the lesson.
    pub lesson_name: String,
    /// What the lesson asks, in a sentence or two.
    pub lesson_description: String,
    /// The wind in words, such as "2 m/s from the west, light gusts".
    pub wind_summary: String,
    /// Seed of everything random in the run.
    pub seed: u64,
    /// Name of the pilot.
    pub pilot_name: String,
    /// Name of the thrower; may be empty.
    pub thrower_name: String,
    /// The flight.
    pub recording: Recording,
    /// Lines of the score.
    pub marks: Vec<MarkLine>,
    /// The score, 0 to 100.
    pub total: f64,
    /// Why the score is zero whatever the lines say.
    pub zeroed_by: Option<String>,
    /// What happened, in one sentence.
    pub headline: String,
    /// What to do next, the most useful first.
    pub next_steps: Vec<String>,
    /// Stall speed in straight flight, power off.
    pub stall_speed_m_s: Option<f64>,
    /// Lowest speed that holds height at the throttle and bank of the moment,
    /// one for each sample. NaN where there is none; empty when not computed.
    pub minimum_level_speed_m_s: Vec<f64>,
    /// Heights the lesson asks for.
    pub goal_heights: Vec<GoalHeight>,
    /// The field.
    pub field: FieldPlan,
    /// Where the lesson lands.
    pub landing: Option<LandingPlace>,
    /// Phases in order.
    pub phases: Vec<PhaseLine>,
    /// What broke, in words.
    pub damage: Vec<String>,
    /// What would have saved it; `None` when there was nothing to save, or
    /// nobody looked.
    pub look_back: Option<LookBack>,
    /// What the faults did that it was flown with on purpose; `None` without any,
    /// or when nobody looked.
    pub effect: Option<String>,
    /// Why it did not pass; `None` when it did, it told nothing, or
    /// nobody looked.
    pub causes: Option<Causes>,
}
