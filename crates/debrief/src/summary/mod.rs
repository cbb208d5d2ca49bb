//! Many flights of one lesson: how often it goes well, where it ends, how the
//! plane touches, and which flights to look at again.

mod figures;
mod histograms;
mod runs;
mod sections;
mod share;
mod sheet;
mod touches;

pub use figures::{Cause, FunnelStep, HIGH_STALL_M, Spread, median, quantile, spread};
pub use runs::{FirstStall, LandingArea, RepeatInput, RunSummary, TouchDown};
pub use share::{Share, Z_95};
pub use sheet::{SheetFault, read_summary_csv, summary_columns, summary_csv};

use crate::page::{checked_by_hand, document, footer};

/// The page of many flights.
#[must_use]
pub fn summary_page(input: &RepeatInput) -> String {
    let mut body = String::new();
    sections::head(&mut body, input);
    if !input.runs.is_empty() {
        sections::shares(&mut body, input);
        sections::funnel(&mut body, input);
        sections::causes(&mut body, input);
        histograms::section(&mut body, input);
        touches::section(&mut body, input);
        sections::worst(&mut body, input);
    }
    sections::about(&mut body, input);
    body.push_str(&checked_by_hand());
    body.push_str(&footer());
    let title = format!("{} flights, {}", input.runs.len(), input.plane_name);
    document(&title, &body)
}
