//! What a lesson finds on the day: the wind, and what the plane stands on.

use glam::DVec3;
use larkfield_airframe::{Airframe, ContactKind};
use larkfield_pilot::Undercarriage;
use larkfield_weather::Wind;

/// Lessons quote the wind at this height.
pub const QUOTED_HEIGHT_M: f64 = 2.0;
/// The wind is looked at this often.
const EVERY_S: f64 = 0.5;

/// Wind and undercarriage of a flight.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Conditions {
    /// Velocity of the mean wind at 2 m, world axes, averaged over the lesson.
    pub wind_m_s: DVec3,
    /// Fastest wind at 2 m over the place of landing during the lesson less the
    /// mean speed: how gusty it is.
    pub gust_m_s: f64,
    /// Wheels or skids.
    pub undercarriage: Undercarriage,
}

impl Conditions {
    /// Looks at the wind over a place for a time.
    pub fn of(wind: &Wind, airframe: &Airframe, place: [f64; 2], length_s: f64) -> Self {
        let point_m = DVec3::new(place[0], place[1], -QUOTED_HEIGHT_M);
        let (mut sum_m_s, mut fastest_m_s, mut count) = (DVec3::ZERO, 0.0_f64, 0.0);
        let steps = (length_s.clamp(1.0, 3600.0) / EVERY_S) as u32;
        for step in 0..=steps {
            let time_s = f64::from(step) * EVERY_S;
            sum_m_s += wind.at(time_s).mean_m_s(QUOTED_HEIGHT_M);
            let now_m_s = wind.sample(point_m, time_s);
            fastest_m_s = fastest_m_s.max((now_m_s.x * now_m_s.x + now_m_s.y * now_m_s.y).sqrt());
            count += 1.0;
        }
        let wind_m_s = sum_m_s / count;
        Self {
            wind_m_s,
            gust_m_s: (fastest_m_s - wind_m_s.length()).max(0.0),
            undercarriage: undercarriage(airframe),
        }
    }

    /// Speed of the mean wind.
    pub fn wind_speed_m_s(&self) -> f64 {
        self.wind_m_s.length()
    }
}

/// Wheels where there is any wheel, skids otherwise.
pub fn undercarriage(airframe: &Airframe) -> Undercarriage {
    let wheel = |point: &larkfield_airframe::ContactPoint| point.kind == ContactKind::Wheel;
    if airframe.contacts.iter().any(wheel) {
        Undercarriage::Wheels
    } else {
        Undercarriage::Skids
    }
}
