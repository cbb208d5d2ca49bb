//! Propeller, motor, battery and controller.
//!
//! Data flow: blade geometry ([`larkfield_airframe::Propeller`]) is cut into
//! annuli, each annulus is brought into balance with its inflow for every
//! direction and speed of flow, and the sums go into a table
//! ([`PropellerModel`]). [`PowerModel`] joins the table with motor, battery
//! and controller, steps [`PowerState`] and gives loads and [`Slipstream`].
//!
//! Faults need no code of their own: a propeller mounted backward, a motor
//! with swapped wires ([`PowerModel::with_motor_reversed`]) and a weak
//! battery are data.

mod battery;
mod blade;
mod inflow;
mod motor;
mod propeller;
mod section;
mod slipstream;
mod state;
mod steady;
mod table;
mod train;

pub use battery::resting_cell_v;
pub use inflow::{induced_speed, mass_flow_speed};
pub use propeller::{DiskFlow, DiskLoads, PropellerModel};
pub use section::{ASSUMED_ZERO_LIFT_RAD, Section, SectionForce, rotation_lift};
pub(crate) use slipstream::SlipstreamBlock;
pub use slipstream::{Slipstream, SlipstreamPlace, Wash};
pub use state::{PowerInputs, PowerOutput, PowerState};
pub use steady::{CalibrationError, OperatingPoint};
pub use train::{CLOSED_THROTTLE, PowerModel};
