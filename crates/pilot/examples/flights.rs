//! Flies scripted pilots round the circuit and prints how it went, for tuning.
//!
//! flights PLANE PILOT WIND FROM_DEG FIRST COUNT [trace]

#[path = "../tests/support/mod.rs"]
mod support;

use larkfield_pilot::ScriptedPilot;
use support::{Flight, Plane, breeze, circuit, whole_flight};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let plane = Plane::shipped(&arguments[0]);
    let wind_m_s: f64 = arguments[2].parse().unwrap();
    let from = arguments[3].parse::<f64>().unwrap().to_radians();
    let first: u64 = arguments[4].parse().unwrap();
    let count: u64 = arguments[5].parse().unwrap();
    let trace = arguments.get(6).is_some_and(|a| a == "trace");
    let mut circuit = circuit();
    if plane.feel.undercarriage == larkfield_pilot::Undercarriage::Skids {
        circuit.landing_heading_rad = from;
    }
    let mut good = 0;
    for seed in first..first + count {
        let task = plane.task(&whole_flight(circuit.height_m), circuit);
        let pilot = match arguments[1].as_str() {
            "competent" => ScriptedPilot::competent(task, seed),
            "beginner" => ScriptedPilot::beginner(task, seed),
            _ => ScriptedPilot::hands_off(task),
        };
        let flight = Flight::new(&plane, breeze(wind_m_s, from, seed), seed);
        let flown = flight.fly(pilot);
        if trace {
            support::print_trace::<()>(&flown, &[]);
        }
        let (sine, cosine) = circuit.landing_heading_rad.sin_cos();
        let Some(touch) = flown.touch else {
            println!("{seed:4} no touch");
            continue;
        };
        let (dn, de) = (
            touch.position_m.x - circuit.touch_north_m,
            touch.position_m.y - circuit.touch_east_m,
        );
        let (along, across) = (dn * cosine + de * sine, de * cosine - dn * sine);
        let broken: Vec<String> = flown
            .blows
            .iter()
            .filter(|(part, blow)| {
                plane
                    .airframe
                    .break_limits
                    .iter()
                    .any(|l| l.part == *part && *blow > l.impulse_n_s)
            })
            .map(|(part, blow)| format!("{part:?} {blow:.2}"))
            .collect();
        let inside =
            along.abs() <= circuit.box_half_length_m && across.abs() <= circuit.box_half_width_m;
        let ok = inside
            && broken.is_empty()
            && flown.disarmed_s.is_some()
            && touch.controls.throttle < 0.05;
        good += u32::from(ok);
        let track = touch.velocity_m_s.y.atan2(touch.velocity_m_s.x);
        println!(
            "{seed:4} {} t{:5.1} touch along{along:6.1} across{across:6.1} sink{:5.2} V{:4.1} gs{:4.1} pitch{:5.1} bank{:5.1} hdg{:5.0} drift{:5.0} thr{:4.2} disarmed {:?} {broken:?}",
            if ok { "ok " } else { "BAD" },
            touch.time_s,
            touch.velocity_m_s.z,
            touch.airspeed_m_s,
            touch.velocity_m_s.x.hypot(touch.velocity_m_s.y),
            touch.pitch_rad.to_degrees(),
            touch.bank_rad.to_degrees(),
            touch.heading_rad.to_degrees(),
            (track - touch.heading_rad).to_degrees(),
            touch.controls.throttle,
            flown.disarmed_s,
        );
    }
    println!("{good} of {count}");
}
