//! What a referee sees of a moment.

use glam::DVec3;
use larkfield_pilot::Arm;
use larkfield_recording::{FlightStage, Sample};

use crate::Disk;

/// The truth of a moment as far as a referee needs it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Watch<'a> {
    /// Time since the start of the run.
    pub time_s: f64,
    /// In the hand, free, on the ground.
    pub stage: FlightStage,
    /// Balance point, world axes.
    pub position_m: DVec3,
    /// Its velocity over the ground.
    pub velocity_m_s: DVec3,
    /// Outline of the plane, world axes: nose, tips, tail.
    pub outline_m: &'a [DVec3],
    /// The propeller; `None` for a glider or when it has broken.
    pub propeller: Option<Disk>,
    /// The throwing arm, while it holds the plane and follows through.
    pub arm: Option<Arm>,
    /// Separated share of the wing area, 0 to 1.
    pub stalled_share: f64,
    /// A part has broken.
    pub broken: bool,
    /// Bank, starboard wing low positive.
    pub bank_rad: f64,
    /// Pitch attitude, nose up positive.
    pub pitch_rad: f64,
    /// Heading of the nose, clockwise from north.
    pub heading_rad: f64,
    /// Angle between the wing and its stall.
    pub stall_margin_rad: f64,
    /// Thrust along the shaft.
    pub thrust_n: f64,
    /// Roll stick, -1 to 1.
    pub stick_roll: f64,
    /// Pitch stick, -1 to 1.
    pub stick_pitch: f64,
    /// Yaw stick, -1 to 1.
    pub stick_yaw: f64,
    /// Throttle stick, 0 to 1.
    pub stick_throttle: f64,
    /// The throttle cut is on.
    pub throttle_cut: bool,
}

impl Watch<'_> {
    /// Height of the balance point above the ground.
    pub fn height_m(&self) -> f64 {
        -self.position_m.z
    }

    /// No number in it is none.
    pub(crate) fn is_finite(&self) -> bool {
        self.time_s.is_finite()
            && self.position_m.is_finite()
            && self.velocity_m_s.is_finite()
            && self.heading_rad.is_finite()
            && self.bank_rad.is_finite()
    }
}

impl<'a> From<&'a Sample> for Watch<'a> {
    /// A moment as it was recorded. The recording has no outline, no disk, no
    /// hand, no breaks and no switches.
    fn from(sample: &'a Sample) -> Self {
        Self {
            time_s: sample.time_s,
            stage: sample.stage,
            position_m: DVec3::new(sample.north_m, sample.east_m, -sample.height_m),
            velocity_m_s: DVec3::new(
                sample.velocity_north_m_s,
                sample.velocity_east_m_s,
                -sample.climb_m_s,
            ),
            stalled_share: 0.5 * (sample.stalled_left + sample.stalled_right),
            bank_rad: sample.bank_rad,
            pitch_rad: sample.pitch_rad,
            heading_rad: sample.heading_rad,
            stall_margin_rad: sample.stall_margin_rad,
            thrust_n: sample.thrust_n,
            stick_roll: sample.stick_roll,
            stick_pitch: sample.stick_pitch,
            stick_yaw: sample.stick_yaw,
            stick_throttle: sample.stick_throttle,
            ..Self::default()
        }
    }
}
