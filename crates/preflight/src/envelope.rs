//! Speeds, climb and glide over speed and throttle.

use serde::Serialize;

use crate::bench::Bench;
use crate::trim::{Guess, Path, Stall, Trim, trim};

/// Lowest speed at which a throttle setting holds height.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LevelSpeed {
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// The speed; `None` where this throttle holds height at no speed.
    pub minimum_speed_m_s: Option<f64>,
}

/// One trimmed speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PathPoint {
    /// Speed through the air.
    pub speed_m_s: f64,
    /// Angle of attack of the airframe's x axis.
    pub alpha_deg: f64,
    /// Pitch command, beyond 1 when the travel does not suffice.
    pub pitch_command: f64,
    /// Throttle.
    pub throttle: f64,
    /// Vertical speed, up positive.
    pub climb_m_s: f64,
    /// Climb angle.
    pub climb_angle_deg: f64,
    /// Battery current.
    pub current_a: f64,
    /// Battery voltage under load.
    pub voltage_v: f64,
}

impl From<&Trim> for PathPoint {
    fn from(t: &Trim) -> Self {
        Self {
            speed_m_s: t.condition.speed_m_s,
            alpha_deg: t.condition.alpha_rad.to_degrees(),
            pitch_command: t.pitch(),
            throttle: t.condition.controls.throttle,
            climb_m_s: t.climb_m_s(),
            climb_angle_deg: libm::asin(t.excess.clamp(-1.0, 1.0)).to_degrees(),
            current_a: t.sample.current_a,
            voltage_v: t.sample.voltage_v,
        }
    }
}

/// Speeds over the stall speed that are looked at.
const SPEEDS: [f64; 14] = [
    0.80, 0.88, 0.94, 1.0, 1.06, 1.14, 1.24, 1.36, 1.5, 1.7, 1.95, 2.25, 2.6, 3.0,
];

/// Trims over the speeds at one throttle; speeds without a trim are left out.
#[must_use]
pub fn sweep(
    bench: &mut Bench<'_>,
    chord_m: f64,
    stall: &Stall,
    throttle: f64,
    path: Path,
) -> Vec<Trim> {
    let mut found: Vec<Trim> = Vec::new();
    // From fast to slow: the easy end first, its answer starts the next.
    for factor in SPEEDS.iter().rev() {
        let speed = factor * stall.speed_m_s;
        let guess = found.last().map_or_else(Guess::default, Guess::from);
        match trim(bench, chord_m, speed, throttle, path, guess) {
            Some(t) => found.push(t),
            None if *factor < 1.1 => break,
            None => bench.calm(),
        }
    }
    found.reverse();
    found
}

/// Lowest speed of a level sweep that holds height within full travel, on the
/// straight line between the speeds looked at.
#[must_use]
pub fn minimum_level_speed_m_s(sweep: &[Trim]) -> Option<f64> {
    let usable: Vec<&Trim> = sweep.iter().filter(|t| t.pitch().abs() <= 1.0).collect();
    let first = usable.iter().position(|t| t.excess >= 0.0)?;
    let here = usable.get(first)?;
    let Some(before) = first.checked_sub(1).and_then(|k| usable.get(k)) else {
        return Some(here.condition.speed_m_s);
    };
    let share = before.excess / (before.excess - here.excess);
    Some(between(
        before.condition.speed_m_s,
        here.condition.speed_m_s,
        share,
    ))
}

/// Highest level speed of a sweep.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TopSpeed {
    /// The speed.
    pub speed_m_s: f64,
    /// It still climbs at the fastest speed looked at: the real one is higher.
    pub is_limit_of_search: bool,
}

/// Highest level speed of a sweep; `None` when height is lost at every speed.
#[must_use]
pub fn maximum_level_speed(sweep: &[Trim]) -> Option<TopSpeed> {
    let last = sweep.iter().rposition(|t| t.excess >= 0.0)?;
    let here = sweep.get(last)?;
    let Some(after) = sweep.get(last + 1) else {
        return Some(TopSpeed {
            speed_m_s: here.condition.speed_m_s,
            is_limit_of_search: true,
        });
    };
    let share = here.excess / (here.excess - after.excess);
    Some(TopSpeed {
        speed_m_s: between(here.condition.speed_m_s, after.condition.speed_m_s, share),
        is_limit_of_search: false,
    })
}

/// Speed at which a sweep needs no pitch command.
#[must_use]
pub fn hands_off_speed_m_s(sweep: &[Trim]) -> Option<f64> {
    sweep.windows(2).find_map(|pair| {
        let [a, b] = pair else { return None };
        let (low, high) = (a.pitch(), b.pitch());
        ((low >= 0.0) != (high >= 0.0)).then(|| {
            between(
                a.condition.speed_m_s,
                b.condition.speed_m_s,
                low / (low - high),
            )
        })
    })
}

fn between(from: f64, to: f64, share: f64) -> f64 {
    from + (to - from) * share
}

/// Throttle, trim and current of level flight at a speed: halving between the
/// ends, since excess grows with throttle. `None` when full throttle does not
/// hold height there.
#[must_use]
pub fn level_at(bench: &mut Bench<'_>, chord_m: f64, speed_m_s: f64) -> Option<Trim> {
    let look = |bench: &mut Bench<'_>, throttle: f64, guess: Guess| {
        trim(
            bench,
            chord_m,
            speed_m_s,
            throttle,
            Path::LiftIsWeight,
            guess,
        )
    };
    let mut best = look(bench, 1.0, Guess::default())?;
    if best.excess < 0.0 {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..9 {
        let middle = 0.5 * (low + high);
        let t = look(bench, middle, Guess::from(&best))?;
        if t.excess >= 0.0 {
            high = middle;
            best = t;
        } else {
            low = middle;
        }
    }
    Some(best)
}
