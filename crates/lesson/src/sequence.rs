//! What the phases of a lesson say against each other, and against its start.

use larkfield_pilot::Launch;

use crate::{AirStart, Goal, Lesson, MarkKind, Problem};

/// Refuses orders that nobody could fly and marks that nothing could measure.
pub(crate) fn check(lesson: &Lesson, found: &mut Vec<Problem>) {
    let mut touched = false;
    let mut rested = false;
    let mut downwind = false;
    for (index, phase) in lesson.phases.iter().enumerate() {
        let goal = &phase.goal;
        let path = format!("phases[{index}].goal");
        let mut refuse = |problem: &str, remedy: &str| {
            found.push(Problem::new(path.clone(), problem, remedy));
        };
        if index > 0 && matches!(goal, Goal::FlyAway { .. } | Goal::LiftOff) {
            refuse("the launch is not the first phase", "put it first");
        }
        if lesson.air_start.is_some() && matches!(goal, Goal::FlyAway { .. } | Goal::LiftOff) {
            refuse(
                "the lesson starts in the air and has no launch",
                "leave this phase out, or start with a throw",
            );
        }
        let from_ground = matches!(lesson.launch, Launch::Ground(_)) && lesson.air_start.is_none();
        if *goal == Goal::LiftOff && !from_ground {
            refuse(
                "the plane does not start on the ground",
                "give FlyAway as the goal of a throw, or add `ground_start`",
            );
        }
        if matches!(goal, Goal::FlyAway { .. }) && from_ground {
            refuse(
                "nobody throws the plane",
                "give LiftOff as the goal of a start from the ground",
            );
        }
        if goal.needs_circuit() && lesson.landing.is_none() {
            refuse(
                "this needs a place to land, and the lesson has none",
                "add a `landing` with the box to touch in",
            );
        }
        match goal {
            Goal::Touch { .. } if touched => refuse(
                "the lesson lands twice",
                "keep one landing; fly a go-round before it for a second approach",
            ),
            Goal::Touch { .. } => touched = true,
            Goal::RollOut if !touched => refuse(
                "it rolls out before it has touched",
                "put a phase with the goal Touch before it",
            ),
            Goal::RollOut => rested = true,
            Goal::Disarm { .. } if !rested => refuse(
                "it is disarmed before it has come to rest",
                "put a phase with the goal RollOut before it",
            ),
            _ if touched && !goal.is_on_ground() => refuse(
                "it flies after the landing",
                "put this phase before the one that touches",
            ),
            Goal::Base if !downwind => refuse(
                "the base leg comes without a downwind leg",
                "put a phase with the goal Downwind before it",
            ),
            Goal::Downwind => downwind = true,
            _ => {}
        }
        check_heights(lesson, index, found);
        for (mark, rule) in phase.marks.iter().enumerate() {
            if !fits(rule.kind, goal) {
                found.push(Problem::new(
                    format!("phases[{index}].marks[{mark}].kind"),
                    format!("{:?} cannot be measured in this phase", rule.kind),
                    "move it to the phase in which it happens",
                ));
            }
        }
    }
    let least_s: f64 = lesson.phases.iter().map(|phase| phase.goal.least_s()).sum();
    if least_s > lesson.time_limit_s {
        found.push(Problem::new(
            "time_limit",
            format!(
                "the phases take at least {least_s} s, and the run ends after {} s",
                lesson.time_limit_s
            ),
            "give more time",
        ));
    }
}

/// Heights of a goal against circuit and start.
fn check_heights(lesson: &Lesson, index: usize, found: &mut Vec<Problem>) {
    let Some(phase) = lesson.phases.get(index) else {
        return;
    };
    let mut refuse = |field: &str, problem: String, remedy: &str| {
        found.push(Problem::new(
            format!("phases[{index}].goal.{field}"),
            problem,
            remedy,
        ));
    };
    let circuit_m = lesson.landing.map(|landing| landing.circuit_height_m);
    match (&phase.goal, circuit_m) {
        (Goal::Final { to_m }, Some(circuit_m)) if *to_m >= circuit_m => refuse(
            "to",
            format!("the final ends at {to_m} m, and the circuit is flown at {circuit_m} m"),
            "give a height well below that of the circuit",
        ),
        (Goal::GoRound { below_m, .. }, Some(circuit_m)) if *below_m >= circuit_m => refuse(
            "below",
            format!("{below_m} m is not below the circuit at {circuit_m} m"),
            "give a height well below that of the circuit",
        ),
        _ => {}
    }
    let start_m = match lesson.air_start {
        Some(AirStart::At { height_m, .. } | AirStart::Final { height_m, .. }) => Some(height_m),
        Some(AirStart::Downwind { .. }) => circuit_m,
        None => Some(
            lesson
                .launch
                .throw()
                .map_or(0.0, |throw| throw.release_height_m),
        ),
    };
    if let (Goal::ClimbTo { height_m }, 0, Some(start_m)) = (&phase.goal, index, start_m)
        && *height_m <= start_m
    {
        refuse(
            "height",
            format!("the plane starts at {start_m} m, above this height"),
            "give a greater height",
        );
    }
}

/// Whether a mark can be measured in a phase with this goal.
fn fits(kind: MarkKind, goal: &Goal) -> bool {
    match kind {
        MarkKind::FlareHeight
        | MarkKind::SinkAtTouch
        | MarkKind::DriftAtTouch
        | MarkKind::IntoWind
        | MarkKind::DistanceFromAim
        | MarkKind::PowerAtTouch
        | MarkKind::Float
        | MarkKind::StallHeight
        | MarkKind::HeldOff => matches!(goal, Goal::Touch { .. }),
        MarkKind::Bounces | MarkKind::RollOut => matches!(goal, Goal::RollOut),
        MarkKind::TimeToDisarm => matches!(goal, Goal::Disarm { .. }),
        MarkKind::TrimDrift | MarkKind::TrimTurn => matches!(goal, Goal::TrimOut { .. }),
        MarkKind::Symmetry => matches!(goal, Goal::FigureEight { .. }),
        MarkKind::Spacing => matches!(goal, Goal::Downwind),
        MarkKind::CircuitHeight => {
            matches!(goal, Goal::Downwind | Goal::Base | Goal::GoRound { .. })
        }
        MarkKind::Alignment | MarkKind::CentreLine => matches!(
            goal,
            Goal::Final { .. } | Goal::GoRound { .. } | Goal::Touch { .. } | Goal::RollOut
        ),
        MarkKind::Steadiness => {
            matches!(
                goal,
                Goal::Base | Goal::Final { .. } | Goal::GlideDown { .. }
            )
        }
        MarkKind::ClimbAngle => !goal.is_on_ground(),
        MarkKind::HeadingHeld => matches!(
            goal,
            Goal::FlyAway { .. }
                | Goal::LiftOff
                | Goal::ClimbTo { .. }
                | Goal::LevelOff { .. }
                | Goal::GlideDown { .. }
        ),
        MarkKind::LowestHeight
        | MarkKind::SpeedMargin
        | MarkKind::BankHeld
        | MarkKind::StallMargin
        | MarkKind::GoalReached
        | MarkKind::InControl
        | MarkKind::StickReversals
        | MarkKind::Damage
        | MarkKind::HeightBand => true,
    }
}
