//! The whole calculation, in the order it is reported.

use larkfield_airframe::{Airframe, Geometry, MassProperties};
use larkfield_flight::power::PowerModel;
use larkfield_flight::{AirProperties, FlightModel, FlightModelError};
use serde::Serialize;

use crate::bench::{Bench, Case, Condition, GRAVITY_M_S2};
use crate::builder::{self, BalanceReport, LaunchReport};
use crate::derivatives::{Derivatives, ReferenceSizes, derivatives};
use crate::envelope::{
    LevelSpeed, PathPoint, hands_off_speed_m_s, level_at, maximum_level_speed_m_s,
    minimum_level_speed_m_s, sweep,
};
use crate::modes::{Mode, modes};
use crate::sizes::{MassReport, SizesReport};
use crate::trim::{Guess, Path, Stall, Trim, trim};
use crate::verdict::{self, Core, Finding, Subject, Verdict};

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
    /// Fastest level speed at full throttle, as far as looked.
    pub maximum_level_speed_m_s: Option<f64>,
    /// Best climb at launch throttle.
    pub best_climb: Option<PathPoint>,
    /// Speed that sticks centred trim at launch throttle.
    pub hands_off_speed_m_s: Option<f64>,
    /// Level flight at 1.4 times the stall speed: cruise.
    pub cruise: Option<PathPoint>,
    /// Time that four fifths of the charge last at cruise.
    pub endurance_s: Option<f64>,
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

    let stall = crate::trim::stall(&mut bench, sizes.area_m2);
    let level_by_throttle = levels(&mut bench, sizes.chord_m, stall.as_ref());
    let throttle = options
        .launch_throttle
        .unwrap_or_else(|| launch_throttle(&level_by_throttle));
    let (nominal, _, at_glide) = verdict::core(&mut bench, "as described", &sizes, throttle);

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
            options.release_speed_m_s,
            options.release_height_m,
        )
    });

    let power = model
        .power()
        .map(|p| power_report(airframe, p, mass.mass_kg));
    let mut findings = verdict::judge(&nominal, powered);
    findings.extend(power.as_ref().and_then(current_finding));
    findings.extend(launch.as_ref().map(throw_findings).into_iter().flatten());
    let mut spread = vec![nominal];
    let mut faults = Vec::new();
    for (name, core) in spread_cases(airframe, air, &model, &sizes, throttle) {
        faults.push((name, verdict::judge(&core, powered)));
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
        mass: MassReport::of(airframe, &mass),
        sizes: SizesReport::of(&geometry, mass.mass_kg),
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
        launch,
        spread,
        findings,
        verdict,
        check_by_hand: check_by_hand(powered),
    })
}

