//! Where the hand carries the plane, from rest to release and a little after.
//!
//! Overhand, the arm pushes along a straight line. Underhand and side-arm it
//! swings: the balance point runs on a circle about the shoulder whose tangent
//! at the release is the path asked for, and the plane keeps a share of the
//! arm's turn. Position, velocity, attitude and rates are continuous through
//! the release; only the force of the hand is gone.
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

use crate::arm::{Arm, SHOULDER_BESIDE_M, SHOULDER_HEIGHT_M};
use crate::attitude::{PI, body_rates, direction, from_euler, rotation};
use crate::{PowerTiming, Throw, ThrowKind};

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

/// From the shoulder to the balance point of a plane held at arm's length.
const SWING_RADIUS_M: f64 = 0.75;
/// A forearm rolls as it sweeps around the body: the plane turns about an axis
/// that leans this far to the path (estimated, no source).
const FOREARM_ROLL_RAD: f64 = 0.35;
/// How long a pilot listens to the motor before saying go, how long an answer
/// takes, and how long somebody who is told to act (common practice, no source).
const LISTEN_S: f64 = 1.4;
const ANSWER_S: f64 = 0.8;
const ACT_ON_WORD_S: f64 = 0.5;

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
    /// Rotation of the arm at release, world axes; zero for a straight push.
    arm_rad_s: DVec3,
    /// About what the plane turns with the arm, world axes.
    turn_axis: DVec3,
}

/// A word spoken before a throw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Word {
    /// When.
    pub time_s: f64,
    /// Who: the thrower, or else the pilot.
    pub by_thrower: bool,
    /// What.
    pub word: &'static str,
}

/// The word that calls a throw off, by whoever sees a reason.
pub const ABORT_WORD: &str = "stop";

impl HandPath {
    /// The motion of `thrown`, which starts from the attitude of `held` (the
    /// throw that was meant: a nervous arm only goes astray once it moves).
    /// `release_over_m` is the point of the ground (north, east; z is ignored)
    /// over which the plane is let go: the launch point of the field.
    pub fn new(held: &Throw, thrown: &Throw, release_over_m: DVec3) -> Self {
        let velocity_m_s = direction(thrown.heading_rad, thrown.path_rad) * thrown.speed_m_s;
        let run_m_s = thrown.run_up_m_s.min(0.8 * thrown.speed_m_s).max(0.0);
        let run_velocity_m_s = direction(thrown.heading_rad, 0.0) * run_m_s;
        let arm_velocity_m_s = velocity_m_s - run_velocity_m_s;
        let arm_m_s = arm_velocity_m_s.length().max(0.1);
        let swing_s = 2.0 * thrown.reach_m / arm_m_s;
        let (arm_rad_s, turn_axis) = turns(thrown, arm_velocity_m_s / arm_m_s, arm_m_s);
        let hold_s = match (thrown.kind, thrown.power) {
            (ThrowKind::Helper, power) => words(power).1,
            (_, PowerTiming::Before) => HOLD_WITH_POWER_S,
            (_, PowerTiming::After { .. }) => HOLD_WITHOUT_POWER_S,
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
            arm_rad_s,
            turn_axis,
        }
    }

    /// What is said before a helper throws; nobody says anything to himself.
    pub fn words(&self) -> &'static [Word] {
        match self.thrown.kind {
            ThrowKind::Helper => words(self.thrown.power).0,
            ThrowKind::Overhand | ThrowKind::Underhand | ThrowKind::SideArm => &[],
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
        let arm = Arc::new(arm_velocity_m_s, self.arm_rad_s, arm_back_s);
        let position_m = self.release_position_m
            + arm.moved_m
            + self.run_velocity_m_s * run_back_s
            + self.velocity_m_s * beyond_s;
        let velocity_m_s = arm.velocity_m_s * swing.value + self.run_velocity_m_s * run.value;
        let turn =
            |from: f64, to: f64| (from + (to - from) * swing.value, (to - from) * swing.rate);
        let (pitch_rad, pitch_rate) = turn(self.held.pitch_rad, self.thrown.pitch_rad);
        let (bank_rad, bank_rate) = turn(self.held.bank_rad, self.thrown.bank_rad);
        let (heading_rad, heading_rate) = turn(self.held.heading_rad, self.thrown.heading_rad);
        let (turned_rad, turn_rad_s) = self.turn(arm_back_s, beyond_s, swing.value);
        let attitude =
            rotation(self.turn_axis * turned_rad) * from_euler(heading_rad, pitch_rad, bank_rad);
        let wrist = body_rates(pitch_rad, bank_rad, heading_rate, pitch_rate, bank_rate);
        let turn_rad_s = attitude.conjugate() * (self.turn_axis * turn_rad_s);
        CarriedMotion {
            position_m,
            velocity_m_s: if time_s < self.release_s {
                velocity_m_s
            } else {
                self.velocity_m_s
            },
            attitude,
            rates_rad_s: wrist + turn_rad_s,
        }
    }

