//! What comes next, picked by keys, by mouse or with the sticks.

mod choices;
mod draw;
mod nudge;
mod rows;

use bevy::input::ButtonState;
use bevy::input::keyboard::{Key, KeyboardInput};
use bevy::prelude::*;
use larkfield_rehearsal::Failure;

pub use choices::{request_of, rows, settings_of};
use nudge::Nudge;
pub use rows::{Holds, Pick, Row, Rows, Subject};

use crate::activity::Activity;
use crate::after::Told;
use crate::attempt::NewFlight;
use crate::control::Given;
use crate::drill::drill_of;
use crate::seen::Seen;
use crate::session::Session;
use crate::settings::{Remembered, Settings};
use crate::steps::Steps;
use crate::sticks::{Chosen, OwnSticks};
use crate::words::Words;

/// The menu.
pub struct MenuPlugin;

impl Plugin for MenuPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Before>()
            .init_resource::<Remembered>()
            .add_systems(OnEnter(Activity::Menu), (enter, draw::lay).chain())
            .add_systems(OnExit(Activity::Menu), draw::clear)
            .add_systems(
                Update,
                (
                    draw::point.in_set(Steps::Hands),
                    (press, deed).chain().in_set(Steps::Choose),
                    (draw::write, draw::fit).in_set(Steps::Draw),
                )
                    .run_if(in_state(Activity::Menu).and_then(resource_exists::<Menu>)),
            );
    }
}

/// What was on before the menu.
#[derive(Resource, Debug, Clone, Copy, Default)]
pub struct Before(pub Activity);

/// The menu while it is open.
#[derive(Resource, Debug, Default)]
pub struct Menu {
    rows: Rows,
    /// A mouse clicked on a row, which is what ENTER does.
    clicked: bool,
    /// Something is to be done about this.
    deed: Option<Subject>,
    /// What did not work.
    complaint: String,
    nudge: Nudge,
}

/// Stands under the rows.
const KEYS: &str = "Arrows move, ENTER does it, Esc goes back. A mouse points and clicks; sticks \
                    move,\nand the button for another attempt does it.";

fn enter(
    mut commands: Commands,
    settings: Res<Settings>,
    session: NonSend<Session>,
    (mut words, mut seen): (ResMut<Words>, ResMut<Seen>),
) {
    let flown = session.track().to_s().is_some();
    commands.insert_resource(Menu {
        rows: rows(&settings, flown),
        nudge: Nudge::held(),
        ..Menu::default()
    });
    seen.stage = larkfield_recording::FlightStage::InHand;
    *words = Words::default();
}

#[expect(clippy::too_many_arguments, reason = "a system names what it touches")]
fn press(
    keys: Res<ButtonInput<KeyCode>>,
    mut typed: MessageReader<KeyboardInput>,
    time: Res<Time>,
    given: Res<Given>,
    mut sticks: NonSendMut<OwnSticks>,
    mut menu: ResMut<Menu>,
    mut settings: ResMut<Settings>,
    mut next: ResMut<NextState<Activity>>,
    before: Res<Before>,
) {
    let mut changed = false;
    let typing = matches!(menu.rows.row().map(|row| &row.holds), Some(Holds::Typed(_)));
    for input in typed.read() {
        if input.state != ButtonState::Pressed {
            continue;
        }
        match &input.logical_key {
            Key::Character(text) if typing => changed |= menu.rows.type_in(text),
            Key::Space if typing => changed |= menu.rows.type_in(" "),
            Key::Backspace => changed |= menu.rows.erase(),
            _ => {}
        }
    }
    let once = |key: KeyCode| i32::from(keys.just_pressed(key));
    let mut down = once(KeyCode::ArrowDown) - once(KeyCode::ArrowUp);
    let mut turn = once(KeyCode::ArrowRight) - once(KeyCode::ArrowLeft);
    let mut enter = keys.just_pressed(KeyCode::Enter) || keys.just_pressed(KeyCode::NumpadEnter);
    enter |= std::mem::take(&mut menu.clicked);
    if let Some(device) = sticks.device() {
        enter |= Chosen::take_again(device);
        let by = (menu.nudge).by(&given.message.sticks, time.delta_secs_f64());
        down += by.down;
        turn += by.turn;
    }
    if down != 0 {
        menu.rows.down(down);
    }
    if turn != 0 {
        changed |= menu.rows.turn(turn);
    }
    if enter && let Some(row) = menu.rows.row() {
        match row.holds {
            Holds::Deed => menu.deed = Some(row.subject),
            Holds::One { .. } => changed |= menu.rows.turn(1),
            // A name is done.
            Holds::Typed(_) => menu.rows.down(1),
        }
    }
    if changed {
        let new = settings_of(&menu.rows, &settings);
        settings.set_if_neq(new);
    }
    if keys.just_pressed(KeyCode::Escape) {
        next.set(before.0);
    }
}

/// Does what was asked for.
#[expect(clippy::too_many_arguments, reason = "a system names what it touches")]
fn deed(
    mut commands: Commands,
    mut menu: ResMut<Menu>,
    settings: Res<Settings>,
    remembered: Res<Remembered>,
    (mut session, mut sticks): (NonSendMut<Session>, NonSendMut<OwnSticks>),
    mut next: ResMut<NextState<Activity>>,
    (mut new_flight, mut told): (ResMut<NewFlight>, ResMut<Told>),
    (time, mut exit): (Res<Time<Real>>, MessageWriter<AppExit>),
) {
    let Some(subject) = menu.deed.take() else {
        return;
    };
    if let Err(complaint) = remembered.keep(&settings) {
        menu.complaint = format!("Not remembered: {complaint}");
    }
    let seed = time.elapsed().as_millis() as u64;
    told.log(&session, &settings.pilot);
    let goes_to = match subject {
        Subject::Fly => opened(&settings, &mut session, &mut sticks).map(|()| {
            new_flight.0 = true;
            Activity::Flight
        }),
        Subject::Drill(name) => {
            // With the plane and the sticks that are chosen.
            opened(&settings, &mut session, &mut sticks).map(|()| {
                new_flight.0 = true;
                commands.insert_resource(drill_of(name, &session, seed));
                Activity::Drill
            })
        }
        Subject::Replay => Ok(Activity::Replay),
        Subject::Guide => Ok(Activity::Guide),
        Subject::Leave => {
            exit.write(AppExit::Success);
            return;
        }
        _ => return,
    };
    match goes_to {
        Ok(activity) => next.set(activity),
        Err(failure) => menu.complaint = format!("{:#}", failure.error),
    }
}

/// Opens what the settings ask for.
fn opened(
    settings: &Settings,
    session: &mut Session,
    sticks: &mut OwnSticks,
) -> Result<(), Failure> {
    let new = Session::open(request_of(settings))?;
    sticks
        .give_pilot(new.inputs().radio.clone())
        .map_err(|error| Failure::input(error.to_string()))?;
    *session = new;
    Ok(())
}
