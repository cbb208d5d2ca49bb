//! Keys and sticks that move through a flight.

use bevy::prelude::*;

use super::Replay;
use super::player::SCRUB;
use crate::activity::Activity;
use crate::control::Given;
use crate::eyes::{Look, Zoom};
use crate::sticks::{Chosen, OwnSticks};

/// What can be pressed.
pub const KEYS: &str = "\
SPACE        play, stand still
LEFT RIGHT   earlier, later
UP DOWN      faster, slower
HOME END     to its ends
T  F         way, flight beside
V  Z         another view, larger
G or Esc     back";

/// A stick this far from its middle moves through time.
const DEAD: f64 = 0.25;
/// A key held down together with SHIFT moves this much more slowly.
const FINE: f64 = 0.1;

/// Presses them.
pub fn press(
    keys: Res<ButtonInput<KeyCode>>,
    time: Res<Time>,
    given: Res<Given>,
    mut sticks: NonSendMut<OwnSticks>,
    mut replay: ResMut<Replay>,
    (mut look, mut zoom): (ResMut<Look>, ResMut<Zoom>),
    mut next: ResMut<NextState<Activity>>,
) {
    let button = sticks.device().is_some_and(Chosen::take_again);
    if button || keys.just_pressed(KeyCode::KeyG) || keys.just_pressed(KeyCode::Escape) {
        next.set(Activity::Flight);
        return;
    }
    let player = &mut replay.player;
    if keys.just_pressed(KeyCode::Space) {
        player.toggle();
    }
    let pair = |less: KeyCode, more: KeyCode| {
        f64::from(u8::from(keys.pressed(more))) - f64::from(u8::from(keys.pressed(less)))
    };
    let shift = keys.pressed(KeyCode::ShiftLeft) || keys.pressed(KeyCode::ShiftRight);
    let mut rate = SCRUB * pair(KeyCode::ArrowLeft, KeyCode::ArrowRight);
    if shift {
        rate *= FINE;
    }
    if sticks.device().is_some() && given.wanted.is_empty() {
        let roll = given.message.sticks.roll;
        if roll.abs() > DEAD {
            rate += SCRUB * roll;
        }
    }
    if rate != 0.0 {
        player.move_by(rate * time.delta_secs_f64());
    }
    let once = |key: KeyCode| i32::from(keys.just_pressed(key));
    player.hurry(once(KeyCode::ArrowUp) - once(KeyCode::ArrowDown));
    if keys.just_pressed(KeyCode::Home) {
        player.look_at_share(0.0);
    }
    if keys.just_pressed(KeyCode::End) {
        player.look_at_share(1.0);
    }
    if keys.just_pressed(KeyCode::KeyT) {
        replay.way_shown = !replay.way_shown;
    }
    if keys.just_pressed(KeyCode::KeyF) {
        replay.beside_shown = !replay.beside_shown;
    }
    if keys.just_pressed(KeyCode::KeyV) {
        *look = look.next();
    }
    if keys.just_pressed(KeyCode::KeyZ) {
        zoom.0 = !zoom.0;
    }
}
