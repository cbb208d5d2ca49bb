//! Drills in the window: the plane on its stand or out there, the same rounds
//! and the same scores as at a terminal.

mod bench;
mod briefing;
mod control_check;
mod decision;
mod orientation;
mod power;
mod stage;

use bevy::prelude::*;
use larkfield_pilot::ControlMessage;
use larkfield_rehearsal::{UNNAMED, log_drill, logbook_file};

pub use briefing::BriefingExercise;
pub use control_check::ControlExercise;
pub use decision::DecisionExercise;
pub use orientation::OrientationExercise;
pub use power::PowerExercise;
pub use stage::Stage;

use crate::activity::Activity;
use crate::control::Given;
use crate::eyes::Look;
use crate::field::FieldToShow;
use crate::hud::Shown;
use crate::menu::Before;
use crate::plane::PlaneToShow;
use crate::seen::Seen;
use crate::session::Session;
use crate::settings::Settings;
use crate::steps::Steps;
use crate::words::Words;

/// What somebody does in a frame.
#[derive(Debug, Clone, Copy, Default)]
pub struct Done {
    /// What the hands at the sticks do.
    pub message: ControlMessage,
    /// How long the frame took.
    pub frame_s: f64,
    /// Down (positive) or up the list.
    pub pick: i32,
    /// What is picked is called.
    pub call: bool,
    /// The transmitter is switched on or off.
    pub transmitter: bool,
}

/// One of the drills.
pub trait Exercise: Send + Sync {
    /// Goes on by a frame.
    fn go_on(&mut self, done: &Done);
    /// What there is to see.
    fn show(&self, stage: &Stage, seen: &mut Seen);
    /// What there is to read.
    fn words(&self) -> Words;
    /// Where the eyes are.
    fn stage(&self, session: &Session) -> Stage;
    /// What it came to, once it is over.
    fn outcome(&self) -> Option<Outcome>;
}

/// What a drill came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Of 100.
    pub points: f64,
    /// Good enough.
    pub passed: bool,
}

/// The drill of a [name](larkfield_drill::NAMES).
pub fn drill_of(name: &str, session: &Session, seed: u64) -> Drill {
    let exercise: Box<dyn Exercise> = match name {
        "go-or-no-go" => Box::new(DecisionExercise::new(5, seed)),
        "before-power" => Box::new(PowerExercise::new(seed)),
        "orientation" => Box::new(OrientationExercise::new(16, seed)),
        "helper-briefing" => Box::new(BriefingExercise::new(3, seed)),
        _ => Box::new(ControlExercise::new(session, 5, seed)),
    };
    Drill::new(name, seed, exercise)
}

/// The drill that is on.
#[derive(Resource)]
pub struct Drill {
    /// What is done.
    pub exercise: Box<dyn Exercise>,
    name: String,
    seed: u64,
    /// What the logbook said when it was over.
    kept: Option<String>,
}

impl Drill {
    /// A drill by its [name](larkfield_drill::NAMES), and what was drawn.
    pub fn new(name: &str, seed: u64, exercise: Box<dyn Exercise>) -> Self {
        Self {
            exercise,
            name: name.to_owned(),
            seed,
            kept: None,
        }
    }
}

/// Runs a drill in place of flights.
pub struct DrillPlugin;

impl Plugin for DrillPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Seen>()
            .add_systems(OnEnter(Activity::Drill), enter)
            .add_systems(
                Update,
                (choose.in_set(Steps::Choose), work.in_set(Steps::Fly))
                    .run_if(in_state(Activity::Drill).and_then(resource_exists::<Drill>)),
            );
    }
}

fn enter(
    mut commands: Commands,
    session: NonSend<Session>,
    drill: Option<Res<Drill>>,
    mut look: ResMut<Look>,
) {
    let Some(drill) = drill else {
        return;
    };
    let stage = drill.exercise.stage(&session);
    let inputs = session.inputs();
    *look = Look::Pilot;
    commands.insert_resource(PlaneToShow {
        airframe: inputs.model.airframe().clone(),
        balance_m: inputs.model.mass().cg_m,
    });
    commands.insert_resource(FieldToShow {
        field: inputs.field.clone(),
        people: Vec::new(),
        wind: session.wind(),
        eyes_m: stage.eyes_m,
        thrower_m: stage.eyes_m,
        ahead: stage.ahead,
    });
    commands.insert_resource(stage);
}

fn choose(
    keys: Res<ButtonInput<KeyCode>>,
    mut shown: ResMut<Shown>,
    (mut next, mut before): (ResMut<NextState<Activity>>, ResMut<Before>),
) {
    if keys.just_pressed(KeyCode::KeyH) {
        shown.keys = !shown.keys;
    }
    if keys.just_pressed(KeyCode::Escape) {
        before.0 = Activity::Drill;
        next.set(Activity::Menu);
    }
}

fn work(
    keys: Res<ButtonInput<KeyCode>>,
    time: Res<Time>,
    given: Res<Given>,
    stage: Res<Stage>,
    mut drill: ResMut<Drill>,
    mut seen: ResMut<Seen>,
    (mut words, settings): (ResMut<Words>, Res<Settings>),
) {
    let back = keys.pressed(KeyCode::ShiftLeft) || keys.pressed(KeyCode::ShiftRight);
    let step = i32::from(keys.just_pressed(KeyCode::Tab));
    let done = Done {
        message: given.message,
        frame_s: time.delta_secs_f64(),
        pick: if back { -step } else { step },
        call: keys.just_pressed(KeyCode::Enter) || keys.just_pressed(KeyCode::NumpadEnter),
        transmitter: keys.just_pressed(KeyCode::KeyT),
    };
    let waits = !given.wanted.is_empty();
    if !waits {
        drill.exercise.go_on(&done);
    }
    drill.exercise.show(&stage, &mut seen);
    seen.time_s += done.frame_s;
    seen.message = given.message;
    let mut new = drill.exercise.words();
    if let Some(outcome) = drill.exercise.outcome() {
        if drill.kept.is_none() {
            drill.kept = Some(keep(&drill, &outcome, &settings.pilot));
        }
        let said = drill.kept.as_deref().unwrap_or_default();
        new.result = format!("{}\n{said}", new.result);
    }
    if waits {
        new.coach.clone_from(&given.wanted);
    }
    if *words != new {
        *words = new;
    }
}

/// Puts a drill that is over into the logbook; what there is to say about it.
fn keep(drill: &Drill, outcome: &Outcome, pilot: &str) -> String {
    let pilot = if pilot.is_empty() { UNNAMED } else { pilot };
    let kept = logbook_file(None).and_then(|file| {
        let (points, passed) = (outcome.points, outcome.passed);
        log_drill(&file, pilot, &drill.name, drill.seed, points, passed)
    });
    match kept {
        Ok(()) => format!("In the logbook of {pilot}"),
        Err(failure) => format!("not in the logbook: {:#}", failure.error),
    }
}
