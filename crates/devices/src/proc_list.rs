//! What the Linux kernel says of its input devices, to name those that cannot
//! be read.

use std::fs::OpenOptions;
use std::path::PathBuf;

use larkfield_radio::{AxisCode, ButtonCode};

/// Where the kernel lists them.
const LIST: &str = "/proc/bus/input/devices";
/// The first button that no keyboard has, and those of touch pads and pens.
const FIRST_BUTTON: u32 = 0x100;
const TOUCH_BUTTONS: std::ops::Range<u32> = 0x140..0x150;
const MOUSE_BUTTONS: std::ops::Range<u32> = 0x110..0x118;

/// A device that looks like sticks and cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnseenDevice {
    /// Its own name.
    pub name: String,
    /// Why, and what to do.
    pub reason: String,
}

/// A device as the kernel lists it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Entry {
    /// Its own name.
    pub name: String,
    /// Such as `event3`.
    handler: Option<String>,
    axes: Vec<u32>,
    keys: Vec<u32>,
    /// Flags that touch screens and pads have.
    touch: bool,
}

impl Entry {
    /// Its axes.
    pub fn axes(&self) -> Vec<AxisCode> {
        self.axes.iter().map(|code| AxisCode(*code)).collect()
    }

    /// Its buttons; keys of keyboards are none.
    pub fn buttons(&self) -> Vec<ButtonCode> {
        let buttons = self.keys.iter().filter(|code| **code >= FIRST_BUTTON);
        buttons.map(|code| ButtonCode(*code)).collect()
    }

    /// Two axes to steer with, and no finger, pen or mouse.
    fn looks_like_sticks(&self) -> bool {
        let of = |range: &std::ops::Range<u32>| self.keys.iter().any(|code| range.contains(code));
        self.axes.len() >= 2 && !self.touch && !of(&TOUCH_BUTTONS) && !of(&MOUSE_BUTTONS)
    }
}

/// What the kernel lists now; nothing where there is no such list.
pub fn entries() -> Vec<Entry> {
    std::fs::read_to_string(LIST).map_or_else(|_| Vec::new(), |text| parse(&text))
}

/// Reads the kernel's list: blocks of lines, one block a device.
fn parse(text: &str) -> Vec<Entry> {
    let mut entries = Vec::new();
    for block in text.split("\n\n") {
        let mut entry = Entry::default();
        for line in block.lines() {
            if let Some(name) = line.strip_prefix("N: Name=") {
                entry.name = name.trim().trim_matches('"').to_owned();
            } else if let Some(handlers) = line.strip_prefix("H: Handlers=") {
                let mut handlers = handlers.split_whitespace();
                entry.handler = handlers.find(|h| h.starts_with("event")).map(str::to_owned);
            } else if let Some(bits) = line.strip_prefix("B: ABS=") {
                entry.axes = set_bits(bits);
            } else if let Some(bits) = line.strip_prefix("B: KEY=") {
                entry.keys = set_bits(bits);
            } else if let Some(bits) = line.strip_prefix("B: PROP=") {
                // INPUT_PROP_POINTER, INPUT_PROP_DIRECT: fingers and pens.
                entry.touch = set_bits(bits).iter().any(|bit| *bit <= 1);
            }
        }
        if !entry.name.is_empty() {
            entries.push(entry);
        }
    }
    entries
}

/// Numbers of the bits that are set; words of the kernel's own size in
/// hexadecimal, the highest first.
fn set_bits(words: &str) -> Vec<u32> {
    let mut bits = Vec::new();
    for (place, word) in words.split_whitespace().rev().enumerate() {
        let word = u64::from_str_radix(word, 16).unwrap_or(0);
        let first = place as u32 * usize::BITS;
        bits.extend(
            (0..usize::BITS)
                .filter(|bit| word >> bit & 1 == 1)
                .map(|bit| first + bit),
        );
    }
    bits
}

/// Devices that look like sticks and are not among those seen.
pub fn unseen(entries: &[Entry], seen: &[String]) -> Vec<UnseenDevice> {
    let unseen =
        (entries.iter()).filter(|entry| entry.looks_like_sticks() && !seen.contains(&entry.name));
    unseen
        .map(|entry| UnseenDevice {
            name: entry.name.clone(),
            reason: reason(entry, open),
        })
        .collect()
}

