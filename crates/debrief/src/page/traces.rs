//! The whole flight against time.

use larkfield_recording::Sample;

use super::flight::Flight;
use super::pictures::{DEG, figure, series, speed_caption, speed_chart, time_axis};
use crate::input::DebriefInput;
use crate::plot::{Axis, Chart, Ink, Level, Series, fixed};

/// Height of one of several pictures that share a heading.
const LOW: f64 = 128.0;

/// All traces.
pub(super) fn section(out: &mut String, input: &DebriefInput, flight: &Flight) {
    if flight.samples.is_empty() {
        return;
    }
    out.push_str(
        "<section aria-labelledby=\"traces\"><h2 id=\"traces\">The whole flight, second by \
         second</h2>\n<div class=\"figures\">\n",
    );
    let speed = speed_chart(input, flight, "speed", time_axis(flight));
    figure(
        out,
        "Speed through the air",
        &[speed.svg()],
        &speed_caption(flight),
    );
    stall(out, flight, "stall", time_axis(flight));
    sticks(out, flight);
    power(out, flight);
    wind(out, flight);
    out.push_str("</div></section>\n");
}

fn chart(flight: &Flight, id: &str, title: &str, y: Axis, lines: Vec<Series>) -> Chart {
    Chart {
        id: id.to_owned(),
        title: title.to_owned(),
        description: format!("{title} against time in seconds after release."),
        x: time_axis(flight),
        y,
        series: lines,
        bands: flight.busy(),
        marks: flight.marks(),
        ..Chart::default()
    }
}

/// Angle of attack and what is left to the stall, over the stretch of `x`.
pub(super) fn stall(out: &mut String, flight: &Flight, id: &str, x: Axis) {
    let mut margin = series(
        "left to the stall",
        Ink::Limit,
        flight.trace_free(|s| s.stall_margin_rad * DEG),
    );
    margin.mark_lowest = true;
    let alpha = series(
        "angle of attack",
        Ink::Main,
        flight.trace_free(|s| s.alpha_rad * DEG),
    );
    let y = Axis::new("", "degrees").holding(0.0);
    let title = "Angle of attack and stall margin";
    let stretch = x.range;
    let picture = Chart {
        x,
        ..chart(flight, id, title, y, vec![alpha, margin])
    };
    let least = flight
        .free()
        .iter()
        .filter(|s| stretch.is_none_or(|[_, end]| flight.at_s(s) <= end))
        .map(|s| s.stall_margin_rad * DEG)
        .filter(|m| m.is_finite())
        .fold(f64::INFINITY, f64::min);
    let caption = if !least.is_finite() {
        "How much of the wing's angle is used, and how much is left.".to_owned()
    } else if least < 0.0 {
        format!(
            "Somewhere the wing went {} degrees past its stall: let the nose down first, then \
             add power, then level the wings.",
            fixed(-least, 1)
        )
    } else {
        format!(
            "The wing came within {} degrees of its stall; at zero it lets go.",
            fixed(least, 1)
        )
    };
    figure(out, "Angle of attack and stall", &[picture.svg()], &caption);
}

fn sticks(out: &mut String, flight: &Flight) {
    let share = |name: &str| Axis::new(name, "% of travel").from_to(-100.0, 100.0);
    let pitch = Chart {
        size: [380.0, LOW],
        above: true,
        ..chart(
            flight,
            "stick-pitch",
            "Pitch stick",
            share("stick back +"),
            vec![series(
                "",
                Ink::Main,
                flight.trace(|s| 100.0 * s.stick_pitch),
            )],
        )
    };
    // Shown with the sign of what it does, so that stick and surface agree.
    let elevator = low_chart(
        flight,
        "elevator",
        "Elevator, trailing edge up positive",
        Axis::new("elevator, trailing edge up +", "degrees"),
        vec![series(
            "",
            Ink::Main,
            flight.trace(|s| -s.elevator_rad * DEG),
        )],
    );
    let caption = "Above zero means nose up, for the stick and for the surface. Where the surface \
                   does not follow the stick, look for the servo's speed, slop or trim. Shaded: \
                   the throwing hand is off its stick, which stays where it was left.";
    figure(
        out,
        "Pitch stick and elevator",
        &[pitch.svg(), elevator.svg()],
        caption,
    );

    let moved =
        |quantity: fn(&Sample) -> f64| flight.samples.iter().any(|s| quantity(s).abs() > 1e-6);
    let mut lines = Vec::new();
    if moved(|s| s.stick_roll) {
        lines.push(series(
            "roll",
            Ink::Main,
            flight.trace(|s| 100.0 * s.stick_roll),
        ));
    }
    if moved(|s| s.stick_yaw) {
        lines.push(series(
            "yaw",
            Ink::Limit,
            flight.trace(|s| 100.0 * s.stick_yaw),
        ));
    }
    first_is_main(&mut lines);
    let turn = Chart {
        size: [380.0, LOW],
        above: true,
        ..chart(
            flight,
            "stick-turn",
            "Roll and yaw sticks",
            share("stick right +"),
            lines,
        )
    };
    let mut lines = Vec::new();
    if moved(|s| s.aileron_rad) {
        lines.push(series(
            "aileron",
            Ink::Main,
            flight.trace(|s| s.aileron_rad * DEG),
        ));
    }
    if moved(|s| s.rudder_rad) {
        lines.push(series(
            "rudder",
            Ink::Limit,
            flight.trace(|s| -s.rudder_rad * DEG),
        ));
    }
    first_is_main(&mut lines);
    let mut surfaces = low_chart(
        flight,
        "turn-surfaces",
        "Rudder and aileron, right turn positive",
        Axis::new("surface, turning right +", "degrees").holding(0.0),
        lines,
    );
    surfaces.above = true;
    let bank = low_chart(
        flight,
        "bank",
        "Bank, right wing low positive",
        Axis::new("bank, right wing low +", "degrees").holding(0.0),
        vec![series("", Ink::Main, flight.trace(|s| s.bank_rad * DEG))],
    );
    let caption = "Above zero means to the right: stick, surface and the bank that follows. \
                   With rudder alone the bank comes late; use small inputs and wait.";
    let pictures = [turn.svg(), surfaces.svg(), bank.svg()];
    figure(out, "Turning: stick, surface, bank", &pictures, caption);
}

