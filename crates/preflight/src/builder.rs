//! What a builder asks: how fast to throw, at what angle, where to balance.

use glam::{DQuat, DVec3};
use larkfield_airframe::ComponentKind;
use larkfield_flight::{Controls, FlightModel, LocalWind, Surroundings};
use serde::Serialize;

use crate::bench::{Bench, Condition, GRAVITY_M_S2};
use crate::derivatives::ReferenceSizes;
use crate::trim::{Stall, Trim};

/// Slowest and fastest release a grown thrower manages with a light plane
/// (common practice, no source).
pub const THROWER_M_S: [f64; 2] = [5.0, 9.0];
/// Height that a throw may lose before it counts as failed (common practice,
/// no source).
pub const ALLOWED_SINK_M: f64 = 0.5;
/// Nose angles at release that are tried.
const PITCH_TRIED_DEG: [f64; 2] = [-15.0, 45.0];
/// Length of a rehearsed throw.
const THROW_S: f64 = 3.0;
/// Tick of a rehearsed throw: twice the usual one, for speed.
const TICK_S: f64 = 0.004;

/// Time from release until the hand is clear of a propeller behind it and back
/// on the stick (0.4 to 1.0 s, common practice, no source): a pusher flies
/// without power for this long.
pub const POWER_AFTER_RELEASE_S: f64 = 0.5;

/// A throw to rehearse: calm air, sticks centred, power at once; with a pusher
/// only when the hand is clear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throw {
    /// Speed at release, along the fuselage.
    pub speed_m_s: f64,
    /// Nose over the horizon at release.
    pub pitch_rad: f64,
    /// Throttle.
    pub throttle: f64,
    /// Height of the hand.
    pub height_m: f64,
    /// Hold the wings level, as a pilot would; otherwise it flies as built.
    pub wings_level: bool,
}

/// What became of a throw.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Thrown {
    /// Lowest height over that of release.
    pub lowest_over_release_m: f64,
    /// Height over release at the end.
    pub end_over_release_m: f64,
    /// Time with more than half of the wing stalled.
    pub stalled_s: f64,
    /// Bank after one second, right positive.
    pub bank_at_1s_deg: f64,
    /// Time flown; less than three seconds when it came down.
    pub flown_s: f64,
}

impl Thrown {
    /// Kept its height and did not stay stalled.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.flown_s >= THROW_S - 0.01
            && self.lowest_over_release_m >= -ALLOWED_SINK_M
            && self.end_over_release_m >= 0.0
            && self.stalled_s < 0.5
    }
}

/// Rehearses a throw with the flight model.
#[must_use]
pub fn throw(model: &FlightModel, throw: &Throw) -> Thrown {
    let around = Surroundings {
        wind: LocalWind::default(),
        ground_z_m: 0.0,
        gravity_m_s2: GRAVITY_M_S2,
    };
    let pusher = model.airframe().power.as_ref().is_some_and(|p| p.pusher);
    let power_from_s = if pusher { POWER_AFTER_RELEASE_S } else { 0.0 };
    let throttle_at = |time_s: f64| {
        if time_s >= power_from_s {
            throw.throttle
        } else {
            0.0
        }
    };
    let mut state = model.state_at_rest();
    state.position_m = DVec3::new(0.0, 0.0, -throw.height_m);
    let half = 0.5 * throw.pitch_rad;
    state.attitude = DQuat::from_xyzw(0.0, libm::sin(half), 0.0, libm::cos(half));
    state.velocity_m_s = state.attitude * DVec3::new(throw.speed_m_s, 0.0, 0.0);
    let _ = model.settled_loads(&mut state, throttle_at(0.0), &around);
    let mut thrown = Thrown {
        lowest_over_release_m: 0.0,
        end_over_release_m: 0.0,
        stalled_s: 0.0,
        bank_at_1s_deg: 0.0,
        flown_s: 0.0,
    };
    let ticks = (THROW_S / TICK_S) as u32;
    for tick in 1..=ticks {
        let controls = Controls {
            throttle: throttle_at(f64::from(tick - 1) * TICK_S),
            ..Controls::default()
        };
        let report = model.step(&mut state, &controls, &around, TICK_S);
        if !state.is_finite() {
            break;
        }
        if throw.wings_level {
            let nose = state.attitude * DVec3::X;
            let pitch = libm::asin(nose.z.clamp(-1.0, 1.0));
            // Past the vertical a pitch angle alone says nothing.
            if nose.x <= 0.0 {
                break;
            }
            state.attitude =
                DQuat::from_xyzw(0.0, libm::sin(-0.5 * pitch), 0.0, libm::cos(0.5 * pitch));
            state.rates_rad_s = DVec3::new(0.0, state.rates_rad_s.y, 0.0);
            state.velocity_m_s.y = 0.0;
        }
        thrown.flown_s = f64::from(tick) * TICK_S;
        let height = -state.position_m.z - throw.height_m;
        thrown.end_over_release_m = height;
        thrown.lowest_over_release_m = thrown.lowest_over_release_m.min(height);
        if 0.5 * (report.stalled_left + report.stalled_right) > 0.5 {
            thrown.stalled_s += TICK_S;
        }
        if thrown.flown_s <= 1.0 {
            let right = state.attitude * DVec3::Y;
            thrown.bank_at_1s_deg = libm::asin(right.z.clamp(-1.0, 1.0)).to_degrees();
        }
        if -state.position_m.z < 0.1 {
            break;
        }
    }
    thrown
}

