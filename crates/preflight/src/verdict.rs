//! The quantities that rules look at, and the verdict.
//!
//! Every rule looks at one [`Core`]: the plane as described, then again with
//! balance, mass, incidence and thrust off by what a builder cannot measure
//! better. A fault of the plane as described is "not yet"; a fault that only
//! appears within the spread, or a value near its limit, is "marginal".

use serde::Serialize;

use crate::bench::{Bench, Condition};
use crate::derivatives::{Derivatives, ReferenceSizes, derivatives};
use crate::envelope::{hands_off_speed_m_s, minimum_level_speed_m_s, sweep};
use crate::trim::{Guess, Path, Stall, stall, trim};

/// What calculation says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Verdict {
    /// Nothing found; hands and eyes must check the rest.
    NoFaultFound,
    /// May fly, or may not: a margin is small.
    Marginal,
    /// Something must be mended first.
    NotYet,
}

/// What a finding is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[allow(missing_docs)]
pub enum Subject {
    Stability,
    PitchControl,
    Trim,
    ThrustLine,
    Power,
    Release,
    Roll,
    Yaw,
    Current,
    Loading,
    Gear,
    Hand,
    Linkage,
    Sticks,
}

/// One reason.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// How bad.
    pub verdict: Verdict,
    /// About what.
    pub subject: Subject,
    /// What is wrong, with numbers.
    pub because: String,
    /// What to do about it.
    pub remedy: String,
}

impl Finding {
    /// A finding in words.
    pub fn new(
        verdict: Verdict,
        subject: Subject,
        because: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            verdict,
            subject,
            because: because.into(),
            remedy: remedy.into(),
        }
    }
}

/// The quantities that rules look at, for one case of the spread.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Core {
    /// Which case, in words.
    pub case: String,
    /// Mass.
    pub mass_kg: f64,
    /// Balance point.
    pub balance_aft_m: f64,
    /// Neutral point, motor off.
    pub neutral_point_aft_m: f64,
    /// Static margin, motor off.
    pub static_margin: f64,
    /// Stall speed, motor off; `None` when no trimmed flight is found.
    pub stall_speed_m_s: Option<f64>,
    /// Lowest level speed at launch throttle.
    pub minimum_level_speed_m_s: Option<f64>,
    /// Best vertical speed at launch throttle.
    pub climb_m_s: Option<f64>,
    /// Pitch command that trims 1.3 times the stall speed at launch throttle.
    pub pitch_command: Option<f64>,
    /// Pitch command that trims the same speed gliding.
    pub glide_pitch_command: Option<f64>,
    /// Speed that sticks centred trim at launch throttle.
    pub hands_off_speed_m_s: Option<f64>,
    /// Yaw stiffness, per radian.
    pub cn_beta_per_rad: f64,
    /// Pitching moment of a full nose-up command.
    pub cm_per_pitch_command: f64,
    /// Roll that is built in, over the roll that full command makes, motor off.
    pub roll_asymmetry: Option<f64>,
    /// Part of it that comes from a yaw that is built in, by the sideslip it
    /// settles at.
    pub roll_asymmetry_by_yaw: Option<f64>,
}

/// Calculates the core quantities of a case.
#[must_use]
pub fn core(
    bench: &mut Bench<'_>,
    case: &str,
    sizes: &ReferenceSizes,
    throttle: f64,
    stall_guess_m_s: Option<f64>,
) -> (Core, Option<Stall>, Derivatives) {
    let stalled = stall(bench, sizes.area_m2, stall_guess_m_s);
    let speed = stalled.map_or(8.0, |s| 1.3 * s.speed_m_s);
    let glide = trim(
        bench,
        sizes.chord_m,
        speed,
        0.0,
        Path::Straight,
        Guess::default(),
    );
    let condition = glide.map_or(Condition::straight(speed, 0.07, 0.0, 0.0), |t| t.condition);
    let d = derivatives(bench, &condition, *sizes);
    let level = stalled.map_or_else(Vec::new, |s| {
        sweep(bench, sizes.chord_m, &s, throttle, Path::LiftIsWeight)
    });
    let pitch_command = (level.iter())
        .find(|t| t.condition.speed_m_s >= 0.99 * speed)
        .map(crate::trim::Trim::pitch);
    let built_in = roll_asymmetry(&d);
    let core = Core {
        case: case.into(),
        mass_kg: bench.mass_kg(),
        balance_aft_m: bench.balance_aft_m(),
        neutral_point_aft_m: d.neutral_point_aft_m,
        static_margin: d.static_margin,
        stall_speed_m_s: stalled.map(|s| s.speed_m_s),
        minimum_level_speed_m_s: minimum_level_speed_m_s(&level),
        climb_m_s: (level.iter())
            .map(crate::trim::Trim::climb_m_s)
            .reduce(f64::max),
        pitch_command,
        glide_pitch_command: glide.as_ref().map(crate::trim::Trim::pitch),
        hands_off_speed_m_s: hands_off_speed_m_s(&level),
        cn_beta_per_rad: d.cn_beta_per_rad,
        cm_per_pitch_command: d.pitch_command.cm_per_command,
        roll_asymmetry: built_in.map(|b| b.all),
        roll_asymmetry_by_yaw: built_in.map(|b| b.by_yaw),
    };
    (core, stalled, d)
}

/// Roll that is built in, over what full command can do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BuiltInRoll {
    /// All of it, right positive.
    pub all: f64,
    /// What of it comes through yaw and sideslip.
    pub by_yaw: f64,
}

/// Rolling moment with sticks centred over what full command can do. Yaw
/// counts with the roll that the sideslip it settles at makes, so a
/// rudder-and-dihedral plane is judged alike.
#[must_use]
pub fn roll_asymmetry(d: &Derivatives) -> Option<BuiltInRoll> {
    let through_yaw = |cn: f64| {
        if d.cn_beta_per_rad > 1e-6 {
            -cn / d.cn_beta_per_rad * d.cl_roll_beta_per_rad
        } else {
            0.0
        }
    };
    let by_yaw = through_yaw(d.yaw_moment_coefficient);
    let of = |c: &crate::derivatives::ControlPower| {
        c.cl_roll_per_command + through_yaw(c.cn_per_command)
    };
    let power = of(&d.roll_command).abs().max(of(&d.yaw_command).abs());
    (power > 1e-6).then(|| BuiltInRoll {
        all: (d.roll_moment_coefficient + by_yaw) / power,
        by_yaw: by_yaw / power,
    })
}

/// Joins what was found as described with what only the spread shows.
#[must_use]
pub fn join(mut nominal: Vec<Finding>, spread: Vec<(String, Vec<Finding>)>) -> Vec<Finding> {
    for (case, findings) in spread {
        for f in findings {
            if f.verdict == Verdict::NotYet && !nominal.iter().any(|n| n.subject == f.subject) {
                nominal.push(Finding {
                    verdict: Verdict::Marginal,
                    because: format!("with {case}, {}", f.because),
                    ..f
                });
            }
        }
    }
    nominal.sort_by_key(|f| core::cmp::Reverse(f.verdict));
    nominal
}

/// Worst of the findings.
#[must_use]
pub fn worst(findings: &[Finding]) -> Verdict {
    findings
        .iter()
        .map(|f| f.verdict)
        .max()
        .unwrap_or(Verdict::NoFaultFound)
}
