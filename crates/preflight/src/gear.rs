//! Standing and rolling on wheels.
//!
//! Angles and shares are those of Raymer, *Aircraft Design: A Conceptual
//! Approach*, chapter on landing gear (from memory): a nose wheel carries 5 to
//! 20 % of the weight; the main wheels lie behind the balance point by more
//! than the angle at which the tail touches; the angle at which it falls over
//! sideways stays below 63 degrees; the main wheels of a tail-dragger lie 16 to
//! 25 degrees ahead of the balance point.

use glam::DVec3;
use larkfield_airframe::{Airframe, ContactKind, ContactPoint};
use serde::Serialize;

use crate::bench::{Bench, Condition};
use crate::verdict::{Finding, Subject, Verdict};

/// How the wheels stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Arrangement {
    /// Two main wheels behind the balance point and one ahead of it.
    NoseWheel,
    /// Two main wheels ahead of the balance point, wheel or skid at the tail.
    TailDragger,
}

/// The plane standing on its wheels, springs not pressed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GearReport {
    /// How the wheels stand.
    pub arrangement: Arrangement,
    /// Nose up over the ground.
    pub attitude_deg: f64,
    /// Lowest point of the propeller disk over the ground; `None` for a glider.
    pub propeller_clearance_m: Option<f64>,
    /// Height of the balance point over the ground.
    pub balance_height_m: f64,
    /// Main axle behind the balance point along the ground; ahead is negative.
    pub main_wheels_aft_of_balance_m: f64,
    /// From the main axle to the third point.
    pub wheelbase_m: f64,
    /// Between the main wheels.
    pub track_m: f64,
    /// Share of the weight on the third point.
    pub third_point_share: f64,
    /// Main wheels behind the balance point seen from it, against the
    /// vertical; negative ahead of it.
    pub main_wheel_angle_deg: f64,
    /// Nose-up turn about the main wheels at which something behind touches.
    pub tail_touches_deg: Option<f64>,
    /// Steepness of the line from the edge it would fall over to the balance
    /// point: the flatter, the steadier.
    pub turnover_deg: f64,
    /// A wheel turns with the yaw stick.
    pub steered: bool,
    /// Lowest speed at which full up elevator and launch throttle lift the
    /// nose wheel; `None` for a tail-dragger, or when none up to 1.6 times the
    /// stall speed does.
    pub lifts_nose_from_m_s: Option<f64>,
}

/// Ground axes seen from the body: forward and down.
struct Ground {
    forward: DVec3,
    down: DVec3,
    main: DVec3,
}

impl Ground {
    fn height_m(&self, point: DVec3) -> f64 {
        (self.main - point).dot(self.down)
    }

    /// Distance behind the main axle.
    fn behind_m(&self, point: DVec3) -> f64 {
        (self.main - point).dot(self.forward)
    }
}

fn bottom(contact: &ContactPoint) -> DVec3 {
    contact.position_m + DVec3::Z * contact.radius_m
}

/// The two main wheels, and what it stands on besides.
fn stand(airframe: &Airframe) -> Option<([&ContactPoint; 2], &ContactPoint)> {
    let wheels = || (airframe.contacts.iter()).filter(|c| c.kind == ContactKind::Wheel);
    let outer = |side: f64| {
        wheels()
            .filter(|c| side * c.position_m.y > 0.02)
            .max_by(|a, b| a.position_m.y.abs().total_cmp(&b.position_m.y.abs()))
    };
    let (left, right) = (outer(-1.0)?, outer(1.0)?);
    let third = wheels()
        .find(|c| c.position_m.y.abs() <= 0.02)
        .or_else(|| {
            (airframe.contacts.iter())
                .filter(|c| c.kind != ContactKind::Wheel && c.position_m.y.abs() <= 0.02)
                .min_by(|a, b| a.position_m.x.total_cmp(&b.position_m.x))
        })?;
    Some(([left, right], third))
}

