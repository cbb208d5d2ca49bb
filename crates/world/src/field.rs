//! The field as a whole: put planes in, run, take results out.

use std::sync::Arc;

use bevy::app::PluginGroupBuilder;
use bevy::prelude::*;
use glam::DVec3;
use larkfield_flight::{FlightModel, FlightState};
use larkfield_lesson::{Referee, Terrain};
use larkfield_pilot::{
    ControlMessage, HandOff, Mishaps, PilotKind, Radio, RadioSetup, ScriptedPilot, Tape,
    TimedMessage, Trims,
};
use larkfield_recording::Recording;
use larkfield_weather::Wind;

use crate::aircraft::{Aircraft, EnergyAudit, Happenings};
use crate::contact::{
    ContactBodySpec, ContactPlugin, add_contact_body, contact_shapes, grass_probes,
};
use crate::damage::{Damage, DamagePlugin};
use crate::flight::{FlightPlugin, LastTouch};
use crate::pilot::{Link, Pilot, PilotPlugin};
use crate::record::{INTERVAL_S, RecordPlugin, Recorder, first_sample};
use crate::referee::{Judge, RefereePlugin};
use crate::snapshot::FlightSnapshot;
use crate::start::{LessonDay, Start};
use crate::throw::ThrowPlugin;
use crate::tick::{RunStart, TickClock, TickPlugin, run_tick};
use crate::weather::{SentGust, WeatherPlugin, WindOf};

/// Everything that a field without a window consists of.
pub struct FieldPlugins {
    /// Length of one tick.
    pub tick_s: f64,
}

impl PluginGroup for FieldPlugins {
    fn build(self) -> PluginGroupBuilder {
        PluginGroupBuilder::start::<Self>()
            .add(TickPlugin {
                tick_s: self.tick_s,
            })
            .add(WeatherPlugin)
            .add(PilotPlugin)
            .add(ThrowPlugin)
            .add(FlightPlugin)
            .add(ContactPlugin)
            .add(DamagePlugin)
            .add(RefereePlugin)
            .add(RecordPlugin)
    }
}

/// Default length of a tick: 500 Hz.
pub const TICK_S: f64 = 0.002;

/// How a world is set up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldSetup {
    /// Length of one tick.
    pub tick_s: f64,
    /// Time between samples of the recordings.
    pub interval_s: f64,
}

impl Default for FieldSetup {
    fn default() -> Self {
        Self {
            tick_s: TICK_S,
            interval_s: INTERVAL_S,
        }
    }
}

/// One flight to be flown.
#[derive(Debug, Clone)]
pub struct FlightSetup {
    /// The plane.
    pub model: Arc<FlightModel>,
    /// The wind.
    pub wind: Arc<Wind>,
    /// How it begins.
    pub start: Start,
    /// Who flies.
    pub pilot: ScriptedPilot,
    /// Where the pilot's eyes are, world axes.
    pub eyes_m: DVec3,
    /// The radio.
    pub radio: RadioSetup,
    /// Who judges.
    pub referee: Referee,
    /// How far the linkages are out of trim, as shares of full travel.
    pub trim_error: Trims,
    /// What gives way in flight.
    pub mishaps: Mishaps,
    /// What there is to land on.
    pub terrain: Terrain,
    /// The throw waits until the pilot lets go
    /// ([`larkfield_pilot::Switches::throw_held`]), and the time limit counts
    /// from there.
    pub throw_waits: bool,
}

impl FlightSetup {
    /// The flight that a lesson describes. The seed decides the throw, the pilot
    /// and nothing else; `wind` brings its own. `tape` holds the sticks of a
    /// playback pilot, unused by others. A person throws in mode 2 with the right
    /// hand unless [`FlightSetup::pilot`] is replaced.
    pub fn for_lesson(
        day: &LessonDay,
        model: Arc<FlightModel>,
        wind: Arc<Wind>,
        seed: u64,
        tape: Tape,
    ) -> Self {
        let (lesson, field) = (day.lesson, day.field);
        let radio = RadioSetup::for_airframe(model.airframe());
        let task = lesson.task(field, day.conditions, radio.steering, day.feel);
        let start = day.start(&model, &wind, seed);
        let feet_m = start.feet_m();
        let thrown = matches!(start, Start::Thrown(_));
        let throw_waits = match lesson.pilot {
            PilotKind::Person => thrown,
            PilotKind::Playback => thrown && tape.decides_throw(),
            PilotKind::Competent
            | PilotKind::Beginner
            | PilotKind::Learner(_)
            | PilotKind::HandsOff => false,
        };
        let pilot = match lesson.pilot {
            PilotKind::Competent => ScriptedPilot::competent(task, seed),
            PilotKind::Beginner => ScriptedPilot::beginner(task, seed),
            PilotKind::Learner(skill) => ScriptedPilot::learner(task, skill, seed),
            PilotKind::HandsOff => ScriptedPilot::hands_off(task),
            PilotKind::Playback => ScriptedPilot::playback(tape),
            PilotKind::Person => ScriptedPilot::person(HandOff::default()),
        };
        Self {
            radio,
            model,
            wind,
            start,
            pilot,
            eyes_m: lesson.pilot_eyes_m(field, feet_m),
            referee: Referee::new(lesson, field, feet_m, day.conditions),
            trim_error: lesson.trim_error,
            mishaps: Mishaps::default(),
            terrain: field.terrain(),
            throw_waits,
        }
    }
}

