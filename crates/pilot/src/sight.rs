//! What a person standing on the field can see, and when.
//!
//! There is no airspeed here, no angle of attack and no wind: only how the
//! plane looks, where it seems to be, how it seems to move over the ground, and
//! what the motor sounds like. All of it arrives late; the farther the plane,
//! the less certain it is.

use std::collections::VecDeque;

use glam::{DQuat, DVec3};

use crate::Noise;
use crate::attitude::{to_euler, wrap};

/// What is really the case; a pilot gets it through [`Eyes`] only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// Balance point of the plane, world axes.
    pub position_m: DVec3,
    /// Its velocity over the ground, world axes.
    pub velocity_m_s: DVec3,
    /// Body to world.
    pub attitude: DQuat,
    /// Body rates.
    pub rates_rad_s: DVec3,
    /// How loud the motor is: propeller speed over its speed at full throttle
    /// standing still, 0 to about 1.
    pub motor_sound: f64,
    /// A hand holds the plane. Letting go is noticed as late as everything else.
    pub in_hand: bool,
    /// The pilot's throwing hand is off its stick; known to the pilot at once.
    pub hand_off: bool,
    /// Where the pilot's eyes are, world axes.
    pub eyes_m: DVec3,
}

impl Default for Truth {
    fn default() -> Self {
        Self {
            position_m: DVec3::ZERO,
            velocity_m_s: DVec3::ZERO,
            attitude: DQuat::IDENTITY,
            rates_rad_s: DVec3::ZERO,
            motor_sound: 0.0,
            in_hand: false,
            hand_off: false,
            eyes_m: DVec3::new(0.0, 0.0, -1.7),
        }
    }
}

/// What the pilot believes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sight {
    /// Bank, starboard wing low positive.
    pub bank_rad: f64,
    /// Pitch attitude, nose up positive.
    pub pitch_rad: f64,
    /// Heading of the nose, clockwise from north.
    pub heading_rad: f64,
    /// How fast it seems to roll right.
    pub roll_rate_rad_s: f64,
    /// How fast the nose seems to rise.
    pub pitch_rate_rad_s: f64,
    /// How fast the nose seems to swing right.
    pub yaw_rate_rad_s: f64,
    /// Height above the ground.
    pub height_m: f64,
    /// Rate of climb.
    pub climb_m_s: f64,
    /// Speed over the ground.
    pub ground_speed_m_s: f64,
    /// Direction in which it moves over the ground.
    pub track_rad: f64,
    /// Where it seems to be over the ground, north of the launch point: the
    /// direction is sure, the distance is guessed from its size.
    pub north_m: f64,
    /// The same to the east.
    pub east_m: f64,
    /// Distance from the pilot.
    pub distance_m: f64,
    /// Direction in which the pilot looks, clockwise from north.
    pub look_rad: f64,
    /// How loud the motor is, 0 to about 1.
    pub motor_sound: f64,
    /// True when the plane has been let go, as far as the pilot has noticed.
    pub free: bool,
}

impl Sight {
    /// Angle between the nose and the line from the plane to the pilot: 0 when
    /// it flies straight at the pilot, pi when straight away.
    pub fn aspect_rad(&self) -> f64 {
        wrap(self.heading_rad - self.look_rad - crate::attitude::PI).abs()
    }
}

/// How well somebody sees. Values are assumptions (common practice, no source)
/// except where said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Acuity {
    /// From something happening to the hand knowing it. At least 0.15 s, a
    /// simple reaction (mdict.net, "Reaction Time Human").
    pub delay_s: f64,
    /// Error of an attitude angle close by, one standard deviation.
    pub angle_rad: f64,
    /// Error of an angular rate close by.
    pub rate_rad_s: f64,
    /// Error of height and distance as a share.
    pub height_share: f64,
    /// Error of climb and ground speed.
    pub speed_m_s: f64,
    /// At this distance angle errors have doubled; a plane of 1 m span is lost
    /// to the eye at about 100 m.
    pub doubling_m: f64,
    /// Errors wander over about this time.
    pub wander_s: f64,
}

impl Acuity {
    /// A practised pilot.
    pub fn practised() -> Self {
        Self {
            delay_s: 0.20,
            angle_rad: 0.025,
            rate_rad_s: 0.06,
            height_share: 0.08,
            speed_m_s: 0.2,
            doubling_m: 60.0,
            wander_s: 0.7,
        }
    }

    /// Somebody in their first weeks.
    pub fn unpractised() -> Self {
        Self {
            delay_s: 0.40,
            angle_rad: 0.08,
            rate_rad_s: 0.2,
            height_share: 0.2,
            speed_m_s: 0.7,
            doubling_m: 25.0,
            wander_s: 0.9,
        }
    }
}

/// Samples closer together than this are not kept: between kept samples the
/// delay line interpolates.
const KEEP_EVERY_S: f64 = 0.005;
/// Rounding of times that are sums of ticks.
const SLACK_S: f64 = 1e-7;

/// A pair of eyes and the delay behind them.
#[derive(Debug, Clone, PartialEq)]
pub struct Eyes {
    acuity: Acuity,
    noise: Noise,
    /// Truth by time, oldest first; the first entry is at or before the delay.
    line: VecDeque<(f64, Truth)>,
}

