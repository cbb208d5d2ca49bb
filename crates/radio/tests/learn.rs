//! Learning recovers a device that is known, and refuses what cannot be used.

mod support;

use larkfield_pilot::StickMode;
use larkfield_radio::learn::{Learned, Learner, Progress, Refusal};
use larkfield_radio::{
    AxisCode, ButtonCode, Function, Gimbal, Recorded, SwitchJob, ThrottleStop, Trigger,
};
use support::{Device, Slip, learn};

fn learned(device: &Device, seed: u64) -> Learned {
    match learn(device, Slip::None, seed).0 {
        Progress::Done(learned) => *learned,
        other => panic!("{other:?}"),
    }
}

fn refused(device: &Device, slip: Slip) -> Refusal {
    match learn(device, slip, 1).0 {
        Progress::Refused(refusal) => {
            // It says what to do.
            assert!(
                refusal.to_string().contains("learn again")
                    || refusal.to_string().contains("take another device"),
                "{refusal}"
            );
            refusal
        }
        other => panic!("{other:?}"),
    }
}

/// Ends and centre within `off` of those of the device.
fn check(learned: &Learned, device: &Device, off: f64) {
    for axis in &device.axes {
        let found = learned
            .axes
            .iter()
            .find(|found| found.gimbal == axis.gimbal);
        let found = found.unwrap_or_else(|| panic!("{:?}", axis.gimbal));
        assert_eq!(found.map.code, axis.code, "{:?}", axis.gimbal);
        for (ours, theirs) in [(found.map.from, axis.from), (found.map.to, axis.to)] {
            assert!((ours - theirs).abs() <= off, "{found:?}");
        }
        if axis.sprung {
            assert!((found.map.centre - axis.centre).abs() <= off, "{found:?}");
        }
        assert_eq!(found.reversed(), axis.to < axis.from);
    }
}

#[test]
fn a_quiet_radio_is_learned_exactly() {
    let device = Device::radio();
    let learned = learned(&device, 1);
    // Half a step of 2047 in two.
    check(&learned, &device, 0.0005);
    assert_eq!(learned.throttle_stop, ThrottleStop::LowEnd);
    assert!(!learned.looks_shaped(), "{learned:?}");
    assert_eq!(
        learned.order().map(|order| order.letters()),
        Some("AETR".into())
    );
    let switches: Vec<_> = learned
        .switches
        .iter()
        .map(|s| (s.job, s.trigger))
        .collect();
    assert_eq!(
        switches,
        [
            (SwitchJob::Throw, Trigger::Held(ButtonCode(0x120))),
            (SwitchJob::ThrottleCut, Trigger::Held(ButtonCode(0x121))),
        ]
    );
    assert_eq!(learned.transmitter("r", None, true).check(), Ok(()));
}

/// Odd axis order, reversed sticks, a shifted centre, short travel, noise.
fn odd() -> Device {
    let mut device = Device::radio();
    for (gimbal, code, from, centre, to) in [
        (Gimbal::LeftAcross, 7, 0.93, 0.04, -0.88),
        (Gimbal::LeftAlong, 0, 0.98, 0.0, -0.97),
        (Gimbal::RightAcross, 40, -0.71, -0.03, 0.66),
        (Gimbal::RightAlong, 5, -0.95, 0.02, 0.97),
    ] {
        let axis = device.axis(gimbal);
        (axis.code, axis.from, axis.centre, axis.to) = (AxisCode(code), from, centre, to);
    }
    device
}

#[test]
fn noisy_samples_give_the_device_that_made_them() {
    for seed in 1..=12 {
        let mut device = odd();
        device.noise = 0.02;
        let learned = learned(&device, seed);
        // The mean of some fifty readings of plus and minus 2 % is off by
        // 0.02 / sqrt(3 * 50) = 0.16 %; four times that, and half a step.
        check(&learned, &device, 0.007);
        for axis in learned
            .axes
            .iter()
            .filter(|a| a.function != Function::Throttle)
        {
            assert!((0.015..=0.0205).contains(&axis.map.noise), "{axis:?}");
        }
        assert!(learned.looks_shaped());
        assert_eq!(learned.order(), None);
    }
}

/// Eight bits of a device whose low end is -127/128.
#[test]
fn a_coarse_device_is_learned_to_its_steps() {
    let mut device = odd();
    device.steps = 255.0;
    let learned = learned(&device, 3);
    check(&learned, &device, 0.5 * 2.0 / 255.0 + 1e-4);
}