/// Level sweeps at throttles 0, 0.1 to 1.
fn levels(bench: &mut Bench<'_>, chord_m: f64, stall: Option<&Stall>) -> Vec<(f64, Vec<Trim>)> {
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
fn launch_throttle(levels: &[(f64, Vec<Trim>)]) -> f64 {
    (levels.iter())
        .filter(|(throttle, _)| *throttle >= 0.5)
        .find(|(_, sweep)| sweep.iter().any(|t| t.climb_m_s() >= 1.5))
        .map_or(1.0, |(throttle, _)| *throttle)
}

fn performance(
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
        maximum_level_speed_m_s: (levels.last())
            .and_then(|(_, sweep)| maximum_level_speed_m_s(sweep)),
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

fn glide(sweep: &[Trim]) -> Option<GlideReport> {
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

fn power_report(airframe: &Airframe, model: &PowerModel, mass_kg: f64) -> PowerReport {
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

fn current_finding(p: &PowerReport) -> Option<Finding> {
    let verdict = if !(p.worst_load <= 1.0) {
        Verdict::NotYet
    } else if p.worst_load > 0.95 {
        Verdict::Marginal
    } else {
        return None;
    };
    Some(Finding::new(
        verdict,
        Subject::Current,
        format!(
            "full throttle draws {:.1} A, {:.0} % of what the weakest of motor ({:.1} A), controller ({:.1} A) and battery ({:.1} A) stands",
            p.static_current_a,
            p.worst_load * 1e2,
            p.motor_limit_a,
            p.controller_limit_a,
            p.battery_limit_a
        ),
        "fit a smaller or flatter propeller, or stronger parts",
    ))
}

fn throw_findings(l: &LaunchReport) -> Vec<Finding> {
    let mut found = Vec::new();
    match l.needed_release_speed_m_s {
        None => found.push(Finding::new(
            Verdict::NotYet,
            Subject::Release,
            format!(
                "no rehearsed throw up to 10 m/s at {:.0} % throttle keeps its height for three seconds without stalling",
                l.throttle * 1e2
            ),
            "see to the other faults first: power, balance, weight",
        )),
        Some(v) if v > builder::THROWER_M_S[1] => found.push(Finding::new(
            Verdict::NotYet,
            Subject::Release,
            format!("it needs a release at {v:.1} m/s, more than a thrower has"),
            "build lighter, or fit more power",
        )),
        Some(v) if v > l.release_speed_m_s + 0.75 => found.push(Finding::new(
            Verdict::Marginal,
            Subject::Release,
            format!("it needs a release at {v:.1} m/s; {:.1} m/s is an easy throw", l.release_speed_m_s),
            "throw into a breeze, or give it more throttle",
        )),
        Some(_) => {}
    }
    let bank = l.bank_at_1s_deg;
    let verdict = if !(bank.abs() <= 45.0) {
        Verdict::NotYet
    } else if bank.abs() > 25.0 {
        Verdict::Marginal
    } else {
        return found;
    };
    found.push(Finding::new(
        verdict,
        Subject::Roll,
        format!(
            "one second after release, sticks left alone, it has banked {:.0} degrees to the {}",
            bank.abs(),
            if bank > 0.0 { "right" } else { "left" }
        ),
        "look along the wing from behind, take the twist out, and check the side thrust",
    ));
    found
}

/// The plane again with what a builder cannot measure better.
fn spread_cases(
    airframe: &Airframe,
    air: AirProperties,
    model: &FlightModel,
    sizes: &ReferenceSizes,
    throttle: f64,
) -> Vec<(String, Core)> {
    let case = |balance: f64, mass: f64, thrust: f64| Case {
        balance_shift_aft_m: balance,
        mass_factor: mass,
        thrust_factor: thrust,
    };
    let mut cases = vec![
        ("the balance 3 mm farther aft", case(0.003, 1.0, 1.0)),
        ("the balance 3 mm farther forward", case(-0.003, 1.0, 1.0)),
        ("2 % more mass", case(0.0, 1.02, 1.0)),
        ("2 % less mass", case(0.0, 0.98, 1.0)),
    ];
    if model.power().is_some() {
        cases.push(("15 % less thrust", case(0.0, 1.0, 0.85)));
        cases.push(("15 % more thrust", case(0.0, 1.0, 1.15)));
    }
    let mut found = Vec::new();
    for (name, case) in cases {
        let mut bench = Bench::new(model, case);
        let (core, ..) = verdict::core(&mut bench, name, sizes, throttle);
        found.push((name.to_owned(), core));
    }
    let balance_x_m = MassProperties::of(airframe).cg_m.x;
    for (name, degrees) in [
        ("1 degree more incidence of the wing", 1.0_f64),
        ("1 degree less incidence of the wing", -1.0),
    ] {
        let mut turned = airframe.clone();
        for panel in &mut turned.panels {
            if panel.kind == larkfield_airframe::SurfaceKind::Wing {
                for station in &mut panel.stations {
                    station.incidence_rad += degrees.to_radians();
                }
            }
        }
        // Turning the sheet must not move the balance point.
        turned.measured.balance_x_m = Some(balance_x_m);
        if let Ok(model) = FlightModel::new(&turned, air) {
            let mut bench = Bench::new(&model, Case::NOMINAL);
            let (core, ..) = verdict::core(&mut bench, name, sizes, throttle);
            found.push((name.to_owned(), core));
        }
    }
    found
}

/// Puts millimetres into the remedy for a bad balance.
fn say_how_far(findings: &mut [Finding], balance: Option<&BalanceReport>) {
    let Some(b) = balance else { return };
    for f in findings {
        if f.subject == Subject::Stability {
            let to = format!(
                "to balance between {:.0} and {:.0} mm",
                b.fore_limit_m * 1e3,
                b.aft_limit_m * 1e3
            );
            f.remedy = match b.move_battery_aft_m {
                Some(d) => format!(
                    "move the battery {:.0} mm {} {to}",
                    d.abs() * 1e3,
                    if d < 0.0 { "forward" } else { "aft" }
                ),
                None => format!("shift weight {to}"),
            };
        }
    }
}

fn check_by_hand(powered: bool) -> Vec<String> {
    let mut list: Vec<String> = [
        "balance it on two fingertips at the balance point given here, battery in",
        "each stick moves its surface the right way, by the measured travel, and centres again",
        "wing and tail are straight, untwisted and square when seen from behind and from above",
        "hinges, horns, screws and wing fastening hold a firm tug",
        "radio range, and the motor stops when the transmitter is switched off",
        "local rules, the club's customs, and nobody in front of or under the launch",
    ]
    .into_iter()
    .map(str::to_owned)
    .collect();
    if powered {
        list.insert(
            2,
            "bench work is done with the battery disconnected or the propeller off; a spinning propeller cuts"
                .into(),
        );
        list.push("the propeller is the right way round, undamaged, and blows backward".into());
    }
    list
}
