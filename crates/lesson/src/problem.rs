//! What is wrong with a lesson or a field.

/// One thing that cannot be, where it stands, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {problem}; {remedy}")]
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

/// Adds a problem unless the value lies between the bounds; NaN does not.
pub(crate) fn require_range(
    problems: &mut Vec<Problem>,
    field: impl Into<String>,
    value: f64,
    (least, most, unit): (f64, f64, &str),
) {
    if !(value >= least && value <= most) {
        problems.push(Problem::new(
            field,
            format!("{value} {unit} is not possible"),
            format!("give a value from {least} to {most} {unit}"),
        ));
    }
}