#[test]
fn every_mode_is_learned() {
    for mode in [
        StickMode::Mode1,
        StickMode::Mode2,
        StickMode::Mode3,
        StickMode::Mode4,
    ] {
        let mut device = Device {
            mode,
            ..Device::radio()
        };
        for gimbal in Gimbal::ALL {
            device.axis(gimbal).sprung = gimbal.function(mode) != Function::Throttle;
        }
        let learned = learned(&device, 5);
        check(&learned, &device, 0.0005);
        let radio = learned.transmitter("r", None, false);
        assert_eq!(radio.mode, mode);
        let throttle = radio.axis(Function::Throttle).code;
        let stick = Function::Throttle.gimbal(mode);
        assert_eq!(throttle, device.axis(stick).code);
    }
}

#[test]
fn a_pad_whose_throttle_springs_back_is_shut_in_its_middle() {
    let mut device = Device::radio();
    device.axis(Gimbal::LeftAlong).sprung = true;
    device.buttons = [
        Some(ButtonCode(0x130)),
        None,
        Some(ButtonCode(0x137)),
        Some(ButtonCode(0x13b)),
        None,
        None,
    ];
    let learned = learned(&device, 1);
    assert_eq!(learned.throttle_stop, ThrottleStop::Centre);
    check(&learned, &device, 0.0005);
    let trigger = |job| {
        let found = learned.switches.iter().find(|switch| switch.job == job);
        found.map(|switch| switch.trigger)
    };
    // A pad's button springs back, so rates toggle.
    assert_eq!(
        trigger(SwitchJob::SecondRates),
        Some(Trigger::Toggled(ButtonCode(0x137)))
    );
    assert_eq!(trigger(SwitchJob::ThrottleCut), None);
}

#[test]
fn an_instructor_who_asks_has_switches_of_their_own() {
    let mut device = Device::radio();
    device.buttons[4] = Some(ButtonCode(0x125));
    device.buttons[5] = Some(ButtonCode(0x126));
    let learned = learned(&device, 1);
    for (job, code) in [
        (SwitchJob::InstructorPowerLoss, 0x125),
        (SwitchJob::InstructorGust, 0x126),
    ] {
        let found = learned.switches.iter().find(|switch| switch.job == job);
        assert_eq!(
            found.map(|switch| switch.trigger),
            Some(Trigger::Held(ButtonCode(code)))
        );
    }
}

#[test]
fn a_switch_on_a_channel_is_found_with_its_side() {
    let mut device = Device::radio();
    device.cut_axis = Some(AxisCode(4));
    let learned = learned(&device, 1);
    let cut = learned
        .switches
        .iter()
        .find(|s| s.job == SwitchJob::ThrottleCut);
    assert_eq!(
        cut.map(|s| s.trigger),
        Some(Trigger::Above(AxisCode(4), 0.0))
    );
}

/// The radio's own expo of 60 %, rates of 70 % and a trim are seen before
/// anything is normalised: half-way 0.5 * 0.4 + 0.125 * 0.6 = 0.275.
#[test]
fn what_the_radio_does_to_a_stick_is_reported() {
    let mut device = Device::radio();
    let axis = device.axis(Gimbal::RightAcross);
    axis.expo = 0.6;
    (axis.from, axis.centre, axis.to) = (-0.65, 0.05, 0.75);
    let learned = learned(&device, 1);
    let axis = &learned.axes[2];
    assert_eq!(axis.gimbal, Gimbal::RightAcross);
    assert!(
        (axis.half.unwrap_or(f64::NAN) - 0.275).abs() < 0.005,
        "{axis:?}"
    );
    assert!((axis.expo().unwrap_or(f64::NAN) - 0.6).abs() < 0.02);
    assert!((axis.travel() - 0.7).abs() < 0.001);
    assert!((axis.offset() - 0.05).abs() < 0.001);
    assert_eq!(axis.signs().len(), 3, "{:?}", axis.signs());
    assert!(learned.axes[3].signs().is_empty());
    // Its owner says that the radio shapes: Larkfield leaves it alone.
    assert_eq!(learned.transmitter("r", None, true).shaping, None);
}

#[test]
fn jumps_are_left_out_and_counted() {
    let mut device = odd();
    device.jump_every_s = Some(1.7);
    let learned = learned(&device, 1);
    check(&learned, &device, 0.001);
    assert!(
        learned.axes.iter().all(|axis| axis.jumps > 0),
        "{learned:?}"
    );
}

