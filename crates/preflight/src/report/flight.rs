//! Performance, stability and modes in words.

use std::fmt::Write;

use crate::modes::{Mode, ModeKind};
use crate::preflight::Preflight;

use super::Page;

pub(super) fn flight(page: &mut Page, p: &Preflight) {
    page.heading("Flight, calm air, away from the ground");
    match &p.stall {
        Some(s) => {
            page.number("stall speed, motor off", s.speed_m_s, 1, "m/s");
            page.number("largest lift coefficient", s.lift_coefficient, 2, "");
            if s.elevator_limited {
                page.line(
                    "",
                    &format!(
                        "the {}, not the wing, sets that speed",
                        p.layout.pitch_surface()
                    ),
                );
            }
        }
        None => page.line("stall speed", "     none: it cannot be trimmed"),
    }
    if let Some(g) = &p.glide {
        page.number("best glide ratio", g.best_ratio, 1, "");
        page.number("  at", g.best_speed_m_s, 1, "m/s");
        page.number("least sink", g.least_sink_m_s, 2, "m/s");
        page.maybe(
            "sticks centred, motor off, it trims at",
            g.hands_off_speed_m_s,
            1,
            "m/s",
        );
    }
    if p.power.is_none() {
        return;
    }
    let f = &p.performance;
    page.maybe(
        "sticks centred, launch throttle",
        f.hands_off_speed_m_s,
        1,
        "m/s",
    );
    if let Some(c) = &f.cruise {
        page.number("cruise", c.speed_m_s, 1, "m/s");
        page.number("  throttle", c.throttle * 1e2, 0, "%");
        page.number(
            &format!("  {} (up positive)", p.layout.pitch_surface()),
            c.pitch_command * 1e2,
            0,
            "% of travel",
        );
        page.number("  battery current", c.current_a, 1, "A");
    }
    page.maybe(
        "endurance at cruise, 80 % of charge",
        f.endurance_s.map(|s| s / 60.0),
        0,
        "min",
    );
    if let Some(c) = &f.best_climb {
        page.number("best climb at launch throttle", c.climb_m_s, 1, "m/s");
        page.number("  at", c.speed_m_s, 1, "m/s");
        page.number("  climb angle", c.climb_angle_deg, 0, "deg");
    }
    match &f.maximum_level_speed {
        Some(top) if top.is_limit_of_search => page.line(
            "fastest level flight",
            &format!("at least {:.1} m/s", top.speed_m_s),
        ),
        top => page.maybe("fastest level flight", top.map(|t| t.speed_m_s), 1, "m/s"),
    }
    page.line("throttle", "lowest level speed");
    for row in &f.minimum_level_speed {
        page.maybe(
            &format!("  {:>3.0} %", row.throttle * 1e2),
            row.minimum_speed_m_s,
            1,
            "m/s",
        );
    }
}

pub(super) fn stability(page: &mut Page, p: &Preflight) {
    page.heading("Stability");
    page.number(
        "neutral point, motor off",
        p.neutral_point_aft_m * 1e3,
        1,
        "mm",
    );
    page.number(
        "static margin, motor off",
        p.static_margin * 1e2,
        1,
        "% of mean chord",
    );
    page.maybe(
        "static margin, cruise",
        p.powered_static_margin.map(|m| m * 1e2),
        1,
        "% of mean chord",
    );
    let d = &p.derivatives;
    page.line(
        "derivatives at",
        &format!(
            "{:.1} m/s, angle of attack {:.1} deg, throttle {:.0} %; per rad, pb/2V, qc/2V, rb/2V, body axes",
            d.speed_m_s,
            d.alpha_rad.to_degrees(),
            d.throttle * 1e2
        ),
    );
    for row in [
        [
            ("CL alpha", d.cl_lift_alpha_per_rad),
            ("Cm alpha", d.cm_alpha_per_rad),
            ("CL q", d.cl_lift_q),
            ("Cm q", d.cm_q),
        ],
        [
            ("CY beta", d.cy_beta_per_rad),
            ("Cl beta", d.cl_roll_beta_per_rad),
            ("Cn beta", d.cn_beta_per_rad),
            ("Cl p", d.cl_roll_p),
        ],
        [
            ("Cn p", d.cn_p),
            ("Cl r", d.cl_roll_r),
            ("Cn r", d.cn_r),
            ("CL", d.lift_coefficient),
        ],
    ] {
        let cells: Vec<String> = row
            .iter()
            .map(|(n, v)| format!("{n:<8} {v:>8.3}"))
            .collect();
        let _ = writeln!(page.0, "    {}", cells.join("   "));
    }
    for (name, c) in [
        ("full pitch command", &d.pitch_command),
        ("full roll command", &d.roll_command),
        ("full yaw command", &d.yaw_command),
    ] {
        if c.deflection_rad_per_command.is_some() {
            let _ = writeln!(
                page.0,
                "    {name:<20} CL {:>7.3}  Cl {:>7.3}  Cm {:>7.3}  Cn {:>7.3}",
                c.cl_lift_per_command, c.cl_roll_per_command, c.cm_per_command, c.cn_per_command
            );
        }
    }
    for mode in &p.modes {
        page.line(mode_name(mode.kind), &mode_words(mode));
    }
}

fn mode_name(kind: ModeKind) -> &'static str {
    match kind {
        ModeKind::Phugoid => "phugoid",
        ModeKind::ShortPeriod => "short period",
        ModeKind::DutchRoll => "Dutch roll",
        ModeKind::Roll => "roll",
        ModeKind::Spiral => "spiral",
        ModeKind::LateralPhugoid => "roll and spiral joined",
        ModeKind::PitchSubsidence => "pitch without oscillation",
    }
}

fn mode_words(m: &Mode) -> String {
    let mut words = Vec::new();
    if let Some(t) = m.period_s {
        words.push(format!("period {t:.2} s"));
    }
    if let Some(t) = m.time_to_half_s {
        words.push(format!("halves in {t:.2} s"));
    }
    if let Some(t) = m.time_to_double_s {
        words.push(format!("doubles in {t:.2} s"));
    }
    words.join(", ")
}