/// A line alone is the thing itself, whatever it would be beside another.
fn first_is_main(lines: &mut [Series]) {
    if let Some(first) = lines.first_mut() {
        first.ink = Ink::Main;
    }
}

fn low_chart(flight: &Flight, id: &str, title: &str, y: Axis, lines: Vec<Series>) -> Chart {
    Chart {
        size: [380.0, LOW - 14.0],
        below: true,
        ..chart(flight, id, title, y.holding(0.0), lines)
    }
}

fn power(out: &mut String, flight: &Flight) {
    let rpm = 30.0 / core::f64::consts::PI;
    let throttle = Chart {
        size: [380.0, LOW],
        above: true,
        ..chart(
            flight,
            "throttle",
            "Throttle stick",
            Axis::new("throttle", "%").from_to(0.0, 100.0),
            vec![series(
                "",
                Ink::Main,
                flight.trace(|s| 100.0 * s.stick_throttle),
            )],
        )
    };
    let mut speed = low_chart(
        flight,
        "propeller",
        "Propeller speed",
        Axis::new("propeller", "rpm / 1000"),
        vec![series(
            "",
            Ink::Main,
            flight.trace(|s| s.propeller_rad_s * rpm / 1000.0),
        )],
    );
    speed.above = true;
    let mut volts = series("", Ink::Main, flight.trace(|s| s.voltage_v));
    volts.mark_lowest = true;
    let battery = Chart {
        size: [380.0, LOW],
        below: true,
        ..chart(
            flight,
            "volts",
            "Battery voltage under load",
            Axis::new("battery", "V"),
            vec![volts],
        )
    };
    let top = flight
        .samples
        .iter()
        .map(|s| s.current_a)
        .filter(|a| a.is_finite())
        .fold(0.0, f64::max);
    let caption = format!(
        "Highest current {} A. Volts that fall while the stick stays still mean a tired or empty \
         battery.",
        fixed(top, 1)
    );
    let pictures = [throttle.svg(), speed.svg(), battery.svg()];
    figure(out, "Throttle, propeller, battery", &pictures, &caption);
}

fn wind(out: &mut String, flight: &Flight) {
    let speed = |s: &Sample| libm::hypot(s.wind_north_m_s, s.wind_east_m_s);
    let mut picture = chart(
        flight,
        "wind",
        "Wind at the plane",
        Axis::new("wind", "m/s").holding(0.0),
        vec![
            series("along the ground", Ink::Main, flight.trace(speed)),
            series("upward", Ink::Third, flight.trace(|s| s.wind_up_m_s)),
        ],
    );
    picture.levels = Vec::<Level>::new();
    let (mut least, mut most) = (f64::INFINITY, 0.0f64);
    for value in flight.samples.iter().map(speed).filter(|v| v.is_finite()) {
        least = least.min(value);
        most = most.max(value);
    }
    let caption = if least <= most {
        format!(
            "Between {} and {} m/s where the plane was. Wind is weaker near the ground, so speed \
             through the air falls off in the last metres of a descent.",
            fixed(least, 1),
            fixed(most, 1)
        )
    } else {
        "Not recorded.".to_owned()
    };
    figure(out, "Wind at the plane", &[picture.svg()], &caption);
}
