//! How far the hand is from the propeller.

use larkfield_airframe::Airframe;
use serde::Serialize;

use crate::verdict::{Finding, Subject, Verdict};

/// The thrower's hand and the propeller.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HandReport {
    /// From the grip to the nearest point that a blade passes.
    pub grip_to_propeller_m: f64,
    /// The propeller passes the hand as the plane leaves it.
    pub propeller_follows_hand: bool,
}

/// Distance of the grip from the propeller disk; `None` for a glider.
#[must_use]
pub fn hand(airframe: &Airframe) -> Option<HandReport> {
    let power = airframe.power.as_ref()?;
    let from_hub = airframe.grip.position_m - power.hub_m;
    let along = from_hub.dot(power.thrust_direction);
    let aside = from_hub.reject_from(power.thrust_direction).length();
    let outside = (aside - 0.5 * power.propeller.diameter_m).max(0.0);
    Some(HandReport {
        grip_to_propeller_m: (along * along + outside * outside).sqrt(),
        // The grip lies ahead of the disk: the disk comes after it.
        propeller_follows_hand: along > 0.0,
    })
}

/// From the middle of the grip to the tips of fingers and thumb, with room to
/// spare (common practice, no source).
const WANTED_M: f64 = 0.15;
/// Half the width of a hand.
const LEAST_M: f64 = 0.08;

/// What the rules say about the hand.
#[must_use]
pub fn hand_finding(hand: &HandReport) -> Option<Finding> {
    let distance = hand.grip_to_propeller_m;
    if distance >= WANTED_M {
        return None;
    }
    Some(Finding::new(
        if distance >= LEAST_M {
            Verdict::Marginal
        } else {
            Verdict::NotYet
        },
        Subject::Hand,
        format!(
            "the blades pass {:.0} mm from where the hand holds it; {:.0} mm and more are wanted",
            distance * 1e3,
            WANTED_M * 1e3
        ),
        "hold it farther from the propeller, or build a grip there",
    ))
}
