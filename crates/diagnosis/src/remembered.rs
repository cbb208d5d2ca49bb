//! Why a real plane went in, from what its pilot remembers.
//!
//! A real crash leaves no recording. What calculated flights of that very plane
//! did with each fault is put into the same few words in which a pilot answers,
//! and a fault is the likelier the more of the answers its flights would have
//! given. People misremember, so a wrong answer makes a fault less likely and
//! never impossible.

use larkfield_faults::Fault;
use larkfield_recording::{FlightStage, Sample};

/// How it went wrong in the first seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Went {
    /// The nose came up.
    Up,
    /// The nose went down.
    Down,
    /// It rolled or turned left.
    Left,
    /// It rolled or turned right.
    Right,
    /// It sank, more or less level.
    Sank,
    /// It flew.
    Flew,
}

/// What became of it without power.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unpowered {
    /// The same.
    Same,
    /// It flew: it goes wrong with power only.
    Fine,
}

/// On which throws it happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Throws {
    /// On every throw, whatever the heading.
    Every,
    /// On this one only, or in one direction only.
    One,
}

/// How it answered the sticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answered {
    /// As it should.
    Rightly,
    /// The wrong way round.
    Against,
    /// Hardly.
    Weakly,
    /// Far too much.
    Wildly,
}

/// What the pilot remembers; `None`: untried, or not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Remembered {
    /// How it went wrong.
    pub went: Option<Went>,
    /// Without power.
    pub unpowered: Option<Unpowered>,
    /// On which throws.
    pub throws: Option<Throws>,
    /// To the sticks.
    pub answered: Option<Answered>,
}

/// A fault and how much speaks for it.
#[derive(Debug, Clone, Copy)]
pub struct Suspect {
    /// Entry of the library.
    pub fault: &'static Fault,
    /// Share of the likelihood of all.
    pub share: f64,
    /// What its flights did, at its usual size.
    pub went: Went,
    /// The same without power.
    pub went_unpowered: Went,
    /// How it answered.
    pub answered: Answered,
}

/// How often somebody remembers a thing as it was (an estimate, no source).
const REMEMBERED_RIGHT: f64 = 0.75;
/// Beyond these it has plainly gone somewhere (estimates, no source).
const BANKED_RAD: f64 = 0.3;
const RAISED_RAD: f64 = 0.45;
const DROPPED_RAD: f64 = 0.35;
const SUNK_M: f64 = 1.0;
/// What the flights with each fault did on one plane.
#[derive(Debug, Clone, Default)]
pub struct Lineup {
    seen: Vec<(&'static Fault, Vec<Seen>)>,
}

impl Lineup {
    /// Adds a fault with what its flights did, the usual size first.
    pub fn add(&mut self, fault: &'static Fault, seen: Vec<Seen>) {
        if !seen.is_empty() {
            self.seen.push((fault, seen));
        }
    }

    /// Ranks what speaks for each fault, the likeliest first.
    #[must_use]
    pub fn suspects(&self, remembered: &Remembered) -> Vec<Suspect> {
        let mut suspects: Vec<Suspect> = (self.seen.iter())
            .filter_map(|(fault, seen)| {
                let all: f64 = seen
                    .iter()
                    .map(|seen| seen.likelihood(fault, remembered))
                    .sum();
                let usual = seen.first()?;
                Some(Suspect {
                    fault,
                    share: all / seen.len() as f64,
                    went: usual.went,
                    went_unpowered: usual.went_unpowered,
                    answered: usual.answered,
                })
            })
            .collect();
        let sum: f64 = suspects.iter().map(|suspect| suspect.share).sum();
        for suspect in &mut suspects {
            suspect.share /= sum.max(1e-12);
        }
        suspects.sort_by(|a, b| b.share.total_cmp(&a.share));
        suspects
    }
}

/// The flights of one plane from the hand, samples from the release on: with power
/// and without, sticks still, and with a touch of the roll and of the pitch stick.
#[derive(Debug, Clone)]
pub struct Tried {
    went: Went,
    went_unpowered: Went,
    /// Turned right, and nose up, by a touch of the stick.
    rolled_rad: f64,
    pitched_rad: f64,
}

/// The same in a pilot's words.
#[derive(Debug, Clone, Copy)]
pub struct Seen {
    went: Went,
    went_unpowered: Went,
    /// Without power it did what a sound plane does, and with power it did not.
    fine_unpowered: bool,
    answered: Answered,
}

impl Tried {
    /// Looks at the four flights; a touch has done its work `until_s` after the
    /// release.
    #[must_use]
    pub fn of(
        powered: &[Sample],
        unpowered: &[Sample],
        rolled: &[Sample],
        pitched: &[Sample],
        until_s: f64,
    ) -> Self {
        let gained = |with: &[Sample], of: fn(&Sample) -> f64| {
            turned(with, of, until_s) - turned(powered, of, until_s)
        };
        Self {
            went: went(powered),
            went_unpowered: went(unpowered),
            rolled_rad: gained(rolled, |s| s.roll_rate_rad_s),
            pitched_rad: gained(pitched, |s| s.pitch_rate_rad_s),
        }
    }

