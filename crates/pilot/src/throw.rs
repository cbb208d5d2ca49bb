//! The throw as a lesson describes it.

use glam::DVec3;
use larkfield_airframe::{Airframe, Side, SurfaceKind};

/// How the arm moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ThrowKind {
    /// Past the ear like a spear: a straight push through the balance point.
    #[default]
    Overhand,
    /// Beside the leg, forward and up, the arm swinging about the shoulder.
    Underhand,
    /// Held by the wing root and swung around the body: the plane keeps part of
    /// the arm's turn.
    SideArm,
    /// A helper throws overhand, at agreed words, and steps clear.
    Helper,
}

impl ThrowKind {
    /// The fastest that anybody throws a model so (estimated; typical are 5 to 9
    /// m/s overhand and less underhand: common practice, no source).
    pub fn fastest_m_s(self) -> f64 {
        match self {
            Self::Overhand | Self::SideArm => 15.0,
            Self::Underhand => 10.0,
            Self::Helper => 12.0,
        }
    }

    /// Usual length of the arm's push (common practice, no source).
    pub fn usual_reach_m(self) -> f64 {
        match self {
            Self::Overhand | Self::Helper => 0.75,
            Self::Underhand => 0.9,
            Self::SideArm => 1.1,
        }
    }

    /// Share of the arm's turn that a plane usually keeps: the wrist takes the
    /// rest out (estimated, no source).
    pub fn usual_turn(self) -> f64 {
        match self {
            Self::Overhand | Self::Helper => 0.0,
            Self::Underhand => 0.05,
            Self::SideArm => 0.15,
        }
    }
}

/// When the motor runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PowerTiming {
    /// Set steadily before the arm moves: the way to launch a tractor.
    Before,
    /// Set after release: the way to launch a pusher, whose propeller has to
    /// pass the hand first.
    After {
        /// From release to the throttle stick's move.
        delay_s: f64,
    },
}

/// A throw: speeds over the ground, at the balance point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throw {
    /// How the arm moves.
    pub kind: ThrowKind,
    /// Speed over the ground at release.
    pub speed_m_s: f64,
    /// Elevation of the path at release above the horizon.
    pub path_rad: f64,
    /// Attitude of the nose at release, up positive.
    pub pitch_rad: f64,
    /// Bank at release, starboard wing low positive.
    pub bank_rad: f64,
    /// Direction of nose and path, clockwise from north.
    pub heading_rad: f64,
    /// Height of the balance point above the ground at release.
    pub release_height_m: f64,
    /// When the motor runs.
    pub power: PowerTiming,
    /// Throttle for the launch, 0 to 1.
    pub throttle: f64,
    /// How long after release the throwing hand is back on its stick; 0 when
    /// somebody other than the pilot throws. 0.4 to 1 s for a pilot who throws
    /// (common practice, no source).
    pub hand_back_s: f64,
    /// Share of the speed that a step or a run-up adds before the arm moves,
    /// in metres a second: 0 standing, 1 to 3 with a run (common practice, no
    /// source).
    pub run_up_m_s: f64,
    /// Length of the arm's push. 0.6 to 0.9 m (common practice, no source).
    pub reach_m: f64,
    /// Share of the arm's turn that the plane keeps at release; an overhand
    /// throw is straight and has none.
    pub turn: f64,
}

impl Default for Throw {
    /// A firm level throw to the north from head height, power set before, by
    /// somebody other than the pilot.
    fn default() -> Self {
        Self {
            kind: ThrowKind::Overhand,
            speed_m_s: 6.5,
            path_rad: 0.05,
            pitch_rad: 0.1,
            bank_rad: 0.0,
            heading_rad: 0.0,
            release_height_m: 1.8,
            power: PowerTiming::Before,
            throttle: 0.75,
            hand_back_s: 0.0,
            run_up_m_s: 0.0,
            reach_m: 0.75,
            turn: 0.0,
        }
    }
}

/// Why a throw is refused. Each message says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ThrowRefused {
    /// A number outside what an arm, a hand or a person can do.
    #[error(
        "{field} is {value} {unit}, which is not possible: it must be from {least} to {most} {unit}"
    )]
    OutOfRange {
        /// Field of [`Throw`] without its unit, such as `speed`.
        field: &'static str,
        /// Value given.
        value: f64,
        /// Smallest value allowed.
        least: f64,
        /// Largest value allowed.
        most: f64,
        /// Unit of the three numbers.
        unit: &'static str,
    },
    /// A pusher thrown with the motor running.
    #[error(
        "power is on before the throw, but the propeller pushes from behind the hand and would \
         cut the arm as the plane leaves: set power after release instead"
    )]
    PusherUnderPower,
    /// The hand is within reach of the propeller.
    #[error(
        "the grip point is {gap_mm:.0} mm from the propeller disk and power is on before the \
         throw: hold the plane at least {needed_mm:.0} mm from the disk, or set power after release"
    )]
    HandInPropeller {
        /// Distance from grip point to propeller disk in millimetres.
        gap_mm: f64,
        /// Distance needed in millimetres.
        needed_mm: f64,
    },
}

