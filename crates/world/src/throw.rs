//! The hand that carries the plane and lets it go.

use bevy::prelude::*;
use larkfield_pilot::HandPath;
use larkfield_recording::EventKind;

use crate::aircraft::{Aircraft, Happenings};
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
