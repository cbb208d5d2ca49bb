//! The whole calculation, in the order it is reported.

use larkfield_airframe::{Airframe, Geometry};
use larkfield_flight::{AirProperties, FlightModel, FlightModelError};
use serde::Serialize;

use crate::bench::{Bench, Case, Condition};
use crate::builder::{self, BalanceReport, LaunchReport};
use crate::cases::spread_cases;
use crate::derivatives::{Derivatives, ReferenceSizes, derivatives};
use crate::envelope::{level_at, sweep};
use crate::gear::{GearReport, gear, gear_findings};
use crate::hand::{HandReport, hand, hand_finding};
use crate::layout::Layout;
use crate::modes::{Mode, modes};
use crate::performance::{
    GlideReport, PerformanceReport, PowerReport, glide, launch_throttle, levels, performance,
    power_report,
};
use crate::rules::{self, check_by_hand, current_finding, say_how_far, throw_findings};
use crate::sizes::{MassReport, SizesReport};
use crate::trim::{Guess, Path, Stall, Trim, trim};
use crate::verdict::{self, Core, Finding, Verdict};

/// What to calculate for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Speed of the derivatives; `None`: cruise.
    pub design_speed_m_s: Option<f64>,
    /// Release speed of the pitch window.
    pub release_speed_m_s: f64,
    /// Height of the hand at release.
    pub release_height_m: f64,
    /// Throttle of the launch; `None`: the lowest that climbs well.
    pub launch_throttle: Option<f64>,
}

impl Default for Options {
    /// A throw of 6 m/s from 1.8 m (common practice, no source).
    fn default() -> Self {
        Self {
            design_speed_m_s: None,
            release_speed_m_s: 6.0,
            release_height_m: 1.8,
            launch_throttle: None,
        }
    }
}

/// Why nothing can be calculated.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PreflightError {
    /// The flight model refuses the airframe.
    #[error(transparent)]
    Model(#[from] FlightModelError),
    /// No panel of kind wing.
    #[error("the aeroplane has no wing; give at least one panel the kind Wing")]
    NoWing,
    /// An option out of range.
    #[error("{what} must be between {low} and {high}, not {value}")]
    BadOption {
        /// Which.
        what: &'static str,
        /// Given.
        value: f64,
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
    },
}

/// A value that a default stands for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AssumedValue {
    /// Field of the file.
    pub field: String,
    /// Value with its unit.
    pub value: String,
    /// Where it comes from.
    pub reason: String,
}

/// Everything that was calculated.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Preflight {
    /// Version of this form of output.
    pub schema: u32,
    /// Name of the airframe.
    pub name: String,
    /// What the builder says is wrong with it.
    pub build_note: String,
    /// Density of the air.
    pub air_density_kg_m3: f64,
    /// Defaults that stand for values not given.
    pub assumed: Vec<AssumedValue>,
    /// What kind of aeroplane it is.
    pub layout: Layout,
    /// Mass and balance.
    pub mass: MassReport,
    /// Areas, spans, volumes, loading.
    pub sizes: SizesReport,
    /// Power train at rest; `None` for a glider.
    pub power: Option<PowerReport>,
    /// Stall in straight flight, motor off.
    pub stall: Option<Stall>,
    /// Neutral point, motor off, at 1.3 times the stall speed.
    pub neutral_point_aft_m: f64,
    /// Static margin there.
    pub static_margin: f64,
    /// Static margin in level flight under power.
    pub powered_static_margin: Option<f64>,
    /// Glide.
    pub glide: Option<GlideReport>,
    /// Powered flight.
    pub performance: PerformanceReport,
    /// Derivatives at the design speed, at level trim where there is one.
    pub derivatives: Derivatives,
    /// Modes at cruise, or at the glide when cruise cannot be held.
    pub modes: Vec<Mode>,
    /// Speed of the modes.
    pub modes_speed_m_s: Option<f64>,
    /// Limits of the balance point; `None` when no stall speed was found.
    pub balance: Option<BalanceReport>,
    /// Standing on wheels; `None` without.
    pub gear: Option<GearReport>,
    /// Hand and propeller; `None` for a glider.
    pub hand: Option<HandReport>,
    /// The throw; `None` for a glider.
    pub launch: Option<LaunchReport>,
    /// Strongest wind of a first flight.
    pub wind_limit_m_s: Option<f64>,
    /// Core quantities as described and over the spread.
    pub spread: Vec<Core>,
    /// Reasons, worst first.
    pub findings: Vec<Finding>,
    /// Verdict.
    pub verdict: Verdict,
    /// What calculation cannot see.
    pub check_by_hand: Vec<String>,
}

