//! What the ground does to a body within one tick, in f64: hard contacts,
//! springy legs, friction and grass, solved together.
//!
//! # Equations
//! Every touching point pushes with a normal impulse N >= 0 and two impulses in
//! the ground's plane. All act on one rigid body (with the air that moves with
//! it) through its inverse inertia, so each changes the velocity of all others.
//!
//! - A hard point does not approach the ground: N and the speed left are
//!   complementary. A point that is still above may come down to it within the
//!   tick. Blows are inelastic: foam and grass give little back.
//! - A leg pushes with k d + c d' at the middle of the tick (the trapezium rule
//!   for displacement and speed), which keeps the energy of an undamped spring
//!   and is stable for any stiffness.
//! - Friction is that of greatest dissipation within a limit. Corners and skids:
//!   an ellipse with the half axes mu N along and across, a circle when both are
//!   alike, and then exactly against the slip. Wheels: rolling resistance along
//!   and side grip across, each for itself. Within the limit nothing moves.
//! - Grass resists with a force of its own, whatever the load.
//!
//! # Solution
//! Sweeps over the points in fixed order; each point takes the impulses that are
//! best for it given the others (block Gauss-Seidel; Jean and Moreau's contact
//! dynamics, from memory). For given normal impulses every such step is the
//! minimum of kinetic energy over what that point may do, so friction cannot add
//! energy, finished or not. Everything counts in body axes.

use glam::DVec3;
use larkfield_flight::InverseInertia;

use crate::motion::Motion;

/// Sweeps at most; a plane on its belly needs about twenty.
const SWEEPS: usize = 100;
/// Sweeps end when no impulse changes by more than this share of their sum.
const SETTLED: f64 = 1e-9;

/// How a point is pushed away from the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Normal {
    /// It may approach no faster than this.
    Hard { allowed_m_s: f64 },
    /// A leg: impulse at no speed of approach left, and for each m/s of it.
    Leg { base_n_s: f64, slope_kg: f64 },
    /// Not at all: grass.
    None,
}

/// What holds a point in the plane of the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Grip {
    /// Slides: half axes of the ellipse as shares of the normal impulse.
    Slide { along: f64, across: f64 },
    /// Rolls along, grips across.
    Roll { along: f64, across: f64 },
    /// The same in every direction, whatever the load.
    Grass { most_n_s: f64 },
}

/// One point that touches, or may touch, during a tick. Body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Touch {
    /// Index into the shapes of the body; grass has none.
    pub shape: Option<usize>,
    pub normal: Normal,
    grip: Grip,
    at_m: DVec3,
    /// Impulses so far: up, along, across.
    pub impulse_n_s: DVec3,
    arms: [Arm; 3],
    /// How an impulse along changes the slip across, and the reverse.
    cross_per_kg: f64,
}

/// One direction at one point.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Arm {
    direction: DVec3,
    /// Moment of a unit impulse.
    moment_m: DVec3,
    /// Change of velocity and of rates by a unit impulse.
    velocity_per_kg: DVec3,
    rates_per_kg_m: DVec3,
    /// Change of the point's own speed in this direction.
    own_per_kg: f64,
}

impl Arm {
    fn new(at_m: DVec3, direction: DVec3, inverse: &InverseInertia) -> Self {
        let moment_m = at_m.cross(direction);
        let (velocity_per_kg, rates_per_kg_m) = inverse.answer(direction, moment_m);
        Self {
            direction,
            moment_m,
            velocity_per_kg,
            rates_per_kg_m,
            own_per_kg: velocity_per_kg.dot(direction) + rates_per_kg_m.dot(moment_m),
        }
    }

    fn speed_m_s(&self, moving: &Moving) -> f64 {
        moving.velocity_m_s.dot(self.direction) + moving.rates_rad_s.dot(self.moment_m)
    }

    fn push(&self, moving: &mut Moving, impulse_n_s: f64) {
        moving.velocity_m_s += self.velocity_per_kg * impulse_n_s;
        moving.rates_rad_s += self.rates_per_kg_m * impulse_n_s;
    }
}

/// Velocity and rates, body axes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Moving {
    pub velocity_m_s: DVec3,
    pub rates_rad_s: DVec3,
}

