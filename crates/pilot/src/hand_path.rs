//! Where the hand carries the plane, from rest to release and a little after.
//!
//! Time 0 is when the plane is held still, ready. The motor gets its time to
//! run up, then (with a run-up) the thrower's feet move, then the arm. Both
//! motions have the velocity profile w(u) = 10 u^3 - 15 u^4 + 6 u^5, whose
//! first and second derivatives vanish at both ends: velocity, acceleration
//! and its rate of change start and end without a jump, and w(1) = 1 makes the
//! release velocity exactly the one asked for. The integral of w is
//! W(u) = 2.5 u^4 - 3 u^5 + u^6, so a push of length L to speed V takes 2 L / V.

use glam::DVec3;
use larkfield_flight::CarriedMotion;

use crate::attitude::{body_rates, direction, from_euler};
use crate::{PowerTiming, Throw};

/// Held still before the throw when the motor runs first: motors need a few
/// tenths of a second to full speed, and "set power, listen, throw" takes a
/// breath (common practice, no source).
const HOLD_WITH_POWER_S: f64 = 1.2;
/// Held still before a throw without power.
const HOLD_WITHOUT_POWER_S: f64 = 0.4;
/// A run-up builds its speed over this time.
const RUN_UP_S: f64 = 1.0;
/// After release the hand takes this long to stop.
const FOLLOW_THROUGH_S: f64 = 0.25;
/// Release falls on a whole multiple of this, so that every usual tick hits it.
const RELEASE_GRID_S: f64 = 0.02;
/// The thrower's feet are this far behind the balance point at release: an arm
/// stretched forward (common practice, no source).
const FEET_BEHIND_M: f64 = 0.5;
/// An overhand throw passes beside the head, not over it: the thrower stands
/// this far to the left of the plane's path, so that a propeller of up to 0.4 m
/// clears the shoulder (common practice, no source; right-handed).
const FEET_BESIDE_M: f64 = 0.5;
/// A hand is about this big around the grip point.
pub const CLEAR_GRIP_M: f64 = 0.05;

/// A throw as a motion. Immutable; ask it about any time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandPath {
    held: Throw,
    thrown: Throw,
    release_position_m: DVec3,
    velocity_m_s: DVec3,
    run_velocity_m_s: DVec3,
    release_s: f64,
    swing_s: f64,
}

impl HandPath {
    /// The motion of `thrown`, which starts from the attitude of `held` (the
    /// throw that was meant: a nervous arm only goes astray once it moves).
    /// `release_over_m` is the point of the ground (north, east; z is ignored)
    /// over which the plane is let go: the launch point of the field.
    pub fn new(held: &Throw, thrown: &Throw, release_over_m: DVec3) -> Self {
        let velocity_m_s = direction(thrown.heading_rad, thrown.path_rad) * thrown.speed_m_s;
        let run_m_s = thrown.run_up_m_s.min(0.8 * thrown.speed_m_s).max(0.0);
        let run_velocity_m_s = direction(thrown.heading_rad, 0.0) * run_m_s;
        let arm_m_s = (velocity_m_s - run_velocity_m_s).length();
        let swing_s = 2.0 * thrown.reach_m / arm_m_s.max(0.1);
        let hold_s = match thrown.power {
            PowerTiming::Before => HOLD_WITH_POWER_S,
            PowerTiming::After { .. } => HOLD_WITHOUT_POWER_S,
        };
        let run_s = if run_m_s > 0.0 { RUN_UP_S } else { 0.0 };
        let earliest_s = hold_s + run_s + swing_s;
        let release_s = (earliest_s / RELEASE_GRID_S).ceil() * RELEASE_GRID_S;
        Self {
            held: *held,
            thrown: *thrown,
            release_position_m: DVec3::new(
                release_over_m.x,
                release_over_m.y,
                -thrown.release_height_m,
            ),
            velocity_m_s,
            run_velocity_m_s,
            release_s,
            swing_s,
        }
    }

    /// The throw as made.
    pub fn throw(&self) -> &Throw {
        &self.thrown
    }

    /// When something first moves.
    pub fn begins_s(&self) -> f64 {
        self.release_s - self.swing_s - self.run_s()
    }

    /// When the hand lets go: a multiple of 20 ms.
    pub fn release_s(&self) -> f64 {
        self.release_s
    }

    /// When the throwing hand is back on its stick; the release itself when
    /// somebody other than the pilot throws.
    pub fn hand_back_s(&self) -> f64 {
        self.release_s + self.thrown.hand_back_s
    }

    /// True while the pilot's throwing hand is off its stick.
    pub fn hand_off(&self, time_s: f64) -> bool {
        self.thrown.by_pilot() && time_s < self.hand_back_s()
    }