impl Eyes {
    /// Eyes with this acuity; the seed decides their errors.
    pub fn new(acuity: Acuity, seed: u64) -> Self {
        Self {
            acuity,
            noise: Noise::new(seed, "sight"),
            line: VecDeque::new(),
        }
    }

    /// Shows the eyes the truth of this moment. Times must not go backward.
    pub fn watch(&mut self, time_s: f64, truth: &Truth) {
        if !time_s.is_finite() {
            return;
        }
        // The last entry is always the newest truth; it is replaced until the
        // entry before it is old enough to stand alone.
        if self.line.len() >= 2
            && self
                .line
                .get(self.line.len() - 2)
                .is_some_and(|(kept_s, _)| time_s - kept_s < KEEP_EVERY_S + SLACK_S)
        {
            self.line.pop_back();
        }
        self.line.push_back((time_s, *truth));
        let seen_s = time_s - self.acuity.delay_s;
        while self
            .line
            .get(1)
            .is_some_and(|(next_s, _)| *next_s <= seen_s)
        {
            self.line.pop_front();
        }
    }

    /// What is believed at a time at or after the last [`Eyes::watch`]: the
    /// truth one delay ago (the oldest known at the start) with errors.
    pub fn look(&self, time_s: f64) -> Sight {
        let Some(seen) = self.delayed(time_s - self.acuity.delay_s) else {
            return Sight::default();
        };
        self.believe(time_s, &seen)
    }

    fn delayed(&self, seen_s: f64) -> Option<Truth> {
        let (mut before_s, mut before) = self.line.front().copied()?;
        if seen_s <= before_s {
            return Some(before);
        }
        for (next_s, next) in self.line.iter().skip(1) {
            if *next_s >= seen_s {
                let share = (seen_s - before_s) / (next_s - before_s);
                return Some(between(&before, next, share));
            }
            (before_s, before) = (*next_s, *next);
        }
        Some(before)
    }

    fn believe(&self, time_s: f64, seen: &Truth) -> Sight {
        let acuity = &self.acuity;
        let (heading_rad, pitch_rad, bank_rad) = to_euler(seen.attitude);
        let line_m = seen.position_m - seen.eyes_m;
        let distance_m = line_m.length();
        let farther = 1.0 + distance_m / acuity.doubling_m;
        let error = |channel: u32, size: f64| {
            size * farther * self.noise.at(channel, time_s, acuity.wander_s)
        };
        let share = |channel: u32| {
            1.0 + acuity.height_share * self.noise.at(channel, time_s, 3.0 * acuity.wander_s)
        };
        let velocity = seen.velocity_m_s;
        let ground_speed_m_s = (velocity.x * velocity.x + velocity.y * velocity.y).sqrt();
        let track_rad = libm::atan2(velocity.y, velocity.x);
        let distance_share = share(10);
        let over_ground = |eye: f64, plane: f64| eye + (plane - eye) * distance_share;
        Sight {
            bank_rad: bank_rad + error(0, acuity.angle_rad),
            pitch_rad: pitch_rad + error(1, acuity.angle_rad),
            // Heading is judged against the far side of the field: worse.
            heading_rad: wrap(heading_rad + error(2, 1.5 * acuity.angle_rad)),
            roll_rate_rad_s: seen.rates_rad_s.x + error(3, acuity.rate_rad_s),
            pitch_rate_rad_s: seen.rates_rad_s.y + error(4, acuity.rate_rad_s),
            yaw_rate_rad_s: seen.rates_rad_s.z + error(5, acuity.rate_rad_s),
            height_m: -seen.position_m.z * share(6),
            climb_m_s: -velocity.z + error(7, acuity.speed_m_s),
            // Whether it moves at all is plain to see.
            ground_speed_m_s: (ground_speed_m_s
                + error(8, acuity.speed_m_s) * (ground_speed_m_s / 1.5).clamp(0.1, 1.0))
            .max(0.0),
            track_rad: wrap(track_rad + error(9, acuity.angle_rad)),
            north_m: over_ground(seen.eyes_m.x, seen.position_m.x),
            east_m: over_ground(seen.eyes_m.y, seen.position_m.y),
            distance_m: distance_m * distance_share,
            look_rad: libm::atan2(line_m.y, line_m.x),
            motor_sound: seen.motor_sound,
            free: !seen.in_hand,
        }
    }
}

/// Linear between two truths; attitudes take the short way, normalised.
fn between(from: &Truth, to: &Truth, share: f64) -> Truth {
    let near = if from.attitude.dot(to.attitude) < 0.0 {
        -to.attitude
    } else {
        to.attitude
    };
    let mixed = from.attitude * (1.0 - share) + near * share;
    let vector = |a: DVec3, b: DVec3| a + (b - a) * share;
    Truth {
        position_m: vector(from.position_m, to.position_m),
        velocity_m_s: vector(from.velocity_m_s, to.velocity_m_s),
        attitude: mixed * (1.0 / mixed.length()),
        rates_rad_s: vector(from.rates_rad_s, to.rates_rad_s),
        motor_sound: from.motor_sound + (to.motor_sound - from.motor_sound) * share,
        in_hand: from.in_hand,
        hand_off: from.hand_off,
        eyes_m: vector(from.eyes_m, to.eyes_m),
    }
}
