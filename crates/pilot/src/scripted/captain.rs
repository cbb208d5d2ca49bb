//! The plan and where in it the pilot is; what surprises do to it.

use std::collections::VecDeque;

use crate::scripted::aim::Aim;
use crate::scripted::legs::{DeadStick, Leg, Progress};
use crate::scripted::scene::Scene;
use crate::scripted::wind_guess::WindGuess;
use crate::scripted::{Circuit, Maneuver, Side, Task};

/// Approaches given up before the pilot takes what comes.
const MOST_GO_ROUNDS: u32 = 4;
/// A motor quieter than this at an open throttle has stopped.
const SILENT: f64 = 0.22;
/// Throttle from which a running motor is plainly heard.
const HEARD_THROTTLE: f64 = 0.2;
/// The throttle has to have been open this long before silence means something.
const SPUN_UP_S: f64 = 1.0;
/// Legs that may end within one decision; more would be a plan that does nothing.
const MOST_LEGS_AT_ONCE: usize = 8;

/// The plan being flown.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Captain {
    circuit: Circuit,
    /// What is still to come after the leg being flown.
    ahead: VecDeque<Maneuver>,
    /// The maneuver that the leg belongs to.
    current: Option<Maneuver>,
    leg: Leg,
    go_rounds: u32,
    wind: WindGuess,
    open_s: f64,
    silent_s: f64,
}

impl Captain {
    /// A plan at its beginning. The windsock is misread by a share of the wind.
    pub fn new(task: &Task, misread_share: f64) -> Self {
        let mut ahead: VecDeque<Maneuver> = task.maneuvers.iter().copied().collect();
        let current = ahead.pop_front();
        Self {
            circuit: task
                .circuit
                .unwrap_or_else(|| Circuit::around_launch_point(task.heading_rad, Side::Right)),
            leg: current.map_or_else(|| level(task), |maneuver| Leg::of(&maneuver)),
            ahead,
            current,
            go_rounds: 0,
            wind: WindGuess::from_windsock(task.windsock_m_s, misread_share),
            open_s: 0.0,
            silent_s: 0.0,
        }
    }

    /// Where the circuit lies.
    pub fn circuit(&self) -> Circuit {
        self.circuit
    }

    /// The wind as guessed.
    pub fn wind(&self) -> WindGuess {
        self.wind
    }

    /// What the hands should bring about now. `throttle` is where that stick
    /// has been.
    pub fn aim(&mut self, scene: &Scene<'_>, throttle: f64) -> Aim {
        self.guess_wind(scene);
        self.listen(scene, throttle);
        let (mut aim, mut progress) = self.leg.fly(scene);
        for _ in 0..MOST_LEGS_AT_ONCE {
            match progress {
                Progress::Going => break,
                Progress::Done => self.go_on(scene.task),
                Progress::GoRound => self.go_round(),
            }
            (aim, progress) = self.leg.fly(scene);
        }
        aim
    }

    fn go_on(&mut self, task: &Task) {
        // Down without a motor: whatever was planned, the flight is over.
        if matches!(self.leg, Leg::DeadStick(_)) {
            self.ahead.clear();
            self.ahead.push_back(Maneuver::StopAndDisarm);
        }
        self.current = self.ahead.pop_front();
        self.leg = self
            .current
            .map_or_else(|| level(task), |maneuver| Leg::of(&maneuver));
    }

    /// Up and away; then round again, unless giving up was the plan.
    fn go_round(&mut self) {
        let again: &[Maneuver] = match self.current {
            Some(Maneuver::GoRound { .. }) => &[],
            Some(land @ Maneuver::Land { .. }) => {
                &[Maneuver::Downwind, Maneuver::Base, Maneuver::Final, land]
            }
            _ => &[Maneuver::Downwind, Maneuver::Base, Maneuver::Final],
        };
        if !again.is_empty() {
            self.go_rounds += 1;
        }
        for maneuver in again.iter().rev() {
            self.ahead.push_front(*maneuver);
        }
        self.current = None;
        self.leg = Leg::GoAround;
    }

    /// Whether this pilot still gives up approaches.
    pub fn may_go_round(&self) -> bool {
        self.go_rounds < MOST_GO_ROUNDS
    }

    fn guess_wind(&mut self, scene: &Scene<'_>) {
        let sight = scene.sight;
        let level = sight.bank_rad.abs() < 0.35 && sight.climb_m_s.abs() < 1.2;
        let settled = scene.free_s.is_some_and(|free_s| free_s > 4.0) && sight.height_m > 4.0;
        if level && settled && self.leg.is_level() {
            let calm_m_s = scene.feel().level_speed_m_s;
            self.wind
                .watch(sight, calm_m_s, scene.habits.sees_drift, scene.step_s);
        }
    }

    /// A motor that should be heard and is not.
    fn listen(&mut self, scene: &Scene<'_>, throttle: f64) {
        let flying = scene.free_s.is_some() && self.leg.needs_motor();
        let open = flying && throttle > HEARD_THROTTLE;
        self.open_s = if open {
            self.open_s + scene.step_s
        } else {
            0.0
        };
        let silent = self.open_s > SPUN_UP_S && scene.sight.motor_sound < SILENT;
        self.silent_s = if silent {
            self.silent_s + scene.step_s
        } else {
            0.0
        };
        if self.silent_s > scene.habits.silence_s {
            self.leg = Leg::DeadStick(DeadStick::default());
            self.silent_s = 0.0;
        }
    }
}

fn level(task: &Task) -> Leg {
    let climbed_m = 1.15 * task.climb_to_m();
    Leg::Level {
        height_m: if climbed_m > 0.0 {
            climbed_m
        } else {
            task.circuit.map_or(12.0, |circuit| circuit.height_m)
        },
    }
}