    /// True while the hand holds the plane.
    pub fn holds(&self, time_s: f64) -> bool {
        time_s < self.release_s
    }

    /// Motion of the balance point and attitude of the plane at a time. Before
    /// the throw it is at rest; after release it goes on straight at the
    /// release velocity, so a tick that ends past the release is still right.
    pub fn at(&self, time_s: f64) -> CarriedMotion {
        let arm_velocity_m_s = self.velocity_m_s - self.run_velocity_m_s;
        let swing = Ramp::new(time_s, self.release_s - self.swing_s, self.swing_s);
        let run = Ramp::new(time_s, self.begins_s(), self.run_s());
        let beyond_s = (time_s - self.release_s).max(0.0);
        // Distances are counted back from the release.
        let arm_back_s = self.swing_s * (swing.integral - 0.5);
        // The run reaches its speed when the arm starts and keeps it after.
        let steady_s = (time_s.min(self.release_s) - (self.release_s - self.swing_s)).max(0.0);
        let run_back_s = self.run_s() * (run.integral - 0.5) + steady_s - self.swing_s;
        let position_m = self.release_position_m
            + arm_velocity_m_s * arm_back_s
            + self.run_velocity_m_s * run_back_s
            + self.velocity_m_s * beyond_s;
        let velocity_m_s = arm_velocity_m_s * swing.value + self.run_velocity_m_s * run.value;
        let turn =
            |from: f64, to: f64| (from + (to - from) * swing.value, (to - from) * swing.rate);
        let (pitch_rad, pitch_rate) = turn(self.held.pitch_rad, self.thrown.pitch_rad);
        let (bank_rad, bank_rate) = turn(self.held.bank_rad, self.thrown.bank_rad);
        let (heading_rad, heading_rate) = turn(self.held.heading_rad, self.thrown.heading_rad);
        CarriedMotion {
            position_m,
            velocity_m_s: if time_s < self.release_s {
                velocity_m_s
            } else {
                self.velocity_m_s
            },
            attitude: from_euler(heading_rad, pitch_rad, bank_rad),
            rates_rad_s: body_rates(pitch_rad, bank_rad, heading_rate, pitch_rate, bank_rate),
        }
    }

    /// Where the hand is. `grip_from_balance_m`: from the balance point to the
    /// grip, body axes. After release the hand slows to a stop while the plane
    /// goes on: what is behind the grip passes the hand.
    pub fn hand_m(&self, time_s: f64, grip_from_balance_m: DVec3) -> DVec3 {
        let released = self.at(time_s.min(self.release_s));
        let grip_m = released.position_m + released.attitude * grip_from_balance_m;
        let u = ((time_s - self.release_s) / FOLLOW_THROUGH_S).clamp(0.0, 1.0);
        let (_, _, integral) = profile(u);
        grip_m + self.velocity_m_s * (FOLLOW_THROUGH_S * (u - integral))
    }

    /// Where the thrower stands at release (north, east; z = 0).
    pub fn feet_m(&self) -> DVec3 {
        let ahead = direction(self.thrown.heading_rad, 0.0);
        // Left of a heading (north, east) is (east, -north).
        DVec3::new(
            self.release_position_m.x - FEET_BEHIND_M * ahead.x + FEET_BESIDE_M * ahead.y,
            self.release_position_m.y - FEET_BEHIND_M * ahead.y - FEET_BESIDE_M * ahead.x,
            0.0,
        )
    }

    fn run_s(&self) -> f64 {
        if self.run_velocity_m_s == DVec3::ZERO {
            0.0
        } else {
            RUN_UP_S
        }
    }
}

/// The profile over a stretch of time: 0 before, 1 after.
struct Ramp {
    value: f64,
    rate: f64,
    integral: f64,
}

impl Ramp {
    fn new(time_s: f64, from_s: f64, length_s: f64) -> Self {
        if length_s <= 0.0 {
            return Self {
                value: 1.0,
                rate: 0.0,
                integral: 0.5,
            };
        }
        let u = ((time_s - from_s) / length_s).clamp(0.0, 1.0);
        let (value, slope, integral) = profile(u);
        Self {
            value,
            rate: slope / length_s,
            integral,
        }
    }
}

/// w, dw/du and the integral of w from 0 to u.
fn profile(u: f64) -> (f64, f64, f64) {
    let cube = u * u * u;
    (
        cube * (10.0 + u * (6.0 * u - 15.0)),
        30.0 * u * u * (1.0 - u) * (1.0 - u),
        cube * u * (2.5 + u * (u - 3.0)),
    )
}
