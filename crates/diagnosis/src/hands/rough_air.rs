//! Air that throws the plane about.

use super::moment::Moment;
use super::{Broken, Hands, LANDS_AFTER_S, broken};

/// Sticks are still when they stay within this of where they are, for this long
/// (own choice, as all limits here).
const STILL: f64 = 0.15;
const STILL_FOR_S: f64 = 0.29;
/// Accelerations are changes over this long.
const OVER_S: f64 = 0.09;
/// Less of a flight with its sticks still says nothing.
const LEAST_S: f64 = 1.0;
/// Steeper banks and paths, and larger angles of attack, shake a wing by themselves:
/// a plane that swings through level in a roll or pulls out of a dive flies on its
/// own lift, not on the air's.
const LEVEL_RAD: f64 = 0.6;
const UNSTALLED_RAD: f64 = 0.25;
/// A metre a second and second up and down comes with this much roll, rad/s2,
/// among eddies; gusts along the way hardly roll a plane.
const EDDIES_ROLL: f64 = 0.5;

/// The two that leave this trace: one answer.
pub(crate) const OF_ROUGH_AIR: [&str; 2] = ["lee-of-trees", "gusts-from-behind"];

impl Hands {
    /// Thrown up and down while no stick moves: by gusts, or by eddies, which roll
    /// it as well.
    pub fn rough_air(&self) -> [Option<Broken>; 2] {
        let Some(bumps) = self.bumps() else {
            return [None, None];
        };
        let rule = |name, likeness: f64| {
            let mut rule = broken(
                name,
                "acceleration up and down with the sticks still (root mean square)",
                "m/s2",
                bumps.worst_s,
                bumps.vertical_m_s2,
                1.5,
                0.05,
            )?;
            // One of the two always comes with the other: which it was is told by
            // a look at the field.
            rule.gain *= likeness.min(1.0);
            Some(rule)
        };
        let rolls = bumps.roll_rad_s2 / bumps.vertical_m_s2;
        [
            rule(OF_ROUGH_AIR[0], rolls / EDDIES_ROLL),
            rule(OF_ROUGH_AIR[1], EDDIES_ROLL / rolls),
        ]
    }

    fn bumps(&self) -> Option<Bumps> {
        let (mut all_s, mut vertical, mut roll) = (0.0, 0.0, 0.0);
        let mut worst = (0.0, 0.0);
        for (index, now) in self.moments.iter().enumerate() {
            let before = &self.moments[..index];
            let since = before
                .iter()
                .rev()
                .take_while(|m| now.time_s - m.time_s < STILL_FOR_S);
            if !flies_level(now)
                || now.lasts_s == 0.0
                || !since
                    .clone()
                    .all(|m| m.lasts_s > 0.0 && is_as(m, now) && flies_level(m))
            {
                continue;
            }
            let Some(then) = since.clone().find(|m| now.time_s - m.time_s > OVER_S) else {
                continue;
            };
            let passed_s = now.time_s - then.time_s;
            let up_m_s2 = (now.climb_m_s - then.climb_m_s) / passed_s;
            let roll_rad_s2 = (now.roll_rate_rad_s - then.roll_rate_rad_s) / passed_s;
            all_s += now.lasts_s;
            vertical += up_m_s2 * up_m_s2 * now.lasts_s;
            roll += roll_rad_s2 * roll_rad_s2 * now.lasts_s;
            if up_m_s2.abs() > worst.0 {
                worst = (up_m_s2.abs(), now.time_s);
            }
        }
        (all_s > LEAST_S).then(|| Bumps {
            vertical_m_s2: (vertical / all_s).sqrt(),
            roll_rad_s2: (roll / all_s).sqrt(),
            worst_s: worst.1,
        })
    }
}

/// Root mean squares over the time with the sticks still.
struct Bumps {
    vertical_m_s2: f64,
    roll_rad_s2: f64,
    worst_s: f64,
}

/// In the air for a while, well clear of the ground, and not stalled.
fn flies_level(m: &Moment) -> bool {
    m.free_s > LANDS_AFTER_S
        && m.height_m > 2.0
        && m.bank_rad.abs() < LEVEL_RAD
        && m.climb_m_s.abs() < LEVEL_RAD * m.airspeed_m_s
        && m.alpha_rad.abs() < UNSTALLED_RAD
}

/// Sticks as they are now.
fn is_as(m: &Moment, now: &Moment) -> bool {
    let moved = [
        m.pitch - now.pitch,
        m.roll - now.roll,
        m.yaw - now.yaw,
        m.throttle - now.throttle,
    ];
    moved.iter().all(|by| by.abs() < STILL)
}
