//! Radio files as the program writes them.

use std::fmt::Write;

use larkfield_pilot::{Axes, Hand, Steering, StickMode};
use larkfield_radio::{
    AxisMap, Function, Gimbal, Inputs, Link, SwitchJob, ThrottleStop, Transmitter, Trigger,
};

use super::SCHEMA;

/// The text of a radio file; read back, it gives the same radio, shares to a
/// hundredth of a percent and times to a hundredth of a millisecond.
pub fn write_radio(radio: &Transmitter) -> String {
    let mut out = String::new();
    let mut line = |text: String| {
        out += &text;
        out.push('\n');
    };
    line("(".into());
    line(format!("    schema: {SCHEMA},"));
    line(format!("    name: {},", quoted(&radio.name)));
    if let Some(device) = &radio.device {
        line(format!("    device: {},", quoted(device)));
    }
    line(format!("    mode: {},", mode_number(radio.mode)));
    if radio.throwing_hand == Hand::Left {
        line("    throws_with: Left,".into());
    }
    line(inputs(radio));
    if radio.throttle_stop == ThrottleStop::Centre {
        line("    throttle_stop: Centre,".into());
    }
    let trims = radio.trims;
    if trims != larkfield_pilot::Trims::default() {
        let trims = Axes {
            roll: trims.roll,
            pitch: trims.pitch,
            yaw: trims.yaw,
        };
        line(format!("    trims: {},", axes(&trims)));
    }
    line(shaping(radio));
    if let Some(steering) = radio.steering {
        let name = match steering {
            Steering::Ailerons => "Ailerons",
            Steering::Rudder => "Rudder",
        };
        line(format!("    steering: {name},"));
    }
    if !radio.switches.is_empty() {
        line("    switches: [".into());
        for switch in &radio.switches {
            line(format!(
                "        (does: {}, when: {}),",
                job(switch.job),
                trigger(&switch.trigger)
            ));
        }
        line("    ],".into());
    }
    if radio.link != Link::default() {
        line(link(&radio.link));
    }
    line(")".into());
    out
}

/// The number of a mode.
fn mode_number(mode: StickMode) -> u8 {
    match mode {
        StickMode::Mode1 => 1,
        StickMode::Mode2 => 2,
        StickMode::Mode3 => 3,
        StickMode::Mode4 => 4,
    }
}

fn inputs(radio: &Transmitter) -> String {
    let mut out = String::new();
    // Writing to a text cannot fail.
    match &radio.inputs {
        Inputs::Sticks { .. } => {
            out += "    inputs: Sticks(\n";
            for (gimbal, name) in [
                (Gimbal::LeftAcross, "left_across"),
                (Gimbal::LeftAlong, "left_along"),
                (Gimbal::RightAcross, "right_across"),
                (Gimbal::RightAlong, "right_along"),
            ] {
                let axis = radio.axis(gimbal.function(radio.mode));
                let (code, ends) = (axis.code, ends(axis));
                let _ = writeln!(out, "        {name}: (axis: \"{code}\", {ends}),");
            }
        }
        Inputs::Channels { order, .. } => {
            out += "    inputs: Channels(\n";
            let _ = writeln!(out, "        order: \"{}\",", order.letters());
            for function in Function::ALL {
                let ends = ends(radio.axis(function));
                let _ = writeln!(out, "        {}: ({ends}),", function.name());
            }
        }
    }
    out + "    ),"
}

fn ends(axis: &AxisMap) -> String {
    format!(
        "from: \"{}\", centre: \"{}\", to: \"{}\", noise: \"{}\"",
        percent(axis.from),
        percent(axis.centre),
        percent(axis.to),
        percent(axis.noise)
    )
}

fn axes(axes: &Axes) -> String {
    format!(
        "(roll: \"{}\", pitch: \"{}\", yaw: \"{}\")",
        percent(axes.roll),
        percent(axes.pitch),
        percent(axes.yaw)
    )
}

fn shaping(radio: &Transmitter) -> String {
    let Some(shaping) = &radio.shaping else {
        return "    shaping: AlreadyInRadio,".to_owned();
    };
    let mut out = "    shaping: Here(\n".to_owned();
    for (name, given) in [
        ("rates", shaping.rates.as_ref()),
        ("second_rates", shaping.second_rates.as_ref()),
        ("expo", Some(&shaping.expo)),
    ] {
        if let Some(given) = given {
            let _ = writeln!(out, "        {name}: {},", axes(given));
        }
    }
    if shaping.rudder_from_aileron != 0.0 {
        let share = percent(shaping.rudder_from_aileron);
        let _ = writeln!(out, "        rudder_from_aileron: \"{share}\",");
    }
    out + "    ),"
}

fn job(job: SwitchJob) -> &'static str {
    match job {
        SwitchJob::ThrottleCut => "ThrottleCut",
        SwitchJob::SecondRates => "SecondRates",
        SwitchJob::Throw => "Throw",
        SwitchJob::Again => "Again",
        SwitchJob::InstructorPowerLoss => "InstructorPowerLoss",
        SwitchJob::InstructorGust => "InstructorGust",
    }
}

fn trigger(trigger: &Trigger) -> String {
    match trigger {
        Trigger::Held(code) => format!("Held(\"{code}\")"),
        Trigger::Toggled(code) => format!("Toggled(\"{code}\")"),
        Trigger::Above(code, limit) => format!("Above(\"{code}\", \"{}\")", percent(*limit)),
        Trigger::Below(code, limit) => format!("Below(\"{code}\", \"{}\")", percent(*limit)),
    }
}

fn link(link: &Link) -> String {
    let milliseconds = |time_s: f64| format!("\"{} ms\"", (time_s * 1e5).round() / 100.0);
    format!(
        "    link: (latency: {}, frame: {}, steps: {}, fail_safe_after: {}),",
        milliseconds(link.latency_s),
        milliseconds(link.frame_s),
        link.steps,
        milliseconds(link.fail_safe_after_s)
    )
}

/// A share with its unit.
fn percent(share: f64) -> String {
    // The sum takes the sign from a zero.
    format!("{} %", (share * 1e4).round() / 100.0 + 0.0)
}

/// A text in quotes, as the format has them.
fn quoted(text: &str) -> String {
    let plain: String = (text.chars())
        .filter(|c| !c.is_control())
        .flat_map(|c| {
            let escape = matches!(c, '"' | '\\').then_some('\\');
            escape.into_iter().chain([c])
        })
        .collect();
    format!("\"{plain}\"")
}
