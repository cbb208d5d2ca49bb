//! The field as a Bevy app without a window: many planes, their pilots, the air
//! and the ground, moved by one tick schedule that tests, batches and a window
//! all run.
//!
//! # Parts
//! - [`tick`]: the schedule, its sets and its clock;
//! - [`aircraft`], [`motion`]: what a plane is;
//! - [`weather`], [`pilot`], [`throw`], [`flight`], [`contact`], [`damage`],
//!   [`referee`], [`record`]: one plugin each, in the order of a tick;
//! - [`start`]: how flights begin; [`view`]: what there is to see of them; [`snapshot`]: how they go on from a moment;
//! - [`field`]: all of them as [`FieldPlugins`], and [`FieldWorld`] for callers;
//! - [`axes`]: the only place where world axes meet Bevy's.
//!
//! # Invariants
//! - All state is in components and resources that can be cloned; nothing hides
//!   in statics or systems.
//! - No system lets one plane see another, and no system draws, reads files or
//!   asks what time it is.
//! - A window is a leaf: it adds its plugins to the same app and runs the same
//!   tick.

pub mod aircraft;
pub mod axes;
pub mod contact;
pub mod damage;
pub mod field;
pub mod flight;
pub mod motion;
pub mod pieces;
pub mod pilot;
pub mod record;
pub mod referee;
pub mod snapshot;
pub mod start;
pub mod throw;
pub mod tick;
pub mod view;
pub mod weather;

pub use aircraft::{Aircraft, EnergyAudit, GRAVITY_M_S2};
pub use contact::{ContactBody, ContactBodySpec, ContactOutcome, ContactPlugin, ContactShape};
pub use damage::Damage;
pub use field::{
    FieldPlugins, FieldSetup, FieldWorld, FlightId, FlightResult, FlightSetup, TICK_S,
};
pub use motion::{Motion, TickMotion};
pub use pieces::Piece;
pub use snapshot::FlightSnapshot;
pub use start::{LessonDay, Start};
pub use tick::{RunStart, Tick, TickClock, TickPlugin, TickSystems, run_tick, run_tick_in_frame};
pub use view::FlightView;
