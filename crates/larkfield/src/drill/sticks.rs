//! Sticks of a device during a drill: live, or as recorded.

use larkfield_drill::control::AtTransmitter;
use larkfield_pilot::{RadioSetup, StickMode};
use larkfield_radio::{DeviceEvent, DeviceEventKind, StickReader, Transmitter};
use larkfield_rehearsal::Failure;

use super::args::SticksArguments;
use crate::radio::caution::before_sticks;
use crate::radio::place;
use crate::radio::source::{Heard, Source};
use crate::stop::Stop;

/// A device that is read as its radio file says.
pub struct DeviceSticks {
    source: Source,
    reader: StickReader,
    /// The next event of a recording, and its clock.
    waiting: Option<DeviceEvent>,
    began_s: f64,
}

impl DeviceSticks {
    /// Opens the device of a radio file, and waits until its sticks count.
    ///
    /// # Errors
    /// No such device or file; a recording that ends before its sticks count.
    pub fn open(arguments: &SticksArguments) -> Result<Option<(Self, Transmitter)>, Failure> {
        let Some(named) = &arguments.radio else {
            if arguments.device.device.is_some() {
                return Err(Failure::input(
                    "sticks of a device need a radio file; give --radio FILE, or make one with \
                     `larkfield radio learn`",
                ));
            }
            return Ok(None);
        };
        let radio = place::load(named)?;
        let source = Source::open(arguments.device.device.as_ref(), radio.device.as_deref())?;
        before_sticks(arguments.device.ready, source.is_live())?;
        let mut sticks = Self {
            source,
            reader: StickReader::new(radio.clone()),
            waiting: None,
            began_s: 0.0,
        };
        sticks.wait_until_live()?;
        Ok(Some((sticks, radio)))
    }

    fn wait_until_live(&mut self) -> Result<(), Failure> {
        let stop = Stop::listen()?;
        let mut told = String::new();
        while !self.reader.live() {
            let missing: Vec<String> = (self.reader.missing().iter())
                .map(ToString::to_string)
                .collect();
            let missing = missing.join("\n  ");
            if self.source.is_live() && told != missing {
                eprintln!("Before the sticks count:\n  {missing}");
                told.clone_from(&missing);
            }
            match self.source.next() {
                Heard::Event(event) => {
                    self.began_s = event.time_s;
                    self.reader.hear(&event.kind);
                }
                Heard::Quiet(_) => {}
                Heard::End => {
                    return Err(Failure::input(format!(
                        "the recording ended before the sticks counted:\n  {missing}"
                    )));
                }
            }
            if stop.asked() {
                return Err(Failure::stopped("stopped before the drill began"));
            }
        }
        Ok(())
    }

    /// Whether somebody's hands are at it.
    pub fn is_live(&self) -> bool {
        self.source.is_live()
    }

    /// Hears what the device has done: until now, or until so long after the
    /// drill began. True when it was unplugged meanwhile.
    pub fn listen(&mut self, until_s: f64) -> bool {
        let mut unplugged = false;
        if self.source.is_live() {
            while let Some(event) = self.source.take() {
                unplugged |= event.kind == DeviceEventKind::Disconnected;
                self.reader.hear(&event.kind);
            }
            return unplugged;
        }
        loop {
            let next = self.waiting.take().or_else(|| match self.source.next() {
                Heard::Event(event) => Some(event),
                Heard::Quiet(_) | Heard::End => None,
            });
            match next {
                Some(event) if event.time_s - self.began_s <= until_s => {
                    unplugged |= event.kind == DeviceEventKind::Disconnected;
                    self.reader.hear(&event.kind);
                }
                next => {
                    self.waiting = next;
                    return unplugged;
                }
            }
        }
    }

    /// What the hands do. An unplugged radio sends nothing.
    pub fn at(&self, transmits: bool) -> AtTransmitter {
        AtTransmitter {
            message: self.reader.message(),
            on: transmits && self.reader.live(),
        }
    }
}

/// The radio set-up of a plane, and the mode it is flown in.
pub fn setup_of(
    radio: Option<&Transmitter>,
    airframe: &larkfield_airframe::Airframe,
) -> (RadioSetup, StickMode) {
    match radio {
        Some(radio) => (radio.radio_setup(airframe), radio.mode),
        None => (RadioSetup::for_airframe(airframe), StickMode::Mode2),
    }
}
