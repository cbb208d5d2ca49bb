//! Flies shipped lessons without an engine and prints how far each came.
//!
//! lessons LESSON PLANE|- WIND|- PILOT FIRST COUNT [trace]

#[path = "../tests/support/mod.rs"]
mod support;

use std::collections::BTreeMap;
use std::path::Path;

use larkfield_files::{field::load_field, lesson::load_lesson, wind::load_wind};
use larkfield_lesson::{Conditions, Referee, Watch};
use larkfield_pilot::{Launch, PilotKind, RadioSetup, ScriptedPilot};
use larkfield_recording::{EventKind, FlightStage};
use larkfield_weather::Wind;
use support::{Begin, Flight, Plane};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let lesson_path = root.join(format!("assets/lessons/{}.ron", arguments[0]));
    let mut lesson = load_lesson(&lesson_path).unwrap();
    let own = |given: &str, own: &str| {
        if given == "-" {
            Path::new(own)
                .file_stem()
                .unwrap()
                .to_string_lossy()
                .into_owned()
        } else {
            given.to_owned()
        }
    };
    let mut plane = Plane::shipped(&own(&arguments[1], &lesson.airframe));
    let wind_name = own(&arguments[2], &lesson.wind);
    let wind_file = load_wind(&root.join(format!("assets/winds/{wind_name}.ron"))).unwrap();
    let field = load_field(&lesson_path.parent().unwrap().join(&lesson.field)).unwrap();
    lesson.pilot = if arguments[3] == "beginner" {
        PilotKind::Beginner
    } else {
        PilotKind::Competent
    };
    let first: u64 = arguments[4].parse().unwrap();
    let count: u64 = arguments[5].parse().unwrap();
    let trace = arguments.get(6).is_some();
    let mut ends: BTreeMap<String, u32> = BTreeMap::new();
    if let Launch::Throw(throw) = &mut lesson.launch
        && plane.airframe.power.as_ref().is_some_and(|p| p.pusher)
    {
        *throw = plane.throw();
    }
    plane.feel = larkfield_preflight::plane_feel(&plane.model, lesson.launch.throttle());
    let mut good = 0;
    for seed in first..first + count {
        let wind = Wind::new(&wind_file.over_field(&field), seed).unwrap();
        let conditions =
            Conditions::of(&wind, &plane.airframe, lesson.place(), lesson.time_limit_s);
        let radio = RadioSetup::for_airframe(&plane.airframe);
        let task = lesson.task(&field, &conditions, radio.steering, plane.feel);
        let circuit = task.circuit;
        let start = lesson
            .air_start
            .and_then(|start| start.place(lesson.frame(&field, &conditions).as_ref()));
        let pilot = if arguments[3] == "beginner" {
            ScriptedPilot::beginner(task, seed)
        } else {
            ScriptedPilot::competent(task, seed)
        };
        let mut flight = Flight::new(&plane, wind, seed);
        flight.length_s = lesson.time_limit_s;
        flight.trim_error = lesson.trim_error;
        flight.begin = match (&lesson.launch, start) {
            (_, Some((place, heading))) => Begin::Flying([
                place.x,
                place.y,
                -place.z,
                heading,
                plane.feel.level_speed_m_s,
            ]),
            (Launch::Throw(throw), None) => {
                flight.throw = *throw;
                Begin::Thrown
            }
            (Launch::Ground(start), None) => {
                Begin::Standing([start.north_m, start.east_m, start.heading_rad])
            }
        };
        let feet = glam::DVec3::new(-0.5, -0.5, 0.0);
        flight.eyes_m = lesson.pilot_eyes_m(&field, feet);
        let mut referee = Referee::new(&lesson, &field, feet, &conditions);
        let mut events = Vec::new();
        let limits = &plane.airframe.break_limits;
        let flown = flight.fly_watched(pilot, |m, held, blows| {
            let broken = blows.iter().any(|(part, blow)| {
                limits
                    .iter()
                    .any(|l| l.part == *part && *blow > l.impulse_n_s)
            });
            let new = referee.watch(&Watch {
                time_s: m.time_s,
                stage: if held {
                    FlightStage::InHand
                } else if m.touching
                    || (matches!(flight.begin, Begin::Standing(_)) && m.time_s < 0.1)
                {
                    FlightStage::Ground
                } else {
                    FlightStage::Free
                },
                position_m: m.position_m,
                velocity_m_s: m.velocity_m_s,
                stalled_share: m.stalled,
                broken,
                bank_rad: m.bank_rad,
                pitch_rad: m.pitch_rad,
                heading_rad: m.heading_rad,
                stall_margin_rad: m.stall_margin_rad,
                thrust_n: m.thrust_n,
                stick_roll: m.message.sticks.roll,
                stick_pitch: m.message.sticks.pitch,
                stick_yaw: m.message.sticks.yaw,
                stick_throttle: m.message.sticks.throttle,
                throttle_cut: m.message.switches.throttle_cut,
                ..Watch::default()
            });
            let dies = new.iter().any(|e| matches!(e, EventKind::PowerLost));
            events.extend(new.into_iter().map(|e| (m.time_s, e)));
            (dies, referee.has_ended())
        });
        if trace {
            support::print_trace(&flown, &events);
        }
        let phases: Vec<String> = events
            .iter()
            .filter_map(|(t, e)| match e {
                EventKind::PhaseDone { phase } => Some(format!("{phase}@{t:.0}")),
                _ => None,
            })
            .collect();
        let end = events
            .iter()
            .find_map(|(_, e)| match e {
                EventKind::Ended { reason } => Some(format!("{reason:?}")),
                _ => None,
            })
            .unwrap_or_default();
        let ok = phases.len() == lesson.phases.len();
        good += u32::from(ok);
        *ends.entry(format!("{} | {end}", phases.len())).or_default() += 1;
        if !ok || trace {
            let touch = flown.touch.map(|t| {
                let c = circuit.unwrap_or(larkfield_pilot::Circuit::around_launch_point(0.0, larkfield_pilot::Side::Right));
                let (s, k) = c.landing_heading_rad.sin_cos();
                let (dn, de) = (t.position_m.x - c.touch_north_m, t.position_m.y - c.touch_east_m);
                format!("touch along {:.1} across {:.1} sink {:.2} hdg {:.0} pitch {:.0} bank {:.0} t {:.1}", dn * k + de * s, de * k - dn * s, t.velocity_m_s.z, t.heading_rad.to_degrees(), t.pitch_rad.to_degrees(), t.bank_rad.to_degrees(), t.time_s)
            });
            println!(
                "{seed} {} {} | {end} | {touch:?}",
                phases.len(),
                phases.last().cloned().unwrap_or_default()
            );
        }
    }
    println!(
        "{} {} {} {}: {good} of {count} {ends:?}",
        arguments[0], arguments[1], arguments[2], arguments[3]
    );
}