    /// How far the plane has still to turn with the arm, as a negative angle, and
    /// how fast it does. With a the angle of the arm before the release and s the
    /// share that the plane keeps: s a, and held around the body the rest as well
    /// at the start, (1 - s) a^3 / a0^2, which the wrist takes out on the way.
    /// After release the share goes on.
    fn turn(&self, arm_back_s: f64, beyond_s: f64, pace: f64) -> (f64, f64) {
        let rate_rad_s = self.arm_rad_s.length();
        let share = self.thrown.turn;
        let arm_rad = rate_rad_s * arm_back_s;
        let first_rad = 0.5 * rate_rad_s * self.swing_s;
        let mut turned_rad = share * (arm_rad + rate_rad_s * beyond_s);
        let mut slope = share;
        if self.thrown.kind == ThrowKind::SideArm && first_rad > 0.0 {
            let back = arm_rad / first_rad;
            turned_rad += (1.0 - share) * arm_rad * back * back;
            slope += 3.0 * (1.0 - share) * back * back;
        }
        (turned_rad, slope * rate_rad_s * pace)
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

    /// The arm that holds the plane, and follows through.
    pub fn arm(&self, time_s: f64, grip_from_balance_m: DVec3) -> Arm {
        let beside = direction(self.thrown.heading_rad + 0.5 * PI, 0.0);
        // The thrower runs with the plane and stops with the release.
        let run = Ramp::new(time_s, self.begins_s(), self.run_s());
        let steady_s = (time_s.min(self.release_s) - (self.release_s - self.swing_s)).max(0.0);
        let run_back_s = self.run_s() * (run.integral - 0.5) + steady_s - self.swing_s;
        let feet_m = self.feet_m() + self.run_velocity_m_s * run_back_s;
        let shoulder_m = feet_m + beside * SHOULDER_BESIDE_M - DVec3::Z * SHOULDER_HEIGHT_M;
        Arm::reaching(shoulder_m, self.hand_m(time_s, grip_from_balance_m))
    }

    /// Where the thrower stands at release (north, east; z = 0): for a swing, so
    /// that the shoulder is in its middle.
    pub fn feet_m(&self) -> DVec3 {
        let throw = &self.thrown;
        let ahead = direction(throw.heading_rad, 0.0);
        let starboard = DVec3::new(-ahead.y, ahead.x, 0.0);
        let (behind_m, left_m) = match throw.kind {
            ThrowKind::Overhand | ThrowKind::Helper => (FEET_BEHIND_M, FEET_BESIDE_M),
            ThrowKind::Underhand => (SWING_RADIUS_M * libm::sin(throw.path_rad), FEET_BESIDE_M),
            ThrowKind::SideArm => (0.0, SWING_RADIUS_M + SHOULDER_BESIDE_M),
        };
        let feet_m = self.release_position_m - ahead * behind_m - starboard * left_m;
        DVec3::new(feet_m.x, feet_m.y, 0.0)
    }

    fn run_s(&self) -> f64 {
        if self.run_velocity_m_s == DVec3::ZERO {
            0.0
        } else {
            RUN_UP_S
        }
    }
}

/// Rotation of the arm at release and the axis about which the plane turns with
/// it, given the direction and the speed of the arm's push.
fn turns(throw: &Throw, ahead: DVec3, arm_m_s: f64) -> (DVec3, DVec3) {
    let starboard = direction(throw.heading_rad + 0.5 * PI, 0.0);
    let rate_rad_s = arm_m_s / SWING_RADIUS_M;
    match throw.kind {
        ThrowKind::Overhand | ThrowKind::Helper => (DVec3::ZERO, DVec3::ZERO),
        // Forward and up: the nose goes up with the arm.
        ThrowKind::Underhand => {
            let arm_rad_s = starboard * rate_rad_s;
            (arm_rad_s, starboard)
        }
        // From the right around to the left: the nose goes left, the port wing
        // down.
        ThrowKind::SideArm => {
            let up = starboard.cross(ahead);
            let (sine, cosine) = libm::sincos(FOREARM_ROLL_RAD);
            let axis = up * cosine - ahead * sine;
            (up * rate_rad_s, axis)
        }
    }
}

/// The words of a helper's launch, and when the arm may start. The run begins
/// as the helper says that the plane is held. With power before the throw the
/// pilot answers that the throttle is coming and opens it, listens until the
/// motor is steady, and says go.
fn words(power: PowerTiming) -> (&'static [Word], f64) {
    const fn word(time_s: f64, by_thrower: bool, word: &'static str) -> Word {
        Word {
            time_s,
            by_thrower,
            word,
        }
    }
    const WITH_POWER: [Word; 3] = [
        word(0.0, true, "ready"),
        word(0.0, false, "throttle"),
        word(LISTEN_S, false, "go"),
    ];
    const WITHOUT: [Word; 2] = [word(0.0, true, "ready"), word(ANSWER_S, false, "go")];
    let spoken: &[Word] = match power {
        PowerTiming::Before => &WITH_POWER,
        PowerTiming::After { .. } => &WITHOUT,
    };
    let last_s = spoken.last().map_or(0.0, |word| word.time_s);
    (spoken, last_s + ACT_ON_WORD_S)
}

/// A motion that turns at a constant rate for each second of its own time,
/// counted back from where it is straight ahead.
struct Arc {
    moved_m: DVec3,
    velocity_m_s: DVec3,
}

impl Arc {
    fn new(ahead_m_s: DVec3, turn_rad_s: DVec3, time_s: f64) -> Self {
        let rate_rad_s = turn_rad_s.length();
        if rate_rad_s <= 0.0 {
            return Self {
                moved_m: ahead_m_s * time_s,
                velocity_m_s: ahead_m_s,
            };
        }
        // The axis is square to the velocity: a circle.
        let inward_m_s = (turn_rad_s / rate_rad_s).cross(ahead_m_s);
        let (sine, cosine) = libm::sincos(rate_rad_s * time_s);
        Self {
            moved_m: (ahead_m_s * sine + inward_m_s * (1.0 - cosine)) / rate_rad_s,
            velocity_m_s: ahead_m_s * cosine + inward_m_s * sine,
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
