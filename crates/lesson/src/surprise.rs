//! What happens to a pilot without warning.

use crate::Problem;
use crate::problem::require_range;

/// Something that happens at a moment. It acts through the physics; the pilot
/// finds out with eyes and ears.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Surprise {
    /// The controller gives the motor no more current.
    PowerLoss(Moment),
}

/// When a surprise comes.
#[derive(Debug, Clone, PartialEq)]
pub enum Moment {
    /// So long after the release, or after the start of a run that begins on
    /// the ground or in the air.
    Time {
        /// The time.
        after_s: f64,
    },
    /// When the plane climbs through this height for the first time.
    Height {
        /// The height.
        height_m: f64,
    },
    /// So long after a phase begins.
    Phase {
        /// Name of the phase.
        name: String,
        /// The time.
        after_s: f64,
    },
}

impl Surprise {
    /// When it comes.
    pub fn moment(&self) -> &Moment {
        match self {
            Self::PowerLoss(moment) => moment,
        }
    }

    pub(crate) fn check(&self, path: &str, phases: &[&str], found: &mut Vec<Problem>) {
        match self.moment() {
            Moment::Time { after_s } => {
                require_range(found, format!("{path}.time"), *after_s, (0.0, 900.0, "s"));
            }
            Moment::Height { height_m } => {
                require_range(
                    found,
                    format!("{path}.height"),
                    *height_m,
                    (0.5, 120.0, "m"),
                );
            }
            Moment::Phase { name, after_s } => {
                require_range(found, format!("{path}.after"), *after_s, (0.0, 300.0, "s"));
                if !phases.contains(&name.as_str()) {
                    found.push(Problem::new(
                        format!("{path}.phase"),
                        format!("there is no phase called {name:?}"),
                        format!("name one of this lesson: {}", phases.join(", ")),
                    ));
                }
            }
        }
    }
}

/// Watches for the moment of a surprise.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SurpriseWatch {
    pub surprise: Surprise,
    pub sprung: bool,
    was_below: bool,
}

impl SurpriseWatch {
    pub fn new(surprise: Surprise) -> Self {
        Self {
            surprise,
            sprung: false,
            was_below: false,
        }
    }

    /// True once, when the moment has come. `phase` is the current one with the
    /// time since it began.
    pub fn springs(&mut self, free_s: f64, height_m: f64, phase: Option<(&str, f64)>) -> bool {
        if self.sprung {
            return false;
        }
        let now = match self.surprise.moment() {
            Moment::Time { after_s } => free_s >= *after_s,
            Moment::Height { height_m: limit_m } => {
                let through = self.was_below && height_m >= *limit_m;
                self.was_below |= height_m < *limit_m;
                through
            }
            Moment::Phase { name, after_s } => {
                phase.is_some_and(|(current, for_s)| current == name && for_s >= *after_s)
            }
        };
        self.sprung = now;
        now
    }
}
