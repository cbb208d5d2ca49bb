//! What currents, throws and gear say, how far to move things, and what
//! calculation cannot see.

use crate::builder::{self, BalanceReport, LaunchReport};
use crate::layout::Layout;
use crate::performance::PowerReport;
use crate::verdict::{Finding, Subject, Verdict};

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
            if l.power_after_release_s.is_some() {
                "throw into a breeze, or run a few steps: the power comes only after the hand is clear"
            } else {
                "throw into a breeze, or give it more throttle"
            },
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
        "look along wing and fin from behind, take out what is crooked, and check the side thrust",
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
pub(crate) fn check_by_hand(layout: &Layout) -> Vec<String> {
    let mut list: Vec<String> = vec![
        "balance it on two fingertips at the balance point given here, battery in".into(),
        "each stick moves its surface the right way, by the measured travel, and centres again"
            .into(),
    ];
    if layout.elevons || layout.v_tail {
        list.push(format!(
            "the {} answer {} one by one: stick back moves both {}, stick to the right {}",
            layout.pitch_surface(),
            if layout.elevons {
                "pitch and roll"
            } else {
                "pitch and yaw"
            },
            if layout.elevons { "up" } else { "up together" },
            if layout.elevons {
                "moves the right one up and the left one down"
            } else {
                "moves the right one down and the left one up"
            },
        ));
    }
    if layout.powered {
        list.push(
            "bench work is done with the battery disconnected or the propeller off; a spinning propeller cuts"
                .into(),
        );
    }
    list.extend(
        [
            if layout.tailless {
                "the wing is straight, untwisted but for its washout, and both sides are alike when seen from behind and from above"
            } else {
                "wing and tail are straight, untwisted and square when seen from behind and from above"
            },
            "hinges, horns, screws and wing fastening hold a firm tug",
        ]
        .map(str::to_owned),
    );
    if layout.wheels {
        list.push(
            "pushed over the ground by hand, propeller off, it rolls freely and straight, and the wheel that steers turns the right way"
                .into(),
        );
    }
    list.extend(
        [
            "radio range, and the motor stops when the transmitter is switched off",
            "local rules, the club's customs, and nobody in front of or under the launch",
        ]
        .map(str::to_owned),
    );
    if layout.powered {
        list.push("the propeller is the right way round, undamaged, and blows backward".into());
    }
    if layout.pusher {
        list.push(
            "the motor stays stopped until the hand is clear of the propeller behind it: throttle shut and throttle cut on up to the throw"
                .into(),
        );
    }
    list
}
