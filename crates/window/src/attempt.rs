//! Hands fly, and the flight becomes what is seen. The only
//! place that knows the session.

use bevy::prelude::*;
use larkfield_pilot::PilotKind;
use larkfield_recording::FlightStage;

use crate::control::{AtSticks, Given};
use crate::eyes::{Look, Zoom};
use crate::field::FieldToShow;
use crate::hud::Shown;
use crate::plane::PlaneToShow;
use crate::seen::{Seen, place};
use crate::session::Session;
use crate::steps::Steps;
use crate::sticks::{Chosen, OwnSticks};
use crate::words::{KEYS, Words, coach_for, result_of, step_of};

/// Whether flights leave run folders.
#[derive(Resource, Debug, Clone, Copy, PartialEq, Eq)]
pub struct Keep(pub bool);

/// The flight stands still.
#[derive(Resource, Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Paused(pub bool);

/// What became of the flight that is over.
#[derive(Resource, Debug, Clone, Default)]
struct Told {
    told: bool,
    said: Option<String>,
}

/// Flies.
pub struct AttemptPlugin;

impl Plugin for AttemptPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Paused>()
            .init_resource::<Seen>()
            .init_resource::<Told>()
            .add_systems(Startup, enter)
            .add_systems(
                Update,
                (
                    choose.in_set(Steps::Choose),
                    (fly, tell).chain().in_set(Steps::Fly),
                ),
            );
    }
}

/// Shows plane and field of the session.
fn enter(mut commands: Commands, session: NonSend<Session>, mut hands: ResMut<AtSticks>) {
    let inputs = session.inputs();
    hands.0 = session.hands();
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
    mut hands: ResMut<AtSticks>,
    mut told: ResMut<Told>,
    (mut look, mut zoom): (ResMut<Look>, ResMut<Zoom>),
    mut shown: ResMut<Shown>,
    mut paused: ResMut<Paused>,
    mut exit: MessageWriter<AppExit>,
    mut commands: Commands,
) {
    let button = sticks.device().is_some_and(Chosen::take_again);
    let again = button || keys.just_pressed(KeyCode::KeyR);
    let next = keys.just_pressed(KeyCode::KeyN);
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
        *told = Told {
            told: true,
            said: Some(format!("{:#}", failure.error)),
        };
    } else if again || next {
        *told = Told::default();
        hands.0 = session.hands();
        // Another wind blows, and the windsock obeys it.
        commands.run_system_cached(enter);
    } else if keys.just_pressed(KeyCode::KeyB) {
        *told = Told::default();
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
    if keys.just_pressed(KeyCode::KeyM) {
        shown.all = !shown.all;
    }
    if keys.just_pressed(KeyCode::Escape) {
        exit.write(AppExit::Success);
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
        session.advance(time.delta_secs_f64(), given.message);
    }
    if let Some(view) = session.view() {
        *seen = Seen::of(&view);
        if view.plane.stage == FlightStage::InHand || session.flown().is_some() {
            // Before the first tick nothing has reached the sticks yet.
            seen.message.sticks = given.message.sticks;
        }
    }
}

fn tell(
    session: NonSend<Session>,
    given: Res<Given>,
    keep: Res<Keep>,
    paused: Res<Paused>,
    mut told: ResMut<Told>,
    mut words: ResMut<Words>,
) {
    let Some(view) = session.view() else {
        return;
    };
    let inputs = session.inputs();
    if session.flown().is_some() && !told.told {
        told.told = true;
        told.said = keep.0.then(|| match session.keep(None) {
            Ok(folder) => folder.join("debrief.html").display().to_string(),
            Err(failure) => format!("not kept: {:#}", failure.error),
        });
    }
    let coach = if paused.0 {
        "Paused. P goes on"
    } else if !given.wanted.is_empty() {
        &given.wanted
    } else if session.flown().is_some() || inputs.lesson.pilot != PilotKind::Person {
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
        result: match (session.flown(), &told.said) {
            (Some(flown), said) => result_of(flown, said.as_deref()),
            (None, Some(said)) => said.clone(),
            (None, None) => String::new(),
        },
    };
    if *words != new {
        *words = new;
    }
}
