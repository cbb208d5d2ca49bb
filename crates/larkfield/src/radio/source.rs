//! A device, or what one did earlier.

use std::time::Duration;

use larkfield_devices::Devices;
use larkfield_radio::{DeviceEvent, DeviceInfo, Recorded};
use larkfield_rehearsal::Failure;

use super::args::DeviceChoice;

/// Between two looks at a device that says nothing.
const PAUSE: Duration = Duration::from_millis(4);

/// Something happened, or nothing did.
pub enum Heard {
    /// The device did something.
    Event(DeviceEvent),
    /// Nothing until this time.
    Quiet(f64),
    /// There will be no more.
    End,
}

/// Where events come from.
pub enum Source {
    /// A device that is plugged in.
    Live {
        /// All devices.
        devices: Box<Devices>,
        /// Which one counts.
        info: DeviceInfo,
        /// Events that nobody has heard yet, the next one last.
        waiting: Vec<DeviceEvent>,
    },
    /// What a device did earlier, the next event last.
    Replay(Box<Recorded>),
}

impl Source {
    /// Finds the device that somebody names; without a name the one that a radio
    /// file names, or the only one.
    ///
    /// # Errors
    /// None, several, or a recording that cannot be read.
    pub fn open(choice: Option<&DeviceChoice>, of_file: Option<&str>) -> Result<Self, Failure> {
        let named = match choice {
            Some(DeviceChoice::Replay(path)) => {
                let text = larkfield_files::load_text(path)?;
                let mut recorded =
                    Recorded::read(&path.display().to_string(), &text).map_err(Failure::input)?;
                recorded.events.reverse();
                return Ok(Self::Replay(Box::new(recorded)));
            }
            Some(DeviceChoice::Named(name)) => Some(name.as_str()),
            None => of_file,
        };
        let devices = listen()?;
        let mut found = devices.list();
        if found.is_empty() {
            return Err(none(&devices));
        }
        if let Some(named) = named {
            let all: Vec<String> = found.iter().map(in_words).collect();
            found.retain(|info| info.is_named(named));
            if found.is_empty() {
                return Err(Failure::input(format!(
                    "no device is called {named:?}; there {}",
                    listed(&all)
                )));
            }
        }
        if found.len() > 1 {
            let all: Vec<String> = found.iter().map(in_words).collect();
            return Err(Failure::input(format!(
                "there {}; choose one with --device",
                listed(&all)
            )));
        }
        Ok(Self::Live {
            devices: Box::new(devices),
            info: found.remove(0),
            waiting: Vec::new(),
        })
    }

    /// What the device is.
    pub fn info(&self) -> &DeviceInfo {
        match self {
            Self::Live { info, .. } => info,
            Self::Replay(recorded) => &recorded.info,
        }
    }

    /// Whether somebody's hands are at it now.
    pub fn is_live(&self) -> bool {
        matches!(self, Self::Live { .. })
    }

    /// The next event; waits a little when there is none.
    pub fn next(&mut self) -> Heard {
        match self {
            Self::Live { .. } => {
                if let Some(event) = self.take() {
                    return Heard::Event(event);
                }
                std::thread::sleep(PAUSE);
                Heard::Quiet(self.now_s())
            }
            Self::Replay(recorded) => recorded.events.pop().map_or(Heard::End, Heard::Event),
        }
    }

    /// The next event of a live device that has happened already.
    pub fn take(&mut self) -> Option<DeviceEvent> {
        let Self::Live {
            devices,
            info,
            waiting,
        } = self
        else {
            return None;
        };
        if waiting.is_empty() {
            waiting.extend(devices.poll().into_iter().filter(|e| e.device == info.id));
            waiting.reverse();
        }
        waiting.pop()
    }

    /// As [`Source::take`], with how long ago it happened.
    pub fn take_with_age(&mut self) -> Option<(DeviceEvent, f64)> {
        let event = self.take()?;
        Some((event, self.now_s() - event.time_s))
    }

    /// The time on the clock of a live device's events.
    fn now_s(&self) -> f64 {
        match self {
            Self::Live { devices, .. } => devices.now_s(),
            Self::Replay(_) => 0.0,
        }
    }
}

/// Starts to listen to all devices.
///
/// # Errors
/// When the system does not let anybody.
pub fn listen() -> Result<Devices, Failure> {
    Devices::open().map_err(|e| Failure::input(e.to_string()))
}

/// A device for people.
pub fn in_words(info: &DeviceInfo) -> String {
    format!("{} {:?}", info.id.0, info.name)
}

fn listed(all: &[String]) -> String {
    let verb = if all.len() == 1 { "is" } else { "are" };
    format!("{verb} {}", all.join(", "))
}

/// No device can be read.
fn none(devices: &Devices) -> Failure {
    let mut text = "no game pad and no radio on a cable can be read; plug one in, and let a radio \
                    be a joystick in its own set-up"
        .to_owned();
    for unseen in devices.unseen() {
        text += &format!("\n{:?} is there, but {}", unseen.name, unseen.reason);
    }
    Failure::input(text)
}