fn in_range(what: &'static str, value: f64, low: f64, high: f64) -> Result<(), PreflightError> {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(PreflightError::BadOption {
            what,
            value,
            low,
            high,
        })
    }
}

/// Calculates everything.
///
/// # Errors
/// When the airframe has no wing or cannot be flown at all, or an option is
/// out of range. A bad aeroplane is no error; it gets a verdict.
pub fn preflight(
    airframe: &Airframe,
    air: AirProperties,
    options: &Options,
) -> Result<Preflight, PreflightError> {
    in_range("release speed", options.release_speed_m_s, 1.0, 30.0)?;
    in_range("release height", options.release_height_m, 0.3, 10.0)?;
    in_range(
        "launch throttle",
        options.launch_throttle.unwrap_or(1.0),
        0.0,
        1.0,
    )?;
    in_range(
        "design speed",
        options.design_speed_m_s.unwrap_or(8.0),
        2.0,
        60.0,
    )?;
    let geometry = Geometry::of(airframe).ok_or(PreflightError::NoWing)?;
    let sizes = ReferenceSizes::of(airframe).ok_or(PreflightError::NoWing)?;
    let model = FlightModel::new(airframe, air)?;
    let mass = model.mass().clone();
    let mut bench = Bench::new(&model, Case::NOMINAL);
    let powered = model.power().is_some();
    let layout = Layout::of(airframe);

    let stall = crate::trim::stall(&mut bench, sizes.area_m2, None);
    let level_by_throttle = levels(&mut bench, sizes.chord_m, stall.as_ref());
    let throttle = options
        .launch_throttle
        .unwrap_or_else(|| launch_throttle(&level_by_throttle));
    let (nominal, _, at_glide) = verdict::core(
        &mut bench,
        "as described",
        &sizes,
        throttle,
        stall.map(|s| s.speed_m_s),
    );

    let glide_sweep = stall.map_or_else(Vec::new, |s| {
        sweep(&mut bench, sizes.chord_m, &s, 0.0, Path::Straight)
    });
    let climb_sweep = stall.map_or_else(Vec::new, |s| {
        sweep(&mut bench, sizes.chord_m, &s, throttle, Path::Straight)
    });
    let cruise = stall
        .filter(|_| powered)
        .and_then(|s| level_at(&mut bench, sizes.chord_m, 1.4 * s.speed_m_s));
    let performance = performance(&model, &level_by_throttle, &climb_sweep, cruise.as_ref());
    let reference = cruise.or_else(|| {
        let s = stall?;
        let speed = 1.4 * s.speed_m_s;
        trim(
            &mut bench,
            sizes.chord_m,
            speed,
            0.0,
            Path::Straight,
            Guess::default(),
        )
    });
    let derivatives = at_design_speed(&mut bench, &sizes, options, reference.as_ref(), powered);
    let powered_static_margin = cruise
        .map(|t| crate::derivatives::derivatives(&mut bench, &t.condition, sizes).static_margin);
    let modes_found = reference.map_or_else(Vec::new, |t| modes(&mut bench, &t));

    let slow = stall.and_then(|s| {
        let speed = 1.15 * s.speed_m_s;
        trim(
            &mut bench,
            sizes.chord_m,
            speed,
            0.0,
            Path::Straight,
            Guess::default(),
        )
    });
    let balance = stall.map(|s| {
        builder::balance(
            &mut bench,
            &sizes,
            at_glide.neutral_point_aft_m,
            &s,
            slow.as_ref(),
        )
    });
    let launch = powered.then(|| {
        builder::launch(
            &model,
            throttle,
            nominal.minimum_level_speed_m_s,
            options.release_speed_m_s,
            options.release_height_m,
        )
    });

    let power = model
        .power()
        .map(|p| power_report(airframe, p, mass.mass_kg));
    let mut findings = rules::judge(&nominal, &layout);
    findings.extend(power.as_ref().and_then(current_finding));
    findings.extend(rules::surface_findings(airframe, &at_glide));
    let gear = gear(airframe, &mut bench, stall.map(|s| s.speed_m_s), throttle);
    let hand = hand(airframe);
    findings.extend(hand.as_ref().and_then(hand_finding));
    findings.extend((gear.iter()).flat_map(|g| gear_findings(g, stall.map(|s| s.speed_m_s))));
    findings.extend(launch.as_ref().map(throw_findings).into_iter().flatten());
    let mut spread = vec![nominal];
    let mut faults = Vec::new();
    for (name, core) in spread_cases(
        airframe,
        air,
        &model,
        &sizes,
        throttle,
        stall.map(|s| s.speed_m_s),
    ) {
        faults.push((name, rules::judge(&core, &layout)));
        spread.push(core);
    }
    let mut findings = verdict::join(findings, faults);
    say_how_far(&mut findings, balance.as_ref());
    let verdict = verdict::worst(&findings);

    Ok(Preflight {
        schema: 1,
        name: airframe.name.clone(),
        build_note: airframe.build_note.clone(),
        air_density_kg_m3: air.density_kg_m3,
        assumed: (airframe.assumed.iter())
            .map(|a| AssumedValue {
                field: a.field.clone(),
                value: a.value.clone(),
                reason: a.reason.clone(),
            })
            .collect(),
        layout,
        mass: MassReport::of(airframe, &mass),
        sizes: SizesReport::of(airframe, &geometry, mass.mass_kg),
        power,
        stall,
        neutral_point_aft_m: at_glide.neutral_point_aft_m,
        static_margin: at_glide.static_margin,
        powered_static_margin,
        glide: glide(&glide_sweep),
        wind_limit_m_s: stall.map(|s| {
            let fast = cruise.map_or(1.4 * s.speed_m_s, |t| t.condition.speed_m_s);
            builder::wind_limit_m_s(s.speed_m_s, fast)
        }),
        performance,
        derivatives,
        modes: modes_found,
        modes_speed_m_s: reference.map(|t| t.condition.speed_m_s),
        balance,
        gear,
        hand,
        launch,
        spread,
        findings,
        verdict,
        check_by_hand: check_by_hand(&layout),
    })
}

fn at_design_speed(
    bench: &mut Bench<'_>,
    sizes: &ReferenceSizes,
    options: &Options,
    reference: Option<&Trim>,
    powered: bool,
) -> Derivatives {
    let wanted = options.design_speed_m_s;
    let condition = match (wanted, reference) {
        (None, Some(t)) => t.condition,
        _ => {
            let speed = wanted.unwrap_or(8.0);
            let level = if powered {
                level_at(bench, sizes.chord_m, speed)
            } else {
                None
            };
            level
                .or_else(|| {
                    trim(
                        bench,
                        sizes.chord_m,
                        speed,
                        0.0,
                        Path::Straight,
                        Guess::default(),
                    )
                })
                .map_or(Condition::straight(speed, 0.07, 0.0, 0.0), |t| t.condition)
        }
    };
    derivatives(bench, &condition, *sizes)
}
