//! Rules over the calculated quantities, and the verdict.
//!
//! Every rule looks at one [`Core`]: the plane as described, then again with
//! balance, mass, incidence and thrust off by what a builder cannot measure
//! better. A fault of the plane as described is "not yet"; a fault that only
//! appears within the spread, or a value near its limit, is "marginal".
//! Limits without a source are common practice.

use serde::Serialize;

use crate::bench::{Bench, Condition};
use crate::builder::THROWER_M_S;
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
    Power,
    Release,
    Roll,
    Yaw,
    Current,
    Loading,
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
    /// Speed that sticks centred trim at launch throttle.
    pub hands_off_speed_m_s: Option<f64>,
    /// Yaw stiffness, per radian.
    pub cn_beta_per_rad: f64,
    /// Pitching moment of a full nose-up command.
    pub cm_per_pitch_command: f64,
    /// Roll that is built in, over the roll that full command makes, motor off.
    pub roll_asymmetry: Option<f64>,
}

/// Calculates the core quantities of a case.
#[must_use]
pub fn core(
    bench: &mut Bench<'_>,
    case: &str,
    sizes: &ReferenceSizes,
    throttle: f64,
) -> (Core, Option<Stall>, Derivatives) {
    let stalled = stall(bench, sizes.area_m2);
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
        hands_off_speed_m_s: hands_off_speed_m_s(&level),
        cn_beta_per_rad: d.cn_beta_per_rad,
        cm_per_pitch_command: d.pitch_command.cm_per_command,
        roll_asymmetry: roll_asymmetry(&d),
    };
    (core, stalled, d)
}

/// Rolling moment with sticks centred over what full command can do. Yaw
/// counts with the roll that the sideslip it settles at makes, so a
/// rudder-and-dihedral plane is judged alike.
#[must_use]
pub fn roll_asymmetry(d: &Derivatives) -> Option<f64> {
    let through_yaw = |cn: f64| {
        if d.cn_beta_per_rad > 1e-6 {
            -cn / d.cn_beta_per_rad * d.cl_roll_beta_per_rad
        } else {
            0.0
        }
    };
    let built_in = d.roll_moment_coefficient + through_yaw(d.yaw_moment_coefficient);
    let of = |c: &crate::derivatives::ControlPower| {
        c.cl_roll_per_command + through_yaw(c.cn_per_command)
    };
    let power = of(&d.roll_command).abs().max(of(&d.yaw_command).abs());
    (power > 1e-6).then(|| built_in / power)
}

/// Milder of two limits gives marginal, harder gives not yet.
fn graded(bad: bool, doubtful: bool) -> Option<Verdict> {
    if bad {
        Some(Verdict::NotYet)
    } else if doubtful {
        Some(Verdict::Marginal)
    } else {
        None
    }
}

/// What the rules say about one case. `powered`: it has a motor.
#[must_use]
pub fn judge(core: &Core, powered: bool) -> Vec<Finding> {
    let mut found = Vec::new();
    let margin = core.static_margin;
    // Written so that NaN is a fault.
    if let Some(v) = graded(!(margin >= 0.02), margin < 0.05) {
        found.push(Finding::new(
            v,
            Subject::Stability,
            format!(
                "it balances {:.0} mm behind the wing root's leading edge and the neutral point is at {:.0} mm: static margin {:.0} %, at least 5 % is wanted",
                core.balance_aft_m * 1e3,
                core.neutral_point_aft_m * 1e3,
                margin * 1e2
            ),
            "move the battery forward",
        ));
    } else if margin > 0.40 {
        found.push(Finding::new(
            Verdict::Marginal,
            Subject::Stability,
            format!("it is very nose-heavy: static margin {:.0} %", margin * 1e2),
            "move the battery aft",
        ));
    }
    if !(core.cm_per_pitch_command > 0.02) {
        let (why, what) = if core.cm_per_pitch_command < 0.0 {
            (
                "up on the stick pushes the nose down",
                "reverse the elevator servo",
            )
        } else {
            (
                "nothing answers the pitch stick",
                "give it an elevator, or more throw",
            )
        };
        found.push(Finding::new(
            Verdict::NotYet,
            Subject::PitchControl,
            why,
            what,
        ));
    } else if core.stall_speed_m_s.is_none() {
        found.push(Finding::new(
            Verdict::NotYet,
            Subject::Trim,
            "no angle of attack below the stall balances it within the elevator's travel",
            "check incidences and balance point against the drawing",
        ));
    } else if let Some(v) = graded(
        core.pitch_command.is_none_or(|p| p.abs() > 1.0),
        core.pitch_command.is_none_or(|p| p.abs() > 0.7),
    ) {
        let need = core
            .pitch_command
            .map_or("more than it has".into(), |p| format!("{:.0} %", p * 1e2));
        found.push(Finding::new(
            v,
            Subject::Trim,
            format!(
                "slow flight under power needs {need} of the elevator's travel (up is positive)"
            ),
            "change the tailplane's incidence or the downthrust until less elevator trims it",
        ));
    }
    if powered {
        let climb = core.climb_m_s.unwrap_or(f64::NEG_INFINITY);
        if core.minimum_level_speed_m_s.is_none() {
            found.push(Finding::new(
                Verdict::NotYet,
                Subject::Power,
                "at launch throttle it holds height at no speed",
                "fit a larger propeller or a stronger, fuller battery, or build lighter",
            ));
        } else if let Some(v) = graded(!(climb >= 0.5), climb < 1.0) {
            found.push(Finding::new(
                v,
                Subject::Power,
                format!("at launch throttle it climbs {climb:.1} m/s at best; 1 m/s is wanted"),
                "fit a larger propeller or a stronger, fuller battery, or build lighter",
            ));
        }
        if let Some(speed) = core.minimum_level_speed_m_s
            && let Some(v) = graded(!(speed <= THROWER_M_S[1]), speed > 7.5)
        {
            found.push(Finding::new(
                v,
                Subject::Release,
                format!(
                    "it holds height from {speed:.1} m/s; a thrower gives it {:.0} to {:.0} m/s",
                    THROWER_M_S[0], THROWER_M_S[1]
                ),
                "build lighter or add wing area; until then launch into a breeze",
            ));
        }
        if core.stall_speed_m_s.is_some()
            && let Some(v) = graded(
                false,
                core.hands_off_speed_m_s
                    .zip(core.stall_speed_m_s)
                    .is_none_or(|(v, s)| v < 1.02 * s),
            )
        {
            let why = core.hands_off_speed_m_s.map_or(
                "sticks centred it trims at no speed under launch throttle".into(),
                |s| {
                    format!(
                        "sticks centred it trims at {s:.1} m/s under launch throttle, at its stall"
                    )
                },
            );
            found.push(Finding::new(
                v,
                Subject::Trim,
                why,
                "trim a little elevator before the throw, or more downthrust",
            ));
        }
    }
    if !(core.cn_beta_per_rad > 0.0) {
        found.push(Finding::new(
            Verdict::NotYet,
            Subject::Yaw,
            "it does not turn into the wind: yaw stability is negative",
            "make the fin larger",
        ));
    }
    if let Some(roll) = core.roll_asymmetry
        && let Some(v) = graded(!(roll.abs() <= 0.6), roll.abs() > 0.3)
    {
        found.push(Finding::new(
            v,
            Subject::Roll,
            format!(
                "it is built to roll {}: holding it level in a glide takes {:.0} % of full stick",
                if roll > 0.0 { "right" } else { "left" },
                roll.abs() * 1e2
            ),
            "look along the wing from behind and take the twist out",
        ));
    }
    found
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
