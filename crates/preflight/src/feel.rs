//! What practice with a plane teaches its pilot: attitudes, throttle positions
//! and paths, calculated instead of practised.

use larkfield_airframe::{Airframe, ContactKind};
use larkfield_flight::FlightModel;
use larkfield_pilot::{PlaneFeel, Undercarriage};

use crate::bench::{Bench, Case, Condition};
use crate::derivatives::ReferenceSizes;
use crate::envelope::level_at;
use crate::trim::{Guess, Path, Stall, Trim, stall, trim};

/// Speed of the circuit over the stall speed. Cruise is 1.6 to 2 (common
/// practice, no source); a circuit close by is flown a little slower.
const CIRCUIT: f64 = 1.6;
/// Speed of the glide without power over the stall speed.
const GLIDE: f64 = 1.4;
/// Speed of the approach over the stall speed (westpalmjetcharter.com, "How Is
/// Approach Speed Calculated?": 1.3, before anything is added for gusts).
const APPROACH: f64 = 1.35;
/// The approach goes down this share of the glide's slope, so that the throttle
/// can correct both ways (common practice, no source).
const APPROACH_SLOPE_SHARE: f64 = 0.65;
/// Nose-up speed just before it will fly no longer, over the stall speed.
const TOUCH: f64 = 1.06;
/// Steepest climb that anybody holds with a trainer.
const STEEPEST_CLIMB_RAD: f64 = 0.25;

/// The feel of a good example of this plane; where it cannot be trimmed, the
/// values of some small trainer stay. `launch_throttle` is the throttle used
/// for climbing.
#[must_use]
pub fn plane_feel(model: &FlightModel, launch_throttle: f64) -> PlaneFeel {
    let airframe = model.airframe();
    let mut feel = PlaneFeel {
        climb_throttle: launch_throttle,
        ..PlaneFeel::default()
    };
    stand(airframe, model.mass().cg_m.z, &mut feel);
    let mut bench = Bench::new(model, Case::NOMINAL);
    let Some(sizes) = ReferenceSizes::of(airframe) else {
        return feel;
    };
    let Some(stall) = stall(&mut bench, sizes.area_m2, None) else {
        return feel;
    };
    fly(&mut bench, sizes.chord_m, &stall, &mut feel);
    feel
}

/// What it stands on and how high.
fn stand(airframe: &Airframe, cg_z_m: f64, feel: &mut PlaneFeel) {
    let wheels = airframe
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::Wheel);
    if wheels.clone().count() >= 2 {
        feel.undercarriage = Undercarriage::Wheels;
    }
    let lowest_z_m = airframe
        .contacts
        .iter()
        .map(|contact| contact.position_m.z + contact.radius_m)
        .fold(f64::NEG_INFINITY, f64::max);
    if (lowest_z_m - cg_z_m).is_finite() {
        feel.standing_height_m = lowest_z_m - cg_z_m;
    }
}

fn fly(bench: &mut Bench<'_>, chord_m: f64, stall: &Stall, feel: &mut PlaneFeel) {
    bench.calm();
    let level_m_s = CIRCUIT * stall.speed_m_s;
    if let Some(level) = level_at(bench, chord_m, level_m_s) {
        feel.level_throttle = level.condition.controls.throttle;
        feel.level_pitch_rad = level.condition.alpha_rad;
        feel.level_speed_m_s = level_m_s;
    }
    bench.calm();
    let climb_m_s = 1.5 * stall.speed_m_s;
    let climb = trim(
        bench,
        chord_m,
        climb_m_s,
        feel.climb_throttle,
        Path::Straight,
        Guess::default(),
    );
    if let Some(climb) = climb {
        feel.climb_pitch_rad =
            (climb.condition.alpha_rad + slope(&climb)).clamp(0.05, STEEPEST_CLIMB_RAD);
    }
    bench.calm();
    let glide_m_s = GLIDE * stall.speed_m_s;
    let glide = trim(
        bench,
        chord_m,
        glide_m_s,
        0.0,
        Path::Straight,
        Guess::default(),
    );
    if let Some(glide) = &glide {
        feel.glide_pitch_rad = glide.condition.alpha_rad + slope(glide);
        feel.glide_slope_rad = -slope(glide);
        feel.glide_speed_m_s = glide_m_s * libm::cos(slope(glide));
    }
    bench.calm();
    let approach_m_s = APPROACH * stall.speed_m_s;
    let wanted_rad = -APPROACH_SLOPE_SHARE * feel.glide_slope_rad;
    if let Some(approach) = descending_at(bench, chord_m, approach_m_s, wanted_rad) {
        feel.approach_throttle = approach.condition.controls.throttle;
        feel.approach_pitch_rad = approach.condition.alpha_rad + slope(&approach);
        feel.approach_slope_rad = -slope(&approach);
        feel.approach_speed_m_s = approach_m_s * libm::cos(slope(&approach));
    }
    bench.calm();
    feel.roll_rate_rad_s = roll_rate(bench, feel);
    bench.calm();
    let touch_m_s = TOUCH * stall.speed_m_s;
    if let Some(touch) = trim(
        bench,
        chord_m,
        touch_m_s,
        0.0,
        Path::LiftIsWeight,
        Guess::default(),
    ) {
        feel.touch_pitch_rad = touch.condition.alpha_rad;
        if let Some(glide) = glide {
            let stick = touch.pitch() - glide.pitch();
            let rises_rad = touch.condition.alpha_rad - glide.condition.alpha_rad;
            if stick > 0.01 {
                feel.nose_per_stick_rad = (rises_rad / stick).clamp(0.05, 2.0);
            }
        }
    }
}

/// Rolling at full command, once the roll damping has caught up with it.
fn roll_rate(bench: &mut Bench<'_>, feel: &PlaneFeel) -> f64 {
    const COMMAND: f64 = 0.3;
    const RATE_RAD_S: f64 = 0.5;
    let condition = Condition::straight(
        feel.level_speed_m_s,
        feel.level_pitch_rad,
        0.0,
        feel.level_throttle,
    );
    let still = bench.sample(&condition).moment_n_m.x;
    let mut commanded = condition;
    commanded.controls.roll = COMMAND;
    let push = (bench.sample(&commanded).moment_n_m.x - still) / COMMAND;
    let mut rolling = condition;
    rolling.rates_rad_s.x = RATE_RAD_S;
    let damping = (still - bench.sample(&rolling).moment_n_m.x) / RATE_RAD_S;
    let rate = push / damping;
    if rate > 0.1 && rate.is_finite() {
        rate.min(12.0)
    } else {
        feel.roll_rate_rad_s
    }
}

/// Angle of the path over the horizon.
fn slope(trim: &Trim) -> f64 {
    libm::asin(trim.excess.clamp(-0.9, 0.9))
}

/// The throttle that makes a straight path of this angle, by halving.
fn descending_at(
    bench: &mut Bench<'_>,
    chord_m: f64,
    speed_m_s: f64,
    path_rad: f64,
) -> Option<Trim> {
    let (mut low, mut high) = (0.0, 1.0);
    let mut best: Option<Trim> = None;
    for _ in 0..9 {
        let middle = 0.5 * (low + high);
        let guess = best.as_ref().map_or_else(Guess::default, Guess::from);
        let found = trim(bench, chord_m, speed_m_s, middle, Path::Straight, guess)?;
        if slope(&found) >= path_rad {
            high = middle;
        } else {
            low = middle;
        }
        best = Some(found);
    }
    best
}
