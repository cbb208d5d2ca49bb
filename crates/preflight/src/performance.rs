//! Power at rest, speeds, climb, glide and endurance as reported.

use larkfield_airframe::Airframe;
use larkfield_flight::FlightModel;
use larkfield_flight::power::PowerModel;
use serde::Serialize;

use crate::bench::{Bench, GRAVITY_M_S2};
use crate::envelope::{
    LevelSpeed, PathPoint, TopSpeed, hands_off_speed_m_s, maximum_level_speed,
    minimum_level_speed_m_s, sweep,
};
use crate::trim::{Path, Stall, Trim};

/// Motor, propeller and battery at rest, full throttle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PowerReport {
    /// Static thrust used.
    pub static_thrust_n: f64,
    /// Static thrust on the scale, when the builder gave it.
    pub measured_static_thrust_n: Option<f64>,
    /// Thrust over weight.
    pub thrust_to_weight: f64,
    /// Propeller speed.
    pub static_rpm: f64,
    /// Battery current.
    pub static_current_a: f64,
    /// Battery current on the meter, when the builder gave it.
    pub measured_static_current_a: Option<f64>,
    /// Battery voltage under load.
    pub static_voltage_v: f64,
    /// Motor current it survives.
    pub motor_limit_a: f64,
    /// Controller current it survives.
    pub controller_limit_a: f64,
    /// Battery current it may deliver.
    pub battery_limit_a: f64,
    /// Largest of current over limit.
    pub worst_load: f64,
}

/// Gliding, motor off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GlideReport {
    /// Speed of the flattest glide.
    pub best_speed_m_s: f64,
    /// Distance for each metre of height.
    pub best_ratio: f64,
    /// Least sinking speed.
    pub least_sink_m_s: f64,
    /// Speed that sticks centred trim.
    pub hands_off_speed_m_s: Option<f64>,
}

/// Speeds and climb under power.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PerformanceReport {
    /// Minimum level speed over throttle.
    pub minimum_level_speed: Vec<LevelSpeed>,
    /// Fastest level speed at full throttle.
    pub maximum_level_speed: Option<TopSpeed>,
    /// Best climb at launch throttle.
    pub best_climb: Option<PathPoint>,
    /// Speed that sticks centred trim at launch throttle.
    pub hands_off_speed_m_s: Option<f64>,
    /// Level flight at 1.4 times the stall speed: cruise.
    pub cruise: Option<PathPoint>,
    /// Time that four fifths of the charge last at cruise.
    pub endurance_s: Option<f64>,
}

/// Level sweeps at throttles 0, 0.1 to 1.
pub(crate) fn levels(
    bench: &mut Bench<'_>,
    chord_m: f64,
    stall: Option<&Stall>,
) -> Vec<(f64, Vec<Trim>)> {
    let Some(stall) = stall else {
        return Vec::new();
    };
    let most = if bench.model().power().is_some() {
        10
    } else {
        0
    };
    (0..=most)
        .map(|tenth| {
            let throttle = f64::from(tenth) / 10.0;
            (
                throttle,
                sweep(bench, chord_m, stall, throttle, Path::LiftIsWeight),
            )
        })
        .collect()
}

/// Lowest throttle from a half up that climbs at 1.5 m/s; full when none does
/// (common practice, no source).
pub(crate) fn launch_throttle(levels: &[(f64, Vec<Trim>)]) -> f64 {
    (levels.iter())
        .filter(|(throttle, _)| *throttle >= 0.5)
        .find(|(_, sweep)| sweep.iter().any(|t| t.climb_m_s() >= 1.5))
        .map_or(1.0, |(throttle, _)| *throttle)
}

pub(crate) fn performance(
    model: &FlightModel,
    levels: &[(f64, Vec<Trim>)],
    climb: &[Trim],
    cruise: Option<&Trim>,
) -> PerformanceReport {
    let capacity = model.airframe().power.as_ref().map(|p| p.battery);
    PerformanceReport {
        minimum_level_speed: (levels.iter())
            .map(|(throttle, sweep)| LevelSpeed {
                throttle: *throttle,
                minimum_speed_m_s: minimum_level_speed_m_s(sweep),
            })
            .collect(),
        maximum_level_speed: levels
            .last()
            .and_then(|(_, sweep)| maximum_level_speed(sweep)),
        best_climb: (climb.iter())
            .max_by(|a, b| a.climb_m_s().total_cmp(&b.climb_m_s()))
            .map(PathPoint::from),
        hands_off_speed_m_s: hands_off_speed_m_s(climb),
        cruise: cruise.map(PathPoint::from),
        endurance_s: cruise.zip(capacity).and_then(|(t, battery)| {
            let usable = 0.8 * battery.capacity_c * battery.charge;
            (t.sample.current_a > 0.0).then(|| usable / t.sample.current_a)
        }),
    }
}

pub(crate) fn glide(sweep: &[Trim]) -> Option<GlideReport> {
    let sinking = || sweep.iter().filter(|t| t.excess < 0.0);
    let best = sinking().max_by(|a, b| a.excess.total_cmp(&b.excess))?;
    let sine = -best.excess;
    Some(GlideReport {
        best_speed_m_s: best.condition.speed_m_s,
        best_ratio: (1.0 - sine * sine).max(0.0).sqrt() / sine,
        least_sink_m_s: sinking().map(|t| -t.climb_m_s()).reduce(f64::min)?,
        hands_off_speed_m_s: hands_off_speed_m_s(sweep),
    })
}

pub(crate) fn power_report(airframe: &Airframe, model: &PowerModel, mass_kg: f64) -> PowerReport {
    let point = model.static_point(1.0);
    let limits = airframe.power.as_ref();
    let motor_limit_a = limits.map_or(f64::NAN, |p| p.motor.current_limit_a);
    let controller_limit_a = limits.map_or(f64::NAN, |p| p.controller.current_limit_a);
    let battery_limit_a = limits.map_or(f64::NAN, |p| p.battery.current_limit_a);
    PowerReport {
        static_thrust_n: point.thrust_n,
        measured_static_thrust_n: airframe.measured.static_thrust_n,
        thrust_to_weight: point.thrust_n / (mass_kg * GRAVITY_M_S2),
        static_rpm: point.rpm,
        static_current_a: point.battery_current_a,
        measured_static_current_a: airframe.measured.static_current_a,
        static_voltage_v: point.voltage_v,
        motor_limit_a,
        controller_limit_a,
        battery_limit_a,
        worst_load: (point.motor_current_a / motor_limit_a)
            .max(point.motor_current_a / controller_limit_a)
            .max(point.battery_current_a / battery_limit_a),
    }
}
