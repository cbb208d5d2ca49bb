//! Rules that turn quantities into findings. Limits without a source are
//! common practice.

use crate::builder::{self, BalanceReport, LaunchReport, THROWER_M_S};
use crate::performance::PowerReport;
use crate::verdict::{Core, Finding, Subject, Verdict};

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
        && let Some(v) = graded(!(roll.abs() <= 0.5), roll.abs() > 0.15)
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

/// What the currents say.
pub(crate) fn current_finding(p: &PowerReport) -> Option<Finding> {
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

/// What the rehearsed throws say.
pub(crate) fn throw_findings(l: &LaunchReport) -> Vec<Finding> {
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
    let verdict = if !(bank.abs() <= 30.0) {
        Verdict::NotYet
    } else if bank.abs() > 10.0 {
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

/// Puts millimetres into the remedy for a bad balance.
pub(crate) fn say_how_far(findings: &mut [Finding], balance: Option<&BalanceReport>) {
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

/// What calculation cannot see.
pub(crate) fn check_by_hand(powered: bool) -> Vec<String> {
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
