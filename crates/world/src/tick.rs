//! The tick: one schedule of our own that tests, batches and a window all run.
//!
//! A tick is run directly, not through `App::update`: it costs half as much and
//! nothing but the tick can happen between two ticks. The executor is
//! single-threaded and two systems whose order could matter are an error when
//! the schedule is built. Run this way, neither Bevy's change trackers nor
//! Rapier's messages are ever cleared by anybody else, so the tick does it;
//! otherwise memory would grow by a few bytes a tick for ever.

use bevy::ecs::schedule::{LogLevel, ScheduleBuildSettings, ScheduleLabel, SingleThreadedExecutor};
use bevy::prelude::*;
use bevy_rapier3d::prelude::{CollisionEvent, ContactForceEvent};

/// One step of the world.
#[derive(ScheduleLabel, Debug, Clone, PartialEq, Eq, Hash)]
pub struct Tick;

/// What happens in a tick, in this order.
#[derive(SystemSet, Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TickSystems {
    /// Time moves on by one tick.
    Clock,
    /// The air at each plane's stations is looked up.
    Wind,
    /// Pilots look and move their sticks.
    Pilot,
    /// The radio link turns sticks into commands at the receiver.
    Link,
    /// The hand of the thrower says where it has the plane, and lets go.
    Hand,
    /// The flight model moves each plane as if there were no ground.
    Air,
    /// Rapier stops what reached the ground; its answer goes back into the flight state.
    Contact,
    /// Blows are added up and parts break.
    Damage,
    /// People, lines and phases are judged; the flight may end.
    Referee,
    /// Samples and events are written down.
    Record,
}

/// Length of a tick and number of ticks so far.
#[derive(Resource, Debug, Clone, Copy, PartialEq)]
pub struct TickClock {
    /// Length of one tick.
    pub tick_s: f64,
    /// Ticks begun since the world was made. During a tick it is the number of
    /// that tick, counted from one.
    pub ticks: u64,
}

/// When a plane's run began; all its times count from here, so that it does the
/// same whenever it is put into a world.
#[derive(Component, Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunStart {
    /// [`TickClock::ticks`] when the plane was added; a flight that goes on from
    /// a snapshot may have begun before its world, so it counts around zero.
    pub ticks: u64,
}

impl TickClock {
    /// Time since a plane's run began, at the end of the current tick.
    pub fn end_s(&self, run: &RunStart) -> f64 {
        self.ticks.wrapping_sub(run.ticks) as f64 * self.tick_s
    }

    /// Time since a plane's run began, at the start of the current tick.
    pub fn start_s(&self, run: &RunStart) -> f64 {
        let begun = self.ticks.wrapping_sub(run.ticks);
        begun.saturating_sub(1) as f64 * self.tick_s
    }
}

/// The schedule, its order and its clock.
pub struct TickPlugin {
    /// Length of one tick.
    pub tick_s: f64,
}

impl Plugin for TickPlugin {
    fn build(&self, app: &mut App) {
        let mut schedule = Schedule::new(Tick);
        schedule.set_executor(SingleThreadedExecutor::new());
        schedule.set_build_settings(ScheduleBuildSettings {
            ambiguity_detection: LogLevel::Error,
            hierarchy_detection: LogLevel::Error,
            ..default()
        });
        app.add_schedule(schedule)
            .insert_resource(TickClock {
                tick_s: self.tick_s,
                ticks: 0,
            })
            .configure_sets(
                Tick,
                (
                    TickSystems::Clock,
                    TickSystems::Wind,
                    TickSystems::Pilot,
                    TickSystems::Link,
                    TickSystems::Hand,
                    TickSystems::Air,
                    TickSystems::Contact,
                    TickSystems::Damage,
                    TickSystems::Referee,
                    TickSystems::Record,
                )
                    .chain(),
            )
            .add_systems(Tick, advance_clock.in_set(TickSystems::Clock));
    }
}

fn advance_clock(mut clock: ResMut<TickClock>) {
    clock.ticks += 1;
}

/// Runs one tick and empties what nobody reads. For a window, whose own update
/// clears the change trackers once a frame; everybody else calls [`run_tick`].
pub fn run_tick_in_frame(world: &mut World) {
    world.run_schedule(Tick);
    if let Some(mut messages) = world.get_resource_mut::<Messages<CollisionEvent>>() {
        messages.clear();
    }
    if let Some(mut messages) = world.get_resource_mut::<Messages<ContactForceEvent>>() {
        messages.clear();
    }
}

/// Runs one tick and leaves nothing behind that would grow from tick to tick.
pub fn run_tick(world: &mut World) {
    run_tick_in_frame(world);
    world.clear_trackers();
}
