//! The mapping of a radio drawn: in a terminal and as a picture.

mod svg;
mod text;

pub use svg::mapping_svg;
pub use text::mapping_text;

use larkfield_pilot::{Axes, Steering, StickMode};

use crate::{Function, ThrottleStop, Transmitter, Trigger};

/// The number of a mode.
pub fn mode_number(mode: StickMode) -> u8 {
    match mode {
        StickMode::Mode1 => 1,
        StickMode::Mode2 => 2,
        StickMode::Mode3 => 3,
        StickMode::Mode4 => 4,
    }
}

/// What stays unchecked, said wherever a mapping is shown.
pub const UNCHECKED: &str = "Which way the servos of the real plane move is not checked by this: \
                             check every surface at the plane, on the ground, by eye.";

/// Everything that is set beside the sticks, line by line.
fn notes(radio: &Transmitter) -> Vec<String> {
    let mut notes = Vec::new();
    notes.push(match radio.throttle_stop {
        ThrottleStop::LowEnd => "Throttle: shut toward you.".to_owned(),
        ThrottleStop::Centre => "Throttle: shut in the middle and toward you.".to_owned(),
    });
    match &radio.shaping {
        None => notes.push("Rates, expo, trims: in the radio; none added here.".to_owned()),
        Some(shaping) => {
            notes.push(match &shaping.rates {
                Some(rates) => format!("Rates: {}.", axes(rates)),
                None => {
                    "Rates: 75 % roll and pitch, 100 % yaw; without ailerons 100 % roll.".to_owned()
                }
            });
            if let Some(rates) = &shaping.second_rates {
                notes.push(format!("Second rates: {}.", axes(rates)));
            }
            notes.push(format!("Expo: {}.", axes(&shaping.expo)));
            if shaping.rudder_from_aileron != 0.0 {
                notes.push(format!(
                    "Rudder from aileron: {}.",
                    percent(shaping.rudder_from_aileron)
                ));
            }
        }
    }
    notes.push(
        match radio.steering {
            None => "Aileron stick: moves the ailerons, or the rudder of a plane without.",
            Some(Steering::Ailerons) => "Aileron stick: always moves the ailerons.",
            Some(Steering::Rudder) => "Aileron stick: always moves the rudder.",
        }
        .to_owned(),
    );
    let trims = &radio.trims;
    if [trims.roll, trims.pitch, trims.yaw] != [0.0; 3] {
        notes.push(format!(
            "Trims: {} right, {} nose up, {} nose right.",
            percent(trims.roll),
            percent(trims.pitch),
            percent(trims.yaw)
        ));
    }
    for switch in &radio.switches {
        let when = match switch.trigger {
            Trigger::Held(code) => format!("while {code} is held"),
            Trigger::Toggled(code) => format!("from one press of {code} to the next"),
            Trigger::Above(code, limit) => format!("while {code} is above {}", percent(limit)),
            Trigger::Below(code, limit) => format!("while {code} is below {}", percent(limit)),
        };
        notes.push(format!("Switch, {}: {when}.", switch.job.name()));
    }
    let link = &radio.link;
    notes.push(format!(
        "Link: {:.0} ms, a frame every {:.0} ms, {} steps; fail-safe: motor off after {:.1} s.",
        link.latency_s * 1e3,
        link.frame_s * 1e3,
        link.steps,
        link.fail_safe_after_s
    ));
    notes
}

fn axes(axes: &Axes) -> String {
    format!(
        "{} roll, {} pitch, {} yaw",
        percent(axes.roll),
        percent(axes.pitch),
        percent(axes.yaw)
    )
}

fn percent(share: f64) -> String {
    let tenths = (share * 1e3).round() / 10.0 + 0.0;
    format!("{tenths} %")
}

/// What a function does, at the end of its stick that is right or away.
fn answer(function: Function) -> &'static str {
    match function {
        Function::Aileron => "rolls right",
        Function::Elevator => "nose down",
        Function::Throttle => "more power",
        Function::Rudder => "yaws right",
    }
}