/// Opens a device file as it has to be opened to be read.
fn open(handler: &str) -> std::io::Result<()> {
    let path = PathBuf::from("/dev/input").join(handler);
    OpenOptions::new()
        .read(true)
        .write(true)
        .open(path)
        .map(|_| ())
}

fn reason(entry: &Entry, open: impl Fn(&str) -> std::io::Result<()>) -> String {
    if entry.buttons().is_empty() {
        return "it has no button, so the system takes it for a sensor and not for sticks; let \
                the radio send one of its switches as a button"
            .to_owned();
    }
    let Some(handler) = &entry.handler else {
        return "the system gives it no device file; unplug it and plug it back".to_owned();
    };
    match open(handler) {
        Err(e) if e.kind() == std::io::ErrorKind::PermissionDenied => format!(
            "you may not read /dev/input/{handler}; sit at this machine's own screen, or let its \
             administrator add you to the group that owns that file (often `input`), and log in \
             again"
        ),
        Err(e) => format!(
            "/dev/input/{handler} cannot be opened ({e}); unplug the device and plug it back"
        ),
        Ok(()) => "the system's device manager (udev) has not marked it as a joystick, or does \
                   not run; plug it back, or start this program with GILRS_DISABLE_UDEV=1 in the \
                   environment, which does without"
            .to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use std::io::{Error, ErrorKind};

    use super::*;

    /// Written by hand in the kernel's form: a radio without buttons, one with
    /// 24 of them (0x120 to 0x12f and 0x2c0 to 0x2c7), a touch pad, a keyboard.
    const LISTED: &str = "\
I: Bus=0003 Vendor=1209 Product=0001 Version=0110
N: Name=\"Radio without buttons\"
H: Handlers=event4 
B: PROP=0
B: EV=9
B: ABS=ff

N: Name=\"Radio\"
H: Handlers=event5 js0 
B: PROP=0
B: EV=1b
B: KEY=ff 0 0 0 0 0 0 ffff00000000 0 0 0 0
B: ABS=ff

N: Name=\"Touch pad\"
H: Handlers=mouse0 event6 
B: PROP=5
B: KEY=e520 10000 0 0 0 0
B: ABS=260800000000003

N: Name=\"Keys\"
H: Handlers=kbd event1 
B: KEY=402000000 3803078f800d001 feffffdfffefffff fffffffffffffffe
";

    #[test]
    fn bits_are_numbered_as_the_kernel_numbers_them() {
        let entries = parse(LISTED);
        assert_eq!(entries.len(), 4);
        assert_eq!(entries[0].axes, [0, 1, 2, 3, 4, 5, 6, 7]);
        // Words of 64 bits: 0x120 is bit 32 of word 4, 0x2c0 bit 0 of word 11.
        let buttons: Vec<u32> = entries[1].buttons().iter().map(|b| b.0).collect();
        let wanted: Vec<u32> = (0x120..0x130).chain(0x2c0..0x2c8).collect();
        assert_eq!(buttons, wanted);
        assert_eq!(entries[1].handler.as_deref(), Some("event5"));
    }

    #[test]
    fn what_cannot_be_read_is_named_with_the_reason() {
        let entries = parse(LISTED);
        let names = |seen: &[&str]| -> Vec<String> {
            let seen: Vec<String> = seen.iter().map(|name| (*name).to_owned()).collect();
            unseen(&entries, &seen)
                .into_iter()
                .map(|u| u.name)
                .collect()
        };
        assert_eq!(names(&[]), ["Radio without buttons", "Radio"]);
        assert_eq!(names(&["Radio"]), ["Radio without buttons"]);
        let of = |index: usize, answer: fn() -> std::io::Result<()>| {
            reason(&entries[index], move |_| answer())
        };
        assert!(of(0, || Ok(())).contains("no button"));
        let denied = of(1, || Err(Error::from(ErrorKind::PermissionDenied)));
        assert!(denied.contains("/dev/input/event5") && denied.contains("group"));
        assert!(of(1, || Err(Error::from(ErrorKind::NotFound))).contains("plug it back"));
        assert!(of(1, || Ok(())).contains("udev"));
    }

    #[test]
    fn a_damaged_list_names_nothing_and_breaks_nothing() {
        for text in [
            "",
            "\n\n",
            "N: Name=",
            "B: KEY=zz\nN: Name=\"x\"\n",
            "B: ABS=fffffffffffffffffffff",
        ] {
            assert!(unseen(&parse(text), &[]).is_empty(), "{text}");
        }
    }
}