/// A flight in a world.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct FlightId(pub(crate) Entity);

/// What a flight left behind.
#[derive(Debug, Clone)]
pub struct FlightResult {
    /// Samples and events.
    pub recording: Recording,
    /// Every change of what the pilot's hands did, by the start of its tick.
    pub controls: Vec<TimedMessage>,
    /// State at the end.
    pub state: FlightState,
    /// Works since the release.
    pub audit: EnergyAudit,
    /// What broke, and the worst blows.
    pub damage: Damage,
}

impl FlightResult {
    fn of(
        state: FlightState,
        audit: EnergyAudit,
        recorder: Recorder,
        happenings: Happenings,
        damage: Damage,
    ) -> Self {
        Self {
            recording: Recording {
                interval_s: recorder.interval_s,
                samples: recorder.samples,
                events: happenings.events,
            },
            controls: recorder.controls,
            state,
            audit,
            damage,
        }
    }
}

/// A world with a field in it.
pub struct FieldWorld {
    app: App,
    interval_s: f64,
    flights: Vec<Entity>,
}

impl FieldWorld {
    /// An empty field.
    pub fn new(setup: FieldSetup) -> Self {
        let mut app = App::new();
        app.add_plugins(FieldPlugins {
            tick_s: setup.tick_s,
        });
        Self {
            app,
            interval_s: setup.interval_s,
            flights: Vec::new(),
        }
    }

    /// Puts a flight on the field. It begins with the next tick and does the
    /// same whoever else is there.
    pub fn add_flight(&mut self, setup: FlightSetup) -> FlightId {
        let interval_s = self.interval_s;
        let world = self.app.world_mut();
        let entity = spawn_flight(world, setup, interval_s);
        self.flights.push(entity);
        FlightId(entity)
    }

    /// What the person who flies does from the next tick on; returns false when
    /// nobody flies this plane by hand.
    pub fn give_message(&mut self, id: FlightId, message: ControlMessage) -> bool {
        let world = self.app.world_mut();
        match world.get_mut::<Pilot>(id.0).map(Mut::into_inner) {
            Some(Pilot {
                who: ScriptedPilot::Person(person),
                ..
            }) => {
                person.give(message);
                true
            }
            _ => false,
        }
    }

    /// Runs ticks.
    pub fn step(&mut self, ticks: u64) {
        for _ in 0..ticks {
            run_tick(self.app.world_mut());
        }
    }

    /// Runs until every flight has ended. `progress` is called about every
    /// simulated second with the time since the world began; when it returns
    /// false the run stops early. Returns true when all flights ended.
    pub fn run_to_end(&mut self, mut progress: impl FnMut(f64) -> bool) -> bool {
        let tick_s = self.app.world().resource::<TickClock>().tick_s;
        let ticks = ((1.0 / tick_s) as u64).max(1);
        while !self.all_ended() {
            // Short steps towards the end would be exact, but a flight that has
            // ended costs next to nothing and changes no more.
            for _ in 0..ticks {
                run_tick(self.app.world_mut());
                if self.all_ended() {
                    break;
                }
            }
            let time_s = self.app.world().resource::<TickClock>().ticks as f64 * tick_s;
            if !progress(time_s) {
                return self.all_ended();
            }
        }
        true
    }

    /// True when no flight goes on.
    pub fn all_ended(&self) -> bool {
        self.flights.iter().all(|entity| {
            self.app
                .world()
                .get::<Aircraft>(*entity)
                .is_none_or(Aircraft::ended)
        })
    }

