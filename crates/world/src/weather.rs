//! The air that each plane meets.

use std::sync::Arc;

use bevy::prelude::*;
use larkfield_flight::LocalWind;
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
        let stations_m = plane.model.wind_stations_m(&plane.state);
        let [centre_m_s, left_tip_m_s, right_tip_m_s, tail_m_s] =
            stations_m.map(|station_m| now.velocity_m_s(station_m));
        plane.around.wind = LocalWind {
            centre_m_s,
            left_tip_m_s,
            right_tip_m_s,
            tail_m_s,
        };
    }
}
