//! One sentence for each line of circuit and landing, in what a pilot can see,
//! hear and do.

use crate::{Goal, MarkKind};

/// Advice for a line that lost points. `too_much`: the value is above what was
/// asked, not below.
pub(super) fn advice(kind: MarkKind, too_much: bool) -> &'static str {
    match (kind, too_much) {
        (MarkKind::HeightBand, _) => {
            "Height came and went: in a turn the nose drops by itself, so ease in a little up \
             stick as the wings bank and take it out again as they come level."
        }
        (MarkKind::CircuitHeight, _) => {
            "The circuit was not flown at one height: set the power once, hold the nose at one \
             place on the horizon, and correct a climb or a sink while it is small."
        }
        (MarkKind::Spacing, true) => {
            "The downwind leg was too far out: keep the plane where you can still see which wing \
             is low, and turn parallel to the strip earlier."
        }
        (MarkKind::Spacing, false) => {
            "The downwind leg was too close: leave room for a gentle base turn, or it becomes \
             steep and low."
        }
        (MarkKind::Alignment, _) => {
            "The nose did not point along the landing line: begin the turn to final earlier, and \
             straighten with small touches while there is still height."
        }
        (MarkKind::CentreLine, _) => {
            "It was beside the landing line: pick a mark at the far end, and lean the plane back \
             toward the line as soon as it slides off, well before the flare."
        }
        (MarkKind::Steadiness, _) => {
            "The descent was unsteady: hold one nose attitude and let small changes of power bring \
             it down slower or faster, instead of chasing the spot with the elevator."
        }
        (MarkKind::FlareHeight, true) => {
            "The flare came too high: wait until the plane is about knee height, then stop the \
             sink, and if it balloons hold the attitude and add a little power."
        }
        (MarkKind::FlareHeight, false) => {
            "The flare came late or never: begin to ease the nose up at about knee height, so that \
             the sink has stopped before the grass."
        }
        (MarkKind::SinkAtTouch, _) => {
            "It dropped onto the ground: keep easing the stick back in the flare as the plane \
             slows, and never push when it is close to the grass."
        }
        (MarkKind::DriftAtTouch, _) => {
            "It slid sideways onto the ground: land into the wind where you can, else bring the \
             nose along the track just before the touch and hold the windward wing a little low."
        }
        (MarkKind::IntoWind, _) => {
            "It did not land into the wind: look at the grass, a ribbon or smoke before the \
             downwind leg, and turn the whole circuit so that the final faces the wind."
        }
        (MarkKind::DistanceFromAim, _) => {
            "It touched away from the mark: on base and final watch whether the mark slides up or \
             down in front of the plane, and use power early to keep it still."
        }
        (MarkKind::PowerAtTouch, _) => {
            "The motor still pulled at the touch: shut it in the flare, before the ground, so that \
             propeller and servos survive and the plane stays down."
        }
        (MarkKind::Float, _) => {
            "It floated a long way over the grass: come down with less power and the nose no lower \
             than usual, because a dive to the strip only brings speed that has to go somewhere."
        }
        (MarkKind::StallHeight, _) => {
            "It stalled with air below it: hold it off close to the grass, and if the nose is high \
             and the sink grows ease forward and put the power on."
        }
        (MarkKind::HeldOff, _) => {
            "It was put down while it still flew: with the motor stopped keep easing the stick \
             back just above the grass until it settles by itself."
        }
        (MarkKind::Bounces, _) => {
            "It bounced: after a bounce hold the attitude and let it settle, or put the power on \
             and go round, and never push the nose down."
        }
        (MarkKind::RollOut, _) => {
            "It ran on for a long way: touch slower, nose up, with the motor shut."
        }
        (MarkKind::TrimDrift, _) => {
            "Left alone it climbed or sank: set cruise power first, then move the elevator trim \
             until the nose stays where it is with the stick let go."
        }
        (MarkKind::TrimTurn, _) => {
            "Left alone it turned: with the elevator trimmed, move the trim of the stick you turn \
             with until the wings stay level with the thumbs off."
        }
        (MarkKind::Symmetry, _) => {
            "One turn was tighter than the other: bank the same amount both ways, and expect to \
             need more stick against the side the motor pulls to."
        }
        (MarkKind::TimeToDisarm, _) => {
            "The motor could have started while the plane lay there: throttle shut and throttle \
             cut on as soon as it stops, before anybody walks to it."
        }
        _ => "Look at this line again with an instructor.",
    }
}

