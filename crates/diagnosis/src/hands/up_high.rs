//! What hands do from the throw to the final.

use larkfield_pilot::Steering;

use super::moment::Moment;
use super::{Broken, Hands, THROW_S, broken};

/// A sheet wing stalls at 10 to 15 degrees (aviation.govt.nz, "Wing-drop
/// stalling": about 15); beyond this it has, though the wind is only guessed (own
/// choice).
const SURELY_STALLED_RAD: f64 = 0.3;

/// A wind across the first heading bends every turn from here on (own choice).
const CROSSES_M_S: f64 = 1.0;
/// A wind across the first heading carries who flies on as planned over the
/// people from here on (own choice).
const BLOWS_OVER_M_S: f64 = 0.8;
/// Nearer than this to where it was thrown is too near to the people there, who
/// stand a few metres off (own choice: the 10 m of the scores and those).
const TOO_NEAR_M: f64 = 12.0;

/// The nose swings when it comes back by this much (own choice).
const SWING_PITCH_RAD: f64 = 0.25;

impl Hands {
    /// Thrown across a wind that is demanding there: 2 to 4.5 m/s
    /// (library.modelaviation.com, "If It Flies", 2010/08); or across less, which
    /// then carries it past the people.
    pub fn crosswind(&self) -> Option<Broken> {
        let across_m_s = self.across_m_s.abs();
        let first = self.moments.first()?;
        if !self.is_thrown || across_m_s < 0.5 * self.along_m_s.abs() {
            return None;
        }
        let (at_s, limit_m_s) = match self.comes_by() {
            Some(back) => (back.time_s, BLOWS_OVER_M_S),
            None => (first.time_s, 2.0),
        };
        let what = "wind across the launch, by how it drifted";
        broken("crosswind", what, "m/s", at_s, across_m_s, limit_m_s, 0.1)
    }

    /// The first moment back at the people.
    fn comes_by(&self) -> Option<&Moment> {
        let mut away = (self.moments.iter()).skip_while(|m| m.from_hand_m < 2.0 * TOO_NEAR_M);
        away.find(|m| m.from_hand_m < TOO_NEAR_M)
    }

    /// It rolls away, and for four tenths of a second no stick answers.
    pub fn torque_left_alone(&self) -> Option<Broken> {
        let (lasted_s, at_s) = self.longest(|m| {
            m.free_s < 3.0
                && m.bank_rad.abs() > 0.1
                && m.bank_rad * m.roll_rate_rad_s > 0.0
                && m.roll.abs().max(m.yaw.abs()) < 0.08
        });
        // Nobody answers what has not been seen for the time of a reaction.
        broken(
            "torque-left-alone",
            "time without a stick against the roll",
            "s",
            at_s,
            lasted_s,
            0.5,
            0.1,
        )
    }

    /// Pulls hard at a wing that has stalled; or, slower than the stall and nose up,
    /// does not push. In a flare that belongs there.
    pub fn over_pull(&self) -> Option<Broken> {
        let hard = |m: &&Moment| {
            self.not_landing(m)
                && m.free_s > THROW_S
                && m.pitch > 0.5
                && (m.airspeed_m_s < self.stall_m_s || m.alpha_rad > SURELY_STALLED_RAD)
        };
        let what = "time of much up elevator with the wing stalled or slower than its stall";
        let pulled = self.total("over-pull", what, hard, 0.3, 0.1);
        let slow = |m: &&Moment| self.is_slow(m) && m.pitch > -0.1 && m.pitch_rad > 0.0;
        let what = "time slower than the stall without a push";
        let waited = self.total("over-pull", what, slow, 0.7, 0.2);
        let broken = [pulled, waited].into_iter().flatten();
        broken.max_by(|a, b| a.gain.total_cmp(&b.gain))
    }

