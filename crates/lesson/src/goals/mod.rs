//! What a phase asks for, and who decides that it was done.
//!
//! Every goal is a small state machine over the truth of moments: a function of
//! time and of what was seen, whatever the interval. The referee runs it during
//! the flight; the score runs the same machine over the samples to say how much
//! of an unfinished phase was flown.

mod figure_eight;
mod go_round;
mod landing;
mod launch;
mod legs;
mod stall;
mod steady;

use larkfield_pilot::{LandingTechnique, Maneuver};

use crate::problem::require_range;
use crate::{CircuitFrame, Problem, Watch};

pub use landing::TouchArea;

/// When a phase is done. Heights are those of the balance point above the
/// ground.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Goal {
    /// Fly free for this long after release without touching anything.
    FlyAway {
        /// Time after release.
        for_s: f64,
    },
    /// Leave the ground and be a metre above where it stood.
    LiftOff,
    /// Reach this height.
    ClimbTo {
        /// The height.
        height_m: f64,
    },
    /// Stop climbing: keep within the band for this long, flown by hand.
    LevelOff {
        /// How long.
        for_s: f64,
        /// Highest less lowest while it lasts.
        band_m: f64,
    },
    /// With nobody touching the sticks, keep within the band for this long.
    TrimOut {
        /// How long.
        for_s: f64,
        /// Highest less lowest while it lasts.
        band_m: f64,
    },
    /// A full turn one way, then a full turn the other way.
    FigureEight {
        /// Highest less lowest over both turns.
        band_m: f64,
    },
    /// Stall with the wings level or in a turn, and recover.
    Stall {
        /// Least bank as it stalls; 0 for wings level.
        bank_rad: f64,
        /// Most height that it may cost.
        lost_m: f64,
    },
    /// Fly against the landing direction past the touch point, beside it on
    /// the side of the circuit.
    Downwind,
    /// After passing the touch point, turn across and into the landing direction.
    Base,
    /// Come down in the landing direction to this height, before the far end
    /// of the box.
    Final {
        /// The height.
        to_m: f64,
    },
    /// Come down to this height in the landing direction, then climb again to
    /// another without having touched.
    GoRound {
        /// At or below this the approach counts as flown.
        below_m: f64,
        /// The climb ends here.
        climb_to_m: f64,
    },
    /// Come down to this height without power, flying.
    GlideDown {
        /// The height.
        to_m: f64,
    },
    /// Touch the ground upright and whole.
    Touch {
        /// Where.
        area: TouchArea,
        /// How.
        technique: LandingTechnique,
    },
    /// Come to rest upright and whole.
    RollOut,
    /// Throttle shut and throttle cut on within this time after coming to rest.
    Disarm {
        /// The time.
        within_s: f64,
    },
}

impl Goal {
    /// Happens on the ground: touching it ends nothing.
    pub fn is_on_ground(&self) -> bool {
        matches!(
            self,
            Self::Touch { .. } | Self::RollOut | Self::Disarm { .. }
        )
    }

    /// Needs a place to land.
    pub fn needs_circuit(&self) -> bool {
        matches!(
            self,
            Self::Downwind
                | Self::Base
                | Self::Final { .. }
                | Self::GoRound { .. }
                | Self::Touch {
                    area: TouchArea::Box,
                    ..
                }
        )
    }

    /// A landing at the stall.
    pub fn is_stall_limit(&self) -> bool {
        matches!(
            self,
            Self::Touch {
                technique: LandingTechnique::StallLimit,
                ..
            }
        )
    }

    /// Time that the goal takes at the very least.
    pub(crate) fn least_s(&self) -> f64 {
        match *self {
            Self::FlyAway { for_s }
            | Self::LevelOff { for_s, .. }
            | Self::TrimOut { for_s, .. } => for_s,
            _ => 0.0,
        }
    }

