//! Walking a file's values, collecting mistakes and defaults.

use std::fmt;

use glam::DVec3;
use larkfield_airframe::Assumed;
use larkfield_units::{Angle, Length, Quantity, Ratio, parse};

use crate::fault::{FileError, FileErrors};
use crate::given::{Given, LengthOrAngle, LengthOrShare};
use crate::locate::Locator;

/// Path of a field in a file, such as `panels[2].hinges[0].travel_up`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FieldPath(String);

impl FieldPath {
    /// The whole file.
    #[must_use]
    pub fn root() -> Self {
        Self::default()
    }

    /// A path that somebody else wrote, such as `people[2].north`.
    #[must_use]
    pub fn written(path: &str) -> Self {
        Self(path.to_owned())
    }

    /// A named field inside this one.
    #[must_use]
    pub fn field(&self, name: &str) -> Self {
        if self.0.is_empty() {
            Self(name.to_owned())
        } else {
            Self(format!("{}.{name}", self.0))
        }
    }

    /// An item of this list.
    #[must_use]
    pub fn item(&self, index: usize) -> Self {
        Self(format!("{}[{index}]", self.0))
    }

    /// Member of this group without names.
    #[must_use]
    pub fn member(&self, index: usize) -> Self {
        Self(format!("{}.{index}", self.0))
    }
}

impl fmt::Display for FieldPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.0.is_empty() { "file" } else { &self.0 })
    }
}

/// Collects mistakes and defaults while a file becomes a model.
#[derive(Debug)]
pub struct Checker {
    file: String,
    locator: Locator,
    errors: Vec<FileError>,
    /// Mistakes found, recorded or not.
    mistakes: usize,
    assumed: Vec<Assumed>,
}

/// Mistakes that are recorded; nobody mends more in one go, and a table of
/// thousands of wrong rows should not take seconds to refuse.
const MOST_RECORDED: usize = 100;

impl Checker {
    /// For one file that was scanned by `locator`.
    #[must_use]
    pub fn new(file_name: &str, locator: Locator) -> Self {
        Self {
            file: file_name.to_owned(),
            locator,
            errors: Vec::new(),
            mistakes: 0,
            assumed: Vec::new(),
        }
    }

    /// For values whose mistakes and defaults are on record already.
    pub(crate) fn silent() -> Self {
        Self::new("", Locator::scan(""))
    }

    /// Records a mistake; after a hundred, only counts it.
    pub fn refuse(
        &mut self,
        field: &FieldPath,
        problem: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.mistakes += 1;
        if self.errors.len() >= MOST_RECORDED {
            return;
        }
        let position = self.locator.position_of(&field.0);
        self.errors.push(FileError {
            file: self.file.clone(),
            line: position.line,
            column: position.column,
            field: field.to_string(),
            problem: problem.into(),
            remedy: remedy.into(),
        });
    }

    /// Records that a default stands for a value that was left out.
    pub fn assume(&mut self, field: &FieldPath, value: impl Into<String>, reason: &str) {
        self.assumed.push(Assumed {
            field: field.to_string(),
            value: value.into(),
            reason: reason.to_owned(),
        });
    }

    /// Number of mistakes so far, recorded or not, to see whether more were added.
    #[must_use]
    pub fn mistakes(&self) -> usize {
        self.mistakes
    }

    /// A quantity between two values given as text, in SI units. After a
    /// mistake, which is recorded, the lower limit stands in so that checking
    /// can go on.
    pub fn quantity<Q: Quantity>(
        &mut self,
        field: &FieldPath,
        given: &Given<Q>,
        least: &str,
        most: &str,
    ) -> f64 {
        let stand_in = limit::<Q>(least);
        match &given.value {
            Ok(value) => self.within::<Q>(field, &given.text, value.si(), least, most),
            Err(error) => {
                self.refuse(field, error.problem(), error.remedy());
                stand_in
            }
        }
    }

    /// As [`Checker::quantity`] for a value in SI units, however it came about.
    pub fn within<Q: Quantity>(
        &mut self,
        field: &FieldPath,
        text: &str,
        value: f64,
        least: &str,
        most: &str,
    ) -> f64 {
        let (low, high) = (limit::<Q>(least), limit::<Q>(most));
        // Written so that NaN is refused.
        if value >= low && value <= high {
            return value;
        }
        self.refuse(
            field,
            format!("{text} is outside the possible range"),
            format!("give {} between {least} and {most}", Q::WHAT),
        );
        low
    }

    /// As [`Checker::quantity`]; when the value is left out, `default` stands
    /// for it and is recorded as assumed.
    pub fn quantity_or<Q: Quantity>(
        &mut self,
        field: &FieldPath,
        given: Option<&Given<Q>>,
        least: &str,
        most: &str,
        default: &str,
        reason: &str,
    ) -> f64 {
        match given {
            Some(given) => self.quantity(field, given, least, most),
            None => {
                self.assume(field, default, reason);
                limit::<Q>(default)
            }
        }
    }

    /// As [`Checker::quantity`]; a value left out means zero, by the format.
    pub fn quantity_or_zero<Q: Quantity>(
        &mut self,
        field: &FieldPath,
        given: Option<&Given<Q>>,
        least: &str,
        most: &str,
    ) -> f64 {
        given.map_or(0.0, |given| self.quantity(field, given, least, most))
    }

