//! What hands do on the final and at the touch.

use larkfield_pilot::attitude::wrap;

use super::moment::Moment;
use super::{Broken, Hands, LANDS_AFTER_S, broken};

/// A sheet wing stalls at 10 to 15 degrees (aviation.govt.nz, "Wing-drop
/// stalling": about 15); beyond this it is near.
const NEAR_STALL_RAD: f64 = 0.18;

impl Hands {
    /// Fast and nose down over the last metres, level and against the wind as one
    /// is who lands: a plane that spirals down is not flown to the strip.
    pub fn dive_to_strip(&self) -> Option<Broken> {
        let end_s = self.moments.last()?.free_s;
        let near = self.moments.iter().filter(|m| {
            m.free_s > LANDS_AFTER_S
                && m.free_s > end_s - 8.0
                && (0.8..4.0).contains(&m.height_m)
                && m.pitch_rad < -0.08
                && m.bank_rad.abs() < 0.35
                && (self.upwind_rad).is_none_or(|upwind_rad| {
                    wrap(m.heading_rad - upwind_rad).abs() < core::f64::consts::FRAC_PI_4
                })
        });
        let fastest = near.max_by(|a, b| a.airspeed_m_s.total_cmp(&b.airspeed_m_s))?;
        let times = fastest.airspeed_m_s / self.stall_m_s;
        broken(
            "dive-to-strip",
            "speed on the final, over the stall",
            "times",
            fastest.time_s,
            times,
            1.75,
            0.05,
        )
    }

    /// Sinks at the touch, and flies.
    pub fn late_flare(&self) -> Option<Broken> {
        let last = self.touch()?;
        if last.airspeed_m_s < 1.05 * self.stall_m_s {
            return None;
        }
        broken(
            "late-flare",
            "sink at the touch",
            "m/s",
            last.time_s,
            -last.climb_m_s,
            1.5,
            0.15,
        )
    }

    /// Slow above the grass, then drops.
    pub fn high_flare(&self) -> Option<Broken> {
        let last = self.touch()?;
        let (lasted_s, at_s) = self.longest(|m| {
            m.free_s > LANDS_AFTER_S
                && m.free_s > last.free_s - 4.0
                && (0.8..3.0).contains(&m.height_m)
                && m.airspeed_m_s < 1.1 * self.stall_m_s
                && m.alpha_rad > NEAR_STALL_RAD - 0.05
        });
        broken(
            "high-flare",
            "time near the stall well above the grass",
            "s",
            at_s,
            lasted_s,
            0.25,
            0.1,
        )
    }

    /// The motor runs at the touch.
    pub fn power_left_on(&self) -> Option<Broken> {
        let last = self.touch()?;
        let percent = 100.0 * last.throttle;
        broken(
            "power-left-on",
            "throttle at the touch",
            "%",
            last.time_s,
            percent,
            5.0,
            3.0,
        )
    }

    /// Comes down with the power on and the hand off it.
    pub fn no_go_round(&self) -> Option<Broken> {
        let end_s = self.moments.last()?.free_s;
        let on_final = |m: &&Moment| {
            m.free_s > LANDS_AFTER_S.max(end_s - 14.0)
                && (1.0..12.0).contains(&m.height_m)
                && m.throttle > 0.03
        };
        let (mut longest, mut held) = ((0.0, 0.0), (0.0, 0.0, 0.0));
        for m in self.moments.iter().filter(on_final) {
            let (lasted_s, from_s, throttle): (f64, f64, f64) = held;
            held = if (m.throttle - throttle).abs() > 0.02 || m.lasts_s == 0.0 {
                (0.0, m.time_s, m.throttle)
            } else {
                (lasted_s + m.lasts_s, from_s, throttle)
            };
            if held.0 > longest.0 {
                longest = (held.0, held.1);
            }
        }
        broken(
            "no-go-round",
            "time on the final with power on and the throttle left alone",
            "s",
            longest.1,
            longest.0,
            3.8,
            0.2,
        )
    }
}
