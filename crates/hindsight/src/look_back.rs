//! The search: from late to early, until a correction saves the flight.

use larkfield_pilot::ControlMessage;
use larkfield_recording::{EventKind, FlightStage};
use larkfield_world::{FieldSetup, FieldWorld, FlightId, FlightSetup, FlightSnapshot, TICK_S};

use crate::{Correction, Cue, Trouble, first_cue, trouble_in};

/// From seeing to doing: 0.4 to 0.7 s in people who do not expect it (common
/// practice, no source).
pub const DELAY_S: f64 = 0.55;
/// Nobody looks back farther than this.
pub const FARTHEST_S: f64 = 6.0;
/// Moments are kept this far apart.
pub const STEP_S: f64 = 0.1;
/// Moments are tried this many steps apart first.
const COARSE: usize = 3;
/// A flight that goes on unharmed for so long is saved.
const SAVED_S: f64 = 4.0;
/// The first seconds belong to plane and throw (common practice, no source).
const SOON_S: f64 = 6.0;
/// Hands move on this often.
const HANDS_TICKS: u64 = 10;

/// By when a correction would have saved it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LastMoment {
    /// What is done.
    pub correction: Correction,
    /// The last moment at which it could have been decided, a human delay before
    /// the sticks moved, since the start of the run; `None`: at no moment that
    /// was tried.
    pub decided_s: Option<f64>,
}

/// What looking back found.
#[derive(Debug, Clone, PartialEq)]
pub struct Hindsight {
    /// What there was to be saved from.
    pub trouble: Trouble,
    /// When the hand let go, or the run began.
    pub released_s: f64,
    /// The earliest moment that was tried.
    pub tried_from_s: f64,
    /// When it could first be seen coming.
    pub first_cue: Option<(f64, Cue)>,
    /// Every correction.
    pub corrections: Vec<LastMoment>,
}

impl Hindsight {
    /// The correction that could wait longest.
    pub fn best(&self) -> Option<LastMoment> {
        let saves = (self.corrections.iter()).filter(|last| last.decided_s.is_some());
        // The first of those that could wait equally long.
        saves.copied().reduce(|best, next| {
            if next.decided_s > best.decided_s {
                next
            } else {
                best
            }
        })
    }

    /// What it means, in a sentence or two.
    pub fn in_words(&self) -> String {
        let after_s = |time_s: f64| time_s - self.released_s;
        let Some((best, best_s)) = self.best().and_then(|b| Some((b, b.decided_s?))) else {
            return "None of these, begun at any moment after the release, would have saved it: \
                    no pilot could. Look at the plane, the throw and the day, not at the sticks."
                .to_owned();
        };
        let what = best.correction.in_words();
        match self.first_cue {
            Some((cue_s, cue)) if best_s >= cue_s => format!(
                "Saved by this, decided upon up to {:.1} s after the release: {what}. The first \
                 to see is that {}, at {:.1} s: that leaves {:.1} s.",
                after_s(best_s),
                cue.in_words(),
                after_s(cue_s),
                best_s - cue_s
            ),
            Some((cue_s, cue)) => format!(
                "The first to see is that {}, {:.1} s after the release. By then it is {:.1} s too \
                 late for the last thing that would have saved it ({what}): no pilot could save it \
                 there. {}",
                cue.in_words(),
                after_s(cue_s),
                cue_s - best_s,
                self.what_then()
            ),
            None => format!(
                "There is nothing to see before it happens: no pilot could save it, though this, \
                 decided upon {:.1} s after the release, would have: {what}. {}",
                after_s(best_s),
                self.what_then()
            ),
        }
    }

    /// What is to be done where a pilot sees nothing in time: soon after the
    /// release plane and throw are to blame, later how it was flown.
    fn what_then(&self) -> &'static str {
        if self.trouble.time_s - self.released_s < SOON_S {
            "Look at the plane, at the throw, and at what the sticks did until then."
        } else {
            "What led there has to be flown differently, earlier."
        }
    }

    /// Whether some correction still saves it when it is decided upon at the
    /// first cue.
    pub fn a_pilot_could(&self) -> bool {
        let cue_s = self
            .first_cue
            .map_or(self.trouble.time_s, |(cue_s, _)| cue_s);
        let best_s = self.best().and_then(|best| best.decided_s);
        best_s.is_some_and(|best_s| best_s >= cue_s)
    }
}