/// What to say when a line of circuit or landing has all its points.
pub(super) fn praise(kind: MarkKind) -> &'static str {
    match kind {
        MarkKind::HeightBand => "The height hardly changed: well held.",
        MarkKind::CircuitHeight => "The circuit was flown at one height: keep it there.",
        MarkKind::Spacing => "The downwind leg lay where it should: room to turn, near to see.",
        MarkKind::Alignment => "The nose pointed along the landing line: well lined up.",
        MarkKind::CentreLine => "It stayed on the landing line: well held.",
        MarkKind::Steadiness => "The descent was steady: power did the work.",
        MarkKind::FlareHeight => "The flare came at the right height: keep that picture.",
        MarkKind::SinkAtTouch => "It settled softly: keep easing back like that.",
        MarkKind::DriftAtTouch => "It touched without sliding sideways: well straightened.",
        MarkKind::IntoWind => "It landed into the wind: always look for the wind first.",
        MarkKind::DistanceFromAim => "It touched where it should: the approach was judged well.",
        MarkKind::PowerAtTouch => "The motor was shut before the touch: propeller saved.",
        MarkKind::Float => "It hardly floated: the speed was right over the grass.",
        MarkKind::StallHeight => "No stall where it could hurt: well judged.",
        MarkKind::HeldOff => "It was held off until it settled by itself: well done.",
        MarkKind::Bounces => "It stayed down: no bounce.",
        MarkKind::RollOut => "It stopped soon: slow and nose up at the touch.",
        MarkKind::TrimDrift => "Left alone it kept its height: elevator and power fit together.",
        MarkKind::TrimTurn => "Left alone it flew straight: nothing to hold.",
        MarkKind::Symmetry => "Both turns were alike: well flown.",
        MarkKind::TimeToDisarm => "Disarmed at once: only then does anybody walk to it.",
        _ => "All points on this line.",
    }
}

/// Advice for a goal that was not reached.
pub(super) fn not_reached(goal: &Goal) -> &'static str {
    match goal {
        Goal::FlyAway { .. } | Goal::ClimbTo { .. } => {
            "The climb was not finished: keep the power on, the wings level and the nose \
             only a little above the horizon until the plane is well above the trees."
        }
        Goal::LiftOff => {
            "It never left the ground: point into the wind, open the throttle smoothly, keep \
             straight with the rudder, and ease back only when it runs lightly."
        }
        Goal::LevelOff { .. } => {
            "It was not levelled off: when it is high enough ease the power back and let the nose \
             down to the horizon, and hold it there."
        }
        Goal::TrimOut { .. } => {
            "It would not fly by itself: with cruise power set, trim the elevator first, then the \
             turn, and let go of the sticks to see whether it stays."
        }
        Goal::FigureEight { .. } => {
            "The figure-eight was not finished at one height: a full gentle turn one way, wings \
             level, then a full turn the other way, with a little up stick in each."
        }
        Goal::Stall { .. } => {
            "It was not stalled and caught as asked: throttle shut, stick slowly back until it \
             drops; then at once stick forward, power, wings level, and up only when it flies."
        }
        Goal::Downwind => {
            "The downwind leg was not flown: turn away from the line, fly back beside the strip at \
             one height, and pass the place where you want to touch."
        }
        Goal::Base => {
            "The base turn was not flown: when the touch point lies half behind the wing, turn \
             gently across and begin to come down."
        }
        Goal::Final { .. } => {
            "The final did not lead to the box: roll out on the landing line early, keep the mark \
             still in front of the plane with power, and go round when it will not fit."
        }
        Goal::GoRound { .. } => {
            "The approach was not given up in time: power smoothly on, wings level, let it climb \
             by itself, and turn only when it is high again."
        }
        Goal::GlideDown { .. } => {
            "The glide was lost: when the sound stops put the nose down to the glide at once, and \
             keep it there instead of stretching for the strip."
        }
        Goal::Touch { .. } => {
            "The landing did not count: upright, whole and inside the box, and when that will not \
             fit any more go round early."
        }
        Goal::RollOut => {
            "It did not come to rest upright and whole: touch slowly with the wings level and keep \
             the stick back while it slides."
        }
        Goal::Disarm { .. } => {
            "It was never disarmed: throttle shut, throttle cut on, before anybody walks to it."
        }
    }
}
