//! A ladder of pilots, from the first day to mastery: delay, noise, gains,
//! confusion and habits on straight lines between two ends. What scores mean is
//! tested on it. Every number is an assumption (common practice, no source), but
//! for the ends of the delay: 0.15 s is a simple reaction (mdict.net, "Reaction
//! Time Human"), 0.6 s nearly the 0.7 s of an emergency (experts.com, "Reaction
//! Time").

use crate::Acuity;
use crate::scripted::{Ability, Habits};

/// How far somebody has come, in hundredths of the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Skill(u8);

impl Skill {
    /// Hundredths; more than a hundred is a hundred.
    #[must_use]
    pub fn percent(percent: u8) -> Self {
        Self(percent.min(100))
    }

    /// Hundredths.
    #[must_use]
    pub fn in_percent(self) -> u8 {
        self.0
    }

    /// Whether somebody who has come this far does what is learned at a point of
    /// the way.
    fn has_learned(self, at_percent: u8) -> bool {
        self.0 >= at_percent
    }

    /// Between the first day and mastery.
    fn between(self, first_day: f64, mastery: f64) -> f64 {
        let share = f64::from(self.0) / 100.0;
        first_day * (1.0 - share) + mastery * share
    }

    /// Eyes and hands.
    #[must_use]
    pub fn ability(self) -> Ability {
        let mix = |first_day, mastery| self.between(first_day, mastery);
        Ability {
            acuity: Acuity {
                delay_s: mix(0.60, 0.15),
                angle_rad: mix(0.11, 0.015),
                rate_rad_s: mix(0.28, 0.04),
                height_share: mix(0.28, 0.06),
                speed_m_s: mix(0.9, 0.15),
                doubling_m: mix(20.0, 70.0),
                wander_s: mix(0.9, 0.7),
            },
            bank_gain: mix(2.8, 1.7),
            roll_damping_s: mix(0.0, 0.28),
            heading_gain: mix(1.4, 0.4),
            turn_lead_s: mix(0.0, 0.55),
            bank_limit_rad: mix(0.7, 0.35),
            turn_bank_rad: mix(0.75, 0.5),
            pitch_gain: mix(2.6, 1.7),
            pitch_damping_s: mix(0.0, 0.4),
            hold_gain_per_s: mix(0.25, 0.4),
            notice_rad: mix(0.12, 0.025),
            stick_speed_per_s: mix(7.5, 5.0),
            tremor: mix(0.10, 0.015),
            spread: 0.08,
        }
    }

    /// What is done in a situation.
    #[must_use]
    pub fn habits(self) -> Habits {
        let mix = |first_day, mastery| self.between(first_day, mastery);
        Habits {
            climb_pitch_rad: mix(0.36, 0.21),
            eases_forward: self.has_learned(45),
            pull_per_m_s: mix(0.5, 0.0),
            uses_yaw_stick: self.has_learned(55),
            lands_ahead: self.has_learned(50),
            roll_waits_s: mix(0.5, 0.0),
            sees_drift: mix(0.0, 1.0),
            climb_share: mix(4.0, 1.0),
            track_gain_rad_m: mix(0.0, 0.025),
            reverses_share: mix(0.8, 0.0),
            rudder_share: mix(0.0, 0.25),
            slope_share: 1.0,
            base_late_m: mix(12.0, 0.0),
            dives_rad_m: mix(0.08, 0.0),
            power_gain: mix(0.3, 1.0),
            minds_line: true,
            goes_round: self.has_learned(60),
            flare_from_m: 1.5,
            flare_misjudged_m: mix(0.35, 0.0),
            shut_below_m: mix(-0.3, 0.4),
            aligns: self.has_learned(70),
            glide_stretch_rad: mix(0.12, 0.0),
            silence_s: mix(1.6, 0.4),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_are_those_of_the_ladder_and_the_way_is_straight() {
        let delay_s = |percent| Skill::percent(percent).ability().acuity.delay_s;
        assert_eq!((delay_s(0), delay_s(100)), (0.60, 0.15));
        assert!((delay_s(50) - 0.375).abs() < 1e-12);
        assert_eq!(Skill::percent(250), Skill::percent(100));
        assert!(!Skill::percent(44).habits().eases_forward);
        assert!(Skill::percent(45).habits().eases_forward);
    }
}
