//! Modes, channel orders, rates, expo and mixes against tables worked by hand.

use larkfield_airframe::Airframe;
use larkfield_pilot::{Axes, ControlMessage, RadioSetup, Steering, StickMode, Sticks, Trims};
use larkfield_radio::{
    AxisCode, AxisMap, ChannelOrder, DeviceEventKind, Function, Gimbal, Inputs, Shaping,
    StickReader, Transmitter,
};

const MODES: [StickMode; 4] = [
    StickMode::Mode1,
    StickMode::Mode2,
    StickMode::Mode3,
    StickMode::Mode4,
];

const LEFT_ACROSS: AxisCode = AxisCode(10);
const LEFT_ALONG: AxisCode = AxisCode(11);
const RIGHT_ACROSS: AxisCode = AxisCode(12);
const RIGHT_ALONG: AxisCode = AxisCode(13);

fn by_sticks(mode: StickMode) -> Transmitter {
    Transmitter {
        mode,
        inputs: Inputs::Sticks {
            left_across: AxisMap::full(LEFT_ACROSS),
            left_along: AxisMap::full(LEFT_ALONG),
            right_across: AxisMap::full(RIGHT_ACROSS),
            right_along: AxisMap::full(RIGHT_ALONG),
        },
        ..Transmitter::plain()
    }
}

/// A reader that has been let through its gate.
fn live(transmitter: Transmitter) -> StickReader {
    let mut reader = StickReader::new(transmitter);
    for function in Function::ALL {
        let axis = *reader.transmitter().axis(function);
        let rest = match function {
            Function::Throttle => axis.from,
            _ => axis.centre,
        };
        reader.hear(&DeviceEventKind::Axis {
            code: axis.code,
            value: rest,
        });
    }
    assert!(reader.live(), "{:?}", reader.missing());
    reader
}

fn moved(mut reader: StickReader, axes: &[(AxisCode, f64)]) -> ControlMessage {
    for (code, value) in axes {
        reader.hear(&DeviceEventKind::Axis {
            code: *code,
            value: *value,
        });
    }
    reader.message()
}

/// What the trade's drawings of the modes show: which of roll, pitch, yaw and
/// throttle answers when the left stick goes right, the left stick goes away,
/// the right stick goes right, the right stick goes away. Modes 1 and 2 are the
/// same in every source; 3 and 4 as most of the trade numbers them.
#[test]
fn every_mode_gives_each_stick_its_function() {
    let table = [
        (StickMode::Mode1, ["yaw", "pitch", "roll", "throttle"]),
        (StickMode::Mode2, ["yaw", "throttle", "roll", "pitch"]),
        (StickMode::Mode3, ["roll", "pitch", "yaw", "throttle"]),
        (StickMode::Mode4, ["roll", "throttle", "yaw", "pitch"]),
    ];
    for (mode, row) in table {
        let sticks = [LEFT_ACROSS, LEFT_ALONG, RIGHT_ACROSS, RIGHT_ALONG];
        for (code, answers) in sticks.into_iter().zip(row) {
            // Full throttle range is -1 to 1 of the device: 0.5 is 75 % open.
            let found = moved(live(by_sticks(mode)), &[(code, 0.5)]).sticks;
            let mut wanted = Sticks::default();
            match answers {
                "roll" => wanted.roll = 0.5,
                // Away from you is nose down.
                "pitch" => wanted.pitch = -0.5,
                "yaw" => wanted.yaw = 0.5,
                _ => wanted.throttle = 0.75,
            }
            assert_eq!(found, wanted, "{mode:?} {code}");
        }
    }
}

/// The modes here and the hands of `StickMode` are the same drawing.
#[test]
fn the_hands_of_a_mode_move_the_sticks_of_that_mode() {
    for mode in MODES {
        let right = mode.moved_by(larkfield_pilot::Hand::Right);
        let order = [
            Function::Aileron,
            Function::Elevator,
            Function::Rudder,
            Function::Throttle,
        ];
        for (function, moved) in order.into_iter().zip(right) {
            let on_right = matches!(
                function.gimbal(mode),
                Gimbal::RightAcross | Gimbal::RightAlong
            );
            assert_eq!(on_right, moved, "{mode:?} {function:?}");
        }
    }
}

