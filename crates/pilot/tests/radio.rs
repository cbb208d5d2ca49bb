//! The radio: when a stick arrives, what is made of it, and that it does not
//! matter how often somebody asks.

use larkfield_flight::Controls;
use larkfield_pilot::{
    Axes, ControlMessage, Radio, RadioSetup, Steering, Sticks, Switches, Trims, Wiring,
};

fn stick(roll: f64, pitch: f64, yaw: f64, throttle: f64) -> ControlMessage {
    ControlMessage {
        sticks: Sticks {
            roll,
            pitch,
            yaw,
            throttle,
        },
        ..ControlMessage::default()
    }
}

/// Straight sticks, so that numbers can be read off.
fn plain() -> RadioSetup {
    RadioSetup {
        rates: Axes {
            roll: 1.0,
            pitch: 1.0,
            yaw: 1.0,
        },
        expo: Axes {
            roll: 0.0,
            pitch: 0.0,
            yaw: 0.0,
        },
        ..RadioSetup::default()
    }
}

#[test]
fn a_step_arrives_after_its_frame_and_the_latency() {
    // The stick steps at 0.100 s, just after the frame that is read then (the
    // straight line between two readings gives that frame the old value).
    // Next frame: 0.120 s; 40 ms later it is there: 0.160 s.
    let mut radio = Radio::new(plain());
    let mut arrived_s = f64::NAN;
    for tick in 0..200 {
        let time_s = f64::from(tick) * 0.002;
        let pitch = if tick > 50 { 1.0 } else { 0.0 };
        let out = radio.relay(time_s, Some(&stick(0.0, pitch, 0.0, 0.5)));
        if arrived_s.is_nan() && out.pitch > 0.5 {
            arrived_s = time_s;
        }
    }
    assert!((arrived_s - 0.160).abs() < 1e-9, "{arrived_s}");
}

#[test]
fn reading_the_sticks_more_often_changes_nothing() {
    // Sticks that move on straight lines between corners on the 20 ms grid.
    let at = |t: f64| {
        let saw = (t / 0.2).fract();
        let up = if saw < 0.5 {
            saw * 2.0
        } else {
            2.0 - saw * 2.0
        };
        stick(up, -up, 0.5 * up, up)
    };
    let run = |per_second: u32| {
        let mut radio = Radio::new(RadioSetup::default());
        let mut seen = Vec::new();
        for tick in 0..=(3 * per_second) {
            let time_s = f64::from(tick) / f64::from(per_second);
            let out = radio.relay(time_s, Some(&at(time_s)));
            if tick % (per_second / 50) == 0 {
                seen.push(out);
            }
        }
        seen
    };
    let reference = run(500);
    assert!(
        reference.iter().any(|c| c.roll > 0.5),
        "the sticks have to move"
    );
    for per_second in [50, 100, 250, 1000, 2000] {
        for (ours, wanted) in run(per_second).iter().zip(&reference) {
            for (a, b) in [
                (ours.roll, wanted.roll),
                (ours.pitch, wanted.pitch),
                (ours.yaw, wanted.yaw),
                (ours.throttle, wanted.throttle),
            ] {
                assert!((a - b).abs() < 1e-9, "{per_second}: {a} {b}");
            }
        }
    }
}

#[test]
fn expo_rates_and_trims_do_what_the_trade_means_by_them() {
    let setup = RadioSetup {
        rates: Axes {
            roll: 0.5,
            pitch: 1.0,
            yaw: 1.0,
        },
        expo: Axes {
            roll: 0.0,
            pitch: 0.4,
            yaw: 0.0,
        },
        ..plain()
    };
    // Rate 50 %: full stick gives half travel.
    assert_eq!(setup.encode(&stick(1.0, 0.0, 0.0, 0.0)).roll, 0.5);
    // Expo 40 %: at half stick 0.6 * 0.5 + 0.4 * 0.5^3 = 0.35; the ends stay.
    assert!((setup.encode(&stick(0.0, 0.5, 0.0, 0.0)).pitch - 0.35).abs() < 1e-12);
    assert!((setup.encode(&stick(0.0, -1.0, 0.0, 0.0)).pitch + 1.0).abs() < 1e-12);
    // Trim adds and nothing goes beyond full travel.
    let mut message = stick(0.0, 1.0, 0.25, 2.0);
    message.trims = Trims {
        pitch: 0.2,
        yaw: -0.05,
        ..Trims::default()
    };
    let out = setup.encode(&message);
    assert_eq!(out.pitch, 1.0);
    assert!((out.yaw - 0.2).abs() < 1e-12);
    assert_eq!(out.throttle, 1.0);
    // NaN is centred, not flown.
    assert_eq!(
        setup.encode(&stick(f64::NAN, f64::NAN, 0.0, f64::NAN)),
        Controls::default()
    );
}

