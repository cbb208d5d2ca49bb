//! The report in words, for a terminal.

mod builder;
mod flight;

use std::fmt::Write;

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
    flight::flight(&mut page, p);
    flight::stability(&mut page, p);
    builder::builder(&mut page, p);
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
    // A plane without a tail has no tail volume; it is judged by its static
    // margin and yaw stiffness like any other.
    let area = |t: crate::sizes::SurfaceReport| t.area_m2 * 1e2;
    for (what, value, decimals, unit) in [
        ("tailplane area", s.tailplane.map(area), 2, "dm2"),
        ("fin area", s.fin.map(area), 2, "dm2"),
        ("area of the end plates", s.end_plates.map(area), 2, "dm2"),
        ("tail volume", s.tail_volume, 3, ""),
        ("fin volume", s.fin_volume, 4, ""),
    ] {
        if let Some(value) = value {
            page.number(what, value, decimals, unit);
        }
    }
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
