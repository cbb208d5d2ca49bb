//! Rules that turn quantities into findings. Limits without a source are
//! common practice. A plane is judged by its own stability, whatever makes it:
//! no rule asks for a tail.

mod surfaces;
mod trim;
mod whole;

use crate::builder::THROWER_M_S;
use crate::layout::Layout;
use crate::verdict::{Core, Finding, Subject, Verdict};

pub(crate) use surfaces::surface_findings;
pub(crate) use whole::{check_by_hand, current_finding, say_how_far, throw_findings};

/// Milder of two limits gives marginal, harder gives not yet.
fn graded(bad: bool, doubtful: bool) -> Option<Verdict> {
    if bad {
        Some(Verdict::NotYet)
    } else if doubtful {
        Some(Verdict::Marginal)
    } else {
        None
    }
}

/// Static margin beyond which a plane is called nose-heavy (5 to 20 % are
/// pleasant; common practice, no source).
const NOSE_HEAVY_MARGIN: f64 = 0.25;

/// What the rules say about one case.
#[must_use]
pub fn judge(core: &Core, layout: &Layout) -> Vec<Finding> {
    let mut found = stability(core);
    found.extend(trim::findings(core, layout));
    if layout.powered {
        found.extend(power(core));
    }
    found.extend(sideways(core));
    found
}

fn stability(core: &Core) -> Vec<Finding> {
    let mut found = Vec::new();
    let margin = core.static_margin;
    // Written so that NaN is a fault.
    if let Some(v) = graded(!(margin >= 0.02), margin < 0.05) {
        found.push(Finding::new(
            v,
            Subject::Stability,
            format!(
                "it balances {:.0} mm behind the wing root's leading edge and the neutral point is at {:.0} mm: static margin {:.0} %, at least 5 % is wanted",
                core.balance_aft_m * 1e3,
                core.neutral_point_aft_m * 1e3,
                margin * 1e2
            ),
            "move the battery forward",
        ));
    } else if margin > NOSE_HEAVY_MARGIN {
        found.push(Finding::new(
            Verdict::Marginal,
            Subject::Stability,
            format!(
                "it is nose-heavy: static margin {:.0} %, 5 to 20 % is usual; it answers the pitch stick late and may not flare",
                margin * 1e2
            ),
            "move the battery aft",
        ));
    }
    found
}

fn power(core: &Core) -> Vec<Finding> {
    let mut found = Vec::new();
    let climb = core.climb_m_s.unwrap_or(f64::NEG_INFINITY);
    if core.minimum_level_speed_m_s.is_none() {
        found.push(Finding::new(
            Verdict::NotYet,
            Subject::Power,
            "at launch throttle it holds height at no speed",
            "fit a larger propeller or a stronger, fuller battery, or build lighter",
        ));
    } else if let Some(v) = graded(!(climb >= 0.5), climb < 1.0) {
        found.push(Finding::new(
            v,
            Subject::Power,
            format!("at launch throttle it climbs {climb:.1} m/s at best; 1 m/s is wanted"),
            "fit a larger propeller or a stronger, fuller battery, or build lighter",
        ));
    }
    if let Some(speed) = core.minimum_level_speed_m_s
        && let Some(v) = graded(!(speed <= THROWER_M_S[1]), speed > 7.5)
    {
        found.push(Finding::new(
            v,
            Subject::Release,
            format!(
                "it holds height from {speed:.1} m/s; a thrower gives it {:.0} to {:.0} m/s",
                THROWER_M_S[0], THROWER_M_S[1]
            ),
            "build lighter or add wing area; until then launch into a breeze",
        ));
    }
    found
}

fn sideways(core: &Core) -> Vec<Finding> {
    let mut found = Vec::new();
    if !(core.cn_beta_per_rad > 0.0) {
        found.push(Finding::new(
            Verdict::NotYet,
            Subject::Yaw,
            "it does not turn into the wind: yaw stability is negative",
            "make the fin larger",
        ));
    }
    if let Some(roll) = core.roll_asymmetry
        && let Some(v) = graded(!(roll.abs() <= 0.5), roll.abs() > 0.15)
    {
        let turns = if roll > 0.0 { "right" } else { "left" };
        let share = roll.abs() * 1e2;
        // Same sign and more than half: the tail does it, not the wing.
        let by_yaw = (core.roll_asymmetry_by_yaw).is_some_and(|y| y / roll > 0.5);
        found.push(if by_yaw {
            Finding::new(
                v,
                Subject::Yaw,
                format!(
                    "it is built to yaw {turns} and rolls after it: holding it straight in a glide takes {share:.0} % of full stick"
                ),
                "sight along the body from behind and stand the fin straight; check that the rudder rests in line",
            )
        } else {
            Finding::new(
                v,
                Subject::Roll,
                format!(
                    "it is built to roll {turns}: holding it level in a glide takes {share:.0} % of full stick"
                ),
                "look along the wing from behind and take the twist out",
            )
        });
    }
    found
}
