//! Ranges of a lesson and a field.

use larkfield_units::Problem;

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
