//! Stability and control derivatives by central differences.
//!
//! Conventions: NASA usage. Forces over dynamic pressure times area, moments
//! also over span (roll, yaw) or mean chord (pitch). Rates are dimensionless:
//! `p b / 2V`, `q c / 2V`, `r b / 2V`. Moments are about the balance point in
//! body axes, lift is across the path, side force is the body's. Quasi-steady:
//! the air has settled at every condition. Propeller included when it turns.

use glam::DVec3;
use larkfield_airframe::{Airframe, ControlMix, Geometry};
use larkfield_flight::{AirProperties, Controls, FlightModel, FlightModelError};
use serde::Serialize;

use crate::bench::{Bench, Case, Condition};

/// Lengths and area that make coefficients dimensionless.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ReferenceSizes {
    /// Wing area.
    pub area_m2: f64,
    /// Wing span.
    pub span_m: f64,
    /// Mean aerodynamic chord.
    pub chord_m: f64,
}

impl ReferenceSizes {
    /// Projected wing area, span tip to tip and mean aerodynamic chord;
    /// `None` when there is no wing.
    #[must_use]
    pub fn of(airframe: &Airframe) -> Option<Self> {
        Geometry::of(airframe).map(|g| Self {
            area_m2: g.wing.area_m2,
            span_m: g.wing.span_m,
            chord_m: g.wing.mean_chord_m,
        })
    }
}

/// Derivatives at one condition. Angles in radians; control derivatives for a
/// full command (roll right, nose up, nose right) and for a radian of the
/// surfaces that answer it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[allow(missing_docs)]
pub struct Derivatives {
    pub speed_m_s: f64,
    pub alpha_rad: f64,
    pub throttle: f64,
    pub sizes: ReferenceSizes,
    pub balance_aft_m: f64,
    pub lift_coefficient: f64,
    pub drag_coefficient: f64,
    pub pitch_moment_coefficient: f64,
    pub roll_moment_coefficient: f64,
    pub yaw_moment_coefficient: f64,
    pub cl_lift_alpha_per_rad: f64,
    pub cm_alpha_per_rad: f64,
    pub cy_beta_per_rad: f64,
    pub cl_roll_beta_per_rad: f64,
    pub cn_beta_per_rad: f64,
    pub cl_lift_q: f64,
    pub cm_q: f64,
    pub cy_p: f64,
    pub cl_roll_p: f64,
    pub cn_p: f64,
    pub cy_r: f64,
    pub cl_roll_r: f64,
    pub cn_r: f64,
    pub pitch_command: ControlPower,
    pub roll_command: ControlPower,
    pub yaw_command: ControlPower,
    /// Balance at which pitching moment would not change with lift.
    pub neutral_point_aft_m: f64,
    /// Neutral point less balance over mean chord; positive is stable.
    pub static_margin: f64,
}

/// What one command does.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
#[allow(missing_docs)]
pub struct ControlPower {
    pub cl_lift_per_command: f64,
    pub cy_per_command: f64,
    pub cl_roll_per_command: f64,
    pub cm_per_command: f64,
    pub cn_per_command: f64,
    /// Mean travel of the surfaces that answer; `None` when none does.
    pub deflection_rad_per_command: Option<f64>,
}

impl ControlPower {
    /// A value for a full command turned into one for a radian.
    #[must_use]
    pub fn per_rad(&self, per_command: f64) -> Option<f64> {
        self.deflection_rad_per_command.map(|d| per_command / d)
    }
}

/// Derivatives of a bare airframe at a speed and angle, untrimmed, sticks
/// centred, motor off. `sizes` overrides the airframe's own reference sizes.
///
/// # Errors
/// When the airframe cannot be flown at all.
pub fn derivatives_at(
    airframe: &Airframe,
    air: AirProperties,
    speed_m_s: f64,
    alpha_rad: f64,
    sizes: ReferenceSizes,
) -> Result<Derivatives, FlightModelError> {
    let model = FlightModel::new(airframe, air)?;
    let mut bench = Bench::new(&model, Case::NOMINAL);
    let condition = Condition::straight(speed_m_s, alpha_rad, 0.0, 0.0);
    Ok(derivatives(&mut bench, &condition, sizes))
}

/// Coefficients: lift, side, drag; roll, pitch, yaw moment.
fn coefficients(
    bench: &mut Bench<'_>,
    condition: &Condition,
    sizes: &ReferenceSizes,
) -> (DVec3, DVec3) {
    let s = bench.sample(condition);
    let speed = condition.speed_m_s;
    let force = 0.5 * bench.model().air().density_kg_m3 * speed * speed * sizes.area_m2;
    (
        DVec3::new(s.lift_n, s.force_n.y, -s.along_n) / force,
        s.moment_n_m / (force * DVec3::new(sizes.span_m, sizes.chord_m, sizes.span_m)),
    )
}