    /// A good part of the stick deepens a bank that is already as steep as a turn's
    /// when the plane comes, and not when it goes.
    pub fn nose_in_reversal(&self) -> Option<Broken> {
        let toward = |m: &Moment| m.off_pilot_rad < core::f64::consts::FRAC_PI_3;
        let deepens = |m: &&Moment| m.bank_rad.abs() > 0.5 && m.roll * m.bank_rad.signum() > 0.25;
        let seconds = |comes: bool| {
            let there = self.moments.iter().filter(|m| toward(m) == comes);
            let all_s: f64 = there.clone().map(|m| m.lasts_s).sum();
            let deepened_s: f64 = there.filter(deepens).map(|m| m.lasts_s).sum();
            (deepened_s, all_s)
        };
        let ((toward_s, all_toward_s), (away_s, all_away_s)) = (seconds(true), seconds(false));
        // Turns are begun so as well, on every heading.
        let turns = away_s / all_away_s.max(1.0);
        let most_s = if self.across_m_s.abs() > CROSSES_M_S {
            0.35
        } else {
            0.1
        };
        let limit_s = most_s + turns * all_toward_s;
        let worst = (self.moments.iter())
            .filter(deepens)
            .filter(|m| toward(m))
            .max_by(|a, b| a.bank_rad.abs().total_cmp(&b.bank_rad.abs()))?;
        let what = "time of stick that deepened a bank while it came back";
        broken(
            "nose-in-reversal",
            what,
            "s",
            worst.time_s,
            toward_s,
            limit_s,
            0.04,
        )
    }

    /// The nose swings up and down for much of the flight, with the stick behind
    /// it: whoever mistakes left for right has no reason to.
    pub fn swings_all_the_time(&self) -> bool {
        // Own choice.
        const OFTEN_1_S: f64 = 0.5;
        let high = || self.moments.iter().filter(|m| self.not_landing(m));
        let all_s: f64 = high().map(|m| m.lasts_s).sum();
        let turns = swings(high(), |m| m.pitch_rad, |m| m.pitch, SWING_PITCH_RAD);
        turns.len() as f64 > OFTEN_1_S * all_s.max(1.0)
    }

    /// The plane swings from side to side, or up and down, with the stick behind
    /// every swing. A busy stick alone is not it: some planes want one.
    pub fn over_control(&self) -> Option<Broken> {
        const WINDOW_S: f64 = 4.0;
        const BANK_RAD: f64 = 0.35;
        let mut worst: Option<(f64, f64)> = None;
        // Landings are flown with large sticks.
        let high = || self.moments.iter().filter(|m| self.not_landing(m));
        let bank = swings(high(), |m| m.bank_rad, |m| m.roll, BANK_RAD);
        let pitch = swings(high(), |m| m.pitch_rad, |m| m.pitch, SWING_PITCH_RAD);
        for turns in [bank, pitch] {
            for (index, from_s) in turns.iter().enumerate() {
                let within = turns[index..]
                    .iter()
                    .take_while(|t| **t < from_s + WINDOW_S);
                let rate = within.count() as f64 / WINDOW_S;
                if worst.is_none_or(|(most, _)| rate > most) {
                    worst = Some((rate, *from_s));
                }
            }
        }
        let (rate, at_s) = worst?;
        broken(
            "over-control",
            "swings back and forth, with the stick behind them",
            "1/s",
            at_s,
            rate,
            0.5,
            0.1,
        )
    }

    /// Aileron against a bank that grows, near the stall.
    pub fn aileron_at_stall(&self) -> Option<Broken> {
        if self.steering != Steering::Ailerons {
            return None;
        }
        let fights =
            |m: &&Moment| self.is_slow(m) && m.roll * m.bank_rad < 0.0 && m.roll.abs() > 0.5;
        let what = "time of much aileron slower than the stall";
        self.total("aileron-at-stall", what, fights, 0.25, 0.1)
    }
}

/// When the plane turned back by a good part of a swing, with its stick hard over
/// that way.
fn swings<'a>(
    mut moments: impl Iterator<Item = &'a Moment>,
    of: fn(&Moment) -> f64,
    stick: fn(&Moment) -> f64,
    least_rad: f64,
) -> Vec<f64> {
    const HARD: f64 = 0.4;
    let mut turns = Vec::new();
    let Some(first) = moments.next() else {
        return turns;
    };
    let (mut way, mut end, mut hardest) = (0.0, of(first), 0.0_f64);
    for m in moments.filter(|m| !m.busy) {
        let x = of(m);
        hardest = hardest.max(-way * stick(m));
        if (x - end) * way > 0.0 || (way == 0.0 && (x - end).abs() > least_rad) {
            way = (x - end).signum();
            (end, hardest) = (x, -way * stick(m));
        } else if (end - x) * way > least_rad {
            if hardest > HARD {
                turns.push(m.time_s);
            }
            (way, end, hardest) = (-way, x, 0.0);
        }
    }
    turns
}