#[test]
fn each_function_goes_through_each_mode_and_back() {
    for mode in MODES {
        for function in Function::ALL {
            assert_eq!(function.gimbal(mode).function(mode), function);
        }
        for gimbal in Gimbal::ALL {
            assert_eq!(gimbal.function(mode).gimbal(mode), gimbal);
        }
    }
}

/// The number of a function's axis is its place in the order, counted from 0.
#[test]
fn every_channel_order_puts_each_function_on_its_axis() {
    for (letters, [a, e, t, r]) in [
        ("AETR", [0, 1, 2, 3]),
        ("TAER", [1, 2, 0, 3]),
        ("RETA", [3, 1, 2, 0]),
        ("EATR", [1, 0, 2, 3]),
        ("-A-ETR", [1, 3, 4, 5]),
        ("R---TEA-", [6, 5, 4, 0]),
    ] {
        let order = ChannelOrder::parse(letters).unwrap_or_else(|e| panic!("{letters}: {e}"));
        let axis = |function| AxisMap::full(order.axis_of(function));
        let transmitter = Transmitter {
            inputs: Inputs::Channels {
                order,
                aileron: axis(Function::Aileron),
                elevator: axis(Function::Elevator),
                throttle: axis(Function::Throttle),
                rudder: axis(Function::Rudder),
            },
            ..Transmitter::plain()
        };
        assert_eq!(transmitter.check(), Ok(()));
        // Whatever the mode: the radio has sorted its sticks.
        for mode in MODES {
            let reader = live(Transmitter {
                mode,
                ..transmitter.clone()
            });
            let axes = [
                (AxisCode(a), 0.25),
                (AxisCode(e), -0.5),
                (AxisCode(t), 1.0),
                (AxisCode(r), -1.0),
            ];
            let wanted = Sticks {
                roll: 0.25,
                pitch: 0.5,
                yaw: -1.0,
                throttle: 1.0,
            };
            assert_eq!(moved(reader, &axes).sticks, wanted, "{letters}");
        }
        let found = ChannelOrder::of_axes(|function| order.axis_of(function));
        assert_eq!(
            found.map(|o| o.letters()),
            Some(letters.trim_end_matches('-').to_owned())
        );
    }
    for wrong in ["", "AET", "AETRA", "AETX", "AAETR", "AETR-----", "aetr"] {
        assert!(ChannelOrder::parse(wrong).is_err(), "{wrong}");
    }
}

/// A reversed axis, a short one and a shifted one at once.
#[test]
fn ends_and_directions_are_those_of_the_calibration() {
    let mut radio = by_sticks(StickMode::Mode2);
    let axis = |code, from, centre, to| AxisMap {
        code,
        from,
        centre,
        to,
        noise: 0.0,
    };
    radio.inputs = Inputs::Sticks {
        left_across: axis(LEFT_ACROSS, 1.0, 0.0, -1.0),
        left_along: axis(LEFT_ALONG, 0.5, 0.0, -0.5),
        right_across: axis(RIGHT_ACROSS, -0.6, 0.2, 0.6),
        right_along: axis(RIGHT_ALONG, 0.8, 0.0, -0.8),
    };
    assert_eq!(radio.check(), Ok(()));
    for (code, raw, wanted) in [
        // -0.5 is half-way to the right: 0.5 / 1.
        (LEFT_ACROSS, -0.5, ("yaw", 0.5)),
        // (0.5 - 0.25) / 1.
        (LEFT_ALONG, 0.25, ("throttle", 0.25)),
        // (0.4 - 0.2) / 0.4 and (0 - 0.2) / 0.8.
        (RIGHT_ACROSS, 0.4, ("roll", 0.5)),
        (RIGHT_ACROSS, 0.0, ("roll", -0.25)),
        // Toward you, 0.4 / 0.8: nose up.
        (RIGHT_ALONG, 0.4, ("pitch", 0.5)),
    ] {
        let sticks = moved(live(radio.clone()), &[(code, raw)]).sticks;
        let found = match wanted.0 {
            "yaw" => sticks.yaw,
            "throttle" => sticks.throttle,
            "roll" => sticks.roll,
            _ => sticks.pitch,
        };
        assert!((found - wanted.1).abs() < 1e-12, "{wanted:?}: {found}");
    }
}