/// Answers about the throw.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LaunchReport {
    /// Throttle of these answers.
    pub throttle: f64,
    /// Slowest release after which it holds height in calm air: the slowest
    /// rehearsed throw that does, or the lowest level speed if that is higher;
    /// `None` when it holds height at no speed or no throw up to 10 m/s does.
    pub needed_release_speed_m_s: Option<f64>,
    /// Nose angle of that throw.
    pub needed_release_pitch_deg: Option<f64>,
    /// Release speed of the pitch window.
    pub release_speed_m_s: f64,
    /// Release height of all throws.
    pub release_height_m: f64,
    /// Lowest nose angle that holds at that speed.
    pub pitch_window_low_deg: Option<f64>,
    /// Highest nose angle that holds at that speed.
    pub pitch_window_high_deg: Option<f64>,
    /// The window goes on beyond the lowest angle tried.
    pub pitch_window_low_is_limit_of_search: bool,
    /// The window goes on beyond the highest angle tried.
    pub pitch_window_high_is_limit_of_search: bool,
    /// Motor off for this long after release: the propeller is behind the hand.
    pub power_after_release_s: Option<f64>,
    /// Bank one second after a release at that speed with all sticks left
    /// alone, right positive.
    pub bank_at_1s_deg: f64,
    /// The throw in the middle of the window (or at ten degrees), sticks left alone.
    pub hands_off_throw: Thrown,
}

/// Rehearses throws until the questions are answered.
#[must_use]
pub fn launch(
    model: &FlightModel,
    throttle: f64,
    minimum_level_speed_m_s: Option<f64>,
    speed_m_s: f64,
    height_m: f64,
) -> LaunchReport {
    let try_at = |speed: f64, pitch_deg: f64, wings_level: bool| {
        throw(
            model,
            &Throw {
                speed_m_s: speed,
                pitch_rad: pitch_deg.to_radians(),
                throttle,
                height_m,
                wings_level,
            },
        )
    };
    let mut needed = None;
    'search: for half in 7..=20 {
        let speed = 0.5 * f64::from(half);
        for pitch in [10.0, 5.0, 15.0, 0.0] {
            if try_at(speed, pitch, true).holds() {
                needed = Some((speed, pitch));
                break 'search;
            }
        }
    }
    // One unbroken run of angles around the best throw.
    let start = needed.map_or(10.0, |(_, p)| p);
    let mut window = None;
    if try_at(speed_m_s, start, true).holds() {
        let (mut low, mut high) = (start, start);
        while low > PITCH_TRIED_DEG[0] && try_at(speed_m_s, low - 2.5, true).holds() {
            low -= 2.5;
        }
        while high < PITCH_TRIED_DEG[1] && try_at(speed_m_s, high + 2.5, true).holds() {
            high += 2.5;
        }
        window = Some((low, high));
    }
    let middle = window.map_or(10.0, |(low, high)| 0.5 * (low + high));
    let hands_off_throw = try_at(speed_m_s, middle, false);
    LaunchReport {
        throttle,
        // A throw trades speed for height for a while; it must hold in the end.
        needed_release_speed_m_s: needed
            .zip(minimum_level_speed_m_s)
            .map(|((v, _), level)| v.max(level)),
        needed_release_pitch_deg: needed.map(|(_, p)| p),
        release_speed_m_s: speed_m_s,
        release_height_m: height_m,
        pitch_window_low_deg: window.map(|(low, _)| low),
        pitch_window_high_deg: window.map(|(_, high)| high),
        pitch_window_low_is_limit_of_search: window.is_some_and(|w| w.0 <= PITCH_TRIED_DEG[0]),
        pitch_window_high_is_limit_of_search: window.is_some_and(|w| w.1 >= PITCH_TRIED_DEG[1]),
        power_after_release_s: (model.airframe().power.as_ref())
            .is_some_and(|p| p.pusher)
            .then_some(POWER_AFTER_RELEASE_S),
        bank_at_1s_deg: hands_off_throw.bank_at_1s_deg,
        hands_off_throw,
    }
}

