//! From a nose attitude to stick.

use crate::scripted::aim::Aim;
use crate::scripted::scene::Scene;
use crate::scripted::steer::beyond;

/// Nothing more is learned from an error beyond this.
const LEARN_RAD: f64 = 0.15;
/// How fast an attitude is changed when nothing presses.
const NOSE_SPEED_RAD_S: f64 = 0.25;
/// Held stick that a pilot gets used to, at most.
const HOLD_LIMIT: f64 = 0.35;

/// What the thumb remembers about the nose.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Pitch {
    /// Stick held against a lasting error.
    pub hold: f64,
    /// Attitude that the pilot is bringing about now.
    nose_rad: Option<f64>,
}

impl Pitch {
    /// A new attitude is gone to smoothly.
    pub fn toward(&mut self, nose_rad: f64, aim: &Aim) -> f64 {
        let reach = aim.firmness * NOSE_SPEED_RAD_S * crate::scripted::flyer::DECIDE_EVERY_S;
        let now = self.nose_rad.unwrap_or(nose_rad);
        let next = now + (nose_rad - now).clamp(-reach, reach);
        self.nose_rad = Some(next);
        next
    }

    /// The stick for an aim. While the hand is away nothing is learned.
    pub fn stick(&mut self, scene: &Scene<'_>, aim: &Aim, hand_off: bool) -> f64 {
        if aim.thumbs_off {
            return 0.0;
        }
        let (sight, ability) = (scene.sight, scene.ability);
        let off_rad = aim.nose_rad - sight.pitch_rad;
        let error = beyond(off_rad, ability.notice_rad);
        if aim.on_ground {
            self.hold = 0.0;
            return ability.pitch_gain * error + aim.pull;
        }
        if !hand_off {
            // What is too small to notice at once is noticed when it lasts.
            let lasting = off_rad.clamp(-LEARN_RAD, LEARN_RAD);
            let rate = aim.firmness * aim.firmness * ability.hold_gain_per_s;
            let step = rate * lasting * scene.step_s;
            self.hold = (self.hold + step).clamp(-HOLD_LIMIT, HOLD_LIMIT);
        }
        // How fast the nose seems to rise against the horizon; in a turn the
        // body's own rate is another thing.
        let (sine, cosine) = libm::sincos(sight.bank_rad);
        let rising = sight.pitch_rate_rad_s * cosine - sight.yaw_rate_rad_s * sine;
        aim.firmness * ability.pitch_gain * error - ability.pitch_damping_s * rising
            + self.hold
            + aim.pull
    }
}