/// How it stands; `None` without two main wheels and a third point.
#[must_use]
pub fn gear(
    airframe: &Airframe,
    bench: &mut Bench<'_>,
    stall_m_s: Option<f64>,
    throttle: f64,
) -> Option<GearReport> {
    let ([left, right], third_point) = stand(airframe)?;
    let main = 0.5 * (bottom(left) + bottom(right));
    let main = DVec3::new(main.x, 0.0, main.z);
    let third = bottom(third_point);
    let (dx, dz) = (third.x - main.x, third.z - main.z);
    let base = (dx * dx + dz * dz).sqrt();
    if !(base > 1e-3) {
        return None;
    }
    let (sine, cosine) = if dx >= 0.0 {
        (dz / base, dx / base)
    } else {
        (-dz / base, -dx / base)
    };
    let ground = Ground {
        forward: DVec3::new(cosine, 0.0, sine),
        down: DVec3::new(-sine, 0.0, cosine),
        main,
    };
    let balance = bench.model().mass().cg_m;
    let height = ground.height_m(balance);
    let aft = -ground.behind_m(balance);
    let arrangement = if dx >= 0.0 {
        Arrangement::NoseWheel
    } else {
        Arrangement::TailDragger
    };
    let propeller_clearance_m = airframe.power.as_ref().map(|p| {
        let tilt = p.thrust_direction.dot(ground.down);
        let reach = 0.5 * p.propeller.diameter_m * (1.0 - tilt * tilt).max(0.0).sqrt();
        ground.height_m(p.hub_m) - reach
    });
    let tail_touches_deg = (airframe.contacts.iter())
        .filter(|c| c.kind != ContactKind::Wheel)
        .map(bottom)
        .filter(|p| ground.behind_m(*p) > 0.05)
        .map(|p| libm::atan2(ground.height_m(p), ground.behind_m(p)).to_degrees())
        .reduce(f64::min);
    // Distance of the balance point, seen from above, from the line between
    // the third point and one main wheel.
    let half_track = 0.5 * (bottom(right).y - bottom(left).y).abs();
    let edge = (base * base + half_track * half_track).sqrt();
    let from_third = base - aft.abs();
    let inside = from_third * half_track / edge;
    let steered = (airframe.contacts.iter()).any(|c| c.steering_rad != 0.0);
    let mut report = GearReport {
        arrangement,
        attitude_deg: libm::asin(sine).to_degrees(),
        propeller_clearance_m,
        balance_height_m: height,
        main_wheels_aft_of_balance_m: aft,
        wheelbase_m: base,
        track_m: 2.0 * half_track,
        third_point_share: if dx >= 0.0 { aft } else { -aft } / base,
        main_wheel_angle_deg: libm::atan2(aft, height).to_degrees(),
        tail_touches_deg,
        turnover_deg: libm::atan2(height, inside).to_degrees(),
        steered,
        lifts_nose_from_m_s: None,
    };
    if arrangement == Arrangement::NoseWheel
        && let Some(stall) = stall_m_s
    {
        let rolling = 0.5 * (left.friction_along + right.friction_along);
        let lifts = |bench: &mut Bench<'_>, speed: f64| {
            nose_up_moment_n_m(bench, &ground, speed, throttle, rolling) >= 0.0
        };
        report.lifts_nose_from_m_s = (6..=32)
            .map(|k| 0.05 * f64::from(k) * stall)
            .find(|speed| lifts(bench, *speed));
        bench.calm();
    }
    Some(report)
}

/// Moment about the main wheels with full up elevator. It speeds up, so what
/// pulls it forward is taken by its own inertia at the balance point, except
/// for the share that rolling resistance takes at the ground.
fn nose_up_moment_n_m(
    bench: &mut Bench<'_>,
    ground: &Ground,
    speed_m_s: f64,
    throttle: f64,
    rolling_friction: f64,
) -> f64 {
    let alpha_rad = libm::atan2(ground.forward.z, ground.forward.x);
    let sample = bench.sample(&Condition::straight(speed_m_s, alpha_rad, 1.0, throttle));
    let on_wheels = (sample.force_n.dot(ground.down) + bench.weight_n()).max(0.0);
    let balance = DVec3::new(-bench.balance_aft_m(), 0.0, bench.model().mass().cg_m.z);
    let arm = balance - ground.main;
    let force = ground.down * on_wheels + ground.forward * (rolling_friction * on_wheels);
    sample.moment_n_m.y + arm.cross(force).y
}

