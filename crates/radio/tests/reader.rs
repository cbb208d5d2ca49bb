//! The start gate, throttle cut, and a device that is unplugged at the worst
//! moments.

use larkfield_pilot::{ControlMessage, StickMode, Sticks};
use larkfield_radio::{
    AxisCode, AxisMap, ButtonCode, DeviceEventKind, Inputs, Missing, StickReader, Switch,
    SwitchJob, ThrottleStop, Transmitter, Trigger,
};

const THROTTLE: AxisCode = AxisCode(2);
const CUT: ButtonCode = ButtonCode(0x120);
const THROW: ButtonCode = ButtonCode(0x121);
const AGAIN: ButtonCode = ButtonCode(0x122);
const STICKS: [AxisCode; 3] = [AxisCode(0), AxisCode(1), AxisCode(3)];

fn radio() -> Transmitter {
    let held = |job, code| Switch {
        job,
        trigger: Trigger::Held(code),
    };
    Transmitter {
        switches: vec![
            held(SwitchJob::ThrottleCut, CUT),
            held(SwitchJob::Throw, THROW),
            held(SwitchJob::Again, AGAIN),
        ],
        ..Transmitter::plain()
    }
}

fn axis(reader: &mut StickReader, code: AxisCode, value: f64) {
    reader.hear(&DeviceEventKind::Axis { code, value });
}

fn press(reader: &mut StickReader, code: ButtonCode, pressed: bool) {
    reader.hear(&DeviceEventKind::Button { code, pressed });
}

/// Sets the throttle to a share of its travel.
fn throttle(reader: &mut StickReader, share: f64) {
    axis(reader, THROTTLE, 2.0 * share - 1.0);
}

fn move_sticks(reader: &mut StickReader) {
    for code in STICKS {
        axis(reader, code, 0.0);
    }
}

/// In flight with this throttle.
fn flying(share: f64) -> StickReader {
    let mut reader = StickReader::new(radio());
    move_sticks(&mut reader);
    throttle(&mut reader, 0.0);
    assert!(reader.live());
    throttle(&mut reader, share);
    reader
}

fn is_fail_safe(message: &ControlMessage) -> bool {
    message.sticks == Sticks::default() && message.switches.throttle_cut
}

#[test]
fn nothing_starts_before_every_stick_has_moved_and_the_throttle_is_shut() {
    let mut reader = StickReader::new(radio());
    assert_eq!(reader.missing().len(), 4);
    assert!(is_fail_safe(&reader.message()));
    for (known, code) in STICKS.into_iter().enumerate() {
        axis(&mut reader, code, 0.4);
        assert_eq!(reader.missing().len(), 3 - known);
        assert!(!reader.live() && is_fail_safe(&reader.message()));
    }
    // What is missing is named, with what to do.
    let text = reader.missing()[0].to_string();
    assert!(
        text.contains("throttle") && text.contains("ABS_Z"),
        "{text}"
    );
    // Open at the start: no.
    throttle(&mut reader, 0.6);
    match reader.missing().as_slice() {
        [Missing::ThrottleOpen(share)] => assert!((share - 0.6).abs() < 1e-12),
        other => panic!("{other:?}"),
    }
    assert!(is_fail_safe(&reader.message()));
    throttle(&mut reader, 0.021);
    assert!(!reader.live());
    throttle(&mut reader, 0.0);
    assert!(reader.live());
    // From here on it may be opened.
    throttle(&mut reader, 0.6);
    let sticks = reader.message().sticks;
    assert!((sticks.throttle - 0.6).abs() < 1e-12);
    assert_eq!((sticks.roll, sticks.pitch, sticks.yaw), (0.4, -0.4, 0.4));
}

#[test]
fn a_missing_throttle_never_starts() {
    let mut reader = StickReader::new(radio());
    for step in 0..1000 {
        for code in STICKS {
            axis(&mut reader, code, f64::from(step % 20) / 20.0);
        }
        axis(&mut reader, AxisCode(7), -1.0);
    }
    assert!(!reader.live());
    assert!(matches!(
        reader.missing().as_slice(),
        [Missing::Axis { code: THROTTLE, .. }]
    ));
}