#[test]
fn without_ailerons_the_roll_stick_steers_the_rudder_and_the_yaw_stick_adds() {
    let setup = RadioSetup {
        steering: Steering::Rudder,
        ..plain()
    };
    let out = setup.encode(&stick(0.4, 0.0, 0.3, 0.0));
    assert_eq!(out.roll, 0.0);
    assert!((out.yaw - 0.7).abs() < 1e-12);
}

#[test]
fn throttle_cut_and_lost_link_stop_the_motor() {
    let mut cut = stick(0.0, 0.0, 0.0, 0.9);
    cut.switches = Switches {
        throttle_cut: true,
        ..Switches::default()
    };
    assert_eq!(plain().encode(&cut).throttle, 0.0);

    let mut radio = Radio::new(plain());
    assert_eq!(radio.relay(0.0, None), Controls::default());
    let message = stick(0.3, 0.2, 0.0, 0.9);
    let mut time_s = 0.0;
    while time_s < 1.0 {
        radio.relay(time_s, Some(&message));
        time_s += 0.002;
    }
    assert_eq!(radio.relay(1.0, None).throttle, 0.9);
    // Held for a while, then the fail-safe: never hold-last.
    assert_eq!(radio.relay(1.4, None).throttle, 0.9);
    assert_eq!(radio.relay(1.6, None), Controls::default());
    // The link returns.
    for tick in 0..100 {
        radio.relay(1.7 + f64::from(tick) * 0.002, Some(&message));
    }
    assert_eq!(radio.relay(1.9, Some(&message)).throttle, 0.9);
}

#[test]
fn a_copy_goes_on_like_the_original() {
    let mut radio = Radio::new(RadioSetup::default());
    for tick in 0..77 {
        radio.relay(
            f64::from(tick) * 0.002,
            Some(&stick(0.01 * f64::from(tick), 0.0, 0.0, 0.5)),
        );
    }
    let mut copy = radio.clone();
    for tick in 77..300 {
        let message = stick(-0.002 * f64::from(tick), 0.1, 0.0, 0.5);
        let time_s = f64::from(tick) * 0.002;
        assert_eq!(
            radio.relay(time_s, Some(&message)),
            copy.relay(time_s, Some(&message))
        );
    }
    assert_eq!(radio, copy);
}

#[test]
fn crossed_wirings_move_what_their_names_say() {
    // In the other mode the throttle's stick is the elevator's: full open is full
    // forward, which is nose down; the elevator's stick is the throttle's: pulled
    // back it is shut, in the middle half open.
    let other = RadioSetup {
        wiring: Wiring::OtherMode,
        ..plain()
    };
    for (sticks, pitch, throttle) in [
        (stick(0.0, 0.0, 0.0, 1.0), -1.0, 0.5),
        (stick(0.0, 0.0, 0.0, 0.0), 1.0, 0.5),
        (stick(0.0, 1.0, 0.0, 0.5), 0.0, 0.0),
        (stick(0.0, -1.0, 0.0, 0.5), 0.0, 1.0),
    ] {
        let given = other.encode(&sticks);
        assert_eq!(
            (given.pitch, given.throttle),
            (pitch, throttle),
            "{sticks:?}"
        );
    }
    // Sent throttle, aileron, elevator; taken for aileron, elevator, throttle.
    let order = RadioSetup {
        wiring: Wiring::ThrottleFirst,
        ..plain()
    };
    let given = order.encode(&stick(0.25, 1.0, 0.5, 0.0));
    assert_eq!(
        (given.roll, given.pitch, given.throttle, given.yaw),
        (-1.0, 0.25, 1.0, 0.5)
    );
}
