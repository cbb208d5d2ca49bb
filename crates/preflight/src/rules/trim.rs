//! Rules about pitch: does the stick work, is there a trim, and how much of
//! the travel does it take with and without power.

use crate::layout::Layout;
use crate::verdict::{Core, Finding, Subject, Verdict};

use super::graded;

/// Share of the travel that trim may take before it is doubtful (common
/// practice, no source: the rest is for flying).
const DOUBTFUL_SHARE: f64 = 0.35;
/// Change of that share by power before the thrust line is doubtful (common
/// practice, no source).
const DOUBTFUL_BY_POWER: f64 = 0.25;

pub(super) fn findings(core: &Core, layout: &Layout) -> Vec<Finding> {
    if !(core.cm_per_pitch_command > 0.02) {
        let (why, what) = if core.cm_per_pitch_command < 0.0 {
            (
                "up on the stick pushes the nose down".to_owned(),
                format!("reverse the {} servo", layout.pitch_surface()),
            )
        } else {
            (
                "nothing answers the pitch stick".to_owned(),
                "give it an elevator, or more throw".to_owned(),
            )
        };
        return vec![Finding::new(
            Verdict::NotYet,
            Subject::PitchControl,
            why,
            what,
        )];
    }
    if core.stall_speed_m_s.is_none() {
        return vec![Finding::new(
            Verdict::NotYet,
            Subject::Trim,
            format!(
                "no angle of attack below the stall balances it within the travel of the {}",
                layout.pitch_surface()
            ),
            "check incidences and balance point against the drawing",
        )];
    }
    let mut found = Vec::new();
    found.extend(glide(core, layout));
    if layout.powered {
        // A bad trim shows with and without power: told once.
        let glides_badly = !found.is_empty();
        found.extend((under_power(core, layout).into_iter()).filter(|f| {
            !(glides_badly && f.subject == Subject::Trim && f.verdict != Verdict::NotYet)
        }));
    }
    found
}

/// Trim without power is a matter of incidences, reflex and balance.
fn glide(core: &Core, layout: &Layout) -> Option<Finding> {
    let pitch = core.glide_pitch_command;
    let verdict = graded(
        pitch.is_none_or(|p| !(p.abs() <= 0.8)),
        pitch.is_none_or(|p| p.abs() > DOUBTFUL_SHARE),
    )?;
    let surface = layout.pitch_surface();
    let (Some(pitch), Some(travel_rad)) = (pitch, layout.pitch_travel_rad) else {
        return Some(Finding::new(
            verdict,
            Subject::Trim,
            format!("it glides at 1.3 times its stall speed with no setting of the {surface}"),
            "check incidences and balance point against the drawing",
        ));
    };
    let up = pitch > 0.0;
    let because = format!(
        "gliding at 1.3 times its stall speed takes {:.0} % of the travel of the {surface}, {}",
        pitch.abs() * 1e2,
        if up { "up" } else { "down" }
    );
    let change_deg = (pitch * travel_rad).to_degrees();
    let remedy = if layout.tailless {
        let rest_deg = layout.pitch_rest_up_rad.unwrap_or(0.0).to_degrees();
        let stand = |deg: f64| {
            if deg >= 0.0 {
                format!("{deg:.0} deg up")
            } else {
                format!("{:.0} deg down", -deg)
            }
        };
        format!(
            "check the balance point first; then let the {surface} rest {} instead of {} with the stick centred: a wing without a tail is held up by its reflex",
            stand(rest_deg + change_deg),
            stand(rest_deg)
        )
    } else {
        // A hinge of a third of the chord does half of what turning the whole
        // plate does (thin aerofoil theory, and what real air leaves of it).
        format!(
            "check the balance point first; then turn the tailplane's leading edge {} by about {:.0} deg",
            if up { "down" } else { "up" },
            (0.5 * change_deg.abs()).max(1.0)
        )
    };
    Some(Finding::new(verdict, Subject::Trim, because, remedy))
}

/// What power adds is a matter of the thrust line.
fn under_power(core: &Core, layout: &Layout) -> Vec<Finding> {
    let surface = layout.pitch_surface();
    let tilt = |nose_up: bool| match (layout.pusher, nose_up) {
        (false, true) => "give the motor more downthrust",
        (false, false) => "give the motor less downthrust",
        (true, true) => {
            "let the shaft's line pass farther above the balance point: less downthrust, or a higher motor"
        }
        (true, false) => {
            "let the shaft's line pass nearer to the balance point: more downthrust, or a lower motor"
        }
    };
    let mut found = Vec::new();
    if let Some(verdict) = graded(
        core.pitch_command.is_none_or(|p| !(p.abs() <= 1.0)),
        core.pitch_command.is_none_or(|p| p.abs() > 0.7),
    ) {
        let need = core
            .pitch_command
            .map_or("more than it has".into(), |p| format!("{:.0} %", p * 1e2));
        found.push(Finding::new(
            verdict,
            Subject::Trim,
            format!(
                "slow flight under power needs {need} of the travel of the {surface} (up is positive)"
            ),
            "change incidences or the thrust line until less trims it",
        ));
        return found;
    }
    let by_power = (core.pitch_command)
        .zip(core.glide_pitch_command)
        .map(|(power, glide)| power - glide);
    if let Some(change) = by_power.filter(|c| c.abs() > DOUBTFUL_BY_POWER) {
        let nose_up = change < 0.0;
        found.push(Finding::new(
            Verdict::Marginal,
            Subject::ThrustLine,
            format!(
                "launch throttle pushes the nose {}: holding it takes {:.0} % of the travel of the {surface} more {}",
                if nose_up { "up" } else { "down" },
                change.abs() * 1e2,
                if nose_up { "down" } else { "up" }
            ),
            tilt(nose_up),
        ));
        return found;
    }
    let at_stall = core
        .hands_off_speed_m_s
        .zip(core.stall_speed_m_s)
        .is_none_or(|(v, s)| !(v >= 1.02 * s));
    if at_stall {
        let why = core.hands_off_speed_m_s.map_or(
            "sticks centred it trims at no speed under launch throttle".into(),
            |s| {
                format!("sticks centred it trims at {s:.1} m/s under launch throttle, at its stall")
            },
        );
        // It glides at a sound speed, so the motor does it.
        let by_motor = by_power.is_some_and(|change| change < -0.1);
        found.push(if by_motor {
            Finding::new(
                Verdict::Marginal,
                Subject::ThrustLine,
                format!("{why}, though it glides well: the throttle lifts its nose"),
                tilt(true),
            )
        } else {
            Finding::new(
                Verdict::Marginal,
                Subject::Trim,
                why,
                format!(
                    "trim a little with the {surface} before the throw, or change the thrust line"
                ),
            )
        });
    }
    found
}
