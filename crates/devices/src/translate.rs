//! From the library's events to ours: raw codes, the device's own signs.

use gilrs::{Axis, EventType};
use larkfield_radio::{AxisCode, ButtonCode, DeviceEventKind};

/// Kinds of Linux events, the upper half of a code: keys and absolute axes.
const KEY: u32 = 1;
const ABSOLUTE: u32 = 3;

/// Our event; `None` for what repeats another or says nothing.
pub fn kind_of(event: &EventType) -> Option<DeviceEventKind> {
    match event {
        EventType::Connected => Some(DeviceEventKind::Connected),
        EventType::Disconnected => Some(DeviceEventKind::Disconnected),
        EventType::AxisChanged(axis, value, code) => {
            // The library turns these over, and no others.
            let turned = matches!(axis, Axis::LeftStickY | Axis::RightStickY | Axis::DPadY);
            let value = f64::from(*value);
            changed(code.into_u32(), value, if turned { -value } else { value })
        }
        // Every press and release comes as a change as well.
        EventType::ButtonChanged(_, value, code) => {
            let share = f64::from(*value);
            changed(code.into_u32(), share, 2.0 * share - 1.0)
        }
        _ => None,
    }
}

/// What a code says it is, whatever the library takes it for: `pressed` is the
/// value of a button, `raw` that of an axis.
fn changed(code: u32, pressed: f64, raw: f64) -> Option<DeviceEventKind> {
    let number = code & 0xffff;
    match code >> 16 {
        KEY => Some(DeviceEventKind::Button {
            code: ButtonCode(number),
            pressed: pressed > 0.5,
        }),
        ABSOLUTE => Some(DeviceEventKind::Axis {
            code: AxisCode(number),
            // A zero without a sign.
            value: raw + 0.0,
        }),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Codes as the kernel has them: EV_KEY is 1, EV_ABS is 3.
    #[test]
    fn a_code_is_what_the_kernel_says() {
        assert_eq!(
            changed(0x1_0130, 1.0, 1.0),
            Some(DeviceEventKind::Button {
                code: ButtonCode(0x130),
                pressed: true
            })
        );
        assert_eq!(
            changed(0x3_0014, 0.25, -0.5),
            Some(DeviceEventKind::Axis {
                code: AxisCode(0x14),
                value: -0.5
            })
        );
        assert_eq!(changed(0x2_0001, 1.0, 1.0), None);
    }
}
