//! What the set-up of the hinged surfaces says: which way the sticks turn the
//! plane, and how much play their linkages have.

use larkfield_airframe::Airframe;

use crate::derivatives::{ControlPower, Derivatives};
use crate::verdict::{Finding, Subject, Verdict};

/// Most play of the trailing edge (wmac.org.nz, Pre Field Checklist).
const PLAY_M: f64 = 0.0016;
/// Play in angle that is let pass however deep the surface is.
const PLAY_RAD: f64 = 0.035;
/// Play beyond which a plane hunts whatever the pilot does (common practice,
/// no source).
const HUNTING_RAD: f64 = 0.14;

/// Findings about sticks and linkages.
pub(crate) fn surface_findings(airframe: &Airframe, d: &Derivatives) -> Vec<Finding> {
    let mut found = play(airframe);
    found.extend(sticks(airframe, d));
    found
}

fn play(airframe: &Airframe) -> Vec<Finding> {
    let worst = (airframe.controls.iter())
        .filter_map(|c| {
            let panel = airframe.panels.get(c.panel)?;
            let chord_m = panel.stations.first()?.chord_m * c.flap_fraction_from;
            let play_m = 2.0 * chord_m * libm::sin(0.5 * c.servo.slop_rad);
            (play_m > PLAY_M && c.servo.slop_rad > PLAY_RAD).then_some((c, play_m))
        })
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((control, play_m)) = worst else {
        return Vec::new();
    };
    vec![Finding::new(
        if control.servo.slop_rad > HUNTING_RAD {
            Verdict::NotYet
        } else {
            Verdict::Marginal
        },
        Subject::Linkage,
        format!(
            "the trailing edge of {} moves {:.1} mm by its play, {:.0} deg from end to end; at most 1.6 mm is wanted",
            control.name,
            play_m * 1e3,
            control.servo.slop_rad.to_degrees()
        ),
        "take the play out of horns, push rods and hinges",
    )]
}

fn sticks(airframe: &Airframe, d: &Derivatives) -> Vec<Finding> {
    let mut found = Vec::new();
    let has = |of: fn(&larkfield_airframe::ControlMix) -> f64| {
        airframe.controls.iter().any(|c| of(&c.mix) != 0.0)
    };
    let mut say = |because: &str, remedy: &str| {
        found.push(Finding::new(
            Verdict::NotYet,
            Subject::Sticks,
            because,
            remedy,
        ));
    };
    // Written so that NaN is a fault.
    if has(|m| m.roll) {
        let c: &ControlPower = &d.roll_command;
        if !(c.cl_roll_per_command > 0.0) {
            say(
                "the roll stick to the right rolls it left, or not at all",
                "reverse the servos that roll it, and check the plugs of left and right",
            );
        }
        if d.pitch_command.cl_roll_per_command.abs() > c.cl_roll_per_command.abs() {
            say(
                "the pitch stick rolls it more than the roll stick does",
                "one servo of a mixed pair turns the wrong way: reverse it",
            );
        }
    }
    if has(|m| m.yaw) && !(d.yaw_command.cn_per_command > 0.0) {
        say(
            "the yaw stick to the right turns the nose left, or not at all",
            "reverse the rudder servo",
        );
    }
    found
}
