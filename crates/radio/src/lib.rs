//! A person's own sticks, from what a device sends to the one control message,
//! without a device, a file or a clock.
//!
//! - [`DeviceEvent`]s are what devices do; [`Recorded`] is a table of them.
//! - A [`Transmitter`] is what a radio file says: which axis is which stick
//!   ([`Inputs`], calibrated by [`AxisMap`]s), what the sticks steer, switches,
//!   shaping, link.
//! - A [`StickReader`] turns events into a
//!   [`ControlMessage`](larkfield_pilot::ControlMessage) with bare sticks, behind
//!   a start gate; [`Transmitter::radio_setup`] is what shapes them, once, on
//!   their way to the plane.
//! - [`draw`] shows it; [`learn`] finds out about a device nobody has described.

mod axis;
mod code;
pub mod draw;
mod event;
mod layout;
pub mod learn;
mod reader;
mod recorded;
mod switch;
mod transmitter;

pub use axis::{AxisMap, LEAST_TRAVEL};
pub use code::{AxisCode, ButtonCode, CHANNEL_AXES};
pub use event::{DeviceEvent, DeviceEventKind, DeviceId, DeviceInfo};
pub use layout::{ChannelOrder, Function, Gimbal, Inputs};
pub use reader::{Missing, SAME_THROTTLE, SHUT, StickReader};
pub use recorded::{RECORDED_HEADER, Recorded, write_row};
pub use switch::{DeviceState, Switch, SwitchJob, Trigger};
pub use transmitter::{Link, Shaping, ThrottleStop, Transmitter};