/// Static margins between which a trainer is pleasant (common practice, no source).
pub const MARGIN_RANGE: [f64; 2] = [0.05, 0.20];

/// Where the plane may balance, behind the wing root's leading edge.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BalanceReport {
    /// Farthest aft: static margin 5 % (common practice, no source).
    pub aft_limit_m: f64,
    /// Farthest forward: where the margin reaches 20 %, or where full up
    /// elevator just holds 1.15 times the stall speed with the motor off,
    /// whichever comes first.
    pub fore_limit_m: f64,
    /// True when the elevator sets the fore limit.
    pub fore_limit_is_elevator: bool,
    /// Middle of the two.
    pub middle_m: f64,
    /// Move of the battery that brings the balance to the middle, aft
    /// positive; `None` without a battery.
    pub move_battery_aft_m: Option<f64>,
    /// Move of the battery to the aft limit, aft positive.
    pub move_battery_to_aft_limit_m: Option<f64>,
}

/// Limits of the balance point.
#[must_use]
pub fn balance(
    bench: &mut Bench<'_>,
    sizes: &ReferenceSizes,
    neutral_point_aft_m: f64,
    stall: &Stall,
    slow: Option<&Trim>,
) -> BalanceReport {
    let balance = bench.balance_aft_m();
    let aft_limit_m = neutral_point_aft_m - MARGIN_RANGE[0] * sizes.chord_m;
    let by_margin = neutral_point_aft_m - MARGIN_RANGE[1] * sizes.chord_m;
    // Moving the balance forward by d adds the nose-down moment lift times d.
    let alpha = slow.map_or(stall.alpha_rad * 0.75, |t| t.condition.alpha_rad);
    let full_up = bench.sample(&Condition::straight(
        1.15 * stall.speed_m_s,
        alpha,
        1.0,
        0.0,
    ));
    let by_elevator = balance - full_up.moment_n_m.y / full_up.lift_n.max(1e-6);
    let fore_limit_is_elevator = by_elevator > by_margin;
    let fore_limit_m = by_margin.max(by_elevator);
    let middle_m = 0.5 * (aft_limit_m + fore_limit_m);
    let battery_kg: f64 = (bench.model().airframe().components.iter())
        .filter(|c| c.kind == ComponentKind::Battery)
        .map(|c| c.mass_kg)
        .sum();
    let leverage = (battery_kg > 0.0).then(|| bench.mass_kg() / battery_kg);
    BalanceReport {
        aft_limit_m,
        fore_limit_m,
        fore_limit_is_elevator,
        middle_m,
        move_battery_aft_m: leverage.map(|k| k * (middle_m - balance)),
        move_battery_to_aft_limit_m: leverage.map(|k| k * (aft_limit_m - balance)),
    }
}

/// Strongest mean wind for a first flight: what cruise leaves over the stall
/// speed, and no more than half the cruise speed (common practice, no source).
#[must_use]
pub fn wind_limit_m_s(stall_m_s: f64, cruise_m_s: f64) -> f64 {
    (cruise_m_s - stall_m_s).min(0.5 * cruise_m_s).max(0.0)
}