/// Flies a flight up to its first trouble, then back. `None`: there is none.
///
/// `go_on` is asked now and then with the share that is done; when it says no,
/// looking back stops and finds nothing.
pub fn look_back(setup: FlightSetup, mut go_on: impl FnMut(f64) -> bool) -> Option<Hindsight> {
    let flown = fly_to_trouble(setup)?;
    let mut world = FieldWorld::new(FieldSetup::default());
    let mut corrections = Vec::new();
    for (index, correction) in Correction::ALL.into_iter().enumerate() {
        if !go_on(index as f64 / Correction::ALL.len() as f64) {
            return None;
        }
        let mut saves = |(_, moment): &(f64, FlightSnapshot)| saved(&mut world, moment, correction);
        let last = last_that(&flown.moments, &mut saves);
        corrections.push(LastMoment {
            correction,
            decided_s: last.map(|(time_s, _)| time_s - DELAY_S),
        });
    }
    let tried_from_s = flown
        .moments
        .first()
        .map_or(flown.released_s, |(time_s, _)| *time_s);
    Some(Hindsight {
        trouble: flown.trouble,
        released_s: flown.released_s,
        tried_from_s: tried_from_s - DELAY_S,
        first_cue: flown.first_cue,
        corrections,
    })
}

struct FlownAgain {
    trouble: Trouble,
    released_s: f64,
    first_cue: Option<(f64, Cue)>,
    /// From early to late, with their times.
    moments: Vec<(f64, FlightSnapshot)>,
}

/// Flies until something goes wrong, and keeps the moments before it.
fn fly_to_trouble(setup: FlightSetup) -> Option<FlownAgain> {
    let mut world = FieldWorld::new(FieldSetup::default());
    let id = world.add_flight(setup);
    let mut moments: Vec<(f64, FlightSnapshot)> = Vec::new();
    let mut released_s = None;
    let trouble = loop {
        world.step(1);
        let view = world.view(id)?;
        let time_s = view.time_s;
        let in_hand = view.plane.stage == FlightStage::InHand;
        let let_go = view.events.iter().any(|e| e.kind == EventKind::Released);
        if let Some(trouble) = trouble_in(view.events, 0.0) {
            break trouble;
        }
        if world.all_ended() {
            return None;
        }
        if in_hand {
            continue;
        }
        // A run without a hand is free from its beginning.
        let released_s = *released_s.get_or_insert(if let_go { time_s } else { 0.0 });
        let due = moments
            .last()
            .is_none_or(|(last_s, _)| time_s - last_s >= STEP_S - 0.5 * TICK_S);
        // What is decided upon before the release is another throw.
        if due && time_s - DELAY_S >= released_s {
            moments.push((time_s, world.snapshot(id)?));
            moments.retain(|(kept_s, _)| time_s - kept_s <= FARTHEST_S);
        }
    };
    let samples = world.take_result(id)?.recording.samples;
    Some(FlownAgain {
        first_cue: first_cue(&samples, trouble.time_s),
        trouble,
        released_s: released_s.unwrap_or(0.0),
        moments,
    })
}

/// The last of the moments that is good: coarsely from late to early, then the
/// steps behind the first good one.
fn last_that<'a, T>(moments: &'a [T], good: &mut impl FnMut(&T) -> bool) -> Option<&'a T> {
    let mut late = moments.len();
    while late > 0 {
        let index = late.saturating_sub(COARSE);
        if good(&moments[index]) {
            let better = (index + 1..late).rev().find(|later| good(&moments[*later]));
            return moments.get(better.unwrap_or(index));
        }
        late = index;
    }
    None
}

/// Whether a correction that takes hold at a moment saves the flight.
fn saved(world: &mut FieldWorld, moment: &FlightSnapshot, correction: Correction) -> bool {
    let id = world.add_snapshot(&moment.taken_over());
    let saved = goes_on_unharmed(world, id, correction).unwrap_or(false);
    world.take_result(id);
    saved
}

fn goes_on_unharmed(world: &mut FieldWorld, id: FlightId, correction: Correction) -> Option<bool> {
    let mut hands: ControlMessage = world.view(id)?.message;
    let began = hands.sticks;
    let began_s = world.view(id)?.time_s;
    loop {
        let view = world.view(id)?;
        if trouble_in(view.events, 0.0).is_some() {
            return Some(false);
        }
        if view.plane.ended() || view.time_s - began_s >= SAVED_S {
            return Some(true);
        }
        correction.go_on(&view, &began, &mut hands, HANDS_TICKS as f64 * TICK_S);
        world.give_message(id, hands);
        world.step(HANDS_TICKS);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_good_moment_is_found_between_the_coarse_ones() {
        let moments: Vec<usize> = (0..20).collect();
        for last in 0..20 {
            let mut asked = 0;
            let found = last_that(&moments, &mut |moment| {
                asked += 1;
                *moment <= last
            });
            assert_eq!(found, Some(&last));
            assert!(asked <= 20 / COARSE + 1 + COARSE, "{asked} tries");
        }
        assert_eq!(last_that(&moments, &mut |_| false), None);
        assert_eq!(last_that::<usize>(&[], &mut |_| true), None);
    }
}