fn axes(roll: f64, pitch: f64, yaw: f64) -> Axes {
    Axes { roll, pitch, yaw }
}

fn sticks(roll: f64, pitch: f64, yaw: f64) -> ControlMessage {
    ControlMessage {
        sticks: Sticks {
            roll,
            pitch,
            yaw,
            throttle: 0.5,
        },
        ..ControlMessage::default()
    }
}

/// A bare airframe with or without something that answers the roll command.
fn airframe(ailerons: bool) -> Airframe {
    let name = if ailerons { "curlew" } else { "sandpiper" };
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join(format!("../../shared/airframes/{name}.ron"));
    larkfield_files::airframe::load_airframe(&path).unwrap_or_else(|e| panic!("{e}"))
}

fn setup(shaping: Option<Shaping>, ailerons: bool) -> RadioSetup {
    let mut radio = Transmitter {
        shaping,
        ..Transmitter::plain()
    };
    // So fine that the table's digits are not rounded.
    radio.link.steps = 65_536;
    radio.radio_setup(&airframe(ailerons))
}

/// Columns: expo, rate, stick, trim, command. By hand:
/// ((1 - e) s + e s^3) r + t, at most 1.
#[test]
fn rates_expo_and_trims_follow_the_table() {
    for (expo, rate, stick, trim, command) in [
        (0.0, 1.0, 0.5, 0.0, 0.5),
        (0.0, 0.5, 1.0, 0.0, 0.5),
        (0.0, 0.75, -0.5, 0.0, -0.375),
        // 0.7 * 0.5 + 0.3 * 0.125 = 0.3875
        (0.3, 1.0, 0.5, 0.0, 0.3875),
        // 0.3875 * 0.75 = 0.290625
        (0.3, 0.75, 0.5, 0.0, 0.290625),
        (0.3, 0.75, 1.0, 0.0, 0.75),
        // Negative expo, livelier: 1.4 * 0.5 - 0.4 * 0.125 = 0.65
        (-0.4, 1.0, 0.5, 0.0, 0.65),
        (-0.4, 1.0, -0.5, 0.0, -0.65),
        // 1.0 * 0.125
        (1.0, 1.0, 0.5, 0.0, 0.125),
        (0.0, 0.5, 0.5, 0.125, 0.375),
        (0.0, 1.0, 1.0, 0.25, 1.0),
        (0.0, 1.5, 0.5, 0.0, 0.75),
        (0.0, 1.5, 1.0, 0.0, 1.0),
    ] {
        let shaping = Shaping {
            rates: Some(axes(rate, rate, rate)),
            expo: axes(expo, expo, expo),
            ..Shaping::default()
        };
        let setup = setup(Some(shaping), true);
        let mut message = sticks(stick, stick, stick);
        message.trims = Trims {
            roll: trim,
            pitch: trim,
            yaw: trim,
        };
        let out = setup.encode(&message);
        // Half a step of the link.
        let near = |found: f64| (found - command).abs() <= 1.0 / 65_536.0;
        assert!(
            near(out.roll) && near(out.pitch) && near(out.yaw),
            "{expo} {rate} {stick} {trim}: {out:?}"
        );
    }
}

#[test]
fn the_second_rates_count_while_their_switch_is_on() {
    let shaping = Shaping {
        rates: Some(axes(0.5, 0.5, 0.5)),
        second_rates: Some(axes(1.0, 0.75, 0.25)),
        expo: axes(0.0, 0.0, 0.0),
        ..Shaping::default()
    };
    let setup = setup(Some(shaping), true);
    let mut message = sticks(1.0, 1.0, 1.0);
    let first = setup.encode(&message);
    assert_eq!([first.roll, first.pitch, first.yaw], [0.5; 3]);
    message.switches.second_rates = true;
    let second = setup.encode(&message);
    assert_eq!([second.roll, second.pitch, second.yaw], [1.0, 0.75, 0.25]);
    // Without a second set the switch does nothing.
    let one = RadioSetup {
        second_rates: None,
        ..setup
    };
    assert_eq!(one.encode(&message), first);
}

