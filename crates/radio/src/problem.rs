//! What is wrong with a radio's set-up.

/// One thing that cannot be, where it stands, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {problem}; {remedy}")]
pub struct RadioProblem {
    /// Path of the field in the file, such as `rates.roll`.
    pub field: String,
    /// What is wrong.
    pub problem: String,
    /// What would be right.
    pub remedy: String,
}

impl RadioProblem {
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