impl Touch {
    /// A point at a place from the centre of gravity. `up` is the ground's
    /// normal, `along` the direction in which it rolls or slides more easily,
    /// square to `up`.
    pub fn new(
        shape: Option<usize>,
        at_m: DVec3,
        (up, along): (DVec3, DVec3),
        (normal, grip): (Normal, Grip),
        inverse: &InverseInertia,
    ) -> Self {
        let across = up.cross(along);
        let arms = [up, along, across].map(|direction| Arm::new(at_m, direction, inverse));
        Self {
            shape,
            normal,
            grip,
            at_m,
            impulse_n_s: DVec3::ZERO,
            arms,
            cross_per_kg: arms[1].velocity_per_kg.dot(across)
                + arms[1].rates_per_kg_m.dot(arms[2].moment_m),
        }
    }

    /// What a hard point may still approach, given where Rapier took the body and
    /// how fast it left it: nothing once it is down, else what takes it there in
    /// another tick.
    pub fn allow(&mut self, left: &Motion, moving: &Moving, tick_s: f64) {
        if let Normal::Hard { allowed_m_s } = &mut self.normal {
            let height_m = -left.point_m(self.at_m).z;
            *allowed_m_s = if height_m > 0.0 {
                let approach_m_s = -self.arms[0].speed_m_s(moving);
                (approach_m_s + height_m / tick_s).max(0.0)
            } else {
                0.0
            };
        }
    }

    /// Whether it is pushed by ground that does not give way.
    pub fn is_hard(&self) -> bool {
        matches!(self.normal, Normal::Hard { .. })
    }

    /// Impulse on the body, body axes.
    pub fn impulse_in_body_n_s(&self) -> DVec3 {
        let [up, along, across] = &self.arms;
        up.direction * self.impulse_n_s.x
            + along.direction * self.impulse_n_s.y
            + across.direction * self.impulse_n_s.z
    }

    /// Takes another set of impulses; returns the largest change.
    fn take(&mut self, moving: &mut Moving, wanted_n_s: DVec3) -> f64 {
        let change_n_s = wanted_n_s - self.impulse_n_s;
        let [up, along, across] = &self.arms;
        up.push(moving, change_n_s.x);
        along.push(moving, change_n_s.y);
        across.push(moving, change_n_s.z);
        self.impulse_n_s = wanted_n_s;
        change_n_s.abs().max_element()
    }

    /// The normal impulse that suits the others.
    fn press(&mut self, moving: &mut Moving) -> f64 {
        let up = &self.arms[0];
        let now_n_s = self.impulse_n_s.x;
        let approach_m_s = -up.speed_m_s(moving);
        let wanted_n_s = match self.normal {
            Normal::Hard { allowed_m_s } => now_n_s + (approach_m_s - allowed_m_s) / up.own_per_kg,
            Normal::Leg { base_n_s, slope_kg } => {
                (base_n_s + slope_kg * (approach_m_s + up.own_per_kg * now_n_s))
                    / (1.0 + slope_kg * up.own_per_kg)
            }
            Normal::None => return 0.0,
        };
        let wanted_n_s = DVec3::new(wanted_n_s.max(0.0), self.impulse_n_s.y, self.impulse_n_s.z);
        self.take(moving, wanted_n_s)
    }

    /// The friction that suits the others.
    fn rub(&mut self, moving: &mut Moving) -> f64 {
        let slip_m_s = [&self.arms[1], &self.arms[2]].map(|arm| arm.speed_m_s(moving));
        let now_n_s = [self.impulse_n_s.y, self.impulse_n_s.z];
        let wanted_n_s = match self.grip {
            Grip::Roll { along, across } => {
                // One after the other would be as good; the slip across changes
                // little by an impulse along.
                let one = |k: usize, limit: f64| {
                    let limit_n_s = limit * self.impulse_n_s.x;
                    (now_n_s[k] - slip_m_s[k] / self.arms[1 + k].own_per_kg)
                        .clamp(-limit_n_s, limit_n_s)
                };
                [one(0, along), one(1, across)]
            }
            Grip::Slide { along, across } => {
                let load_n_s = self.impulse_n_s.x;
                self.slide(now_n_s, slip_m_s, [along * load_n_s, across * load_n_s])
            }
            Grip::Grass { most_n_s } => self.slide(now_n_s, slip_m_s, [most_n_s; 2]),
        };
        let wanted_n_s = DVec3::new(self.impulse_n_s.x, wanted_n_s[0], wanted_n_s[1]);
        self.take(moving, wanted_n_s)
    }