#[test]
fn a_sprung_throttle_is_shut_in_the_middle_and_below() {
    let mut transmitter = radio();
    transmitter.throttle_stop = ThrottleStop::Centre;
    let mut reader = StickReader::new(transmitter);
    move_sticks(&mut reader);
    axis(&mut reader, THROTTLE, 0.5);
    assert!(!reader.live());
    axis(&mut reader, THROTTLE, 0.0);
    assert!(reader.live());
    for (raw, share) in [(-1.0, 0.0), (0.0, 0.0), (0.25, 0.25), (1.0, 1.0)] {
        axis(&mut reader, THROTTLE, raw);
        assert_eq!(reader.message().sticks.throttle, share);
    }
}

#[test]
fn throttle_cut_latches_until_the_throttle_is_shut() {
    let mut reader = flying(0.7);
    press(&mut reader, CUT, true);
    assert!(reader.message().switches.throttle_cut);
    press(&mut reader, CUT, false);
    assert!(reader.message().switches.throttle_cut, "still cut");
    throttle(&mut reader, 0.3);
    assert!(reader.message().switches.throttle_cut);
    throttle(&mut reader, 0.0);
    assert!(!reader.message().switches.throttle_cut);
    throttle(&mut reader, 0.3);
    assert!(!reader.message().switches.throttle_cut);
    // While it is on, a shut throttle does not lift it.
    press(&mut reader, CUT, true);
    throttle(&mut reader, 0.0);
    throttle(&mut reader, 0.5);
    assert!(reader.message().switches.throttle_cut);
}

#[test]
fn unplugged_in_flight_the_motor_is_off_and_nothing_goes_on_by_itself() {
    let mut reader = flying(0.7);
    axis(&mut reader, STICKS[0], 1.0);
    reader.hear(&DeviceEventKind::Disconnected);
    assert!(reader.lost() && !reader.live());
    assert!(is_fail_safe(&reader.message()));
    assert_eq!(reader.missing(), [Missing::Device]);
    // Again, as some drivers say it.
    reader.hear(&DeviceEventKind::Disconnected);
    reader.hear(&DeviceEventKind::Connected);
    assert_eq!(reader.missing().len(), 4, "{:?}", reader.missing());
    move_sticks(&mut reader);
    throttle(&mut reader, 0.4);
    assert!(matches!(
        reader.missing().as_slice(),
        [Missing::ThrottleMoved { .. }]
    ));
    assert!(is_fail_safe(&reader.message()));
    // Within 5 % of where it was it goes on.
    throttle(&mut reader, 0.66);
    assert!(reader.live() && !reader.lost());
    assert!((reader.message().sticks.throttle - 0.66).abs() < 1e-12);
}

#[test]
fn a_shut_throttle_lets_a_lost_flight_go_on_as_well() {
    let mut reader = flying(0.9);
    reader.hear(&DeviceEventKind::Disconnected);
    reader.hear(&DeviceEventKind::Connected);
    move_sticks(&mut reader);
    throttle(&mut reader, 0.01);
    assert!(reader.live());
    // Unplugged while it comes back: the throttle before counts.
    let mut reader = flying(0.9);
    reader.hear(&DeviceEventKind::Disconnected);
    reader.hear(&DeviceEventKind::Connected);
    throttle(&mut reader, 0.3);
    reader.hear(&DeviceEventKind::Disconnected);
    reader.hear(&DeviceEventKind::Connected);
    move_sticks(&mut reader);
    throttle(&mut reader, 0.3);
    assert!(!reader.live());
    throttle(&mut reader, 0.88);
    assert!(reader.live());
}

#[test]
fn unplugging_throws_no_plane() {
    let mut reader = flying(0.5);
    press(&mut reader, THROW, true);
    assert!(reader.message().switches.throw_held);
    reader.hear(&DeviceEventKind::Disconnected);
    assert!(reader.message().switches.throw_held);
    reader.hear(&DeviceEventKind::Connected);
    move_sticks(&mut reader);
    throttle(&mut reader, 0.5);
    assert!(reader.live());
    // Nobody holds the button, and still the plane is held.
    assert!(reader.message().switches.throw_held);
    press(&mut reader, THROW, true);
    assert!(reader.message().switches.throw_held);
    press(&mut reader, THROW, false);
    assert!(!reader.message().switches.throw_held);
}

