//! Hands fly, and the flight becomes what is seen.

use bevy::prelude::*;
use larkfield_pilot::PilotKind;
use larkfield_recording::FlightStage;

use crate::activity::Activity;
use crate::after::Told;
use crate::control::{AtSticks, Given, Linked};
use crate::eyes::{Look, Zoom};
use crate::field::FieldToShow;
use crate::hud::Shown;
use crate::menu::Before;
use crate::plane::PlaneToShow;
use crate::seen::{Seen, place};
use crate::session::Session;
use crate::settings::Settings;
use crate::steps::Steps;
use crate::sticks::{Chosen, OwnSticks};
use crate::words::{KEYS, Words, coach_for, result_of, step_of};

/// Whether flights leave run folders.
#[derive(Resource, Debug, Clone, Copy, PartialEq, Eq)]
pub struct Keep(pub bool);

/// The flight stands still.
#[derive(Resource, Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Paused(pub bool);

/// Another flight is to be shown when somebody next flies.
#[derive(Resource, Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct NewFlight(pub bool);

/// Flies.
pub struct AttemptPlugin;

impl Plugin for AttemptPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Paused>()
            .init_resource::<Seen>()
            .init_resource::<Told>()
            .insert_resource(NewFlight(true))
            .add_systems(OnEnter(Activity::Flight), enter)
            .add_systems(OnEnter(Activity::Guide), enter)
            .add_systems(
                Update,
                (
                    choose.in_set(Steps::Choose),
                    (fly, tell).chain().in_set(Steps::Fly),
                )
                    .run_if(in_state(Activity::Flight)),
            )
            .add_systems(Last, log_before_leaving);
    }
}

/// Whoever closes the window in the middle of a look has flown all the same.
fn log_before_leaving(
    mut leaves: MessageReader<AppExit>,
    session: NonSend<Session>,
    settings: Res<Settings>,
    mut told: ResMut<Told>,
) {
    if leaves.read().count() > 0 {
        told.log(&session, &settings.pilot);
    }
}

/// Shows plane and field of the session; a flight that is new has its hands where
/// they begin.
pub fn enter(
    mut commands: Commands,
    session: NonSend<Session>,
    mut hands: ResMut<AtSticks>,
    mut new_flight: ResMut<NewFlight>,
    (mut told, mut linked): (ResMut<Told>, ResMut<Linked>),
) {
    let inputs = session.inputs();
    if std::mem::take(&mut new_flight.0) {
        linked.0.begin();
        hands.0 = session.hands();
        *told = Told::default();
    }
    commands.insert_resource(PlaneToShow {
        airframe: inputs.model.airframe().clone(),
        balance_m: inputs.model.mass().cg_m,
    });
    let (sin, cos) = inputs.lesson.launch.heading_rad().sin_cos();
    commands.insert_resource(FieldToShow {
        field: inputs.field.clone(),
        people: session.people_in_view(),
        wind: session.wind(),
        eyes_m: place(session.eyes_m()),
        thrower_m: place(session.thrower_feet_m()),
        ahead: place(glam::DVec3::new(cos, sin, 0.0)),
    });
}