    /// What a pilot does for it; `None` when an earlier maneuver covers it.
    pub fn maneuver(&self) -> Option<Maneuver> {
        match *self {
            Self::FlyAway { .. } | Self::LiftOff => Some(Maneuver::GetAway),
            Self::ClimbTo { height_m } => Some(Maneuver::ClimbTo { height_m }),
            // A climb ends level, and a pilot who hears the motor stop glides.
            Self::LevelOff { .. } | Self::GlideDown { .. } | Self::RollOut => None,
            Self::TrimOut { for_s, .. } => Some(Maneuver::TrimOut {
                hold_s: for_s + 1.0,
            }),
            Self::FigureEight { .. } => Some(Maneuver::FigureEight),
            Self::Stall { bank_rad, .. } => Some(Maneuver::Stall { bank_rad }),
            Self::Downwind => Some(Maneuver::Downwind),
            Self::Base => Some(Maneuver::Base),
            Self::Final { .. } => Some(Maneuver::Final),
            // The eye misjudges height, and lower than asked still counts.
            Self::GoRound { below_m, .. } => Some(Maneuver::GoRound {
                at_height_m: 0.7 * below_m,
            }),
            Self::Touch { technique, .. } => Some(Maneuver::Land { technique }),
            Self::Disarm { .. } => Some(Maneuver::StopAndDisarm),
        }
    }

    /// Refuses numbers that nobody could fly.
    pub(crate) fn check(&self, path: &str, found: &mut Vec<Problem>) {
        let mut range = |field: &str, value: f64, limits| {
            require_range(found, format!("{path}.{field}"), value, limits);
        };
        match *self {
            Self::FlyAway { for_s } => range("for", for_s, (0.1, 60.0, "s")),
            Self::ClimbTo { height_m } => range("height", height_m, (3.0, 120.0, "m")),
            Self::LevelOff { for_s, band_m } | Self::TrimOut { for_s, band_m } => {
                range("for", for_s, (0.5, 60.0, "s"));
                range("band", band_m, (0.5, 50.0, "m"));
            }
            Self::FigureEight { band_m } => range("band", band_m, (1.0, 50.0, "m")),
            Self::Stall { bank_rad, lost_m } => {
                range("bank", bank_rad, (0.0, 0.8, "rad"));
                range("lost", lost_m, (1.0, 50.0, "m"));
            }
            Self::Final { to_m } | Self::GlideDown { to_m } => range("to", to_m, (0.5, 20.0, "m")),
            Self::GoRound {
                below_m,
                climb_to_m,
            } => {
                range("below", below_m, (1.0, 50.0, "m"));
                range("climb_to", climb_to_m, (3.0, 120.0, "m"));
                if climb_to_m <= below_m {
                    found.push(Problem::new(
                        format!("{path}.climb_to"),
                        format!("{climb_to_m} m is not above {below_m} m"),
                        "a go-round climbs: give a greater height than `below`",
                    ));
                }
            }
            Self::Disarm { within_s } => range("within", within_s, (1.0, 60.0, "s")),
            Self::LiftOff | Self::Downwind | Self::Base | Self::Touch { .. } | Self::RollOut => {}
        }
    }
}

/// How far a goal has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Progress {
    /// Share that is done, 0 to 1.
    Under(f64),
    /// Reached.
    Done,
    /// Out of reach for the rest of the flight, and why.
    Failed(&'static str),
}

/// Watches one goal from the moment the phase begins. `Clone`: the copy judges
/// the same.
#[derive(Debug, Clone, PartialEq)]
pub struct GoalWatch {
    goal: Goal,
    frame: Option<CircuitFrame>,
    state: State,
    result: Progress,
}

/// Where each machine keeps its memory.
#[derive(Debug, Clone, PartialEq)]
enum State {
    None,
    Climb(launch::Climb),
    Steady(steady::Steady),
    Eight(figure_eight::Eight),
    Stall(stall::Stall),
    Downwind(legs::Downwind),
    Base(legs::Base),
    Final(legs::Final),
    GoRound(go_round::GoRound),
    Touch(landing::Touch),
    RollOut(landing::RollOut),
    Disarm(landing::Disarm),
}

