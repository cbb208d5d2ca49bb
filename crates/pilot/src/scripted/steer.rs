//! From a path over the ground to bank, and from bank to stick.

use crate::attitude::{PI, wrap};
use crate::scripted::aim::Aim;
use crate::scripted::scene::Scene;
use crate::{Noise, Sight, Steering};

/// Slower than this over the ground, nobody can say where the plane drifts.
const DRIFT_SEEN_M_S: f64 = 2.0;
/// How far ahead a pilot looks who waits for the bank to turn the plane, and
/// who turns it with the rudder while the bank still comes, as multiples of the
/// usual.
const AILERON_LEAD: f64 = 1.6;
const RUDDER_LEAD: f64 = 1.3;
/// Aileron stick as a share of the rudder stick for the same error, on a plane
/// of this roll rate at full stick.
const ROLL_SHARE: f64 = 0.9;
const USUAL_ROLL_RAD_S: f64 = 2.6;
/// Errors beyond this are on their way to being corrected; nothing is learned
/// from them.
const LEARN_RAD: f64 = 0.12;
/// At this bank even the confused see that it gets worse.
const PLAIN_BANK_RAD: f64 = 0.6;
/// Held stick that a pilot gets used to, at most.
const HOLD_LIMIT: f64 = 0.35;
/// Rudder for each radian that the nose points beside the mark, and against
/// its swing.
const ALIGN_GAIN: f64 = 2.0;
const ALIGN_DAMPING_S: f64 = 0.4;

/// What the thumbs remember about bank.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Steer {
    /// Stick held against a lasting bank.
    pub hold: f64,
}

/// Roll and yaw sticks.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Sideways {
    pub roll: f64,
    pub yaw: f64,
}

impl Steer {
    /// The sticks for an aim. `hand_off`: the hand of the roll stick is away.
    pub fn sticks(
        &mut self,
        scene: &Scene<'_>,
        aim: &Aim,
        hand_off: bool,
        noise: &Noise,
    ) -> Sideways {
        let (sight, habits) = (scene.sight, scene.habits);
        let waits = scene
            .free_s
            .is_some_and(|free_s| free_s < habits.roll_waits_s);
        if aim.thumbs_off || waits {
            return Sideways::default();
        }
        let align = aim.align_rad.map_or(0.0, |mark_rad| {
            let off_rad = wrap(mark_rad - sight.heading_rad);
            (ALIGN_GAIN * off_rad - ALIGN_DAMPING_S * sight.yaw_rate_rad_s).clamp(-1.0, 1.0)
        });
        if aim.on_ground {
            self.hold = 0.0;
            let level = match scene.task.steering {
                Steering::Ailerons => -0.5 * sight.bank_rad,
                Steering::Rudder => 0.0,
            };
            return Sideways {
                roll: level,
                yaw: align,
            };
        }
        let mut stick = self.bank_stick(scene, aim);
        if habits.reverses_share > 0.0 && sight.aspect_rad() < PI / 3.0 {
            // Confusion comes and goes over seconds; a value of 1.7 is the
            // half-width of the noise.
            let confused = 0.5 + 0.5 * noise.at(2, scene.time_s, 2.0) / 1.7;
            // Steep enough, it is plain which wing is low.
            let plain = sight.bank_rad.abs() > PLAIN_BANK_RAD;
            if confused < habits.reverses_share && !plain {
                stick = -stick;
            }
        }
        let with_aileron = match scene.task.steering {
            Steering::Ailerons => habits.rudder_share * stick,
            Steering::Rudder => 0.0,
        };
        if !hand_off {
            let yaw = if aim.align_rad.is_some() {
                align
            } else {
                with_aileron
            };
            Sideways { roll: stick, yaw }
        } else if habits.uses_yaw_stick {
            Sideways {
                roll: 0.0,
                yaw: stick,
            }
        } else {
            Sideways::default()
        }
    }

    /// The stick that brings the bank to what the path asks for.
    fn bank_stick(&mut self, scene: &Scene<'_>, aim: &Aim) -> f64 {
        let (sight, ability) = (scene.sight, scene.ability);
        // A rudder turns the plane now for a bank that comes later.
        let lead_s = match scene.task.steering {
            Steering::Ailerons => AILERON_LEAD * ability.turn_lead_s,
            Steering::Rudder => RUDDER_LEAD * ability.turn_lead_s,
        };
        let wanted = aim.course.wanted(sight);
        let away_rad = scene.away_from_line(wanted.map(|(track_rad, _)| track_rad));
        let (wanted, bank_limit_rad) = match away_rad {
            Some(track_rad) => (Some((track_rad, 0.0)), aim.bank_limit_rad.max(0.65)),
            None => (wanted, aim.bank_limit_rad),
        };
        let bank_wanted = wanted.map_or(0.0, |(track_rad, path_bank_rad)| {
            let soon_rad =
                self.going(sight, scene.habits.sees_drift) + lead_s * sight.yaw_rate_rad_s;
            let off_rad = wrap(track_rad - soon_rad);
            (path_bank_rad + aim.eagerness * ability.heading_gain * off_rad)
                .clamp(-bank_limit_rad, bank_limit_rad)
        });
        let error = beyond(bank_wanted - sight.bank_rad, ability.notice_rad);
        let step = ability.hold_gain_per_s * error.clamp(-LEARN_RAD, LEARN_RAD) * scene.step_s;
        self.hold = (self.hold + step).clamp(-HOLD_LIMIT, HOLD_LIMIT);
        // Ailerons answer at once and want half the stick, let off as the roll
        // begins. A rudder banks the plane late, through yaw: waiting for the
        // roll before letting off only swings the nose.
        self.hold
            + match scene.task.steering {
                Steering::Ailerons => {
                    // Less stick for a plane that rolls fast.
                    let lively = USUAL_ROLL_RAD_S / scene.feel().roll_rate_rad_s;
                    lively
                        * (ROLL_SHARE * ability.bank_gain * error
                            - ability.roll_damping_s * sight.roll_rate_rad_s)
                }
                Steering::Rudder => ability.bank_gain * error,
            }
    }

    /// Where the pilot thinks that the plane goes: somewhere between where its
    /// nose points and where it moves.
    fn going(&self, sight: &Sight, sees_drift: f64) -> f64 {
        let drift_rad = if sight.ground_speed_m_s > DRIFT_SEEN_M_S {
            wrap(sight.track_rad - sight.heading_rad)
        } else {
            0.0
        };
        sight.heading_rad + sees_drift * drift_rad
    }
}

/// The part of an error that is large enough to notice; the rest is left alone.
pub(super) fn beyond(error: f64, notice: f64) -> f64 {
    if error > notice {
        error - notice
    } else if error < -notice {
        error + notice
    } else {
        0.0
    }
}
