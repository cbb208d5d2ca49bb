//! The hand that carries the plane and lets it go.

use bevy::prelude::*;
use glam::DVec3;
use larkfield_flight::CarriedMotion;
use larkfield_pilot::{ABORT_WORD, Arm, HandPath, PowerTiming};
use larkfield_recording::{EventKind, Person};

use crate::aircraft::{Aircraft, Happenings};
use crate::damage::TURNING_RAD_S;
use crate::pilot::Pilot;
use crate::tick::{RunStart, Tick, TickClock, TickSystems};

/// Times closer together than this are the same: the rounding of sums of ticks.
pub(crate) const SAME_TIME_S: f64 = 1e-9;

/// A thrower's hand.
#[derive(Component, Debug, Clone)]
pub struct Hand {
    /// Where the hand takes the plane, by a clock of its own.
    path: HandPath,
    /// How far the clock of the path is behind that of the run.
    go: Go,
    /// How far its story has been told.
    told: Told,
    /// Agreed words said so far.
    said: usize,
    /// Somebody called the throw off: the plane stays in the hand.
    called_off: bool,
}

/// What sets the hand going.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Go {
    /// Somebody at the sticks, who holds the plane back and lets go. `held`:
    /// has held it back once.
    Awaited { held: bool },
    /// The clock of the run, less this.
    After { delay_s: f64 },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Told {
    Nothing,
    Began,
    Released,
    BackOnStick,
}

impl Hand {
    /// A hand that throws at the time of its path.
    pub fn new(path: HandPath) -> Self {
        Self {
            path,
            go: Go::After { delay_s: 0.0 },
            told: Told::Nothing,
            said: 0,
            called_off: false,
        }
    }

    /// A hand that throws when somebody at the sticks lets go of
    /// [`larkfield_pilot::Switches::throw_held`].
    pub fn awaiting(path: HandPath) -> Self {
        Self {
            go: Go::Awaited { held: false },
            ..Self::new(path)
        }
    }

    /// When the hand lets go; never when the throw was called off, and not
    /// known while it waits.
    pub fn release_s(&self) -> f64 {
        self.in_run_s(self.path.release_s())
    }

    /// True while the pilot's throwing hand is off its stick.
    pub fn hand_off(&self, time_s: f64) -> bool {
        self.path.hand_off(self.in_path_s(time_s))
    }

    /// Motion that the hand imposes.
    pub fn at(&self, time_s: f64) -> CarriedMotion {
        self.path.at(self.in_path_s(time_s))
    }

    /// The arm that holds the plane and follows through.
    pub fn arm(&self, time_s: f64, grip_from_balance_m: DVec3) -> Arm {
        self.path.arm(self.in_path_s(time_s), grip_from_balance_m)
    }

    /// The last moment of the path before somebody has to decide: the word that
    /// a helper waits for, or else the first move.
    fn decision_s(&self) -> f64 {
        let words = self.path.words();
        words
            .last()
            .map_or(self.path.begins_s(), |word| word.time_s)
    }

    /// The path's time at a time of the run.
    fn in_path_s(&self, time_s: f64) -> f64 {
        if self.called_off {
            return 0.0;
        }
        match self.go {
            // Just short of the decision, so that its word is not yet due.
            Go::Awaited { .. } => time_s.min(self.decision_s() - 2.0 * SAME_TIME_S),
            Go::After { delay_s } => time_s - delay_s,
        }
    }

    /// The run's time of a time of the path.
    fn in_run_s(&self, path_s: f64) -> f64 {
        match self.go {
            Go::After { delay_s } if !self.called_off => path_s + delay_s,
            Go::After { .. } | Go::Awaited { .. } => f64::INFINITY,
        }
    }

    /// Hears what the pilot does at the start of a tick.
    fn obey(&mut self, start_s: f64, throw_held: bool) {
        if let Go::Awaited { held } = self.go {
            if throw_held {
                self.go = Go::Awaited { held: true };
            } else if held {
                // What was to come before the decision has been waited for.
                self.go = Go::After {
                    delay_s: start_s - self.decision_s(),
                };
            }
        }
    }

    /// Says the agreed words whose time has come. Before the last of them, with
    /// power asked for before the throw, the pilot listens: a motor that does
    /// not turn is a reason to say the other word.
    /// A throw that goes ahead of its words has those left said at once.
    fn speak(
        &mut self,
        (start_s, end_s): (f64, f64),
        plane: &Aircraft,
        happenings: &mut Happenings,
    ) {
        let words = self.path.words();
        while let Some(word) = words
            .get(self.said)
            .filter(|word| self.in_path_s(end_s) >= word.time_s)
        {
            let time_s = match self.go {
                Go::Awaited { .. } => word.time_s,
                Go::After { delay_s } => (word.time_s + delay_s).max(start_s),
            };
            self.said += 1;
            let person = if word.by_thrower {
                Person::Thrower
            } else {
                Person::Pilot
            };
            let throw = self.path.throw();
            let should_turn = throw.power == PowerTiming::Before && throw.throttle > 0.0;
            let turns = plane.state.power.omega_rad_s.abs() > TURNING_RAD_S;
            self.called_off = self.said == words.len() && should_turn && !turns;
            let word = if self.called_off {
                ABORT_WORD
            } else {
                word.word
            };
            happenings.note(
                time_s,
                EventKind::Said {
                    person,
                    word: word.to_owned(),
                },
            );
        }
    }
}

/// Tells the story of the hand. The motion itself is imposed by the flight
/// systems, which ask the path for it.
pub struct ThrowPlugin;

impl Plugin for ThrowPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Tick, tell.in_set(TickSystems::Hand));
    }
}

fn tell(
    clock: Res<TickClock>,
    mut hands: Query<(&RunStart, &Aircraft, &Pilot, &mut Hand, &mut Happenings)>,
) {
    for (run, plane, pilot, mut hand, mut happenings) in &mut hands {
        if plane.ended() || hand.told == Told::BackOnStick {
            continue;
        }
        let (start_s, end_s) = (clock.start_s(run), clock.end_s(run) + SAME_TIME_S);
        hand.obey(start_s, pilot.message.switches.throw_held);
        hand.speak((start_s, end_s), plane, &mut happenings);
        if hand.called_off {
            continue;
        }
        let path = hand.path;
        let begins_s = hand.in_run_s(path.begins_s());
        if hand.told == Told::Nothing && end_s >= begins_s {
            hand.told = Told::Began;
            happenings.note(begins_s, EventKind::ThrowBegan);
        }
        if hand.told == Told::Began && end_s >= hand.release_s() {
            hand.told = Told::Released;
            happenings.note(hand.release_s(), EventKind::Released);
        }
        let back_s = hand.in_run_s(path.hand_back_s());
        if hand.told == Told::Released && end_s >= back_s {
            hand.told = Told::BackOnStick;
            // Nobody's hand was off a stick when somebody else threw.
            if path.throw().by_pilot() {
                happenings.note(back_s, EventKind::HandOnStick);
            }
        }
    }
}
