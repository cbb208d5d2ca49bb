//! Trims: fly level along the field, move the levers toward the pressure on the
//! sticks until none is left, take the thumbs off and watch.

use super::Progress;
use crate::Trims;
use crate::attitude::{PI, wrap};
use crate::scripted::aim::{Aim, Course, Line};
use crate::scripted::scene::Scene;

/// The legs end this far before and after the touch point.
const BEFORE_M: f64 = 35.0;
const AFTER_M: f64 = 65.0;
/// The nearer leg is this far out.
const NEAR_LEG_M: f64 = 10.0;
/// Straight and level for this long before the thumbs come off.
const SETTLED_S: f64 = 2.0;
/// Hands go back at this bank, or when the nose is this far from where it was.
const TAKE_OVER_BANK_RAD: f64 = 0.45;
const TAKE_OVER_NOSE_RAD: f64 = 0.30;
/// Tries before the pilot lives with what there is.
const TRIES: u32 = 6;
/// A click or two, as a share of full travel.
const CLICKS: f64 = 0.02;

/// The trim flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::scripted) struct TrimOut {
    hold_s: f64,
    /// Flying with the landing direction, or against it.
    upwind: bool,
    settled_s: f64,
    off_s: Option<f64>,
    throttle: Option<f64>,
    height_m: Option<f64>,
    tries: u32,
}

impl TrimOut {
    pub fn new(hold_s: f64) -> Self {
        Self {
            hold_s,
            upwind: true,
            settled_s: 0.0,
            off_s: None,
            throttle: None,
            height_m: None,
            tries: 0,
        }
    }

    pub(super) fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        let along_m = scene.along_m();
        if self.off_s.is_none() {
            if self.upwind && along_m > AFTER_M {
                self.upwind = false;
            } else if !self.upwind && along_m < -BEFORE_M {
                self.upwind = true;
            }
        }
        // Straight matters here, not where exactly.
        let gain_rad_m = 0.15 / scene.feel().level_speed_m_s;
        let far_m = NEAR_LEG_M + 2.2 * scene.line_turn_m();
        let line = if self.upwind {
            scene.line(NEAR_LEG_M, 0.0)
        } else {
            scene.line(far_m, PI)
        };
        let line = Line { gain_rad_m, ..line };
        let height_m = *self.height_m.get_or_insert(scene.height_to_hold_m());
        let mut aim = scene.level(Course::Line(line), height_m);
        if let Some(off_s) = self.off_s {
            return self.watch(scene, aim, off_s);
        }
        let on_track = wrap(scene.sight.track_rad - line.track_rad).abs() < 0.3;
        let level = scene.sight.bank_rad.abs() < 0.2 && scene.sight.climb_m_s.abs() < 1.2;
        let straight = on_track && level && line.beside_m(scene.sight).abs() < 14.0;
        aim.trims_by_feel = straight;
        self.settled_s = if straight {
            self.settled_s + scene.step_s
        } else {
            0.0
        };
        let before = self.throttle.unwrap_or(aim.throttle);
        self.throttle = Some(before + (aim.throttle - before) * (scene.step_s / 1.5).min(1.0));
        let room_m = if self.upwind {
            AFTER_M - along_m
        } else {
            along_m + BEFORE_M
        };
        let room = room_m > 0.5 * self.hold_s * scene.sight.ground_speed_m_s;
        if self.settled_s > SETTLED_S && room {
            self.off_s = Some(0.0);
        }
        let hopeless = self.tries >= TRIES;
        (
            aim,
            if hopeless {
                Progress::Done
            } else {
                Progress::Going
            },
        )
    }

    /// Thumbs off: wait, or take over and click against what it did.
    fn watch(&mut self, scene: &Scene<'_>, mut aim: Aim, off_s: f64) -> (Aim, Progress) {
        let sight = scene.sight;
        let off_s = off_s + scene.step_s;
        self.off_s = Some(off_s);
        aim.throttle = self.throttle.unwrap_or(aim.throttle);
        aim.thumbs_off = true;
        if off_s > self.hold_s + 0.3 {
            return (aim, Progress::Done);
        }
        let nose_off = sight.pitch_rad - scene.feel().level_pitch_rad;
        let low = sight.height_m < 0.55 * self.height_m.unwrap_or(0.0);
        if sight.bank_rad.abs() > TAKE_OVER_BANK_RAD || nose_off.abs() > TAKE_OVER_NOSE_RAD || low {
            let against = |angle: f64, limit: f64| {
                if angle.abs() < 0.5 * limit {
                    0.0
                } else {
                    -CLICKS * angle.signum()
                }
            };
            aim.clicks = Trims {
                roll: against(sight.bank_rad, TAKE_OVER_BANK_RAD),
                pitch: against(nose_off, TAKE_OVER_NOSE_RAD),
                yaw: 0.0,
            };
            aim.thumbs_off = false;
            (self.off_s, self.settled_s) = (None, 0.0);
            self.tries += 1;
        }
        (aim, Progress::Going)
    }
}
