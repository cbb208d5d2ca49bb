//! What is wrong with what somebody wrote, in whatever kind of file.

/// One thing that cannot be, where it stands, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Path of the field in the file, such as `throw.speed` or `people[2].radius`.
    pub field: String,
    /// What is wrong.
    pub problem: String,
    /// What would be right.
    pub remedy: String,
}

impl Problem {
    /// A problem with a field.
    pub fn new(
        field: impl Into<String>,
        problem: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            field: field.into(),
            problem: problem.into(),
            remedy: remedy.into(),
        }
    }
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}; {}", self.field, self.problem, self.remedy)
    }
}

impl std::error::Error for Problem {}
