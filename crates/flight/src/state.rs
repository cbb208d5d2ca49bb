//! What changes in flight, what acts on it, and what a step reports.

use glam::{DQuat, DVec3};

use crate::lanes::{Lanes, WIDTH};
use crate::power::PowerState;
use crate::section::followed_rad;

/// Everything about one aeroplane that changes from tick to tick. Cloning it
/// and stepping the clone gives the same bytes as stepping the original.
#[derive(Debug, Clone, PartialEq)]
pub struct FlightState {
    /// Centre of gravity in world axes (north, east, down).
    pub position_m: DVec3,
    /// Velocity of the centre of gravity over the ground, world axes.
    pub velocity_m_s: DVec3,
    /// Rotation from body axes to world axes.
    pub attitude: DQuat,
    /// Body rates: roll, pitch, yaw.
    pub rates_rad_s: DVec3,
    /// One entry for each of [`larkfield_airframe::Airframe::controls`].
    pub surfaces: Vec<SurfaceState>,
    /// The same surfaces as the flow last met them.
    pub(crate) deflections: Vec<Deflection>,
    /// The air around the strips.
    pub(crate) blocks: Vec<BlockState>,
    /// Motor, battery and controller.
    pub power: PowerState,
    /// Parts that have come off or stopped working.
    pub lost: LostParts,
    /// Acceleration of the previous tick for the two-step scheme, in a hand what
    /// it would be by itself; `None` after anything sudden (a blow, a restart).
    pub(crate) previous: Option<Acceleration>,
    /// Sums for the energy audit.
    pub(crate) works: Works,
}

impl FlightState {
    /// True when every number in it is finite.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        self.position_m.is_finite()
            && self.velocity_m_s.is_finite()
            && self.attitude.is_finite()
            && self.rates_rad_s.is_finite()
            && BlockState::are_finite(&self.blocks)
            && self.power.omega_rad_s.is_finite()
    }
}

/// The air around eight strips.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BlockState {
    /// Bound circulation of the attached flow.
    pub circulation_m2_s: Lanes,
    /// Circulation that the separated part sheds: what carries lift bends the
    /// flow behind it, attached or not.
    pub shed_m2_s: Lanes,
    /// Separation point, 1 attached, 0 separated from the leading edge.
    pub attachment: Lanes,
}

impl BlockState {
    /// Still air, everything attached.
    pub const STILL: Self = Self {
        circulation_m2_s: Lanes::ZERO,
        shed_m2_s: Lanes::ZERO,
        attachment: Lanes([1.0; WIDTH]),
    };

    /// A sum is finite when all its terms are (none of these comes near the
    /// largest number).
    fn are_finite(blocks: &[Self]) -> bool {
        let mut sum = 0.0;
        for block in blocks {
            for lane in 0..WIDTH {
                sum += block.circulation_m2_s.0[lane]
                    + block.shed_m2_s.0[lane]
                    + block.attachment.0[lane];
            }
        }
        f64::is_finite(sum)
    }
}

/// What the work sums need from the tick before.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Works {
    /// Power of air and of propeller at the start of the last tick.
    pub powers_w: Option<[f64; 2]>,
    pub last_dt_s: f64,
}

/// A servo-driven surface.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SurfaceState {
    /// Deflection of the surface, positive away from the panel's normal.
    pub deflection_rad: f64,
    /// Where the servo arm is, in terms of the surface; slop separates the two.
    pub servo_rad: f64,
    /// The servo is on its way: its command left the dead band and it has not
    /// got there yet.
    pub runs: bool,
    /// The servo is dead: the surface stays where it is.
    pub stopped: bool,
}

/// Deflection of a surface as a tick meets it, and how much of it the flow
/// follows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Deflection {
    pub asked_rad: f64,
    /// [`followed_rad`] of it.
    pub followed_rad: f64,
    /// Where the surface was left, and its mean over the last half tick before
    /// that.
    left_rad: f64,
    lately_rad: f64,
}

impl Deflection {
    pub fn of(surface: &SurfaceState) -> Self {
        let rad = surface.deflection_rad;
        Self {
            asked_rad: rad,
            followed_rad: followed_rad(rad),
            left_rad: rad,
            lately_rad: rad,
        }
    }

    /// Takes surfaces where they are.
    pub fn renew(all: &mut [Self], surfaces: &[SurfaceState]) {
        for (deflection, surface) in all.iter_mut().zip(surfaces) {
            deflection.put(surface.deflection_rad);
            deflection.ask(surface.deflection_rad);
        }
    }

    /// Whatever moved it from where it was left, it was not its servo.
    fn put(&mut self, rad: f64) {
        if self.left_rad != rad {
            (self.left_rad, self.lately_rad) = (rad, rad);
        }
    }

