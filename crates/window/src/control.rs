//! What the hands do this frame: keys become sticks, or the pilot's own sticks
//! are read. Flights and drills take it from here.

use bevy::prelude::*;
use larkfield_pilot::{ControlMessage, Sticks, Unseen};

use crate::activity::Activity;
use crate::hands::{Hands, Pushed};
use crate::link::Link;
use crate::steps::Steps;
use crate::sticks::OwnSticks;

/// What the hands at the keys do.
#[derive(Resource, Debug, Clone, Copy, Default)]
pub struct AtSticks(pub Hands);

/// What goes to the transmitter, and why it does not go anywhere yet.
#[derive(Resource, Debug, Clone, Default)]
pub struct Given {
    /// What the hands do.
    pub message: ControlMessage,
    /// What has to happen before the sticks count; empty once they do.
    pub wanted: String,
    /// The pilot's sticks while an instructor flies.
    pub others: Option<Sticks>,
}

/// The link between pilot and instructor.
#[derive(Resource, Debug, Clone, Default)]
pub struct Linked(pub Link);

/// Reads hands.
pub struct ControlPlugin;

impl Plugin for ControlPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<AtSticks>()
            .init_resource::<Given>()
            .init_resource::<Linked>()
            .add_systems(
                Update,
                (push.run_if(at_sticks), give).chain().in_set(Steps::Hands),
            )
            .configure_sets(
                Update,
                (Steps::Hands, Steps::Choose, Steps::Fly, Steps::Draw).chain(),
            );
    }
}

/// Keys mean other things where something is picked or looked at again.
fn at_sticks(activity: Option<Res<State<Activity>>>) -> bool {
    activity.is_none_or(|activity| !matches!(activity.get(), Activity::Menu | Activity::Replay))
}

fn push(keys: Res<ButtonInput<KeyCode>>, time: Res<Time>, mut hands: ResMut<AtSticks>) {
    let pair = |less: KeyCode, more: KeyCode| {
        f64::from(u8::from(keys.pressed(more))) - f64::from(u8::from(keys.pressed(less)))
    };
    let pushed = Pushed {
        roll: pair(KeyCode::ArrowLeft, KeyCode::ArrowRight),
        pitch: pair(KeyCode::ArrowUp, KeyCode::ArrowDown),
        yaw: pair(KeyCode::KeyA, KeyCode::KeyD),
        throttle: pair(KeyCode::KeyS, KeyCode::KeyW),
        throw_held: keys.pressed(KeyCode::Space),
    };
    hands.0.push(&pushed, time.delta_secs_f64());
    let once = |less: KeyCode, more: KeyCode| {
        f64::from(u8::from(keys.just_pressed(more))) - f64::from(u8::from(keys.just_pressed(less)))
    };
    hands.0.trim(
        once(KeyCode::KeyJ, KeyCode::KeyL),
        once(KeyCode::KeyI, KeyCode::KeyK),
    );
    if keys.just_pressed(KeyCode::KeyX) {
        hands.0.toggle_throttle_cut();
    }
    hands
        .0
        .surprise(keys.just_pressed(KeyCode::F9), keys.pressed(KeyCode::F10));
}

/// An instructor at the keys surprises whoever is at the sticks.
fn surprised(mut message: ControlMessage, by: Unseen) -> ControlMessage {
    message.unseen.power_lost |= by.power_lost;
    message.unseen.gust |= by.gust;
    message
}

/// Before the first stick of a device counts; a radio on a cable may move a
/// plane that listens.
const BEFORE: &str = "Flight battery out, propeller off, the radio's own transmission off where it \
                      allows: then press ENTER";

/// Hears the pilot's own sticks, or takes what the hands at the keys do; an
/// instructor may fly instead.
fn give(
    mut sticks: NonSendMut<OwnSticks>,
    keys: Res<ButtonInput<KeyCode>>,
    (hands, time): (Res<AtSticks>, Res<Time>),
    mut given: ResMut<Given>,
    mut linked: ResMut<Linked>,
    activity: Option<Res<State<Activity>>>,
) {
    sticks.listen();
    let said_ready = sticks.said_ready;
    // From the next frame on: this press of the key means nothing else. Where the
    // caution is not read, ENTER means something else.
    if at_sticks(activity) {
        sticks.said_ready |=
            keys.just_pressed(KeyCode::Enter) || keys.just_pressed(KeyCode::NumpadEnter);
    }
    // Somebody at the keys and nobody else cannot take over from themselves.
    let at_keys = hands.0.message();
    let has_device = sticks.device().is_some();
    let instructor = match sticks.instructor() {
        Some(device) => {
            let message = device.message();
            Some((message, device.live() && message.switches.throw_held))
        }
        None => has_device.then(|| (at_keys, keys.pressed(KeyCode::F8))),
    };
    let (pilot, wanted) = match sticks.device() {
        Some(device) => {
            let wanted = if !said_ready {
                BEFORE.to_owned()
            } else if device.live() {
                String::new()
            } else {
                device.wanted()
            };
            (surprised(device.message(), hands.0.unseen()), wanted)
        }
        None => (at_keys, String::new()),
    };
    let message = match instructor {
        Some((instructor, takes)) => {
            linked
                .0
                .go_on(&pilot, &instructor, takes, time.delta_secs_f64())
        }
        None => pilot,
    };
    *given = Given {
        message,
        wanted,
        others: linked.0.is_taken().then_some(pilot.sticks),
    };
}