/// Columns: mix, roll stick, yaw stick, roll command, yaw command; rates 50 %,
/// no expo. The mix takes what comes after the rate.
#[test]
fn rudder_from_aileron_follows_the_table() {
    for (mix, roll, yaw, wanted_roll, wanted_yaw) in [
        (0.0, 1.0, 0.0, 0.5, 0.0),
        (0.5, 1.0, 0.0, 0.5, 0.25),
        (-0.5, 1.0, 0.0, 0.5, -0.25),
        (0.5, -0.5, 0.5, -0.25, 0.125),
        (1.0, 1.0, 1.0, 0.5, 1.0),
    ] {
        let shaping = Shaping {
            rates: Some(axes(0.5, 0.5, 0.5)),
            expo: axes(0.0, 0.0, 0.0),
            rudder_from_aileron: mix,
            ..Shaping::default()
        };
        let mut message = sticks(roll, 0.0, yaw);
        let out = setup(Some(shaping), true).encode(&message);
        assert_eq!((out.roll, out.yaw), (wanted_roll, wanted_yaw), "{mix}");
        // Trim of the ailerons moves no rudder.
        message.trims.roll = 0.1;
        assert_eq!(setup(Some(shaping), true).encode(&message).yaw, wanted_yaw);
        // Without ailerons the stick moves the rudder itself, once.
        let out = setup(Some(shaping), false).encode(&sticks(roll, 0.0, yaw));
        assert_eq!((out.roll, out.yaw), (0.0, 0.5 * (roll + yaw)), "{mix}");
    }
}

#[test]
fn what_the_radio_has_shaped_is_left_alone() {
    let bare = setup(None, true);
    for stick in [-1.0, -0.5, 0.25, 1.0] {
        let out = bare.encode(&sticks(stick, stick, stick));
        assert_eq!([out.roll, out.pitch, out.yaw], [stick; 3]);
    }
    // Without ailerons too: only the steering is added.
    let out = setup(None, false).encode(&sticks(0.25, 0.0, 0.5));
    assert_eq!((out.roll, out.yaw), (0.0, 0.75));
}

#[test]
fn the_plane_decides_what_the_aileron_stick_steers_unless_the_file_does() {
    for (steering, ailerons, wanted) in [
        (None, true, Steering::Ailerons),
        (None, false, Steering::Rudder),
        (Some(Steering::Rudder), true, Steering::Rudder),
        (Some(Steering::Ailerons), false, Steering::Ailerons),
    ] {
        let radio = Transmitter {
            steering,
            ..Transmitter::plain()
        };
        let setup = radio.radio_setup(&airframe(ailerons));
        assert_eq!(setup.steering, wanted);
    }
}

/// Eleven steps a side of 0.0909...: a stick at 0.3 is 3.3 steps, so 3.
#[test]
fn a_coarse_link_sends_the_nearest_of_its_steps() {
    let shaping = Shaping {
        rates: Some(axes(1.0, 1.0, 1.0)),
        expo: axes(0.0, 0.0, 0.0),
        ..Shaping::default()
    };
    let mut setup = setup(Some(shaping), true);
    setup.steps = Some(22);
    for (stick, steps) in [
        (0.3, 3.0),
        (-0.3, -3.0),
        (0.0, 0.0),
        (0.04, 0.0),
        (1.0, 11.0),
    ] {
        assert_eq!(setup.encode(&sticks(stick, 0.0, 0.0)).roll, steps / 11.0);
    }
    // The throttle has all of them one way: 0.5 is 11 of 22.
    assert_eq!(setup.encode(&sticks(0.0, 0.0, 0.0)).throttle, 0.5);
}