/// Choices that are not sticks.
#[expect(clippy::too_many_arguments, reason = "a system names what it touches")]
fn choose(
    keys: Res<ButtonInput<KeyCode>>,
    (mut session, mut sticks): (NonSendMut<Session>, NonSendMut<OwnSticks>),
    mut told: ResMut<Told>,
    (mut look, mut zoom): (ResMut<Look>, ResMut<Zoom>),
    mut shown: ResMut<Shown>,
    (mut paused, mut settings): (ResMut<Paused>, ResMut<Settings>),
    (mut next_activity, mut before): (ResMut<NextState<Activity>>, ResMut<Before>),
    mut new_flight: ResMut<NewFlight>,
    mut commands: Commands,
) {
    let button = sticks.device().is_some_and(Chosen::take_again);
    let again = button || keys.just_pressed(KeyCode::KeyR);
    let next = keys.just_pressed(KeyCode::KeyN);
    if again || next || keys.just_pressed(KeyCode::KeyB) {
        told.log(&session, &settings.pilot);
    }
    let result = if again {
        session.again()
    } else if next {
        session.next_attempt()
    } else if keys.just_pressed(KeyCode::KeyB) {
        session.earlier()
    } else {
        Ok(())
    };
    if let Err(failure) = result {
        *told = Told::of(&failure);
    } else if again || next {
        new_flight.0 = true;
        // Another wind blows, and the windsock obeys it.
        commands.run_system_cached(enter);
    } else if keys.just_pressed(KeyCode::KeyB) {
        *told = Told::default();
    }
    if keys.just_pressed(KeyCode::KeyQ) {
        let was = settings.sound_percent;
        settings.sound_percent = if was == 0 {
            Settings::default().sound_percent
        } else {
            0
        };
    }
    if keys.just_pressed(KeyCode::KeyG) && session.track().to_s().is_some() {
        next_activity.set(Activity::Replay);
    }
    if keys.just_pressed(KeyCode::KeyV) {
        *look = look.next();
    }
    if keys.just_pressed(KeyCode::KeyZ) {
        zoom.0 = !zoom.0;
    }
    if keys.just_pressed(KeyCode::KeyP) {
        paused.0 = !paused.0;
    }
    if keys.just_pressed(KeyCode::KeyH) {
        shown.keys = !shown.keys;
    }
    let parts = &mut *shown;
    for (key, part) in [
        (KeyCode::Digit1, &mut parts.lesson),
        (KeyCode::Digit2, &mut parts.facts),
        (KeyCode::Digit3, &mut parts.coach),
        (KeyCode::Digit4, &mut parts.sticks),
    ] {
        *part ^= keys.just_pressed(key);
    }
    if keys.just_pressed(KeyCode::KeyM) {
        shown.all = !shown.all;
    }
    if keys.just_pressed(KeyCode::Escape) {
        before.0 = Activity::Flight;
        next_activity.set(Activity::Menu);
    }
}

fn fly(
    mut session: NonSendMut<Session>,
    given: Res<Given>,
    time: Res<Time>,
    paused: Res<Paused>,
    mut seen: ResMut<Seen>,
) {
    if !paused.0 && given.wanted.is_empty() {
        if given.others.is_some() {
            session.help();
        }
        session.advance(time.delta_secs_f64(), given.message);
    }
    if let Some(view) = session.view() {
        *seen = Seen::of(&view);
        if view.plane.stage == FlightStage::InHand || session.flown().is_some() {
            // Before the first tick nothing has reached the sticks yet.
            seen.message.sticks = given.message.sticks;
        }
        seen.others = given.others;
    }
}

fn tell(
    mut session: NonSendMut<Session>,
    given: Res<Given>,
    keep: Res<Keep>,
    paused: Res<Paused>,
    mut told: ResMut<Told>,
    (settings, linked): (Res<Settings>, Res<Linked>),
    mut words: ResMut<Words>,
) {
    told.follow(&mut session, &settings.pilot, keep.0, linked.0.takeovers());
    let Some(view) = session.view() else {
        return;
    };
    let inputs = session.inputs();
    let silent = settings.silent_coach;
    let taken;
    let coach = if paused.0 {
        "Paused. P goes on"
    } else if linked.0.is_taken() {
        taken = format!(
            "The instructor flies. Your sticks are {:.2} apart: move yours along",
            linked.0.apart_lately()
        );
        &taken
    } else if !given.wanted.is_empty() {
        &given.wanted
    } else if silent || session.flown().is_some() || inputs.lesson.pilot != PilotKind::Person {
        ""
    } else {
        coach_for(
            view.plane.stage,
            session.waits_for_throw(),
            given.message.switches.throw_held,
            view.message.hand_off,
        )
    };
    let charge = match Seen::of(&view).charge {
        Some(charge) => format!("battery {:.0} %", charge * 100.0),
        None => "no motor".to_owned(),
    };
    let new = Words {
        title: format!(
            "{}, {}, attempt {}",
            inputs.lesson.name,
            inputs.model.airframe().name,
            session.seed()
        ),
        step: step_of(&inputs.lesson, view.events),
        coach: coach.to_owned(),
        facts: format!(
            "{:.1} s\n{}\n{charge}",
            view.time_s,
            session.wind_in_words()
        ),
        keys: KEYS.to_owned(),
        list: String::new(),
        card: String::new(),
        result: match session.flown() {
            Some(flown) => result_of(flown, session.is_looked_into(), &told.said),
            None => told.said.join("\n"),
        },
    };
    if *words != new {
        *words = new;
    }
}