#[test]
fn an_axis_that_is_never_still_and_no_stick_is_in_nobodys_way() {
    let mut device = Device::radio();
    device.restless = Some(AxisCode(6));
    let learned = learned(&device, 1);
    check(&learned, &device, 0.0005);
    assert_eq!(learned.restless, [AxisCode(6)]);
}

#[test]
fn a_missing_throttle_is_refused() {
    let mut device = Device::radio();
    device.axes.retain(|axis| axis.gimbal != Gimbal::LeftAlong);
    match refused(&device, Slip::None) {
        Refusal::TooFew { moved } => assert_eq!(moved, [AxisCode(0), AxisCode(1), AxisCode(3)]),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_stick_that_does_not_move_is_refused() {
    for gimbal in Gimbal::ALL {
        let refusal = refused(&Device::radio(), Slip::Leaves(gimbal));
        assert_eq!(refusal, Refusal::DidNotMove { gimbal, to: true });
    }
}

#[test]
fn one_axis_for_two_sticks_is_refused() {
    let slip = Slip::Mistakes(Gimbal::LeftAcross, Gimbal::RightAcross);
    match refused(&Device::radio(), slip) {
        Refusal::SameAxis {
            code,
            first,
            second,
        } => assert_eq!(
            (code, first, second),
            (AxisCode(3), Gimbal::LeftAcross, Gimbal::RightAcross)
        ),
        other => panic!("{other:?}"),
    }
}

#[test]
fn two_axes_for_one_stick_are_refused() {
    let slip = Slip::MovesToo(Gimbal::RightAcross, Gimbal::RightAlong);
    let refusal = refused(&Device::radio(), slip);
    assert!(matches!(refusal, Refusal::TwoAxes { .. }), "{refusal:?}");
}

/// The travel is 2: more than 0.1 is more than 5 % of it.
#[test]
fn a_centre_that_wanders_is_refused() {
    for (offset, wanders) in [(0.11, true), (-0.2, true), (0.08, false)] {
        let slip = Slip::Wanders(Gimbal::RightAlong, offset);
        let (ended, _) = learn(&Device::radio(), slip, 1);
        let refused = matches!(
            ended,
            Progress::Refused(Refusal::WanderingCentre {
                gimbal: Gimbal::RightAlong,
                ..
            })
        );
        assert_eq!(refused, wanders, "{offset}: {ended:?}");
    }
}

#[test]
fn a_stick_that_is_never_still_is_refused() {
    let mut device = Device::radio();
    device.noise = 0.3;
    let refusal = refused(&device, Slip::None);
    assert!(matches!(refusal, Refusal::NeverStill { .. }), "{refusal:?}");
}

#[test]
fn unplugging_ends_it_at_any_moment() {
    for at_s in [0.5, 3.0, 12.0, 14.3, 20.0, 33.3] {
        let refusal = refused(&Device::radio(), Slip::Unplugs(at_s));
        assert_eq!(refusal, Refusal::Unplugged, "{at_s}");
    }
}

/// A recording of a device, heard again without anybody, teaches the same;
/// cut off anywhere it ends in a refusal or in the same sticks.
#[test]
fn a_recorded_device_teaches_the_same() {
    let mut device = odd();
    device.noise = 0.01;
    let (ended, recorded) = learn(&device, Slip::None, 4);
    let again = Recorded::read("d.csv", &recorded.write()).unwrap_or_else(|e| panic!("{e}"));
    let replay = |count: usize| {
        let mut learner = Learner::new(device.mode);
        for event in &again.events[..count] {
            learner.hear(event);
        }
        learner.finish();
        learner.progress()
    };
    assert_eq!(replay(again.events.len()), ended);
    let Progress::Done(whole) = ended else {
        panic!("{ended:?}");
    };
    let (mut refusals, mut learned) = (0, 0);
    for tenth in 0..40 {
        match replay(again.events.len() * tenth / 40) {
            Progress::Done(part) => {
                assert_eq!(
                    part.axes.map(|a| a.map.code),
                    whole.axes.map(|a| a.map.code)
                );
                learned += 1;
            }
            Progress::Refused(_) => refusals += 1,
            Progress::Ask(prompt) => panic!("{prompt:?} after the end"),
        }
    }
    assert!(refusals > 20 && learned > 0, "{refusals} {learned}");
}
