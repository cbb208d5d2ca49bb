//! The pilot's own sticks: a game pad or a radio on a cable, read as its radio
//! file says. Without a radio file the keys are the sticks.

use larkfield_devices::{Devices, NoDevices};
use larkfield_pilot::ControlMessage;
use larkfield_radio::{DeviceEvent, DeviceId, DeviceInfo, StickReader, Transmitter};

/// The device of a radio file, once it is there.
pub struct Chosen {
    reader: StickReader,
    id: Option<DeviceId>,
}

impl Chosen {
    /// Nothing is plugged in yet.
    pub fn new(transmitter: Transmitter) -> Self {
        Self {
            reader: StickReader::new(transmitter),
            id: None,
        }
    }

    /// Picks the device that the radio file names, or the only one; keeps the
    /// one it has.
    pub fn pick(&mut self, there: &[DeviceInfo]) {
        if self.id.is_some() {
            return;
        }
        let named = self.reader.transmitter().device.as_deref();
        let fits = |info: &&DeviceInfo| named.is_none_or(|named| info.is_named(named));
        let mut fitting = there.iter().filter(fits);
        if let (Some(one), None) = (fitting.next(), fitting.next()) {
            self.id = Some(one.id);
        }
    }

    /// Takes in what a device did; others than the picked one are not heard.
    pub fn hear(&mut self, event: &DeviceEvent) {
        if self.id == Some(event.device) {
            self.reader.hear(&event.kind);
        }
    }

    /// Whether a flight may go on.
    pub fn live(&self) -> bool {
        self.id.is_some() && self.reader.live()
    }

    /// What the hands do.
    pub fn message(&self) -> ControlMessage {
        self.reader.message()
    }

    /// Whether the button for another attempt was pressed since this was last
    /// asked.
    pub fn take_again(&mut self) -> bool {
        self.reader.take_again()
    }

    /// What has to happen before the sticks count; empty once they do.
    pub fn wanted(&self) -> String {
        if self.id.is_none() {
            let transmitter = self.reader.transmitter();
            return match &transmitter.device {
                Some(name) => format!("Plug in the device called {name}"),
                None => "Plug in one device for the sticks".to_owned(),
            };
        }
        let missing = self.reader.missing();
        missing.first().map(ToString::to_string).unwrap_or_default()
    }
}

/// The sticks of this window: whoever has no device has the keys.
#[derive(Default)]
pub struct OwnSticks {
    devices: Option<Devices>,
    pilot: Option<Chosen>,
    instructor: Option<Chosen>,
    /// Somebody said that these sticks may be moved.
    pub said_ready: bool,
}

impl OwnSticks {
    /// Listens for the devices of radio files.
    ///
    /// # Errors
    /// When the system does not let anybody listen.
    pub fn open(
        pilot: Option<Transmitter>,
        instructor: Option<Transmitter>,
    ) -> Result<Self, NoDevices> {
        let devices = if pilot.is_some() || instructor.is_some() {
            Some(Devices::open()?)
        } else {
            None
        };
        Ok(Self {
            devices,
            pilot: pilot.map(Chosen::new),
            instructor: instructor.map(Chosen::new),
            said_ready: false,
        })
    }

    /// Gives the pilot other sticks; an instructor keeps theirs.
    ///
    /// # Errors
    /// When the system does not let anybody listen.
    pub fn give_pilot(&mut self, pilot: Option<Transmitter>) -> Result<(), NoDevices> {
        if pilot.is_some() && self.devices.is_none() {
            self.devices = Some(Devices::open()?);
        }
        self.pilot = pilot.map(Chosen::new);
        self.said_ready = false;
        Ok(())
    }

    /// Takes in everything that happened since this was last called.
    pub fn listen(&mut self) {
        let Some(devices) = &mut self.devices else {
            return;
        };
        let events = devices.poll();
        let there = devices.list();
        let of = |chosen: &Option<Chosen>| chosen.as_ref().and_then(|chosen| chosen.id);
        // What the one has, the other does not get.
        let taken = [of(&self.instructor), of(&self.pilot)];
        for (chosen, taken) in [&mut self.pilot, &mut self.instructor]
            .into_iter()
            .zip(taken)
        {
            let Some(chosen) = chosen else {
                continue;
            };
            if chosen.id.is_none() {
                let left: Vec<DeviceInfo> = (there.iter())
                    .filter(|info| Some(info.id) != taken)
                    .cloned()
                    .collect();
                chosen.pick(&left);
            }
            for event in &events {
                chosen.hear(event);
            }
        }
    }

    /// The pilot's device; `None`: keys.
    pub fn device(&mut self) -> Option<&mut Chosen> {
        self.pilot.as_mut()
    }

    /// The instructor's device; `None`: keys.
    pub fn instructor(&self) -> Option<&Chosen> {
        self.instructor.as_ref()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use larkfield_radio::{AxisCode, DeviceEventKind};

    fn info(id: u32, name: &str) -> DeviceInfo {
        DeviceInfo {
            id: DeviceId(id),
            name: name.to_owned(),
            axes: Vec::new(),
            buttons: Vec::new(),
        }
    }

    fn moved(device: u32, code: u32, value: f64) -> DeviceEvent {
        DeviceEvent {
            time_s: 0.0,
            device: DeviceId(device),
            kind: DeviceEventKind::Axis {
                code: AxisCode(code),
                value,
            },
        }
    }

    #[test]
    fn of_several_devices_only_a_named_one_is_picked() {
        let mut chosen = Chosen::new(Transmitter::plain());
        chosen.pick(&[info(1, "one"), info(2, "two")]);
        assert!(chosen.wanted().starts_with("Plug in one"));
        let mut chosen = Chosen::new(Transmitter {
            device: Some("TWO".to_owned()),
            ..Transmitter::plain()
        });
        chosen.pick(&[info(1, "one"), info(2, "two")]);
        assert_eq!(chosen.id, Some(DeviceId(2)));
        assert!(!chosen.live(), "nothing has moved yet");
    }

    #[test]
    fn nothing_goes_on_until_every_axis_is_known_and_while_it_is_unplugged() {
        let mut chosen = Chosen::new(Transmitter::plain());
        chosen.pick(&[info(7, "pad")]);
        let codes: Vec<u32> = (chosen.reader.transmitter().mapped_axes().iter())
            .map(|(code, _)| code.0)
            .collect();
        let throttle = chosen
            .reader
            .transmitter()
            .axis(larkfield_radio::Function::Throttle);
        let (throttle, shut) = (throttle.code.0, throttle.from);
        for code in &codes {
            assert!(!chosen.live() && !chosen.wanted().is_empty());
            // Somebody else's sticks do not count.
            chosen.hear(&moved(8, *code, 0.0));
            let value = if *code == throttle { shut } else { 0.0 };
            chosen.hear(&moved(7, *code, value));
        }
        assert!(chosen.live(), "{}", chosen.wanted());
        chosen.hear(&DeviceEvent {
            time_s: 1.0,
            device: DeviceId(7),
            kind: DeviceEventKind::Disconnected,
        });
        assert!(!chosen.live());
        assert!(chosen.message().switches.throttle_cut, "the motor is off");
    }
}
