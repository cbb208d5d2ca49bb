//! Phases of a lesson and what each is marked on.

use crate::Problem;
use crate::problem::require_range;

/// When a phase is done.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Goal {
    /// Fly free for this long after release without touching anything.
    FlyAway {
        /// Time after release.
        for_s: f64,
    },
    /// Reach this height above the ground.
    ClimbTo {
        /// The height of the balance point.
        height_m: f64,
    },
}

/// What can be marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum MarkKind {
    /// Lowest height, m.
    LowestHeight,
    /// Lowest speed over the minimum level speed at the throttle of the moment, %.
    SpeedMargin,
    /// Largest bank, deg.
    BankHeld,
    /// Largest difference between the nose and the heading of the launch, deg.
    HeadingHeld,
    /// Height gained over distance flown, as an angle, deg.
    ClimbAngle,
    /// Least angle between the wing and its stall, over 0.2 s, deg.
    StallMargin,
    /// Share of the climb that was reached, %.
    GoalReached,
    /// Share of the time in which a hand flew the plane, %.
    InControl,
    /// Stick reversals a second.
    StickReversals,
    /// Parts that broke.
    Damage,
}

impl MarkKind {
    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::LowestHeight => "lowest height",
            Self::SpeedMargin => "speed margin",
            Self::BankHeld => "largest bank",
            Self::HeadingHeld => "largest heading error",
            Self::ClimbAngle => "climb angle",
            Self::StallMargin => "stall margin",
            Self::GoalReached => "climb completed",
            Self::InControl => "time flown by hand",
            Self::StickReversals => "stick reversals",
            Self::Damage => "broken parts",
        }
    }

    /// Unit of its value.
    pub fn unit(self) -> &'static str {
        match self {
            Self::LowestHeight => "m",
            Self::SpeedMargin | Self::GoalReached | Self::InControl => "%",
            Self::BankHeld | Self::HeadingHeld | Self::ClimbAngle | Self::StallMargin => "deg",
            Self::StickReversals => "1/s",
            Self::Damage => "parts",
        }
    }

    /// Marks that a plane left alone may earn by itself. While climbing they
    /// count only for the share of the time in which a hand flew.
    pub(crate) fn is_pilots_merit(self) -> bool {
        matches!(
            self,
            Self::BankHeld
                | Self::HeadingHeld
                | Self::ClimbAngle
                | Self::StallMargin
                | Self::StickReversals
                | Self::GoalReached
        )
    }
}

/// From a value to a share of the points; straight lines between the bounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// More is better.
    AtLeast {
        /// All points from here up.
        full: f64,
        /// No points from here down.
        zero: f64,
    },
    /// Less is better.
    AtMost {
        /// All points from here down.
        full: f64,
        /// No points from here up.
        zero: f64,
    },
    /// Best between two bounds.
    Between {
        /// No points from here down.
        zero_below: f64,
        /// All points from here...
        full_from: f64,
        /// ...to here.
        full_to: f64,
        /// No points from here up.
        zero_above: f64,
    },
}

impl Scale {
    /// Share of the points for a value, 0 to 1. NaN earns nothing.
    pub fn share(&self, value: f64) -> f64 {
        // Going up from 0 at `zero` to 1 at `full`; either may be the larger.
        let ramp = |zero: f64, full: f64| {
            let share = (value - zero) / (full - zero);
            if share.is_nan() {
                0.0
            } else {
                share.clamp(0.0, 1.0)
            }
        };
        match *self {
            Self::AtLeast { full, zero } | Self::AtMost { full, zero } => ramp(zero, full),
            Self::Between {
                zero_below,
                full_from,
                full_to,
                zero_above,
            } => ramp(zero_below, full_from).min(ramp(zero_above, full_to)),
        }
    }

    /// The limit in words, with its unit.
    pub fn in_words(&self, unit: &str) -> String {
        match *self {
            Self::AtLeast { full, .. } => format!("at least {full} {unit}"),
            Self::AtMost { full, .. } => format!("at most {full} {unit}"),
            Self::Between {
                full_from, full_to, ..
            } => format!("{full_from} to {full_to} {unit}"),
        }
    }