    /// Friction within an ellipse: what stops the slip if that is inside, else
    /// a step downhill in energy and back to the rim. In variables in which the
    /// ellipse is a circle; where these steps come to rest, the impulse is that
    /// of greatest dissipation.
    fn slide(&self, now_n_s: [f64; 2], slip_m_s: [f64; 2], half_n_s: [f64; 2]) -> [f64; 2] {
        if half_n_s[0] <= 0.0 || half_n_s[1] <= 0.0 {
            return [0.0; 2];
        }
        let (a, b) = (self.arms[1].own_per_kg, self.arms[2].own_per_kg);
        let c = self.cross_per_kg;
        let determinant = a * b - c * c;
        let stop_n_s = [
            now_n_s[0] - (b * slip_m_s[0] - c * slip_m_s[1]) / determinant,
            now_n_s[1] - (a * slip_m_s[1] - c * slip_m_s[0]) / determinant,
        ];
        let size = |n_s: [f64; 2]| {
            let (x, y) = (n_s[0] / half_n_s[0], n_s[1] / half_n_s[1]);
            (x * x + y * y).sqrt()
        };
        if size(stop_n_s) <= 1.0 {
            return stop_n_s;
        }
        // Steepest curvature of the energy over the circle's variables.
        let (p, q) = (a * half_n_s[0] * half_n_s[0], b * half_n_s[1] * half_n_s[1]);
        let r = c * half_n_s[0] * half_n_s[1];
        let curvature = 0.5 * (p + q + ((p - q) * (p - q) + 4.0 * r * r).sqrt());
        let mut wanted_n_s = now_n_s;
        let mut slip_m_s = slip_m_s;
        for _ in 0..4 {
            let mut next_n_s = [0.0; 2];
            for k in 0..2 {
                let step = slip_m_s[k] * half_n_s[k] * half_n_s[k] / curvature;
                next_n_s[k] = wanted_n_s[k] - step;
            }
            let beyond = size(next_n_s).max(1.0);
            let next_n_s = next_n_s.map(|n_s| n_s / beyond);
            let moved = [next_n_s[0] - wanted_n_s[0], next_n_s[1] - wanted_n_s[1]];
            slip_m_s[0] += a * moved[0] + c * moved[1];
            slip_m_s[1] += c * moved[0] + b * moved[1];
            wanted_n_s = next_n_s;
        }
        wanted_n_s
    }
}

/// Legs alone: what Rapier has to know before it looks for hard contacts.
pub(super) fn press_legs(touches: &mut [Touch], moving: &mut Moving) {
    sweep(touches, moving, |touch, moving| match touch.normal {
        Normal::Leg { .. } => touch.press(moving),
        Normal::Hard { .. } | Normal::None => 0.0,
    });
}

/// Everything together, from whatever impulses there are already.
pub(super) fn solve(touches: &mut [Touch], moving: &mut Moving) {
    sweep(touches, moving, |touch, moving| {
        let pressed_n_s = touch.press(moving);
        pressed_n_s.max(touch.rub(moving))
    });
}

fn sweep(
    touches: &mut [Touch],
    moving: &mut Moving,
    mut settle: impl FnMut(&mut Touch, &mut Moving) -> f64,
) {
    for _ in 0..SWEEPS {
        let mut changed_n_s: f64 = 0.0;
        for touch in touches.iter_mut() {
            changed_n_s = changed_n_s.max(settle(touch, moving));
        }
        let sum_n_s: f64 = touches
            .iter()
            .map(|touch| touch.impulse_n_s.abs().max_element())
            .sum();
        // Written so that a number that is not one ends the sweeps.
        if !(changed_n_s > SETTLED * sum_n_s) {
            break;
        }
    }
}
