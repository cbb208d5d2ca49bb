//! Tables of what a device did: read, written, and refused by line.

use larkfield_radio::{AxisCode, ButtonCode, DeviceEvent, DeviceEventKind, DeviceId, Recorded};
use proptest::prelude::*;

const TABLE: &str = "\
# a radio that moves one stick
time_s,event,code,value
0,connected,,Radio, with a comma
0.5,axis,ABS_X,-0.25

0.5,axis,ABS_0x28,1
0.75,button,BTN_TRIGGER,1
2,disconnected,,
";

#[test]
fn a_table_is_read_as_it_says_and_written_back() {
    let recorded = Recorded::read("d.csv", TABLE).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(recorded.info.name, "Radio, with a comma");
    assert_eq!(recorded.info.axes, [AxisCode(0), AxisCode(0x28)]);
    assert_eq!(recorded.info.buttons, [ButtonCode(0x120)]);
    assert_eq!(recorded.events.len(), 5);
    assert_eq!(
        recorded.events[1],
        DeviceEvent {
            time_s: 0.5,
            device: DeviceId(0),
            kind: DeviceEventKind::Axis {
                code: AxisCode(0),
                value: -0.25
            },
        }
    );
    let again = Recorded::read("d.csv", &recorded.write());
    assert_eq!(again, Ok(recorded));
}

#[test]
fn mistakes_are_named_by_line_and_remedy() {
    for (from, to, answer) in [
        (
            "time_s,event,code,value",
            "time,event",
            "d.csv:2: this is no recorded device",
        ),
        (
            "0.5,axis,ABS_X,-0.25",
            "0.5,axis,ABS_X",
            "d.csv:4: a line has four fields",
        ),
        (
            "-0.25",
            "-1.25",
            "d.csv:4: value is -1.25; an axis has -1 to 1",
        ),
        (
            "-0.25",
            "NaN",
            "d.csv:4: value is \"NaN\"; it has to be a number",
        ),
        ("ABS_X", "X", "d.csv:4: code is \"X\"; give that of an axis"),
        (
            "BTN_TRIGGER,1",
            "BTN_TRIGGER,2",
            "d.csv:7: value is \"2\"; a button has 0 or 1",
        ),
        (
            "BTN_TRIGGER",
            "ABS_X",
            "d.csv:7: code is \"ABS_X\"; give that of a button",
        ),
        ("0.75", "0.25", "d.csv:7: time_s falls"),
        (
            "disconnected",
            "gone",
            "d.csv:8: event is \"gone\"; it has to be connected",
        ),
    ] {
        let changed = TABLE.replacen(from, to, 1);
        assert_ne!(changed, TABLE);
        let error = Recorded::read("d.csv", &changed).err().unwrap_or_default();
        assert!(error.starts_with(answer), "{error}");
    }
    for nothing in ["", "time_s,event,code,value\n", "\u{0}\u{1}"] {
        assert!(Recorded::read("d.csv", nothing).is_err());
    }
}

fn kind() -> impl Strategy<Value = DeviceEventKind> {
    prop_oneof![
        Just(DeviceEventKind::Connected),
        Just(DeviceEventKind::Disconnected),
        (0..64_u32, -1.0..=1.0).prop_map(|(code, value)| DeviceEventKind::Axis {
            code: AxisCode(code),
            value
        }),
        (0..0x300_u32, any::<bool>()).prop_map(|(code, pressed)| DeviceEventKind::Button {
            code: ButtonCode(code),
            pressed
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_a_device_does_comes_back(kinds in prop::collection::vec((kind(), 0.0..1.0), 1..40)) {
        let mut time_s = 0.0;
        let header = Recorded::read("d", TABLE).map_err(TestCaseError::fail)?;
        let mut recorded = Recorded { events: Vec::new(), ..header };
        for (kind, wait_s) in kinds {
            time_s += wait_s;
            recorded.events.push(DeviceEvent { time_s, device: DeviceId(0), kind });
        }
        let again = Recorded::read("d", &recorded.write()).map_err(TestCaseError::fail)?;
        prop_assert_eq!(again.events, recorded.events);
    }

    #[test]
    fn random_text_is_refused_with_its_file(text in "\\PC{0,200}") {
        if let Err(error) = Recorded::read("d.csv", &text) {
            prop_assert!(error.starts_with("d.csv:"), "{}", error);
        }
    }
}
