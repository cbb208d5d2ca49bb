//! The report in words, for a terminal.

use std::fmt::Write;

use crate::modes::{Mode, ModeKind};
use crate::preflight::Preflight;
use crate::verdict::Verdict;

/// A heading and aligned lines.
struct Page(String);

impl Page {
    fn heading(&mut self, text: &str) {
        let _ = writeln!(self.0, "\n{text}");
    }

    fn line(&mut self, what: &str, value: &str) {
        let _ = writeln!(self.0, "  {what:<38} {value}");
    }

    fn number(&mut self, what: &str, value: f64, decimals: usize, unit: &str) {
        self.line(what, &format!("{value:>9.decimals$} {unit}"));
    }

    fn maybe(&mut self, what: &str, value: Option<f64>, decimals: usize, unit: &str) {
        match value {
            Some(v) => self.number(what, v, decimals, unit),
            None => self.line(what, "     none"),
        }
    }
}

/// Writes the report.
#[must_use]
pub fn report_text(p: &Preflight) -> String {
    let mut page = Page(String::new());
    let _ = writeln!(page.0, "Preflight of {}", p.name);
    if !p.build_note.is_empty() {
        let _ = writeln!(page.0, "The file notes: {}", p.build_note);
    }
    mass_and_sizes(&mut page, p);
    power(&mut page, p);
    flight(&mut page, p);
    stability(&mut page, p);
    builder(&mut page, p);
    spread(&mut page, p);
    if !p.assumed.is_empty() {
        page.heading("Assumed, because the file does not say");
        for a in &p.assumed {
            page.line(&a.field, &format!("assumed {} ({})", a.value, a.reason));
        }
    }
    verdict(&mut page, p);
    page.0
}

fn mass_and_sizes(page: &mut Page, p: &Preflight) {
    let m = &p.mass;
    page.heading("Mass and balance (lengths aft of the wing root's leading edge)");
    let from = |measured: bool| if measured { "measured" } else { "sum of parts" };
    page.line(
        "flying mass",
        &format!("{:>9.0} g   {}", m.mass_kg * 1e3, from(m.mass_is_measured)),
    );
    if m.mass_is_measured {
        page.number("sum of the parts", m.summed_mass_kg * 1e3, 0, "g");
    }
    page.line(
        "balance point",
        &format!(
            "{:>9.1} mm  {}",
            m.balance_aft_m * 1e3,
            from(m.balance_is_measured)
        ),
    );
    if m.balance_is_measured {
        page.number(
            "balance of the parts",
            m.summed_balance_aft_m * 1e3,
            1,
            "mm",
        );
    }
    page.number("balance to the right", m.balance_right_m * 1e3, 1, "mm");
    page.number("inertia in roll", m.inertia_roll_kg_m2 * 1e3, 2, "g m2");
    page.number("inertia in pitch", m.inertia_pitch_kg_m2 * 1e3, 2, "g m2");
    page.number("inertia in yaw", m.inertia_yaw_kg_m2 * 1e3, 2, "g m2");
    for part in &m.parts {
        page.line(
            &format!("  {}", part.name),
            &format!(
                "{:>9.1} g   at {:.0} mm",
                part.mass_kg * 1e3,
                part.aft_m * 1e3
            ),
        );
    }
    let s = &p.sizes;
    page.heading("Sizes");
    page.number("wing span", s.wing.span_m * 1e3, 0, "mm");
    page.number("wing area", s.wing.area_m2 * 1e2, 2, "dm2");
    page.number("mean aerodynamic chord", s.wing.mean_chord_m * 1e3, 1, "mm");
    page.number("aspect ratio", s.wing.aspect_ratio, 2, "");
    page.number("wing loading", s.wing_loading_kg_m2 * 10.0, 1, "g/dm2");
    page.maybe(
        "tailplane area",
        s.tailplane.map(|t| t.area_m2 * 1e2),
        2,
        "dm2",
    );
    page.maybe("fin area", s.fin.map(|t| t.area_m2 * 1e2), 2, "dm2");
    page.maybe("tail volume", s.tail_volume, 3, "");
    page.maybe("fin volume", s.fin_volume, 4, "");
}

fn power(page: &mut Page, p: &Preflight) {
    let Some(w) = &p.power else { return };
    page.heading("Power at rest, full throttle, battery as charged");
    page.line(
        "static thrust",
        &format!(
            "{:>9.2} N   {}",
            w.static_thrust_n,
            if w.measured_static_thrust_n.is_some() {
                "matched to the measured one"
            } else {
                "calculated"
            }
        ),
    );
    page.number("thrust to weight", w.thrust_to_weight, 2, "");
    page.number("propeller speed", w.static_rpm, 0, "rpm");
    page.number("battery current", w.static_current_a, 1, "A");
    page.number("battery voltage", w.static_voltage_v, 2, "V");
    page.line(
        "limits",
        &format!(
            "motor {:.1} A, controller {:.1} A, battery {:.1} A; worst load {:.0} %",
            w.motor_limit_a,
            w.controller_limit_a,
            w.battery_limit_a,
            w.worst_load * 1e2
        ),
    );
}

