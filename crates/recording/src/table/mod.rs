//! The recording as two CSV files that a spreadsheet opens: one row a sample,
//! one row an event.
//!
//! # Columns
//! Every column of a number ends in its unit (`height_m`, `bank_deg`,
//! `propeller_rpm`). Two things differ from [`Sample`](crate::Sample), for the
//! people who read the file: angles are degrees, and the propeller's speed is
//! revolutions a minute. Both are the number in memory times one constant, see
//! [`DEG_PER_RAD`] and [`RPM_PER_RAD_S`]. `interval_s` repeats the sampling
//! interval in every row, so that a file cut off anywhere still knows it.
//!
//! # Round trip
//! Numbers are written as the shortest decimal that reads back to the same
//! bits, so nothing is rounded and equal recordings give equal bytes. Columns
//! in the unit of the model come back bit for bit. A converted column comes
//! back as a number that is written the same again: reading a file of ours and
//! writing it gives that file, and the number in memory may differ from the
//! original by two units in the last place. [`as_written`] applies that change without
//! a file, for whoever needs the score of the file to be that of the flight.
//!
//! # Damage
//! Reading never throws a flight away: it stops at the first row that cannot
//! be right, returns all before it, and says what is wrong with that row.

mod column;
mod events;
mod fault;
mod number;
mod samples;

pub use column::{DEG_PER_RAD, RPM_PER_RAD_S, sample_columns};
pub use events::{EVENT_COLUMNS, ReadEvents, read_events, write_events};
pub use fault::TableFault;
pub use samples::{ReadSamples, read_samples, write_samples};

use crate::Recording;

/// The recording as it would come back from its file: converted columns moved
/// to the value that reading gives, everything else untouched.
#[must_use]
pub fn as_written(recording: &Recording) -> Recording {
    let mut out = recording.clone();
    for sample in &mut out.samples {
        column::settle(sample);
    }
    out
}

/// Reads a recording from its two files, given as bytes with the names to use
/// in messages. What could be read is returned with what was wrong.
#[must_use]
pub fn read_recording(
    samples_file: &str,
    samples: &[u8],
    events_file: &str,
    events: &[u8],
) -> (Recording, Vec<TableFault>) {
    let read = read_samples(samples_file, samples);
    let read_events = read_events(events_file, events);
    let mut faults = read.faults;
    faults.extend(read_events.faults);
    let recording = Recording {
        interval_s: read.interval_s,
        samples: read.samples,
        events: read_events.events,
    };
    (recording, faults)
}
