//! The legs of a flight: what each maneuver wants from moment to moment, and
//! when the eye says that it is done.

mod away;
mod circuit;
mod dead_stick;
mod eight;
mod final_leg;
mod land;
mod stall;
mod trim_out;

use crate::scripted::aim::Aim;
use crate::scripted::scene::Scene;
use crate::scripted::{Course, Maneuver};
use away::Climb;
use circuit::{Downwind, PowerHold, base};
pub(super) use dead_stick::DeadStick;
use eight::Eight;
use final_leg::Final;
use land::Landing;
use stall::Stall;
use trim_out::TrimOut;

/// How a leg stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Progress {
    /// Not done yet.
    Going,
    /// Done: on to the next.
    Done,
    /// The approach does not work out: away, and round again.
    GoRound,
}

/// The leg being flown, with what it has to remember.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Leg {
    /// Away from hand or ground.
    Away,
    /// Up, straight ahead.
    Climb(Climb),
    /// Trims.
    TrimOut(TrimOut),
    /// Both ways round.
    Eight(Eight),
    /// Stalled on purpose.
    Stall(Stall),
    /// Against the landing direction.
    Downwind(Downwind),
    /// Across, coming down.
    Base(PowerHold),
    /// In, coming down.
    Final(Final),
    /// Up again from an approach, to circuit height.
    GoAround,
    /// The landing.
    Land(Landing),
    /// Down without a motor.
    DeadStick(DeadStick),
    /// Standing, motor off.
    Stopped,
    /// Nothing left to do: on, level.
    Level {
        /// Height held.
        height_m: f64,
    },
}

impl Leg {
    /// The leg that flies a maneuver.
    pub fn of(maneuver: &Maneuver) -> Self {
        match *maneuver {
            Maneuver::GetAway => Self::Away,
            Maneuver::ClimbTo { height_m } => Self::Climb(Climb { height_m }),
            Maneuver::TrimOut { hold_s } => Self::TrimOut(TrimOut::new(hold_s)),
            Maneuver::FigureEight => Self::Eight(Eight::default()),
            Maneuver::Stall { bank_rad } => Self::Stall(Stall::banked(bank_rad)),
            Maneuver::Downwind => Self::Downwind(Downwind::default()),
            Maneuver::Base => Self::Base(PowerHold::default()),
            Maneuver::Final => Self::Final(Final::to_land()),
            Maneuver::GoRound { at_height_m } => Self::Final(Final::to_go_round(at_height_m)),
            Maneuver::Land { technique } => Self::Land(Landing::new(technique)),
            Maneuver::StopAndDisarm => Self::Stopped,
        }
    }

    /// What it wants now, and how it stands.
    pub fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        match self {
            Self::Away => away::away(scene),
            Self::Climb(climb) => climb.fly(scene),
            Self::TrimOut(trim) => trim.fly(scene),
            Self::Eight(eight) => eight.fly(scene),
            Self::Stall(stall) => stall.fly(scene),
            Self::Downwind(downwind) => downwind.fly(scene),
            Self::Base(power) => base(scene, power),
            Self::Final(leg) => leg.fly(scene),
            Self::GoAround => away::go_around(scene),
            Self::Land(landing) => landing.fly(scene),
            Self::DeadStick(leg) => leg.fly(scene),
            Self::Stopped => (land::stopped(scene), Progress::Going),
            Self::Level { height_m } => {
                let course = Course::Toward {
                    track_rad: scene.task.heading_rad,
                };
                (scene.level(course, *height_m), Progress::Going)
            }
        }
    }

    /// Flown level at the speed of the circuit.
    pub fn is_level(&self) -> bool {
        matches!(
            self,
            Self::TrimOut(_) | Self::Eight(_) | Self::Downwind(_) | Self::Level { .. }
        )
    }

    /// Whether a motor that falls silent is a surprise here.
    pub fn needs_motor(&self) -> bool {
        !matches!(
            self,
            Self::Land(_) | Self::DeadStick(_) | Self::Stopped | Self::Stall(_)
        )
    }
}
