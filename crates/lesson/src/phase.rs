//! Phases of a lesson and what each is marked on.

use crate::problem::require_range;
use crate::{Goal, MarkKind, MarkRule, Problem, Scale};

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
        only: None,
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

    /// The climb, 44 points.
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
                rule(GoalReached, 9.0, at_least(100.0, 0.0)),
                rule(BankHeld, 6.0, at_most(20.0, 50.0)),
                rule(HeadingHeld, 6.0, at_most(20.0, 60.0)),
                rule(ClimbAngle, 6.0, climb),
                rule(StallMargin, 4.0, at_least(2.0, -2.0)),
                rule(InControl, 4.0, at_least(80.0, 20.0)),
                rule(StickReversals, 3.0, at_most(1.0, 3.0)),
                rule(Damage, 6.0, at_most(0.0, 1.0)),
            ],
        }
    }

    /// Level off after the climb, 14 points: the one thing that a plane left
    /// alone under climbing power never does.
    pub fn level_off() -> Self {
        use MarkKind::{BankHeld, GoalReached, HeightBand};
        Self {
            name: "level off".to_owned(),
            goal: Goal::LevelOff {
                for_s: 5.0,
                band_m: 5.0,
            },
            marks: vec![
                rule(
                    GoalReached,
                    8.0,
                    Scale::AtLeast {
                        full: 100.0,
                        zero: 0.0,
                    },
                ),
                rule(
                    HeightBand,
                    3.0,
                    Scale::AtMost {
                        full: 10.0,
                        zero: 25.0,
                    },
                ),
                rule(
                    BankHeld,
                    3.0,
                    Scale::AtMost {
                        full: 30.0,
                        zero: 60.0,
                    },
                ),
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
        self.goal.check(&format!("{path}.goal"), found);
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