impl GoalWatch {
    /// A watch for a goal; `frame` is where the circuit is.
    pub fn new(goal: Goal, frame: Option<CircuitFrame>) -> Self {
        let state = match goal {
            Goal::FlyAway { .. } => State::None,
            Goal::LiftOff | Goal::ClimbTo { .. } | Goal::GlideDown { .. } => {
                State::Climb(launch::Climb::default())
            }
            Goal::LevelOff { .. } | Goal::TrimOut { .. } => {
                State::Steady(steady::Steady::default())
            }
            Goal::FigureEight { .. } => State::Eight(figure_eight::Eight::default()),
            Goal::Stall { .. } => State::Stall(stall::Stall::default()),
            Goal::Downwind => State::Downwind(legs::Downwind::default()),
            Goal::Base => State::Base(legs::Base::default()),
            Goal::Final { .. } => State::Final(legs::Final::default()),
            Goal::GoRound { .. } => State::GoRound(go_round::GoRound::default()),
            Goal::Touch { .. } => State::Touch(landing::Touch::default()),
            Goal::RollOut => State::RollOut(landing::RollOut::default()),
            Goal::Disarm { .. } => State::Disarm(landing::Disarm::default()),
        };
        Self {
            goal,
            frame,
            state,
            result: Progress::Under(0.0),
        }
    }

    /// The goal.
    pub fn goal(&self) -> &Goal {
        &self.goal
    }

    /// How far it has come.
    pub fn progress(&self) -> Progress {
        self.result
    }

    /// For a figure-eight whose first turn is complete: when that turn began and
    /// when it went over into the second.
    pub(crate) fn turns_s(&self) -> Option<(f64, f64)> {
        match &self.state {
            State::Eight(eight) => eight.turns_s(),
            _ => None,
        }
    }

    /// Looks at a moment; `free_s` is the time since the release. What is done
    /// or failed stays so. A moment with numbers that are none changes nothing.
    pub fn watch(&mut self, seen: &Watch, free_s: f64) -> Progress {
        if !matches!(self.result, Progress::Under(_)) || !seen.is_finite() {
            return self.result;
        }
        let before = match self.result {
            Progress::Under(share) => share,
            _ => 0.0,
        };
        let now = self.step(seen, free_s);
        // What was flown counts even if it was lost again.
        self.result = match now {
            Progress::Under(share) => Progress::Under(before.max(share.clamp(0.0, 1.0))),
            other => other,
        };
        self.result
    }

    fn step(&mut self, seen: &Watch, free_s: f64) -> Progress {
        let frame = self.frame.as_ref();
        match (&mut self.state, self.goal) {
            (State::None, Goal::FlyAway { for_s }) => launch::fly_away(free_s, for_s),
            (State::Climb(climb), Goal::LiftOff) => climb.lift_off(seen),
            (State::Climb(climb), Goal::ClimbTo { height_m }) => climb.to(seen, height_m),
            (State::Climb(climb), Goal::GlideDown { to_m }) => climb.down_to(seen, to_m),
            (State::Steady(steady), Goal::LevelOff { for_s, band_m }) => {
                steady.level(seen, for_s, band_m)
            }
            (State::Steady(steady), Goal::TrimOut { for_s, band_m }) => {
                steady.untouched(seen, for_s, band_m)
            }
            (State::Eight(eight), Goal::FigureEight { band_m }) => eight.watch(seen, band_m),
            (State::Stall(stall), Goal::Stall { bank_rad, lost_m }) => {
                stall.watch(seen, bank_rad, lost_m)
            }
            (State::Downwind(leg), _) => with(frame, |frame| leg.watch(seen, frame)),
            (State::Base(leg), _) => with(frame, |frame| leg.watch(seen, frame)),
            (State::Final(leg), Goal::Final { to_m }) => {
                with(frame, |frame| leg.watch(seen, frame, to_m))
            }
            (
                State::GoRound(round),
                Goal::GoRound {
                    below_m,
                    climb_to_m,
                },
            ) => with(frame, |frame| round.watch(seen, frame, below_m, climb_to_m)),
            (State::Touch(touch), Goal::Touch { area, technique }) => {
                touch.watch(seen, frame, area, technique)
            }
            (State::RollOut(roll), _) => roll.watch(seen),
            (State::Disarm(disarm), Goal::Disarm { within_s }) => disarm.watch(seen, within_s),
            _ => Progress::Under(0.0),
        }
    }
}

/// Without a circuit there is nothing to judge.
fn with(frame: Option<&CircuitFrame>, judge: impl FnOnce(&CircuitFrame) -> Progress) -> Progress {
    frame.map_or(Progress::Under(0.0), judge)
}
