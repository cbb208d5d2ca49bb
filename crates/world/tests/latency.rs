//! From a device's event to the surface command: how long it takes, in the
//! world that flies.

#[path = "common/flights.rs"]
mod flights;

use flights::{drop, trainer};
use glam::{DQuat, DVec3};
use larkfield_pilot::{HandOff, ScriptedPilot};
use larkfield_proof::{Chapter, Checks};
use larkfield_radio::{DeviceEventKind, Function, Link as RadioLink, StickReader, Transmitter};
use larkfield_world::pilot::Link;
use larkfield_world::{FieldSetup, FieldWorld, Motion, TICK_S};

/// Sticks of a plain radio, known and at rest.
fn reader(link: RadioLink) -> StickReader {
    let mut reader = StickReader::new(Transmitter {
        link,
        ..Transmitter::plain()
    });
    for function in Function::ALL {
        let axis = *reader.transmitter().axis(function);
        let rest = if function == Function::Throttle {
            axis.from
        } else {
            axis.centre
        };
        reader.hear(&DeviceEventKind::Axis {
            code: axis.code,
            value: rest,
        });
    }
    assert!(reader.live());
    reader
}

/// Delay from one event to the message that carries it and to the command that
/// follows, when the stick jumps at this time.
fn delays_s(link: RadioLink, event_s: f64) -> (f64, f64) {
    let mut reader = reader(link);
    let model = trainer();
    let mut setup = drop(
        &model,
        Motion {
            position_m: DVec3::new(0.0, 0.0, -50.0),
            velocity_m_s: DVec3::new(8.0, 0.0, 0.0),
            attitude: DQuat::IDENTITY,
            rates_rad_s: DVec3::ZERO,
        },
    );
    setup.pilot = ScriptedPilot::person(HandOff::default());
    setup.radio = reader.transmitter().radio_setup(model.airframe());
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup);
    let elevator = *reader.transmitter().axis(Function::Elevator);
    let mut heard_s = None;
    for tick in 0..400_u32 {
        let now_s = f64::from(tick) * TICK_S;
        if heard_s.is_none() && event_s <= now_s {
            heard_s = Some(now_s);
            reader.hear(&DeviceEventKind::Axis {
                code: elevator.code,
                value: elevator.from,
            });
        }
        assert!(world.give_message(id, reader.message()));
        world.step(1);
        let ecs = world.app_mut().world_mut();
        let mut links = ecs.query::<&Link>();
        let commanded = links.iter(ecs).any(|link| link.controls.pitch > 0.5);
        if commanded {
            return (heard_s.unwrap_or(f64::NAN) - event_s, now_s - event_s);
        }
    }
    (f64::NAN, f64::NAN)
}

/// The modelled link: a frame reads the sticks within one frame's time and
/// arrives after the latency. Nothing else may add more than one tick.
#[test]
fn an_event_reaches_the_surfaces_within_one_tick_of_the_modelled_link() {
    let mut checks = Checks::new(
        Chapter::Practice,
        "From a stick's event to the surface command",
        "the radio's own latency and frame, and a tick: algebra",
    );
    let link = |latency_s, frame_s| RadioLink {
        latency_s,
        frame_s,
        ..RadioLink::default()
    };
    for (name, link) in [
        ("default link", RadioLink::default()),
        ("fast link", link(0.010, 0.007)),
        ("slow link", link(0.085, 0.022)),
    ] {
        // Events at 51 places of the frame and of the tick.
        let all: Vec<(f64, f64)> = (0..51)
            .map(|step| delays_s(link, 0.2 + f64::from(step) * 0.000_813))
            .collect();
        let most = |of: fn(&(f64, f64)) -> f64| all.iter().map(of).fold(f64::NAN, f64::max);
        let least = all.iter().map(|(_, d)| *d).fold(f64::NAN, f64::min);
        assert!(
            all.iter()
                .all(|(message, command)| message.is_finite() && command.is_finite())
        );
        let (message_s, command_s) = (most(|(m, _)| *m), most(|(_, c)| *c));
        println!(
            "{name}: event to message at most {:.2} ms, event to command {:.2} to {:.2} ms",
            message_s * 1e3,
            least * 1e3,
            command_s * 1e3
        );
        let tick_ms = TICK_S * 1e3;
        checks.between(
            &format!("{name}: event to message, ms"),
            message_s * 1e3,
            0.0,
            tick_ms,
        );
        // Times are sums of ticks; this much is their rounding.
        let latency_ms = link.latency_s * 1e3 - 1e-6;
        let frame_ms = link.frame_s * 1e3;
        checks.between(
            &format!("{name}: longest to command, ms"),
            command_s * 1e3,
            latency_ms,
            latency_ms + frame_ms + tick_ms,
        );
        checks.between(
            &format!("{name}: shortest to command, ms"),
            least * 1e3,
            latency_ms,
            latency_ms + frame_ms,
        );
    }
    checks.finish();
}
