//! Game pads and radios on a cable, as [`larkfield_radio::DeviceEvent`]s. No
//! other crate reads a device, and this one knows nothing of sticks.
//!
//! Values are shares of what the device can send, with its own sign: no dead
//! zone, no mapping, no flipped axis, no smoothing. The kernel tells changes
//! only, so nothing is known of an axis before it has moved.
//!
//! Axis and button numbers are those of Linux. On other systems the library
//! beneath has numbers of its own: a radio file learned there works there.

mod proc_list;
mod translate;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Instant, SystemTime};

use gilrs::{Gilrs, GilrsBuilder};
use larkfield_radio::{DeviceEvent, DeviceId, DeviceInfo};

pub use proc_list::UnseenDevice;
use proc_list::{Entry, entries, unseen};

/// Devices cannot be read at all.
#[derive(Debug, thiserror::Error)]
#[error("devices cannot be read: {0}; look whether the system's device manager (udev) runs")]
pub struct NoDevices(String);

/// All devices that are plugged in.
pub struct Devices {
    gilrs: Gilrs,
    start: Instant,
    start_wall: SystemTime,
    last_s: f64,
}

impl Devices {
    /// Starts to listen.
    ///
    /// # Errors
    /// When the system does not let anybody listen.
    pub fn open() -> Result<Self, NoDevices> {
        let gilrs = GilrsBuilder::new()
            .with_default_filters(false)
            .add_included_mappings(false)
            .add_env_mappings(false)
            .build()
            .map_err(|e| NoDevices(e.to_string()))?;
        Ok(Self {
            gilrs,
            start: Instant::now(),
            start_wall: SystemTime::now(),
            last_s: 0.0,
        })
    }

    /// Time since this began to listen, on the clock of the events.
    pub fn now_s(&self) -> f64 {
        self.start.elapsed().as_secs_f64()
    }

    /// Devices that are plugged in and can be read.
    pub fn list(&self) -> Vec<DeviceInfo> {
        let entries = entries();
        (self.gilrs.gamepads())
            .map(|(id, pad)| {
                let entry = entries.iter().find(|entry| entry.name == pad.os_name());
                DeviceInfo {
                    id: device_id(id),
                    name: pad.os_name().to_owned(),
                    axes: entry.map(Entry::axes).unwrap_or_default(),
                    buttons: entry.map(Entry::buttons).unwrap_or_default(),
                }
            })
            .collect()
    }

    /// Devices that look like sticks and cannot be read, each with the reason
    /// and what to do. Empty where the system does not tell.
    pub fn unseen(&self) -> Vec<UnseenDevice> {
        let pads = self.gilrs.gamepads();
        let seen: Vec<String> = pads.map(|(_, pad)| pad.os_name().to_owned()).collect();
        unseen(&entries(), &seen)
    }

    /// Everything that happened since this was last asked, in order. A device
    /// that is plugged in at the start is told by [`Devices::list`] only.
    pub fn poll(&mut self) -> Vec<DeviceEvent> {
        let mut events = Vec::new();
        // The library panics when a device moves an axis that it never
        // announced; the next event is not harmed by that.
        while let Ok(Some(event)) = catch_unwind(AssertUnwindSafe(|| self.gilrs.next_event())) {
            if let Some(kind) = translate::kind_of(&event.event) {
                let time_s = self.time_s(event.time);
                self.last_s = time_s;
                events.push(DeviceEvent {
                    time_s,
                    device: device_id(event.id),
                    kind,
                });
            }
        }
        events
    }

    /// The kernel's time of an event, or that of its arrival when the kernel's
    /// cannot be: it is lost when events were, and clocks are set.
    fn time_s(&self, kernel: SystemTime) -> f64 {
        let now_s = self.now_s();
        let since = kernel.duration_since(self.start_wall);
        let time_s = since.map_or(now_s, |since| since.as_secs_f64());
        /// Nothing waits longer than this to be asked for.
        const LONGEST_WAIT_S: f64 = 1.0;
        if time_s > now_s || time_s < now_s - LONGEST_WAIT_S {
            now_s.max(self.last_s)
        } else {
            time_s.max(self.last_s)
        }
    }
}

fn device_id(id: gilrs::GamepadId) -> DeviceId {
    // Ids count from zero.
    DeviceId(u32::try_from(usize::from(id)).unwrap_or(u32::MAX))
}