fn flight(page: &mut Page, p: &Preflight) {
    page.heading("Flight, calm air, away from the ground");
    match &p.stall {
        Some(s) => {
            page.number("stall speed, motor off", s.speed_m_s, 1, "m/s");
            page.number("largest lift coefficient", s.lift_coefficient, 2, "");
            if s.elevator_limited {
                page.line("", "the elevator, not the wing, sets that speed");
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
            "  elevator (up positive)",
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
    page.maybe(
        "fastest level flight looked at",
        f.maximum_level_speed_m_s,
        1,
        "m/s",
    );
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

fn stability(page: &mut Page, p: &Preflight) {
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

fn builder(page: &mut Page, p: &Preflight) {
    page.heading("For the builder");
    if let Some(l) = &p.launch {
        page.number("launch throttle", l.throttle * 1e2, 0, "%");
        page.maybe(
            "release speed needed, calm air",
            l.needed_release_speed_m_s,
            1,
            "m/s",
        );
        page.line(
            "a thrower gives it",
            &format!(
                "    {:.0} to {:.0} m/s (common practice, no source)",
                crate::builder::THROWER_M_S[0],
                crate::builder::THROWER_M_S[1]
            ),
        );
        let window = match (l.pitch_window_low_deg, l.pitch_window_high_deg) {
            (Some(low), Some(high)) => format!("{low:>6.1} to {high:.1} deg"),
            _ => "     none".into(),
        };
        page.line(
            &format!("nose angles that hold at {:.1} m/s", l.release_speed_m_s),
            &window,
        );
        page.number(
            "bank after 1 s, sticks left alone",
            l.bank_at_1s_deg,
            0,
            "deg, right positive",
        );
    }
    page.maybe(
        "most wind for a first flight",
        p.wind_limit_m_s,
        1,
        "m/s (common practice, no source)",
    );
    if let Some(b) = &p.balance {
        page.line(
            "balance between",
            &format!(
                "{:>9.0} and {:.0} mm",
                b.fore_limit_m * 1e3,
                b.aft_limit_m * 1e3
            ),
        );
        if let Some(d) = b.move_battery_aft_m {
            page.line(
                "battery to the middle of that",
                &format!(
                    "{:>9.0} mm {}",
                    d.abs() * 1e3,
                    if d < 0.0 { "forward" } else { "aft" }
                ),
            );
        }
    }
}

fn spread(page: &mut Page, p: &Preflight) {
    page.heading("If the measurements are a little off");
    let _ = writeln!(
        page.0,
        "  {:<38} {:>8} {:>8} {:>8} {:>8}",
        "", "margin", "stall", "level", "climb"
    );
    let cell = |v: Option<f64>| v.map_or("none".into(), |v| format!("{v:.1}"));
    for c in &p.spread {
        let _ = writeln!(
            page.0,
            "  {:<38} {:>6.1} % {:>8} {:>8} {:>8}",
            c.case,
            c.static_margin * 1e2,
            cell(c.stall_speed_m_s),
            cell(c.minimum_level_speed_m_s),
            cell(c.climb_m_s)
        );
    }
    let _ = writeln!(
        page.0,
        "  (speeds in m/s; level and climb at launch throttle)"
    );
}

fn verdict(page: &mut Page, p: &Preflight) {
    page.heading("Verdict");
    let reasons = |page: &mut Page| {
        for f in &p.findings {
            let _ = writeln!(page.0, "  - because {}: {}.", f.because, f.remedy);
        }
    };
    match p.verdict {
        Verdict::NotYet => {
            let _ = writeln!(page.0, "  Not yet:");
            reasons(page);
        }
        Verdict::Marginal => {
            let _ = writeln!(page.0, "  Marginal, it may or may not fly well:");
            reasons(page);
        }
        Verdict::NoFaultFound => {
            let _ = writeln!(
                page.0,
                "  No fault found by calculation; check these by hand:"
            );
        }
    }
    if p.verdict != Verdict::NoFaultFound {
        let _ = writeln!(page.0, "  When that is mended, check by hand:");
    }
    for check in &p.check_by_hand {
        let _ = writeln!(page.0, "  [ ] {check}");
    }
}
