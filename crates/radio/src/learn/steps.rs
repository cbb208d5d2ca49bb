//! The steps of learning: when each is done, and what it found.

use std::collections::BTreeMap;

use super::prompt::SKIP_S;
use super::watch::{AxisWatch, Rest, STILL_S};
use super::{Learner, MOVED, Refusal, covered, index_of};
use crate::{AxisCode, Function, Gimbal, SwitchJob, ThrottleStop};

/// Within this share of the range seen so far an axis is near an end.
const NEAR_END: f64 = 0.15;
/// The other end is at least this share of the range away.
const OTHER_END: f64 = 0.5;
/// Another axis that moves this share as far with it moves too.
const MOVES_TOO: f64 = 0.5;
/// Two centres may be this share of the travel apart.
const SAME_CENTRE: f64 = 0.05;
/// A throttle that rested in its middle before and stays this long where it was
/// pulled does not spring back after all.
pub(super) const STAYS_S: f64 = 6.0;
/// An axis that moves on so long after four others came to rest is never still.
const NEVER_STILL_S: f64 = 3.0;

impl Learner {
    /// Axes that have covered most of something.
    pub(super) fn moved_axes(&self) -> Vec<AxisCode> {
        let moved = self
            .watches
            .iter()
            .filter(|(_, watch)| covered(watch) > MOVED);
        moved.map(|(code, _)| *code).collect()
    }

    /// Everything is moved once, so that everything is known.
    pub(super) fn stir(&mut self) {
        let moved = self.moved_axes();
        let resting: BTreeMap<AxisCode, Rest> = (self.watches.iter())
            .filter_map(|(code, watch)| Some((*code, watch.rest(self.now_s)?)))
            .collect();
        let still = (moved.iter()).filter(|code| resting.contains_key(code));
        if still.count() < 4 {
            self.still_since_s = None;
            return;
        }
        // Hands that pause in a corner go on; a stick that is still moving will
        // come to rest, unless it never does.
        let since_s = *self.still_since_s.get_or_insert(self.now_s);
        let moving = (moved.iter()).any(|code| !resting.contains_key(code));
        let wait_s = if moving { NEVER_STILL_S } else { STILL_S };
        if self.now_s - since_s < wait_s {
            return;
        }
        self.restless = (self.watches.keys())
            .filter(|code| !resting.contains_key(code))
            .copied()
            .collect();
        self.rests = resting;
        self.next_step();
    }

    /// How far each axis has moved in this step, as a share of its range, the
    /// farthest first.
    fn movements(&self) -> Vec<(AxisCode, f64)> {
        let mut all: Vec<(AxisCode, f64)> = (self.rests.keys())
            .filter_map(|code| {
                let watch = self.watches.get(code)?;
                let way = (watch.value()? - *self.begun.get(code)?).abs();
                let range = covered(watch);
                (range > MOVED).then_some((*code, way / range))
            })
            .collect();
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all
    }

    pub(super) fn hold(&mut self, gimbal: Gimbal, to: bool) {
        let known = self.found[index_of(gimbal)].code;
        let movements = self.movements();
        let Some((code, way)) = movements.first().copied() else {
            return;
        };
        let code = known.unwrap_or(code);
        let Some((watch, rest)) = self.at_rest(code) else {
            return;
        };
        let (low, high) = watch.range().unwrap_or((0.0, 0.0));
        let range = high - low;
        let near_end =
            rest.value <= low + NEAR_END * range || rest.value >= high - NEAR_END * range;
        let moved = movements
            .iter()
            .any(|(moved, way)| *moved == code && *way > MOVED);
        if !near_end || !moved {
            return;
        }
        let found = &mut self.found[index_of(gimbal)];
        if !to {
            // The other end, not the same again.
            if (rest.value - found.to).abs() >= OTHER_END * range {
                found.from = rest.value;
                self.next_step();
            }
            return;
        }
        found.code = Some(code);
        found.to = rest.value;
        let taken = (Gimbal::ALL.into_iter())
            .find(|other| *other != gimbal && self.found[index_of(*other)].code == Some(code));
        if let Some(first) = taken {
            return self.refuse(Refusal::SameAxis {
                code,
                first,
                second: gimbal,
            });
        }
        let second = movements
            .iter()
            .find(|(other, too)| *other != code && *too > MOVES_TOO * way);
        if let Some((second, _)) = second {
            return self.refuse(Refusal::TwoAxes {
                gimbal,
                to,
                first: code,
                second: *second,
            });
        }
        self.next_step();
    }