/// Least clearance of a propeller over mown grass (common practice, no source).
const CLEARANCE_M: f64 = 0.025;

/// What the rules say about the gear.
#[must_use]
pub fn gear_findings(gear: &GearReport, stall_m_s: Option<f64>) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut say = |verdict, because: String, remedy: &str| {
        found.push(Finding::new(verdict, Subject::Gear, because, remedy));
    };
    if let Some(clearance) = gear.propeller_clearance_m
        && !(clearance >= CLEARANCE_M)
    {
        say(
            if clearance >= 0.01 {
                Verdict::Marginal
            } else {
                Verdict::NotYet
            },
            format!(
                "the propeller turns {:.0} mm over the ground; 25 mm and more are wanted on mown grass",
                clearance * 1e3
            ),
            "longer legs, larger wheels or a smaller propeller",
        );
    }
    let aft_mm = gear.main_wheels_aft_of_balance_m * 1e3;
    match gear.arrangement {
        Arrangement::NoseWheel => {
            let share = gear.third_point_share;
            if !(share > 0.0) {
                say(
                    Verdict::NotYet,
                    format!(
                        "the main wheels stand {:.0} mm ahead of the balance point: it sits on its tail",
                        -aft_mm
                    ),
                    "move the main wheels aft",
                );
            } else if !(share >= 0.05) {
                say(
                    Verdict::Marginal,
                    format!(
                        "the nose wheel carries {:.0} % of the weight: it steers badly and tips on its tail",
                        share * 1e2
                    ),
                    "move the main wheels aft until the nose wheel carries 5 to 20 %",
                );
            } else if share > 0.20 {
                say(
                    Verdict::Marginal,
                    format!("the nose wheel carries {:.0} % of the weight", share * 1e2),
                    "move the main wheels forward until the nose wheel carries 5 to 20 %",
                );
            }
            let late = stall_m_s.map(|s| 1.2 * s);
            if let Some(limit) = late
                && share > 0.0
                && gear.lifts_nose_from_m_s.is_none_or(|v| !(v <= limit))
            {
                say(
                    Verdict::Marginal,
                    gear.lifts_nose_from_m_s.map_or(
                        "full up elevator does not lift the nose wheel".into(),
                        |v| format!("full up elevator lifts the nose wheel only at {v:.1} m/s"),
                    ),
                    "move the main wheels forward, nearer to the balance point",
                );
            }
        }
        Arrangement::TailDragger => {
            let angle = -gear.main_wheel_angle_deg;
            if !(angle >= 14.0) {
                say(
                    if angle >= 8.0 {
                        Verdict::Marginal
                    } else {
                        Verdict::NotYet
                    },
                    format!(
                        "the main wheels stand {angle:.0} degrees ahead of the balance point: it falls on its nose; 16 to 25 are usual"
                    ),
                    "move the main wheels forward",
                );
            } else if angle > 30.0 {
                say(
                    Verdict::Marginal,
                    format!(
                        "the main wheels stand {angle:.0} degrees ahead of the balance point: it will turn round on the ground; 16 to 25 are usual"
                    ),
                    "move the main wheels aft",
                );
            }
        }
    }
    if !(gear.turnover_deg <= 63.0) {
        say(
            Verdict::Marginal,
            format!(
                "it falls over sideways easily: {:.0} degrees, at most 63 is wanted",
                gear.turnover_deg
            ),
            "set the main wheels farther apart or the legs shorter",
        );
    }
    found
}
