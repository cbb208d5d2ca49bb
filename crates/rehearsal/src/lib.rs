//! A rehearsal from files to run folder, for the command line and whoever else
//! flies.
//!
//! A [`Request`] names files ([`sources`]), [`Inputs`] are the checked models
//! made from them, [`fly`] and
//! [`fly_by_hand`] fly them in a world without a window and score,
//! and [`begin`] and [`add_flight`] leave the run folder. Every way in which
//! that can end badly is a [`Failure`]. No formula lives here.

mod by_hand;
mod causes;
mod controls;
mod effect;
mod failure;
mod faults;
mod flown;
mod inputs;
mod log;
mod outputs;
mod page;
mod performance;
mod places;
mod playback;
mod request;
pub mod sources;
mod unlock;
mod versions;
mod why;

pub use by_hand::{ByHand, Hands, Moment, fly_by_hand};
pub use causes::causes_of;
pub use effect::{Effect, MATTERS_FROM_POINTS, Outcome};
pub use failure::{FAILED, Failure, STOPPED};
pub use flown::{Flown, Ready, fly};
pub use inputs::{InputFile, Inputs, Today, air_of};
pub use log::{UNNAMED, entry_of, log_drill, logbook_failure, now, open_logbook};
pub use outputs::{
    CausesReport, EffectReport, FlightReport, LookBackReport, add_flight, add_traces, begin, json,
};
pub use page::{assumed, page_input};
pub use performance::performance_of;
pub use places::{
    LOGBOOK_VARIABLE, RADIOS, beside, course, lesson_name, logbook_file, own_radios, own_settings,
    ron_files, shipped, shipped_like,
};
pub use request::{PilotChoice, Request};
pub use unlock::has_passed;
pub use versions::versions;
pub use why::line_up;
