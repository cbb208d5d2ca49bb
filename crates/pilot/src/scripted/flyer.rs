//! A person who flies by eye: looks, decides, moves the thumbs.
//!
//! Decisions fall on a grid of 20 ms whatever the tick; between them the thumbs
//! travel at their own speed toward where they were sent. That makes a flyer a
//! function of time.

use crate::attitude::{PI, wrap};
use crate::scripted::{Ability, Habits, Task};
use crate::{ControlMessage, Eyes, HandOff, Noise, Sight, Steering, Sticks, Truth};

/// Time between decisions.
const DECIDE_EVERY_S: f64 = 0.020;
/// Climb until the eye says the goal has been passed by this share: the eye
/// misjudges height, and higher is safer.
const PASS_GOAL_BY: f64 = 1.15;
/// Below this sink nobody says the plane sinks.
const SINK_NOTICED_M_S: f64 = 0.4;
/// Nose this far above the path looks like mushing.
const MUSH_RAD: f64 = 0.24;
/// Farthest that the nose is turned from the heading to hold the line.
const CRAB_RAD: f64 = 0.5;
/// Slower than this over the ground, nobody can say where the plane drifts.
const DRIFT_SEEN_M_S: f64 = 2.0;
/// Held stick that a pilot gets used to, at most.
const HOLD_LIMIT: f64 = 0.35;
/// Height and sink at which the ground cannot be avoided any more.
const LOST_HEIGHT_M: f64 = 0.8;
const LOST_SINK_M_S: f64 = 1.5;

/// A pilot with an ability, habits and a task.
#[derive(Debug, Clone, PartialEq)]
pub struct Flyer {
    ability: Ability,
    habits: Habits,
    task: Task,
    eyes: Eyes,
    noise: Noise,
    hand: HandOff,
    /// Where the thumbs are and where they are going.
    sticks: Sticks,
    wanted: Sticks,
    decision: f64,
    last_s: Option<f64>,
    /// When the pilot noticed the release.
    free_since_s: Option<f64>,
    /// Stick held against a lasting pitch error, and against a lasting bank.
    pitch_hold: f64,
    roll_hold: f64,
    /// Angle by which the nose is held into a crosswind.
    crab_rad: f64,
    /// The goal height has been passed, as far as the eye can tell.
    arrived: bool,
    /// The landing ahead has been decided.
    giving_up: bool,
}

impl Flyer {
    /// The person that the seed picks among people of this ability and these
    /// habits.
    pub fn new(ability: Ability, habits: Habits, task: Task, seed: u64) -> Self {
        let person = ability.of_seed(seed);
        Self {
            eyes: Eyes::new(person.acuity, seed),
            ability: person,
            habits: habits.of_seed(seed, ability.spread),
            task,
            noise: Noise::new(seed, "thumbs"),
            hand: HandOff::default(),
            sticks: Sticks::default(),
            wanted: Sticks::default(),
            decision: -1.0,
            last_s: None,
            free_since_s: None,
            pitch_hold: 0.0,
            roll_hold: 0.0,
            crab_rad: 0.0,
            arrived: false,
            giving_up: false,
        }
    }

    /// Flies with another stick mode or throws with the other hand.
    pub fn with_hand(mut self, hand: HandOff) -> Self {
        self.hand = hand;
        self
    }

    /// The person's own figures.
    pub fn ability(&self) -> &Ability {
        &self.ability
    }

    /// What the hands do now.
    pub fn act(&mut self, time_s: f64, truth: &Truth) -> ControlMessage {
        self.eyes.watch(time_s, truth);
        let due = (time_s / DECIDE_EVERY_S + 1e-6).floor();
        if due > self.decision {
            self.decision = due;
            self.decide(time_s, truth.hand_off);
        }
        let passed_s = self.last_s.map_or(0.0, |last_s| (time_s - last_s).max(0.0));
        self.last_s = Some(time_s);
        self.move_thumbs(passed_s);
        let message = ControlMessage {
            sticks: self.sticks.within_gates(),
            trims: self.task.trims,
            ..ControlMessage::default()
        };
        let given = self.hand.apply(message, truth.hand_off);
        // A thumb that is away is not moving either: it starts again from where
        // the stick was left.
        self.sticks = given.sticks;
        given
    }

    fn move_thumbs(&mut self, passed_s: f64) {
        let reach = self.ability.stick_speed_per_s * passed_s;
        let slew = |now: f64, wanted: f64| now + (wanted - now).clamp(-reach, reach);
        self.sticks.roll = slew(self.sticks.roll, self.wanted.roll);
        self.sticks.pitch = slew(self.sticks.pitch, self.wanted.pitch);
        self.sticks.yaw = slew(self.sticks.yaw, self.wanted.yaw);
        self.sticks.throttle = slew(self.sticks.throttle, self.wanted.throttle);
    }

    fn decide(&mut self, time_s: f64, hand_off: bool) {
        let sight = self.eyes.look(time_s);
        if sight.free && self.free_since_s.is_none() {
            self.free_since_s = Some(time_s);
        }
        let free_s = self.free_since_s.map(|since_s| time_s - since_s);
        let mut wanted = Sticks {
            throttle: self.task.launch_throttle(free_s),
            ..Sticks::default()
        };
        if free_s.is_some() {
            if sight.height_m > self.task.climb_to_m() * PASS_GOAL_BY {
                self.arrived = true;
            }
            self.steer(time_s, &sight, hand_off, &mut wanted);
            self.pitch(&sight, hand_off, &mut wanted);
            let tremor = |channel| self.ability.tremor * self.noise.at(channel, time_s, 0.3);
            wanted.roll += tremor(0);
            wanted.pitch += tremor(1);
        }
        self.wanted = wanted.within_gates();
    }

