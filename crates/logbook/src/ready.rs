//! Whether rehearsal finds a pilot ready: how often attempts were safe, and how
//! sure that is.
//!
//! The first attempt of a day is what a real first throw is like: no warm-up,
//! and the wind of that moment. The tenth in a row against a wind that is known
//! by heart says little. So an attempt counts for less the later it comes on
//! its day, and for less again when its wind had been flown before. All weights
//! and limits here are by judgement, no source; they are stated with every
//! result.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::beta::{Interval, posterior};
use crate::entry::Entry;

/// What an attempt counts for in a wind that was flown before, against one in
/// a wind that was not.
pub const SEEN_WIND: f64 = 0.5;
/// The rate of safe attempts is at least this, with 97.5 %, before rehearsal
/// says that practice has done what it can.
pub const ENOUGH: f64 = 0.8;
/// And attempts are from at least so many days.
pub const FEWEST_DAYS: usize = 3;

/// How the numbers come about, for whoever reads them.
pub const METHOD: &str = "An attempt is safe when the goal was reached, nothing broke and nobody \
    was endangered. The first attempt of a day counts in full, the second for a half, the third \
    for a third and so on; one in a wind that had been flown before (same wind file, same seed) \
    for half of that. The range holds the rate of safe attempts with 95 %; beforehand every rate \
    is held equally likely (prior Beta(1, 1)). Practise on until its low end is at least 80 % and \
    attempts are from at least 3 days. Weights and limits are by judgement, no source.";

/// What no rehearsal can check.
pub const CANNOT_CHECK: [&str; 8] = [
    "whether the real plane is built as its file says: weigh it and balance it by hand",
    "whether every surface moves the right way, freely and far enough, seen from behind",
    "glue, hinges, linkages, battery straps: pull and shake them with the battery out",
    "the radio: right model memory, range check, motor off when the link is lost",
    "the charge and the health of the battery",
    "where your fingers are: keep everybody clear of the propeller, and treat a connected motor \
     as one that can start",
    "the field: people, roads, trees, sun, local rules, somebody experienced beside you",
    "nerves: a real plane is thrown once, with no second try",
];

/// What rehearsal says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Not safe often enough, or not known well enough.
    PractiseOn,
    /// Practice has done what it can. This says nothing about a real flight.
    NoReasonToWait,
}

/// How often attempts were safe.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Readiness {
    /// Attempts.
    pub attempts: usize,
    /// Those that were safe.
    pub safe: usize,
    /// Days on which there were attempts.
    pub days: usize,
    /// What the attempts count for together.
    pub counted: f64,
    /// What the safe ones count for.
    pub counted_safe: f64,
    /// The rate of safe attempts, 0 to 1.
    pub rate: Interval,
    /// What to do about it.
    pub verdict: Verdict,
}

/// Looks at the attempts that `which` picks. `flights` are all flights of one
/// pilot, the oldest first: those that are not picked still make a wind known.
pub fn ready(flights: &[Entry], which: impl Fn(&Entry) -> bool) -> Readiness {
    let mut winds = BTreeSet::new();
    let mut on_day: BTreeMap<&str, u32> = BTreeMap::new();
    let (mut attempts, mut safe) = (0, 0);
    let (mut counted, mut counted_safe) = (0.0, 0.0);
    for flight in flights {
        let unseen = winds.insert((&flight.wind_sha256, flight.seed));
        if !which(flight) {
            continue;
        }
        let nth = on_day.entry(flight.flown_at.day()).or_insert(0);
        *nth += 1;
        let weight = if unseen { 1.0 } else { SEEN_WIND } / f64::from(*nth);
        attempts += 1;
        counted += weight;
        if flight.safe() {
            safe += 1;
            counted_safe += weight;
        }
    }
    let rate = posterior(counted_safe, counted);
    let days = on_day.len();
    let verdict = if rate.low >= ENOUGH && days >= FEWEST_DAYS {
        Verdict::NoReasonToWait
    } else {
        Verdict::PractiseOn
    };
    Readiness {
        attempts,
        safe,
        days,
        counted,
        counted_safe,
        rate,
        verdict,
    }
}

/// What flights say about a first real launch of a plane.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Launch {
    /// Name of the plane.
    pub plane: String,
    /// SHA-256 of its file as it was flown last.
    pub airframe_sha256: String,
    /// Flights of that file that began with a throw.
    pub ready: Readiness,
    /// Flights with earlier forms of the file, which do not count.
    pub of_earlier_files: usize,
}

/// For each plane of a pilot's flights, the one flown last first.
pub fn launches(flights: &[Entry]) -> Vec<Launch> {
    let mut found: Vec<Launch> = Vec::new();
    for flight in flights.iter().rev() {
        if found.iter().any(|launch| launch.plane == flight.plane) {
            continue;
        }
        let of_plane = |other: &&Entry| other.thrown && other.plane == flight.plane;
        found.push(Launch {
            plane: flight.plane.clone(),
            airframe_sha256: flight.airframe_sha256.clone(),
            ready: ready(flights, |other| {
                other.thrown && other.airframe_sha256 == flight.airframe_sha256
            }),
            of_earlier_files: flights
                .iter()
                .filter(of_plane)
                .filter(|other| other.airframe_sha256 != flight.airframe_sha256)
                .count(),
        });
    }
    found
}

#[cfg(test)]
mod tests;