    /// What a pilot would say of it who knows a sound plane.
    #[must_use]
    pub fn beside(&self, sound: &Self) -> Seen {
        let ratios = [
            self.rolled_rad / sound.rolled_rad,
            self.pitched_rad / sound.pitched_rad,
        ];
        let any = |holds: fn(f64) -> bool| ratios.into_iter().any(holds);
        let answered = if any(|ratio| ratio < -0.2) {
            Answered::Against
        } else if any(|ratio| ratio < 0.6) {
            Answered::Weakly
        } else if any(|ratio| ratio > 1.5) {
            Answered::Wildly
        } else {
            Answered::Rightly
        };
        Seen {
            went: self.went,
            went_unpowered: self.went_unpowered,
            fine_unpowered: self.went_unpowered == sound.went_unpowered && self.went != sound.went,
            answered,
        }
    }
}

impl Seen {
    fn likelihood(&self, fault: &Fault, remembered: &Remembered) -> f64 {
        let says = |same: bool, others: f64| {
            if same {
                REMEMBERED_RIGHT
            } else {
                (1.0 - REMEMBERED_RIGHT) / others
            }
        };
        let mut likelihood = 1.0;
        if let Some(went) = remembered.went {
            likelihood *= says(went == self.went, 5.0);
        }
        if let Some(unpowered) = remembered.unpowered {
            likelihood *= says((unpowered == Unpowered::Fine) == self.fine_unpowered, 1.0);
        }
        if let Some(throws) = remembered.throws {
            let of_this_throw = !fault.origin.is_of_plane();
            likelihood *= says((throws == Throws::One) == of_this_throw, 1.0);
        }
        if let Some(answered) = remembered.answered {
            likelihood *= says(answered == self.answered, 3.0);
        }
        likelihood
    }
}

/// Angle turned until a time after the release.
fn turned(samples: &[Sample], rate: fn(&Sample) -> f64, until_s: f64) -> f64 {
    let first_s = samples.first().map_or(0.0, |sample| sample.time_s);
    (samples.windows(2))
        .take_while(|pair| {
            pair[1].time_s <= first_s + until_s && pair[1].stage == FlightStage::Free
        })
        .map(|pair| rate(&pair[0]) * (pair[1].time_s - pair[0].time_s))
        .sum()
}

/// The first thing that plainly happened; a turn or a rearing that comes later
/// tells more than that it sank.
fn went(samples: &[Sample]) -> Went {
    let Some(first) = samples.first() else {
        return Went::Flew;
    };
    let in_the_air = samples.iter().take_while(|s| s.stage == FlightStage::Free);
    for sample in in_the_air {
        if sample.bank_rad < -BANKED_RAD {
            return Went::Left;
        }
        if sample.bank_rad > BANKED_RAD {
            return Went::Right;
        }
        if sample.pitch_rad > RAISED_RAD {
            return Went::Up;
        }
        if sample.pitch_rad < -DROPPED_RAD {
            return Went::Down;
        }
    }
    let sank = |s: &Sample| s.height_m < first.height_m - SUNK_M || s.stage == FlightStage::Ground;
    if samples.iter().any(sank) {
        Went::Sank
    } else {
        Went::Flew
    }
}
