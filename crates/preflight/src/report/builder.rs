//! What a builder asks: throw, balance, surfaces, wheels.

use crate::gear::Arrangement;
use crate::preflight::Preflight;

use super::Page;

pub(super) fn builder(page: &mut Page, p: &Preflight) {
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
            (Some(low), Some(high)) => {
                let at_least = |limit: bool, word: &'static str| if limit { word } else { "" };
                format!(
                    "{}{low:>6.1} to {}{high:.1} deg",
                    at_least(l.pitch_window_low_is_limit_of_search, "at most "),
                    at_least(l.pitch_window_high_is_limit_of_search, "at least "),
                )
            }
            _ => "     none".into(),
        };
        page.line(
            &format!("nose angles that hold at {:.1} m/s", l.release_speed_m_s),
            &window,
        );
        if let Some(delay_s) = l.power_after_release_s {
            page.line(
                "power after release, never before",
                &format!("{delay_s:>9.1} s (the propeller is behind the hand)"),
            );
        }
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
    if let Some(h) = &p.hand {
        page.number(
            "hand to the nearest blade",
            h.grip_to_propeller_m * 1e3,
            0,
            "mm",
        );
    }
    mixed_surfaces(page, p);
    gear(page, p);
}

/// What one surface does for two sticks.
fn mixed_surfaces(page: &mut Page, p: &Preflight) {
    let layout = &p.layout;
    if !(layout.elevons || layout.v_tail) {
        return;
    }
    let (Some(rest), Some(travel)) = (layout.pitch_rest_up_rad, layout.pitch_travel_rad) else {
        return;
    };
    let name = layout.pitch_surface();
    page.number(
        &format!("{name} at rest, up positive"),
        rest.to_degrees(),
        1,
        "deg",
    );
    if let Some(glide) = p.spread.first().and_then(|c| c.glide_pitch_command) {
        page.number(
            &format!("{name} in a slow glide"),
            (rest + glide * travel).to_degrees(),
            1,
            "deg",
        );
    }
    page.number(
        &format!("{name} for full pitch stick, each way"),
        travel.to_degrees(),
        1,
        "deg",
    );
}

fn gear(page: &mut Page, p: &Preflight) {
    let Some(g) = &p.gear else { return };
    page.heading("On its wheels, springs not pressed");
    page.line(
        "stands",
        match g.arrangement {
            Arrangement::NoseWheel => "     on a nose wheel and two main wheels",
            Arrangement::TailDragger => "     on two main wheels and its tail",
        },
    );
    page.number("nose up", g.attitude_deg, 1, "deg");
    if let Some(clearance) = g.propeller_clearance_m {
        page.number("propeller over the ground", clearance * 1e3, 0, "mm");
    }
    page.number(
        "main wheels behind the balance point",
        g.main_wheels_aft_of_balance_m * 1e3,
        0,
        "mm",
    );
    page.number(
        match g.arrangement {
            Arrangement::NoseWheel => "weight on the nose wheel",
            Arrangement::TailDragger => "weight on the tail",
        },
        g.third_point_share * 1e2,
        0,
        "%",
    );
    page.number("track", g.track_m * 1e3, 0, "mm");
    page.number("turnover angle", g.turnover_deg, 0, "deg, at most 63");
    page.maybe(
        "tail touches when turned up by",
        g.tail_touches_deg,
        0,
        "deg",
    );
    if g.arrangement == Arrangement::NoseWheel {
        page.maybe(
            "full up elevator lifts the nose from",
            g.lifts_nose_from_m_s,
            1,
            "m/s",
        );
    }
}