    pub(super) fn half(&mut self, gimbal: Gimbal) {
        let found = self.found[index_of(gimbal)];
        let Some((code, rest)) = self.resting(gimbal) else {
            return;
        };
        let base = self.rests.get(&code).map_or(0.0, |rest| rest.value);
        let share = (rest.value - base) / (found.to - base);
        if share > 0.05 && share < 1.0 - NEAR_END {
            self.found[index_of(gimbal)].half = Some(share);
            self.next_step();
        }
    }

    pub(super) fn let_go(&mut self, gimbal: Gimbal) {
        let found = self.found[index_of(gimbal)];
        let Some((code, rest)) = self.resting(gimbal) else {
            return;
        };
        let travel = found.to - found.from;
        // Where it rests, 0 at `from` to 1 at `to`.
        let share = (rest.value - found.from) / travel;
        let sprung_back = share > NEAR_END && share < 1.0 - NEAR_END;
        let before = self.rests.get(&code).copied().unwrap_or(rest);
        if gimbal.function(self.mode) == Function::Throttle {
            let waited_s = self.now_s - self.since_s.unwrap_or(self.now_s);
            let rested = (before.value - found.from) / travel;
            let may_spring = rested > NEAR_END && rested < 1.0 - NEAR_END;
            if !sprung_back && may_spring && waited_s < STAYS_S {
                return;
            }
            let stop = if sprung_back {
                ThrottleStop::Centre
            } else {
                ThrottleStop::LowEnd
            };
            self.throttle_stop = stop;
        } else if !sprung_back {
            return;
        }
        let stays = gimbal.function(self.mode) == Function::Throttle
            && self.throttle_stop == ThrottleStop::LowEnd;
        if !stays && (rest.value - before.value).abs() > SAME_CENTRE * travel.abs() {
            return self.refuse(Refusal::WanderingCentre {
                gimbal,
                code,
                before: before.value,
                after: rest.value,
            });
        }
        let found = &mut self.found[index_of(gimbal)];
        found.centre = if stays {
            0.5 * (found.from + found.to)
        } else {
            0.5 * (before.value + rest.value)
        };
        found.noise = before.noise.max(rest.noise);
        self.next_step();
    }

    pub(super) fn switch(&mut self, job: SwitchJob) {
        let sticks: Vec<AxisCode> = self.found.iter().filter_map(|found| found.code).collect();
        let values = (self.watches.iter())
            .filter(|(code, _)| !sticks.contains(code))
            .filter_map(|(code, watch)| Some((*code, *self.begun.get(code)?, watch.value()?)));
        self.hunt.axes(self.now_s, values);
        if self.hunt.take(self.now_s, job) {
            return self.next_step();
        }
        let since_s = self.since_s.unwrap_or(self.now_s);
        let quiet_s = self.now_s - self.moved_s.max(since_s);
        if quiet_s >= SKIP_S {
            self.hunt.forget();
            self.next_step();
        }
    }

    /// The axis of a stick and where it rests, when it does.
    fn resting(&self, gimbal: Gimbal) -> Option<(AxisCode, Rest)> {
        let code = self.found[index_of(gimbal)].code?;
        self.at_rest(code).map(|(_, rest)| (code, rest))
    }

    /// An axis and where it rests, when it has been still since this step began.
    fn at_rest(&self, code: AxisCode) -> Option<(&AxisWatch, Rest)> {
        let watch = self.watches.get(&code)?;
        if self.now_s - self.since_s? < STILL_S {
            return None;
        }
        watch.rest(self.now_s).map(|rest| (watch, rest))
    }
}