    /// A flight as it is now; `None` once its result was taken.
    pub fn aircraft(&self, id: FlightId) -> Option<&Aircraft> {
        self.app.world().get::<Aircraft>(id.0)
    }

    /// A flight as it is now, to go on from; `None` once its result was taken.
    pub fn snapshot(&self, id: FlightId) -> Option<FlightSnapshot> {
        FlightSnapshot::of(self.app.world(), id.0)
    }

    /// Puts a flight on the field that goes on from a snapshot, byte for byte as
    /// the original did, in a world of the same tick.
    pub fn add_snapshot(&mut self, snapshot: &FlightSnapshot) -> FlightId {
        let entity = snapshot.spawn(self.app.world_mut());
        self.flights.push(entity);
        FlightId(entity)
    }

    /// Takes a flight off the field with what it left; `None` when that has
    /// happened already.
    pub fn take_result(&mut self, id: FlightId) -> Option<FlightResult> {
        let mut entity = self.app.world_mut().get_entity_mut(id.0).ok()?;
        let plane = entity.take::<Aircraft>()?;
        let recorder = entity.take::<Recorder>()?;
        let happenings = entity.take::<Happenings>()?;
        let damage = entity.take::<Damage>()?;
        entity.despawn();
        self.flights.retain(|flight| *flight != id.0);
        Some(FlightResult::of(
            plane.state,
            plane.audit,
            recorder,
            happenings,
            damage,
        ))
    }

    /// What a flight has left so far, for one that is still looked at; `None`
    /// once its result was taken.
    pub fn result(&self, id: FlightId) -> Option<FlightResult> {
        let entity = self.app.world().get_entity(id.0).ok()?;
        let plane = entity.get::<Aircraft>()?;
        let (state, audit) = (plane.state.clone(), plane.audit);
        let (recorder, happenings, damage) = (
            entity.get::<Recorder>()?.clone(),
            entity.get::<Happenings>()?.clone(),
            entity.get::<Damage>()?.clone(),
        );
        Some(FlightResult::of(state, audit, recorder, happenings, damage))
    }

    /// The app, to read from.
    pub(crate) fn app(&self) -> &App {
        &self.app
    }

    /// The app, for tests that look into it.
    pub fn app_mut(&mut self) -> &mut App {
        &mut self.app
    }
}

fn spawn_flight(world: &mut World, setup: FlightSetup, interval_s: f64) -> Entity {
    let ticks = world.resource::<TickClock>().ticks;
    let model = setup.model;
    let mut plane = Aircraft::new(model.clone(), setup.start.stage());
    let hand = setup.start.put(&mut plane, &setup.wind, setup.throw_waits);
    let mass = model.mass();
    let shapes = contact_shapes(model.airframe(), mass.cg_m);
    let grip_m = setup.start.grip_m(model.airframe()) - mass.cg_m;
    let mut referee = setup.referee;
    if setup.throw_waits {
        referee.count_from_release();
    }
    let judge = Judge::new(referee, &shapes, grip_m);
    let pilot = Pilot {
        who: setup.pilot,
        eyes_m: setup.eyes_m,
        full_sound_rad_s: full_sound_rad_s(&model),
        message: ControlMessage::default(),
    };
    let mut recorder = Recorder::new(model.airframe(), interval_s);
    recorder
        .samples
        .push(first_sample(&plane, &pilot, &judge, &recorder));
    let mut link = Link::new(Radio::new(setup.radio));
    link.trim_error = setup.trim_error;
    link.mishaps = setup.mishaps;
    let motion = plane.motion();
    let spec = ContactBodySpec {
        mass_kg: mass.mass_kg,
        inertia_kg_m2: mass.inertia_kg_m2,
        inverse: model.inverse_inertia(),
        shapes,
        probes: grass_probes(model.airframe(), mass.cg_m),
        terrain: setup.terrain,
    };
    let entity = world
        .spawn((
            RunStart { ticks },
            WindOf(setup.wind),
            SentGust::default(),
            link,
            pilot,
            judge,
            recorder,
            plane,
            LastTouch::default(),
            Damage::default(),
            Happenings::default(),
        ))
        .id();
    if let Some(hand) = hand {
        world.entity_mut(entity).insert(hand);
    }
    add_contact_body(world, entity, spec, motion);
    entity
}

/// Propeller speed at full throttle standing still; 0 for a glider.
fn full_sound_rad_s(model: &FlightModel) -> f64 {
    model
        .power()
        .map_or(0.0, |power| power.static_point(1.0).omega_rad_s)
}