/// A name, a value, the least and the most it may be, and their unit.
pub(crate) type Range = (&'static str, f64, f64, f64, &'static str);

/// Refuses every value outside its range; NaN is outside.
pub(crate) fn refuse_outside(ranges: &[Range]) -> Result<(), Vec<ThrowRefused>> {
    let refused: Vec<ThrowRefused> = ranges
        .iter()
        .filter(|(_, value, least, most, _)| !(value >= least && value <= most))
        .map(
            |&(field, value, least, most, unit)| ThrowRefused::OutOfRange {
                field,
                value,
                least,
                most,
                unit,
            },
        )
        .collect();
    if refused.is_empty() {
        Ok(())
    } else {
        Err(refused)
    }
}

/// Hand and knuckles around the grip point stay within this radius; a running
/// propeller has to be farther away (common practice, no source).
const HAND_CLEARANCE_M: f64 = 0.08;

/// Where a side-arm throw holds the root of the wing: this share of the chord
/// behind the leading edge, this far beside the middle (common practice, no
/// source).
const ROOT_HELD_AT: f64 = 0.5;
const BESIDE_BODY_M: f64 = 0.06;

impl Throw {
    /// Refuses what no arm can do. Ranges are generous: a bad throw is a
    /// lesson, not a mistake in the file.
    ///
    /// # Errors
    /// All reasons, in the order of the fields.
    pub fn check(&self) -> Result<(), Vec<ThrowRefused>> {
        let degrees = |radians: f64| radians * 180.0 / crate::attitude::PI;
        let delay_s = match self.power {
            PowerTiming::Before => 0.0,
            PowerTiming::After { delay_s } => delay_s,
        };
        // An athlete's best overarm throw of a light ball is above 30 m/s, of a
        // plane held by its belly 5 to 9 (common practice, no source); 15 is
        // beyond everybody.
        let ranges = [
            ("speed", self.speed_m_s, 0.5, self.kind.fastest_m_s(), "m/s"),
            ("path", degrees(self.path_rad), -45.0, 60.0, "deg"),
            ("pitch", degrees(self.pitch_rad), -60.0, 80.0, "deg"),
            ("bank", degrees(self.bank_rad), -90.0, 90.0, "deg"),
            ("heading", degrees(self.heading_rad), -360.0, 720.0, "deg"),
            ("release_height", self.release_height_m, 0.3, 3.0, "m"),
            ("power.delay", delay_s, 0.0, 5.0, "s"),
            ("throttle", self.throttle, 0.0, 1.0, "of full"),
            ("hand_back", self.hand_back_s, 0.0, 3.0, "s"),
            ("run_up", self.run_up_m_s, 0.0, 4.0, "m/s"),
            ("reach", self.reach_m, 0.3, 1.4, "m"),
            ("turn", self.turn, 0.0, 1.0, "of the arm's"),
        ];
        refuse_outside(&ranges)
    }

    /// Refuses what would hurt the thrower of this airframe.
    ///
    /// # Errors
    /// The reason.
    pub fn check_with(&self, airframe: &Airframe) -> Result<(), ThrowRefused> {
        let (Some(power), PowerTiming::Before) = (&airframe.power, self.power) else {
            return Ok(());
        };
        if self.throttle <= 0.0 {
            return Ok(());
        }
        let from_hub_m = self.grip_m(airframe) - power.hub_m;
        let along_m = from_hub_m.dot(power.thrust_direction);
        if power.pusher || along_m > 0.0 {
            return Err(ThrowRefused::PusherUnderPower);
        }
        let across_m = (from_hub_m - power.thrust_direction * along_m).length();
        let beyond_m = (across_m - 0.5 * power.propeller.diameter_m).max(0.0);
        let gap_m = (along_m * along_m + beyond_m * beyond_m).sqrt();
        if gap_m < HAND_CLEARANCE_M {
            return Err(ThrowRefused::HandInPropeller {
                gap_mm: gap_m * 1000.0,
                needed_mm: HAND_CLEARANCE_M * 1000.0,
            });
        }
        Ok(())
    }

    /// Where the hand holds the plane, airframe axes: the grip of its file, or
    /// the wing's root beside the body for a side-arm throw.
    pub fn grip_m(&self, airframe: &Airframe) -> DVec3 {
        let grip_m = airframe.grip.position_m;
        if self.kind != ThrowKind::SideArm {
            return grip_m;
        }
        let root = airframe
            .panels
            .iter()
            .filter(|panel| panel.kind == SurfaceKind::Wing && panel.side != Side::Left)
            .find_map(|panel| panel.stations.first());
        root.map_or(grip_m, |root| {
            let aft_m = ROOT_HELD_AT * root.chord_m;
            root.leading_edge_m + DVec3::new(-aft_m, BESIDE_BODY_M, 0.0)
        })
    }

    /// True when the pilot throws the plane.
    pub fn by_pilot(&self) -> bool {
        self.hand_back_s > 0.0
    }
}
