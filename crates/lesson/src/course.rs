//! A course: lessons, drills and talks in the order in which they build on each
//! other.

/// What a step is done with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StepKind {
    /// A lesson, by the name of its file without folder and ending.
    Lesson(String),
    /// A drill, by its name.
    Drill(String),
    /// Nothing to fly: points to go through, aloud, with whoever helps.
    Talk(Vec<String>),
}

/// One step of a course.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Name.
    pub name: String,
    /// What it is done with.
    pub kind: StepKind,
    /// What it trains, in plain words.
    pub trains: String,
    /// What good looks like.
    pub good: String,
    /// When to go on to the next one.
    pub enough: String,
}

/// A course.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Course {
    /// Name.
    pub name: String,
    /// In order.
    pub steps: Vec<Step>,
}

impl Course {
    /// Where a lesson stands in it, counted from one.
    #[must_use]
    pub fn step_of(&self, lesson: &str) -> Option<usize> {
        let is = |step: &Step| matches!(&step.kind, StepKind::Lesson(name) if name == lesson);
        self.steps.iter().position(is).map(|index| index + 1)
    }
}