    /// Whether the bounds are in order.
    fn in_order(&self) -> bool {
        match *self {
            Self::AtLeast { full, zero } => zero < full,
            Self::AtMost { full, zero } => full < zero,
            Self::Between {
                zero_below,
                full_from,
                full_to,
                zero_above,
            } => zero_below < full_from && full_from <= full_to && full_to < zero_above,
        }
    }
}

/// One line of the score sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarkRule {
    /// What is marked.
    pub kind: MarkKind,
    /// Points to be had.
    pub points: f64,
    /// How the value turns into points.
    pub scale: Scale,
}

/// A stretch of the lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// Name, unique within the lesson.
    pub name: String,
    /// When it is done.
    pub goal: Goal,
    /// What it is marked on.
    pub marks: Vec<MarkRule>,
}

/// Points and limits are this trainer's own judgement (common practice, no
/// source): lines for what keeps the plane flying weigh most.
fn rule(kind: MarkKind, points: f64, scale: Scale) -> MarkRule {
    MarkRule {
        kind,
        points,
        scale,
    }
}

impl Phase {
    /// The first two seconds, 42 points.
    pub fn fly_away() -> Self {
        use MarkKind::{BankHeld, HeadingHeld, InControl, LowestHeight, SpeedMargin, StallMargin};
        let at_least = |full, zero| Scale::AtLeast { full, zero };
        let at_most = |full, zero| Scale::AtMost { full, zero };
        Self {
            name: "fly away from the hand".to_owned(),
            goal: Goal::FlyAway { for_s: 2.0 },
            marks: vec![
                rule(LowestHeight, 12.0, at_least(1.5, 0.3)),
                rule(SpeedMargin, 12.0, at_least(10.0, -15.0)),
                rule(BankHeld, 6.0, at_most(12.0, 40.0)),
                rule(HeadingHeld, 4.0, at_most(12.0, 45.0)),
                rule(StallMargin, 4.0, at_least(2.0, -2.0)),
                rule(InControl, 4.0, at_least(95.0, 80.0)),
            ],
        }
    }

    /// The climb, 58 points.
    pub fn climb_to(height_m: f64) -> Self {
        use MarkKind::{
            BankHeld, ClimbAngle, Damage, GoalReached, HeadingHeld, InControl, StallMargin,
            StickReversals,
        };
        let at_least = |full, zero| Scale::AtLeast { full, zero };
        let at_most = |full, zero| Scale::AtMost { full, zero };
        let climb = Scale::Between {
            zero_below: 0.0,
            full_from: 7.0,
            full_to: 25.0,
            zero_above: 45.0,
        };
        Self {
            name: format!("climb to {height_m} m"),
            goal: Goal::ClimbTo { height_m },
            marks: vec![
                rule(GoalReached, 15.0, at_least(100.0, 0.0)),
                rule(BankHeld, 6.0, at_most(20.0, 50.0)),
                rule(HeadingHeld, 8.0, at_most(20.0, 60.0)),
                rule(ClimbAngle, 8.0, climb),
                rule(StallMargin, 4.0, at_least(2.0, -2.0)),
                rule(InControl, 4.0, at_least(80.0, 20.0)),
                rule(StickReversals, 3.0, at_most(1.0, 3.0)),
                rule(Damage, 10.0, at_most(0.0, 1.0)),
            ],
        }
    }

    pub(crate) fn check(&self, path: &str, found: &mut Vec<Problem>) {
        if self.name.trim().is_empty() {
            found.push(Problem::new(
                format!("{path}.name"),
                "the phase has no name",
                "name what the pilot does, such as \"climb\"",
            ));
        }
        match self.goal {
            Goal::FlyAway { for_s } => {
                require_range(found, format!("{path}.goal.for"), for_s, (0.1, 60.0, "s"));
            }
            Goal::ClimbTo { height_m } => {
                let limits = (3.0, 120.0, "m");
                require_range(found, format!("{path}.goal.height"), height_m, limits);
            }
        }
        for (index, mark) in self.marks.iter().enumerate() {
            let path = format!("{path}.marks[{index}]");
            require_range(
                found,
                format!("{path}.points"),
                mark.points,
                (0.0, 100.0, ""),
            );
            if !mark.scale.in_order() {
                found.push(Problem::new(
                    format!("{path}.scale"),
                    "the bounds are not in order",
                    "the value for full points must be on the good side of the value for none",
                ));
            }
        }
    }
}
