//! One sentence for each line, in what a pilot can see, hear and do.
//!
//! Never an airspeed: nobody on a field has one to look at.

use super::advice_circuit;
use super::flown::Flight;
use super::measure::is_climb;
use crate::{Goal, MarkKind, MarkRule, Scale};

/// Advice for a line, given what was measured.
pub(super) fn advice(rule: &MarkRule, value: Option<f64>, flight: &Flight, phase: usize) -> String {
    let Some(value) = value else {
        return match flight.goal(phase) {
            Some(Goal::FlyAway { .. } | Goal::ClimbTo { .. }) | None => {
                "The flight ended before this could be judged: get away from the hand first."
            }
            Some(_) => {
                "The flight ended before this could be judged: the lines before this one say why."
            }
        }
        .to_owned();
    };
    if rule.scale.share(value) >= 1.0 {
        return praise(rule.kind, flight.goal(phase)).to_owned();
    }
    let text = match rule.kind {
        MarkKind::LowestHeight => {
            "It sank after release: throw firmer and level, and while it sinks hold the nose level \
             with the motor at full song instead of pulling."
        }
        MarkKind::SpeedMargin => {
            "It left the hand mushing, nose high and hardly climbing: push harder and straight \
             along the fuselage, set the power before the arm moves, and ease the nose down until \
             the sink stops."
        }
        MarkKind::BankHeld if is_climb(flight, phase) => {
            "A wing stayed low: press the stick toward the high wing as soon as one dips, then let \
             go, instead of waiting until the whole plane turns."
        }
        MarkKind::BankHeld if is_stall(flight, phase) => {
            "A wing dropped in the stall: stick forward first, then stop the turn with the rudder, \
             and roll level only when it flies again."
        }
        MarkKind::BankHeld if !is_launch(flight, phase) => {
            "It banked more than it had to: press the stick toward the high wing as soon as the \
             bank is enough, and hold it there with small touches."
        }
        MarkKind::HeightBand if is_stall(flight, phase) => {
            "It cost much height: stick forward the moment it drops, power, and no pull before it \
             is fast again; a second stall costs more than the first."
        }
        MarkKind::BankHeld => {
            "A wing dropped right after release: throw with the wings level and expect the motor \
             to roll the plane, so that the first small correction comes at once."
        }
        MarkKind::HeadingHeld => {
            "The nose wandered off: pick a tree or cloud ahead before it begins and keep the nose \
             on it with small touches of stick."
        }
        MarkKind::ClimbAngle => climb_advice(rule.scale, value),
        MarkKind::StallMargin => {
            "The wing was at its limit: when the nose is high and the controls feel soft, ease the \
             stick forward first and only then level the wings."
        }
        MarkKind::GoalReached => flight.goal(phase).map_or("", advice_circuit::not_reached),
        MarkKind::InControl => {
            "Nobody flew it: keep both thumbs on the sticks and answer every dip of wing or nose \
             with a small correction."
        }
        MarkKind::StickReversals => {
            "The sticks went back and forth: make half the correction, wait until the plane \
             answers, then decide about the other half."
        }
        MarkKind::Damage => {
            "Something broke: when the ground cannot be avoided, shut the motor, level the wings \
             and let it slide straight ahead."
        }
        other => advice_circuit::advice(other, is_above(rule.scale, value)),
    };
    text.to_owned()
}

fn is_stall(flight: &Flight, phase: usize) -> bool {
    matches!(flight.goal(phase), Some(Goal::Stall { .. }))
}

/// From the hand, or off the ground.
fn is_launch(flight: &Flight, phase: usize) -> bool {
    matches!(
        flight.goal(phase),
        Some(Goal::FlyAway { .. } | Goal::LiftOff)
    )
}

fn climb_advice(scale: Scale, value: f64) -> &'static str {
    if is_above(scale, value) {
        "It climbed too steeply: hold the nose lower and let it gain height slowly, because a \
         steep nose that softens is about to drop."
    } else {
        "It hardly climbed: keep the power on, raise the nose a little above the horizon and hold \
         it there, and lower it again if the sink returns."
    }
}

/// The value lies above what was asked for, not below.
fn is_above(scale: Scale, value: f64) -> bool {
    match scale {
        Scale::Between { full_to, .. } => value > full_to,
        Scale::AtMost { full, .. } => value > full,
        Scale::AtLeast { .. } => false,
    }
}

fn praise(kind: MarkKind, goal: Option<&Goal>) -> &'static str {
    match kind {
        MarkKind::LowestHeight => "It never sank far below the hand: keep throwing like that.",
        MarkKind::SpeedMargin => "It flew away without mushing: same push, same power next time.",
        MarkKind::BankHeld => "The wings stayed level: the corrections came in time.",
        MarkKind::HeadingHeld => "The nose stayed on its mark: well held.",
        MarkKind::ClimbAngle => "The climb was shallow and steady: keep that nose attitude.",
        MarkKind::StallMargin => "The nose was never forced up: the wing kept flying.",
        MarkKind::GoalReached => match goal {
            Some(Goal::ClimbTo { .. }) => {
                "Height reached: now ease the power back and look around."
            }
            _ => "This part was flown to its end: well done.",
        },
        MarkKind::InControl => "A hand was flying all the time: keep watching and correcting.",
        MarkKind::StickReversals => "The sticks moved calmly: small and in time.",
        MarkKind::Damage => "Nothing broke: check hinges and motor mount by hand all the same.",
        other => advice_circuit::praise(other),
    }
}
