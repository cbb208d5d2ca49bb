//! A flight moment by moment, and the wind that it drifted with.

use glam::{DMat2, DQuat, DVec2, DVec3};
use larkfield_pilot::attitude::{from_euler, wrap};
use larkfield_recording::Sample;

use crate::air::Air;
use crate::log::LONGEST_GAP_S;

/// One moment as a rule needs it.
pub(super) struct Moment {
    pub time_s: f64,
    /// Since the release.
    pub free_s: f64,
    /// Since the moment before; none in a gap.
    pub lasts_s: f64,
    pub height_m: f64,
    pub airspeed_m_s: f64,
    pub alpha_rad: f64,
    pub bank_rad: f64,
    pub pitch_rad: f64,
    pub roll_rate_rad_s: f64,
    pub climb_m_s: f64,
    pub heading_rad: f64,
    /// Angle between the nose and the way to the pilot.
    pub off_pilot_rad: f64,
    /// To where it was thrown.
    pub from_hand_m: f64,
    pub roll: f64,
    pub pitch: f64,
    pub yaw: f64,
    pub throttle: f64,
    pub busy: bool,
}

impl Moment {
    /// `wind_m_s`: where the plane is then, world axes.
    pub fn of(sample: &Sample, released_s: f64, lasts_s: f64, wind_m_s: DVec3) -> Self {
        let (attitude, velocity_m_s) = attitude_and_velocity(sample);
        let through = attitude.inverse() * (velocity_m_s - wind_m_s);
        let to_pilot_rad = libm::atan2(-sample.east_m, -sample.north_m);
        Self {
            time_s: sample.time_s,
            free_s: sample.time_s - released_s,
            lasts_s,
            height_m: sample.height_m,
            airspeed_m_s: through.length(),
            alpha_rad: libm::atan2(through.z, through.x.max(0.1)),
            bank_rad: sample.bank_rad,
            pitch_rad: sample.pitch_rad,
            roll_rate_rad_s: sample.roll_rate_rad_s,
            climb_m_s: sample.climb_m_s,
            heading_rad: sample.heading_rad,
            from_hand_m: libm::hypot(libm::hypot(sample.north_m, sample.east_m), sample.height_m),
            off_pilot_rad: wrap(to_pilot_rad - sample.heading_rad).abs(),
            roll: sample.stick_roll,
            pitch: sample.stick_pitch,
            yaw: sample.stick_yaw,
            throttle: sample.stick_throttle,
            busy: sample.hand_busy,
        }
    }
}

/// Wind toward north and east, 10 m above the ground, in which the plane slipped
/// least: planes fly where they point, so what drifts sideways is the air. After a
/// turn that holds for both directions; before one, the wind along the flight stays
/// near what was `believed`.
pub(super) fn drifted_with<'a>(
    believed_m_s: [f64; 2],
    samples: impl Iterator<Item = &'a Sample>,
) -> [f64; 2] {
    /// How far what was believed usually is off, and a second's slip (own
    /// choice).
    const BELIEVED_TO_M_S: f64 = 2.0;
    const SLIP_M_S: f64 = 1.0;
    let profile = Air::of([1.0, 0.0]);
    let belief = 1.0 / (BELIEVED_TO_M_S * BELIEVED_TO_M_S);
    let mut normal = DMat2::from_diagonal(DVec2::splat(belief));
    let mut right = DVec2::from_array(believed_m_s) * belief;
    let mut before_s = None;
    for sample in samples {
        let lasts_s = before_s.map_or(0.0, |before_s| sample.time_s - before_s);
        before_s = Some(sample.time_s);
        let (attitude, velocity_m_s) = attitude_and_velocity(sample);
        let starboard = attitude * DVec3::Y;
        let sideways_m_s = velocity_m_s.dot(starboard);
        let high = (0.0..=LONGEST_GAP_S).contains(&lasts_s) && sample.height_m > 1.0;
        if !high || !sideways_m_s.is_finite() {
            continue;
        }
        let felt = starboard.truncate() * profile.wind_m_s(sample.height_m).x;
        let weight = lasts_s / (SLIP_M_S * SLIP_M_S);
        normal += DMat2::from_cols(felt * felt.x, felt * felt.y) * weight;
        right += felt * (sideways_m_s * weight);
    }
    (normal.inverse() * right).to_array()
}

/// Of body axes in those of the world; over the ground, world axes.
fn attitude_and_velocity(sample: &Sample) -> (DQuat, DVec3) {
    let attitude = from_euler(sample.heading_rad, sample.pitch_rad, sample.bank_rad);
    let velocity_m_s = DVec3::new(
        sample.velocity_north_m_s,
        sample.velocity_east_m_s,
        -sample.climb_m_s,
    );
    (attitude, velocity_m_s)
}

#[cfg(test)]
mod tests {
    use core::f64::consts::TAU;

    use larkfield_recording::FlightStage;

    use super::*;

    /// A plane that flies where it points, at 9 m/s through the air, and turns by
    /// `turns` in 20 s; 10 m up, where the wind is what it is called.
    fn flown(wind_m_s: [f64; 2], turns: f64) -> Vec<Sample> {
        let moment = |tick: u32| {
            let time_s = f64::from(tick) * 0.02;
            let heading_rad = TAU * turns * time_s / 20.0;
            let (sine, cosine) = libm::sincos(heading_rad);
            Sample {
                time_s,
                stage: FlightStage::Free,
                height_m: 10.0,
                heading_rad,
                bank_rad: 0.3,
                velocity_north_m_s: 9.0 * cosine + wind_m_s[0],
                velocity_east_m_s: 9.0 * sine + wind_m_s[1],
                ..Sample::default()
            }
        };
        (0..1000).map(moment).collect()
    }

    #[test]
    fn after_a_turn_the_wind_is_the_one_it_drifted_with() {
        let samples = flown([-2.5, 1.5], 1.0);
        let found = drifted_with([1.0, -1.0], samples.iter());
        for (found, blew) in found.iter().zip([-2.5, 1.5]) {
            assert!((found - blew).abs() < 0.1, "{found} for {blew} m/s");
        }
    }

    #[test]
    fn without_a_turn_what_was_believed_along_the_way_stays() {
        let samples = flown([-2.5, 1.5], 0.0);
        let [along, across] = drifted_with([1.0, -1.0], samples.iter());
        assert!((along - 1.0).abs() < 1e-9, "{along}");
        assert!((across - 1.5).abs() < 0.1, "{across}");
        // Gaps and rubbish say nothing.
        let mut holed = samples[..3].to_vec();
        holed[1].time_s = f64::NAN;
        holed[2].velocity_east_m_s = f64::INFINITY;
        assert_eq!(drifted_with([1.0, -1.0], holed.iter()), [1.0, -1.0]);
    }
}