/// Derivatives around a condition.
#[must_use]
pub fn derivatives(
    bench: &mut Bench<'_>,
    condition: &Condition,
    sizes: ReferenceSizes,
) -> Derivatives {
    // Small enough to be local, large enough to stand clear of how well the
    // air settles (1e-10 of the force).
    const ANGLE_RAD: f64 = 0.005;
    const RATE: f64 = 0.005;
    const COMMAND: f64 = 0.05;
    let speed = condition.speed_m_s;
    let airframe = bench.model().airframe();
    let mut slope = |step: f64, change: &dyn Fn(&mut Condition, f64)| {
        let mut ends = [(DVec3::ZERO, DVec3::ZERO); 2];
        for (end, sign) in ends.iter_mut().zip([-1.0, 1.0]) {
            let mut moved = *condition;
            change(&mut moved, sign * step);
            *end = coefficients(bench, &moved, &sizes);
        }
        (
            (ends[1].0 - ends[0].0) / (2.0 * step),
            (ends[1].1 - ends[0].1) / (2.0 * step),
        )
    };
    let (f_alpha, m_alpha) = slope(ANGLE_RAD, &|c, x| c.alpha_rad += x);
    let (f_beta, m_beta) = slope(ANGLE_RAD, &|c, x| c.beta_rad += x);
    let per_span = 2.0 * speed / sizes.span_m;
    let per_chord = 2.0 * speed / sizes.chord_m;
    let (f_p, m_p) = slope(RATE, &|c, x| c.rates_rad_s.x += x * per_span);
    let (f_q, m_q) = slope(RATE, &|c, x| c.rates_rad_s.y += x * per_chord);
    let (f_r, m_r) = slope(RATE, &|c, x| c.rates_rad_s.z += x * per_span);
    let mut power = |pick: fn(&mut Controls, f64), answers: Option<f64>| {
        let (f, m) = slope(COMMAND, &|c, x| pick(&mut c.controls, x));
        ControlPower {
            cl_lift_per_command: f.x,
            cy_per_command: f.y,
            cl_roll_per_command: m.x,
            cm_per_command: m.y,
            cn_per_command: m.z,
            deflection_rad_per_command: answers,
        }
    };
    let pitch_command = power(|c, x| c.pitch += x, answer(airframe, |m| m.pitch));
    let roll_command = power(|c, x| c.roll += x, answer(airframe, |m| m.roll));
    let yaw_command = power(|c, x| c.yaw += x, answer(airframe, |m| m.yaw));
    let (f, m) = coefficients(bench, condition, &sizes);
    let static_margin = -m_alpha.y / f_alpha.x;
    let balance_aft_m = bench.balance_aft_m();
    Derivatives {
        speed_m_s: speed,
        alpha_rad: condition.alpha_rad,
        throttle: condition.controls.throttle,
        sizes,
        balance_aft_m,
        lift_coefficient: f.x,
        drag_coefficient: f.z,
        pitch_moment_coefficient: m.y,
        roll_moment_coefficient: m.x,
        yaw_moment_coefficient: m.z,
        cl_lift_alpha_per_rad: f_alpha.x,
        cm_alpha_per_rad: m_alpha.y,
        cy_beta_per_rad: f_beta.y,
        cl_roll_beta_per_rad: m_beta.x,
        cn_beta_per_rad: m_beta.z,
        cl_lift_q: f_q.x,
        cm_q: m_q.y,
        cy_p: f_p.y,
        cl_roll_p: m_p.x,
        cn_p: m_p.z,
        cy_r: f_r.y,
        cl_roll_r: m_r.x,
        cn_r: m_r.z,
        pitch_command,
        roll_command,
        yaw_command,
        neutral_point_aft_m: balance_aft_m + static_margin * sizes.chord_m,
        static_margin,
    }
}

/// Mean travel of the surfaces that answer a command, weighted by how much
/// of it they follow, always positive.
fn answer(airframe: &Airframe, share: fn(&ControlMix) -> f64) -> Option<f64> {
    let (mut sum, mut count) = (0.0, 0.0);
    for surface in &airframe.controls {
        let share = share(&surface.mix).abs();
        if share > 0.0 {
            sum += share * 0.5 * (surface.travel_positive_rad + surface.travel_negative_rad);
            count += 1.0;
        }
    }
    (count > 0.0 && sum > 0.0).then_some(sum / count)
}