    /// Bank toward the heading wanted, with the stick that has a thumb on it.
    fn steer(&mut self, time_s: f64, sight: &Sight, hand_off: bool, wanted: &mut Sticks) {
        let ability = &self.ability;
        let beside_m = sight.distance_m * libm::sin(wrap(sight.look_rad - self.task.heading_rad));
        let track_wanted = self.task.heading_rad
            - (self.habits.track_gain_rad_m * beside_m).clamp(-CRAB_RAD, CRAB_RAD);
        if sight.ground_speed_m_s > DRIFT_SEEN_M_S {
            let drift_rad = wrap(track_wanted - sight.track_rad).clamp(-CRAB_RAD, CRAB_RAD);
            self.crab_rad = (self.crab_rad + self.habits.crab_per_s * drift_rad * DECIDE_EVERY_S)
                .clamp(-CRAB_RAD, CRAB_RAD);
        }
        let soon_rad = sight.heading_rad + ability.turn_lead_s * sight.yaw_rate_rad_s;
        let heading_error = wrap(self.task.heading_rad + self.crab_rad - soon_rad);
        let bank_wanted = (ability.heading_gain * heading_error)
            .clamp(-ability.bank_limit_rad, ability.bank_limit_rad);
        let error = beyond(bank_wanted - sight.bank_rad, ability.notice_rad);
        let step = ability.hold_gain_per_s * error * DECIDE_EVERY_S;
        self.roll_hold = (self.roll_hold + step).clamp(-HOLD_LIMIT, HOLD_LIMIT);
        // Ailerons answer at once and want half the stick, let off as the roll
        // begins. A rudder banks the plane late, through yaw: waiting for the
        // roll before letting off only swings the nose.
        let mut stick = self.roll_hold
            + match self.task.steering {
                Steering::Ailerons => {
                    0.5 * ability.bank_gain * error - ability.roll_damping_s * sight.roll_rate_rad_s
                }
                Steering::Rudder => ability.bank_gain * error,
            };
        if self.habits.reverses_share > 0.0 && sight.aspect_rad() < PI / 3.0 {
            // Confusion comes and goes over seconds; a value of 1.7 is the
            // half-width of the noise.
            let confused = 0.5 + 0.5 * self.noise.at(2, time_s, 2.0) / 1.7;
            if confused < self.habits.reverses_share {
                stick = -stick;
            }
        }
        if !hand_off {
            wanted.roll = stick;
        } else if self.habits.uses_yaw_stick {
            wanted.yaw = stick;
        }
    }

    /// The nose attitude wanted, and what to do when the plane sinks.
    fn pitch(&mut self, sight: &Sight, hand_off: bool, wanted: &mut Sticks) {
        let (ability, habits) = (&self.ability, &self.habits);
        let sink_m_s = -sight.climb_m_s;
        let mut nose_rad = habits.climb_pitch_rad;
        if self.arrived {
            wanted.throttle = self.task.feel.level_throttle.min(wanted.throttle);
            let low_m = self.task.climb_to_m() * PASS_GOAL_BY - sight.height_m;
            nose_rad = (0.05 + 0.02 * low_m).clamp(-0.1, 0.2);
        }
        let path_rad = libm::atan2(sight.climb_m_s, sight.ground_speed_m_s.max(1.0));
        // Far away, only what is plain to see counts.
        let plain = 1.0 + sight.distance_m / ability.acuity.doubling_m;
        let mush_rad = sight.pitch_rad - path_rad - MUSH_RAD * plain;
        let plain_sink_m_s = sink_m_s - SINK_NOTICED_M_S * plain;
        if habits.eases_forward && !self.arrived {
            if plain_sink_m_s > 0.0 {
                nose_rad = (nose_rad - 0.15 * plain_sink_m_s).max(0.0);
                wanted.throttle = 1.0_f64.min(wanted.throttle * 2.0);
            }
            if mush_rad > 0.0 {
                nose_rad = (nose_rad - 1.5 * mush_rad).max(0.0);
            }
        }
        if habits.lands_ahead && sight.height_m < LOST_HEIGHT_M && sink_m_s > LOST_SINK_M_S {
            self.giving_up = true;
        }
        if self.giving_up {
            wanted.throttle = 0.0;
            nose_rad = 0.05;
        }
        let error = beyond(nose_rad - sight.pitch_rad, ability.notice_rad);
        if !hand_off {
            let step = ability.hold_gain_per_s * error * DECIDE_EVERY_S;
            self.pitch_hold = (self.pitch_hold + step).clamp(-HOLD_LIMIT, HOLD_LIMIT);
        }
        let pull = habits.pull_per_m_s * plain_sink_m_s.max(0.0);
        wanted.pitch = ability.pitch_gain * error
            - ability.pitch_damping_s * sight.pitch_rate_rad_s
            + self.pitch_hold
            + pull;
    }
}

/// The part of an error that is large enough to notice; the rest is left alone.
fn beyond(error: f64, notice: f64) -> f64 {
    if error > notice {
        error - notice
    } else if error < -notice {
        error + notice
    } else {
        0.0
    }
}
