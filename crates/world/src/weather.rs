//! The air that each plane meets.

use std::sync::Arc;

use bevy::prelude::*;
use glam::DVec3;
use larkfield_weather::Wind;
use larkfield_weather::gust::one_minus_cosine_m_s;

use crate::aircraft::Aircraft;
use crate::pilot::Pilot;
use crate::tick::{RunStart, Tick, TickClock, TickSystems};

/// The wind that blows for a plane; planes may share one.
#[derive(Component, Debug, Clone)]
pub struct WindOf(pub Arc<Wind>);

/// A gust that an instructor sends to one plane. It has the shape of
/// every gust here, comes at half a right angle to the wind and lifts a little:
/// the sizes, which move a plane of this kind by what a rough day does, are
/// estimates without a source.
#[derive(Component, Debug, Clone, Copy, Default, PartialEq)]
pub struct SentGust {
    /// When it began and its velocity in its middle.
    blows: Option<(f64, DVec3)>,
    /// The switch was on.
    was_on: bool,
}

impl SentGust {
    const LASTS_S: f64 = 1.5;
    const ALONG_M_S: f64 = 3.0;
    const ACROSS_M_S: f64 = 3.0;
    const UP_M_S: f64 = 1.0;

    /// Velocity of the air that it adds at a time; a switch that goes on begins
    /// another. `wind_m_s`: what blows at the plane.
    fn velocity_m_s(&mut self, time_s: f64, on: bool, wind_m_s: DVec3) -> DVec3 {
        if on && !self.was_on {
            let level_m_s = DVec3::new(wind_m_s.x, wind_m_s.y, 0.0);
            // In a calm it comes from the north.
            let along = level_m_s.try_normalize().unwrap_or(DVec3::NEG_X);
            let across = DVec3::new(-along.y, along.x, 0.0);
            let middle_m_s =
                along * Self::ALONG_M_S + across * Self::ACROSS_M_S - DVec3::Z * Self::UP_M_S;
            self.blows = Some((time_s, middle_m_s));
        }
        self.was_on = on;
        self.at_m_s(time_s)
    }

    /// Velocity of the air that it adds at a time, as it has been sent so far.
    pub(crate) fn at_m_s(&self, time_s: f64) -> DVec3 {
        let Some((since_s, middle_m_s)) = self.blows else {
            return DVec3::ZERO;
        };
        one_minus_cosine_m_s(middle_m_s, (time_s - since_s) / Self::LASTS_S)
    }
}

/// Looks up the wind at the stations of each plane.
pub struct WeatherPlugin;

impl Plugin for WeatherPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Tick, blow.in_set(TickSystems::Wind));
    }
}

type Blown<'a> = (
    &'a RunStart,
    &'a WindOf,
    &'a Pilot,
    &'a mut SentGust,
    &'a mut Aircraft,
);

/// The flight model looks at the air where the plane is at the start of a tick,
/// so the wind is that of the start. An instructor's switch counts from the
/// tick after it was moved.
fn blow(clock: Res<TickClock>, mut planes: Query<Blown>) {
    for (run, wind, pilot, mut gust, mut plane) in &mut planes {
        if plane.ended() {
            continue;
        }
        let time_s = clock.start_s(run);
        let now = wind.0.at(time_s);
        let on = pilot.message.unseen.gust;
        let before_m_s = plane.around.wind.centre_m_s;
        let more_m_s = gust.velocity_m_s(time_s, on, before_m_s);
        plane.meet_with(&now, more_m_s);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_switch_sends_one_gust_of_the_1_cosine_shape() {
        let mut gust = SentGust::default();
        let wind_m_s = DVec3::new(-2.0, 0.0, 0.0);
        let mut at = |time_s: f64, on: bool| gust.velocity_m_s(time_s, on, wind_m_s);
        assert_eq!(at(0.0, false), DVec3::ZERO);
        assert_eq!(at(1.0, true), DVec3::ZERO);
        // A quarter of its length: half of the whole; its middle: all of it.
        let quarter = at(1.375, true);
        assert!(
            (quarter - DVec3::new(-1.5, -1.5, -0.5)).length() < 1e-12,
            "{quarter}"
        );
        let middle = at(1.75, false);
        assert!(
            (middle - DVec3::new(-3.0, -3.0, -1.0)).length() < 1e-12,
            "{middle}"
        );
        assert_eq!(at(2.5, false), DVec3::ZERO);
        assert_eq!(at(2.6, false), DVec3::ZERO);
        at(3.0, true);
        assert!(at(3.75, true).length() > 4.0);
    }
}