    /// Most surfaces rest most of the time, and the roots in [`followed_rad`]
    /// would keep everything else waiting.
    fn ask(&mut self, rad: f64) {
        if self.asked_rad != rad {
            self.asked_rad = rad;
            self.followed_rad = followed_rad(rad);
        }
    }

    /// Goes along with a surface that its servo moves in a tick: from where, its mean
    /// over either half of the tick, and where it is left. What the tick is to meet
    /// is the mean of half a tick before its start and half a tick after it: servos
    /// start and stop between ticks, and a look at the start alone would see each of
    /// these up to a tick late.
    pub fn lead(&mut self, from_rad: f64, halves_rad: [f64; 2], left_rad: f64) {
        self.put(from_rad);
        let [first_rad, second_rad] = halves_rad;
        self.ask(0.5 * (self.lately_rad + first_rad));
        self.lately_rad = second_rad;
        self.left_rad = left_rad;
    }
}

/// Which parts no longer do their work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LostParts {
    /// Propeller broken or motor mount torn: no thrust.
    pub propeller: bool,
    /// Port wing gone.
    pub wing_left: bool,
    /// Starboard wing gone.
    pub wing_right: bool,
    /// Tail gone.
    pub tail: bool,
}

/// Commands as the receiver hands them to the servos and the controller.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Controls {
    /// Roll right, -1 to 1.
    pub roll: f64,
    /// Nose up, -1 to 1.
    pub pitch: f64,
    /// Nose right, -1 to 1.
    pub yaw: f64,
    /// Throttle, 0 to 1.
    pub throttle: f64,
}

/// Velocity of the air at four stations of the aeroplane, in world axes.
/// Between them it varies linearly, so a gust can lift one wing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LocalWind {
    /// At the centre of the wing.
    pub centre_m_s: DVec3,
    /// At the port wing tip.
    pub left_tip_m_s: DVec3,
    /// At the starboard wing tip.
    pub right_tip_m_s: DVec3,
    /// At the tail.
    pub tail_m_s: DVec3,
}

impl LocalWind {
    /// The same wind everywhere.
    pub fn uniform(wind_m_s: DVec3) -> Self {
        Self {
            centre_m_s: wind_m_s,
            left_tip_m_s: wind_m_s,
            right_tip_m_s: wind_m_s,
            tail_m_s: wind_m_s,
        }
    }
}

/// What surrounds the aeroplane during one step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Moving air.
    pub wind: LocalWind,
    /// Height of the ground below it in world z (down), usually 0.
    pub ground_z_m: f64,
    /// Gravity.
    pub gravity_m_s2: f64,
}

/// Linear and angular acceleration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Acceleration {
    /// Of the centre of gravity, world axes.
    pub linear_m_s2: DVec3,
    /// Of the body rates, body axes.
    pub angular_rad_s2: DVec3,
    /// Length of the tick at whose start it was.
    pub dt_s: f64,
}

/// Motion imposed by a hand: what the plane does while somebody holds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarriedMotion {
    /// Centre of gravity in world axes at the end of the tick.
    pub position_m: DVec3,
    /// Its velocity over the ground.
    pub velocity_m_s: DVec3,
    /// Body to world.
    pub attitude: DQuat,
    /// Body rates.
    pub rates_rad_s: DVec3,
}

/// What a step saw and did; input for recordings, scores and energy audits.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StepReport {
    /// Speed through the air at the centre of gravity.
    pub airspeed_m_s: f64,
    /// Angle of attack of the fuselage axis.
    pub alpha_rad: f64,
    /// Sideslip, positive with the wind from starboard.
    pub beta_rad: f64,
    /// Angle by which the wing's most loaded strip is below its stall; negative when stalled.
    pub stall_margin_rad: f64,
    /// Share of the wing area that is separated, port half, 0 to 1.
    pub stalled_left: f64,
    /// Share of the wing area that is separated, starboard half, 0 to 1.
    pub stalled_right: f64,
    /// Force of air and propeller on the plane, body axes, gravity excluded.
    pub force_n: DVec3,
    /// Moment of air and propeller about the centre of gravity, body axes.
    pub moment_n_m: DVec3,
    /// Force over weight along the body's up axis.
    pub load_factor: f64,
    /// Work of the air on the plane during the step (apparent mass included).
    pub air_work_j: f64,
    /// Work of the propeller on the plane during the step.
    pub thrust_work_j: f64,
    /// Thrust along the shaft.
    pub thrust_n: f64,
    /// Propeller speed.
    pub propeller_rad_s: f64,
    /// Battery current.
    pub current_a: f64,
    /// Battery voltage under load.
    pub voltage_v: f64,
}
