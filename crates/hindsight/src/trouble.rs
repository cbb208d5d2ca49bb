//! What there was to be saved from.

use larkfield_recording::{Event, EventKind};

/// The first thing that must not happen.
#[derive(Debug, Clone, PartialEq)]
pub struct Trouble {
    /// When, since the start of the run.
    pub time_s: f64,
    /// What, for people.
    pub what: String,
}

/// The first damage or bust limit among events, from a time on.
pub fn trouble_in(events: &[Event], from_s: f64) -> Option<Trouble> {
    events.iter().find_map(|event| {
        let what = match &event.kind {
            EventKind::Broke { part, .. } => format!("the {part} broke"),
            EventKind::CrossedSafetyLine => "it crossed the safety line".to_owned(),
            EventKind::NearPerson { .. } => "it came too near to somebody".to_owned(),
            EventKind::HitPerson { .. } => "it hit somebody".to_owned(),
            EventKind::NotFinite { .. } => "the calculation failed".to_owned(),
            _ => return None,
        };
        (event.time_s >= from_s).then_some(Trouble {
            time_s: event.time_s,
            what,
        })
    })
}
