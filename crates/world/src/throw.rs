//! The hand that carries the plane and lets it go.

use bevy::prelude::*;
use glam::DVec3;
use larkfield_flight::CarriedMotion;
use larkfield_pilot::{ABORT_WORD, Arm, HandPath, PowerTiming};
use larkfield_recording::{EventKind, Person};

use crate::aircraft::{Aircraft, Happenings};
use crate::damage::TURNING_RAD_S;
use crate::tick::{RunStart, Tick, TickClock, TickSystems};

/// Times closer together than this are the same: the rounding of sums of ticks.
pub(crate) const SAME_TIME_S: f64 = 1e-9;

/// A thrower's hand.
#[derive(Component, Debug, Clone)]
pub struct Hand {
    /// Where the hand takes the plane.
    pub path: HandPath,
    /// How far its story has been told.
    told: Told,
    /// Agreed words said so far.
    said: usize,
    /// Somebody called the throw off: the plane stays in the hand.
    pub called_off: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Told {
    Nothing,
    Began,
    Released,
    BackOnStick,
}

impl Hand {
    /// A hand that holds a plane.
    pub fn new(path: HandPath) -> Self {
        Self {
            path,
            told: Told::Nothing,
            said: 0,
            called_off: false,
        }
    }

    /// When the hand lets go; never when the throw was called off.
    pub fn release_s(&self) -> f64 {
        if self.called_off {
            f64::INFINITY
        } else {
            self.path.release_s()
        }
    }

    /// Motion that the hand imposes.
    pub fn at(&self, time_s: f64) -> CarriedMotion {
        self.path.at(if self.called_off { 0.0 } else { time_s })
    }

    /// The arm that holds the plane and follows through.
    pub fn arm(&self, time_s: f64, grip_from_balance_m: DVec3) -> Arm {
        let time_s = if self.called_off { 0.0 } else { time_s };
        self.path.arm(time_s, grip_from_balance_m)
    }

    /// Says the agreed words whose time has come. Before the last of them, with
    /// power asked for before the throw, the pilot listens: a motor that does
    /// not turn is a reason to say the other word.
    fn speak(&mut self, end_s: f64, plane: &Aircraft, happenings: &mut Happenings) {
        let words = self.path.words();
        while let Some(word) = words.get(self.said).filter(|word| end_s >= word.time_s) {
            self.said += 1;
            let time_s = word.time_s;
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
    mut hands: Query<(&RunStart, &Aircraft, &mut Hand, &mut Happenings)>,
) {
    for (run, plane, mut hand, mut happenings) in &mut hands {
        if plane.ended() || hand.told == Told::BackOnStick {
            continue;
        }
        let end_s = clock.end_s(run) + SAME_TIME_S;
        hand.speak(end_s, plane, &mut happenings);
        if hand.called_off {
            continue;
        }
        let path = hand.path;
        if hand.told == Told::Nothing && end_s >= path.begins_s() {
            hand.told = Told::Began;
            happenings.note(path.begins_s(), EventKind::ThrowBegan);
        }
        if hand.told == Told::Began && end_s >= path.release_s() {
            hand.told = Told::Released;
            happenings.note(path.release_s(), EventKind::Released);
        }
        if hand.told == Told::Released && end_s >= path.hand_back_s() {
            hand.told = Told::BackOnStick;
            // Nobody's hand was off a stick when somebody else threw.
            if path.throw().by_pilot() {
                happenings.note(path.hand_back_s(), EventKind::HandOnStick);
            }
        }
    }
}