    /// A share of `whole_m`, given as a share or measured with a ruler.
    pub fn share(
        &mut self,
        field: &FieldPath,
        given: &Given<LengthOrShare>,
        whole_m: f64,
        least: &str,
        most: &str,
    ) -> f64 {
        let fraction = match &given.value {
            Ok(LengthOrShare::Share(share)) => share.fraction(),
            Ok(LengthOrShare::Length(length)) => length.m() / whole_m,
            Err(error) => {
                self.refuse(field, error.problem(), error.remedy());
                return limit::<Ratio>(least);
            }
        };
        let (low, high) = (limit::<Ratio>(least), limit::<Ratio>(most));
        if fraction >= low && fraction <= high {
            return fraction;
        }
        self.refuse(
            field,
            format!(
                "{} is outside the possible range of a whole of {:.1} mm",
                given.text,
                whole_m * 1e3
            ),
            format!(
                "give a share between {least} and {most}, or a length between {:.1} mm and {:.1} mm",
                low * whole_m * 1e3,
                high * whole_m * 1e3
            ),
        );
        low
    }

    /// A deflection, given as an angle or as the distance that a trailing edge
    /// `chord_m` behind its hinge moves square to the neutral surface: the
    /// sine of the angle is distance over chord. In radians.
    pub fn deflection(
        &mut self,
        field: &FieldPath,
        given: &Given<LengthOrAngle>,
        chord_m: f64,
        most: &str,
    ) -> f64 {
        let angle_rad = match &given.value {
            Ok(LengthOrAngle::Angle(angle)) => angle.rad(),
            // Beyond the chord the arc sine is NaN, which is refused below.
            Ok(LengthOrAngle::Length(length)) => libm::asin(length.m() / chord_m),
            Err(error) => {
                self.refuse(field, error.problem(), error.remedy());
                return 0.0;
            }
        };
        let high = limit::<Angle>(most);
        if angle_rad >= 0.0 && angle_rad <= high {
            return angle_rad;
        }
        self.refuse(
            field,
            format!("{} is outside the possible range", given.text),
            format!(
                "give 0 deg to {most}, or 0 mm to {:.0} mm at a trailing edge {:.0} mm behind its hinge",
                libm::sin(high) * chord_m * 1e3,
                chord_m * 1e3
            ),
        );
        0.0
    }

    /// Coordinates on the plane: in airframe axes, x forward, z down, from
    /// rulers laid aft, to the right and up.
    pub fn place(
        &mut self,
        group: &FieldPath,
        aft: &Given<Length>,
        right: Option<&Given<Length>>,
        up: &Given<Length>,
    ) -> DVec3 {
        let (least, most) = ("-3 m", "3 m");
        let aft_m = self.quantity(&group.field("aft"), aft, least, most);
        let right_m = self.quantity_or_zero(&group.field("right"), right, least, most);
        let up_m = self.quantity(&group.field("up"), up, least, most);
        DVec3::new(-aft_m, right_m, -up_m)
    }

    /// A plain number between two limits; a mistake gives the lower one.
    pub fn number(&mut self, field: &FieldPath, value: f64, least: f64, most: f64) -> f64 {
        if value >= least && value <= most {
            return value;
        }
        self.refuse(
            field,
            format!("{value} is outside the possible range"),
            format!("give a number between {least} and {most}"),
        );
        least
    }

    /// A list that is neither empty (when `least` is above 0) nor absurd.
    /// False when it should not be walked.
    pub fn count(
        &mut self,
        field: &FieldPath,
        count: usize,
        least: usize,
        most: usize,
        what: &str,
    ) -> bool {
        if count < least {
            self.refuse(
                field,
                format!("{count} {what} given"),
                format!("give at least {least}"),
            );
        } else if count > most {
            self.refuse(
                field,
                format!("{count} {what} given"),
                format!("give at most {most}"),
            );
        }
        count <= most
    }

    /// A name for people and reports: not blank, one line, not too long.
    pub fn name(&mut self, field: &FieldPath, name: &str) {
        if name.trim().is_empty() || name.chars().count() > 60 || name.chars().any(char::is_control)
        {
            self.refuse(
                field,
                "this is not a usable name",
                "give 1 to 60 letters on one line, as in \"wing_tip\"",
            );
        }
    }

    /// The model with its defaults, or all mistakes in the order of the file.
    ///
    /// # Errors
    /// Any mistake recorded.
    pub fn finish<T>(mut self, model: Option<T>) -> Result<(T, Vec<Assumed>), FileErrors> {
        match model {
            Some(model) if self.errors.is_empty() => Ok((model, self.assumed)),
            _ => {
                if self.errors.is_empty() {
                    let root = FieldPath::root();
                    self.refuse(
                        &root,
                        "the file could not be used",
                        "compare it with the examples in the description of the format",
                    );
                }
                self.errors.sort_by_key(|e| (e.line, e.column));
                Err(FileErrors {
                    errors: self.errors,
                })
            }
        }
    }
}

/// Value of a limit or default in SI units. A slip in this crate's own texts
/// gives NaN, which every range check refuses.
pub(crate) fn limit<Q: Quantity>(text: &str) -> f64 {
    parse::<Q>(text).map_or(f64::NAN, Q::si)
}