#[test]
fn unplugged_with_throttle_cut_it_stays_cut() {
    let mut reader = flying(0.5);
    press(&mut reader, CUT, true);
    press(&mut reader, CUT, false);
    reader.hear(&DeviceEventKind::Disconnected);
    reader.hear(&DeviceEventKind::Connected);
    move_sticks(&mut reader);
    throttle(&mut reader, 0.5);
    assert!(reader.live() && reader.message().switches.throttle_cut);
}

#[test]
fn unplugged_before_the_start_everything_begins_again() {
    let mut reader = StickReader::new(radio());
    move_sticks(&mut reader);
    reader.hear(&DeviceEventKind::Disconnected);
    reader.hear(&DeviceEventKind::Connected);
    assert_eq!(reader.missing().len(), 4);
    assert!(!reader.lost());
}

#[test]
fn again_is_asked_once_for_each_press() {
    let mut reader = flying(0.0);
    assert!(!reader.take_again());
    // Some drivers tell each edge twice.
    for pressed in [true, true, false, false] {
        press(&mut reader, AGAIN, pressed);
    }
    assert!(reader.take_again() && !reader.take_again());
}

#[test]
fn a_toggle_changes_once_for_each_press() {
    let mut transmitter = radio();
    transmitter.switches.push(Switch {
        job: SwitchJob::SecondRates,
        trigger: Trigger::Toggled(ButtonCode(0x130)),
    });
    let mut reader = StickReader::new(transmitter);
    move_sticks(&mut reader);
    throttle(&mut reader, 0.0);
    let mut seen = Vec::new();
    for pressed in [true, true, false, false, true, false] {
        press(&mut reader, ButtonCode(0x130), pressed);
        seen.push(reader.message().switches.second_rates);
    }
    assert_eq!(seen, [true, true, true, true, false, false]);
}

#[test]
fn a_switch_on_an_axis_has_to_be_known_too() {
    let mut transmitter = radio();
    transmitter.switches[0].trigger = Trigger::Above(AxisCode(4), 0.5);
    let mut reader = StickReader::new(transmitter);
    move_sticks(&mut reader);
    throttle(&mut reader, 0.0);
    assert!(matches!(
        reader.missing().as_slice(),
        [Missing::Axis {
            code: AxisCode(4),
            ..
        }]
    ));
    axis(&mut reader, AxisCode(4), -1.0);
    assert!(reader.live() && !reader.message().switches.throttle_cut);
    axis(&mut reader, AxisCode(4), 0.51);
    assert!(reader.message().switches.throttle_cut);
}

#[test]
fn values_that_are_no_numbers_move_nothing() {
    let mut reader = flying(0.5);
    let before = reader.message();
    for code in STICKS {
        axis(&mut reader, code, f64::NAN);
        axis(&mut reader, code, f64::INFINITY);
    }
    axis(&mut reader, THROTTLE, f64::NAN);
    assert_eq!(reader.message(), before);
}

/// Eight bits: the low end is -127/128 of what the number could be, and a
/// calibration that says so reaches its stop.
#[test]
fn a_coarse_device_reaches_its_low_stop() {
    let end = 127.0 / 128.0;
    let coarse = |index| AxisMap {
        from: -end,
        to: end,
        ..AxisMap::full(AxisCode(index))
    };
    let mut reader = StickReader::new(Transmitter {
        mode: StickMode::Mode2,
        inputs: Inputs::Sticks {
            left_across: coarse(3),
            left_along: coarse(2),
            right_across: coarse(0),
            right_along: coarse(1),
        },
        ..radio()
    });
    move_sticks(&mut reader);
    axis(&mut reader, THROTTLE, -end);
    assert!(reader.live());
    axis(&mut reader, THROTTLE, end);
    assert_eq!(reader.message().sticks.throttle, 1.0);
}
