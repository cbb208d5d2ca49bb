//! A stall on purpose, high up: slowly into it, and out as soon as it shows.

use super::Progress;
use crate::attitude::{PI, wrap};
use crate::scripted::aim::{Aim, Course};
use crate::scripted::scene::Scene;

/// Flown level for so long first.
const SETTLED_S: f64 = 2.0;
/// Less bank than this is wings level.
const LEVEL_RAD: f64 = 0.2;
/// How fast the stick comes back, of its whole way, and where the nose goes.
const PULL_PER_S: f64 = 0.35;
const NOSE_UP_RAD: f64 = 0.3;
/// A sink or a fall of the nose that is plain to see; a wing that drops.
const SINKS_M_S: f64 = 1.8;
const NOSE_FALLS_RAD_S: f64 = 0.6;
const WING_DROPS_RAD: f64 = 0.35;
/// The stick has come this far back before any of that means a stall.
const PULLED: f64 = 0.7;
/// Who sees none of it for so long with the stick fully back lets go.
const HELD_S: f64 = 3.0;
/// The nose is let down by this much below the glide, for at least so long.
const NOSE_DOWN_RAD: f64 = 0.12;
const RECOVERS_S: f64 = 1.2;
/// A turn is asked for by a track this far round.
const AROUND_RAD: f64 = 0.5 * PI;
/// The turn is flown this much steeper than it has to be.
const STEEPER_RAD: f64 = 0.26;

/// Into a stall and out of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::scripted) struct Stall {
    bank_rad: f64,
    height_m: Option<f64>,
    level_s: f64,
    pull: f64,
    held_s: f64,
    out_s: Option<f64>,
}

impl Stall {
    /// In a turn of this bank, or straight.
    pub fn banked(bank_rad: f64) -> Self {
        Self {
            bank_rad,
            height_m: None,
            level_s: 0.0,
            pull: 0.0,
            held_s: 0.0,
            out_s: None,
        }
    }

    pub(super) fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        if let Some(out_s) = self.out_s {
            return self.recover(scene, out_s);
        }
        let height_m = *self.height_m.get_or_insert(scene.height_to_hold_m());
        if self.level_s < SETTLED_S {
            if scene.sight.bank_rad.abs() < LEVEL_RAD {
                self.level_s += scene.step_s;
            }
            let course = Course::Toward {
                track_rad: scene.task.heading_rad,
            };
            return (scene.level(course, height_m), Progress::Going);
        }
        let aim = self.slow(scene);
        if self.is_stalled(scene) {
            self.out_s = Some(scene.time_s);
        }
        (aim, Progress::Going)
    }

    /// Throttle shut, stick slowly back, straight or in the turn.
    fn slow(&mut self, scene: &Scene<'_>) -> Aim {
        let banked = self.bank_rad > 0.0;
        let turning = scene.sight.bank_rad.abs() > self.bank_rad + 0.5 * STEEPER_RAD;
        // First the turn, then the stick.
        if !banked || turning || self.pull > 0.0 {
            self.pull = (self.pull + PULL_PER_S * scene.step_s).min(1.0);
        }
        if self.pull >= 1.0 {
            self.held_s += scene.step_s;
        }
        let way = scene.circuit.turns.sign();
        let course = if banked {
            Course::Toward {
                track_rad: wrap(scene.sight.track_rad + way * AROUND_RAD),
            }
        } else {
            Course::WingsLevel
        };
        Aim {
            nose_rad: scene.feel().level_pitch_rad + NOSE_UP_RAD * self.pull,
            throttle: scene.feel().level_throttle * (1.0 - 2.0 * self.pull).max(0.0),
            pull: self.pull,
            bank_limit_rad: if banked {
                self.bank_rad + STEEPER_RAD
            } else {
                scene.ability.bank_limit_rad
            },
            eagerness: 2.0,
            ..scene.plain(course)
        }
    }

    fn is_stalled(&self, scene: &Scene<'_>) -> bool {
        let sight = scene.sight;
        let asked_rad = if self.bank_rad > 0.0 {
            self.bank_rad + STEEPER_RAD
        } else {
            0.0
        };
        let drops = sight.bank_rad.abs() - asked_rad;
        self.pull > PULLED
            && (sight.climb_m_s < -SINKS_M_S
                || sight.pitch_rate_rad_s < -NOSE_FALLS_RAD_S
                || drops > WING_DROPS_RAD
                || self.held_s > HELD_S)
    }

    /// Stick forward, power, wings level, and up again once it flies.
    fn recover(&self, scene: &Scene<'_>, out_s: f64) -> (Aim, Progress) {
        let feel = scene.feel();
        let flies = scene.time_s - out_s > RECOVERS_S && scene.sight.climb_m_s > -0.5;
        let aim = Aim {
            nose_rad: if flies {
                feel.level_pitch_rad
            } else {
                feel.glide_pitch_rad - NOSE_DOWN_RAD
            },
            throttle: feel.climb_throttle,
            // The stick goes forward and waits there: who pulls at the falling nose
            // stalls again.
            firmness: if flies { 1.0 } else { 0.35 },
            pull: if flies { 0.0 } else { -0.1 },
            ..scene.plain(Course::WingsLevel)
        };
        let long = scene.time_s - out_s > RECOVERS_S + 2.0;
        let done = flies && long && scene.sight.bank_rad.abs() < LEVEL_RAD;
        (
            aim,
            if done {
                Progress::Done
            } else {
                Progress::Going
            },
        )
    }
}
