//! The air that each plane meets.

use std::sync::Arc;

use bevy::prelude::*;
use larkfield_weather::Wind;

use crate::aircraft::Aircraft;
use crate::tick::{RunStart, Tick, TickClock, TickSystems};

/// The wind that blows for a plane; planes may share one.
#[derive(Component, Debug, Clone)]
pub struct WindOf(pub Arc<Wind>);

/// Looks up the wind at the stations of each plane.
pub struct WeatherPlugin;

impl Plugin for WeatherPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Tick, blow.in_set(TickSystems::Wind));
    }
}

/// The flight model looks at the air where the plane is at the start of a tick,
/// so the wind is that of the start.
fn blow(clock: Res<TickClock>, mut planes: Query<(&RunStart, &WindOf, &mut Aircraft)>) {
    for (run, wind, mut plane) in &mut planes {
        if plane.ended() {
            continue;
        }
        let now = wind.0.at(clock.start_s(run));
        plane.meet(&now);
    }
}
