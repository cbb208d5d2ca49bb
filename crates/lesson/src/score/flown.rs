//! Which stretch of the recording belongs to which phase.

use larkfield_recording::{EventKind, Recording, Sample};

use crate::score::measure::in_control_share;
use crate::{Goal, Lesson, MarkKind};

/// A phase as flown.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    /// First moment.
    pub from_s: f64,
    /// Last moment.
    pub to_s: f64,
    /// Share of the goal that was reached, 0 to 1.
    pub progress: f64,
    /// The goal was reached.
    pub done: bool,
}

/// A recording cut into phases.
pub(super) struct Flight<'a> {
    pub lesson: &'a Lesson,
    pub recording: &'a Recording,
    /// When the hand let go; `None` when it never did.
    pub released_s: Option<f64>,
    /// First touch, break or hit after release, or the last sample.
    pub over_s: f64,
    /// When both hands were on the sticks.
    pub hand_back_s: f64,
    /// One for each phase; `None` when it was never begun.
    pub stretches: Vec<Option<Stretch>>,
}

impl<'a> Flight<'a> {
    pub fn new(lesson: &'a Lesson, recording: &'a Recording) -> Self {
        let when = |wanted: fn(&EventKind) -> bool| {
            recording
                .events
                .iter()
                .find(|event| wanted(&event.kind))
                .map(|event| event.time_s)
        };
        let last_s = recording.samples.last().map_or(0.0, |sample| sample.time_s);
        let released_s = when(|kind| matches!(kind, EventKind::Released));
        let over_s = when(|kind| {
            matches!(
                kind,
                EventKind::TouchedGround { .. }
                    | EventKind::Broke { .. }
                    | EventKind::HitPerson { .. }
                    | EventKind::NotFinite { .. }
                    | EventKind::Ended { .. }
            )
        })
        .map_or(last_s, |time_s| time_s.min(last_s));
        let hand_back_s = when(|kind| matches!(kind, EventKind::HandOnStick))
            .or(released_s)
            .unwrap_or(last_s);
        let mut flight = Self {
            lesson,
            recording,
            released_s,
            over_s,
            hand_back_s,
            stretches: Vec::new(),
        };
        flight.cut();
        flight
    }

    fn cut(&mut self) {
        let mut begins_s = self.released_s;
        for phase in &self.lesson.phases {
            let stretch = begins_s
                .filter(|from_s| *from_s < self.over_s)
                .map(|from_s| {
                    let done_s = self.done_s(&phase.name);
                    let to_s = done_s.unwrap_or(self.over_s);
                    Stretch {
                        from_s,
                        to_s,
                        progress: match done_s {
                            Some(_) => 1.0,
                            None => self.progress(phase.goal, from_s, to_s),
                        },
                        done: done_s.is_some(),
                    }
                });
            begins_s = stretch.filter(|s| s.done).map(|s| s.to_s);
            self.stretches.push(stretch);
        }
    }

    fn done_s(&self, name: &str) -> Option<f64> {
        self.recording
            .events
            .iter()
            .find(|event| matches!(&event.kind, EventKind::PhaseDone { phase } if phase == name))
            .map(|event| event.time_s)
    }

    fn progress(&self, goal: Goal, from_s: f64, to_s: f64) -> f64 {
        let share = match goal {
            Goal::FlyAway { for_s } => (to_s - from_s) / for_s,
            Goal::ClimbTo { height_m } => {
                let start_m = self.release_height_m();
                let top_m = self
                    .between(from_s, to_s)
                    .map(|s| s.height_m)
                    .fold(start_m, f64::max);
                (top_m - start_m) / (height_m - start_m)
            }
        };
        if share.is_nan() {
            0.0
        } else {
            share.clamp(0.0, 1.0)
        }
    }

    /// Samples between two times, both included.
    pub fn between(&self, from_s: f64, to_s: f64) -> impl Iterator<Item = &'a Sample> {
        // Event times and sample times are both sums of ticks.
        let slack_s = 1e-6;
        self.recording
            .samples
            .iter()
            .filter(move |s| s.time_s >= from_s - slack_s && s.time_s <= to_s + slack_s)
    }

    /// Samples of a phase.
    pub fn samples(&self, phase: usize) -> impl Iterator<Item = &'a Sample> {
        let (from_s, to_s) = self
            .stretches
            .get(phase)
            .copied()
            .flatten()
            .map_or((1.0, 0.0), |stretch| (stretch.from_s, stretch.to_s));
        self.between(from_s, to_s)
    }

    /// Height at the release, 0 when there was none.
    pub fn release_height_m(&self) -> f64 {
        self.released_s
            .and_then(|time_s| self.between(time_s, f64::INFINITY).next())
            .map_or(0.0, |sample| sample.height_m)
    }

    /// The share of a line's points that can count at all.
    pub fn share_counted(&self, kind: MarkKind, phase: usize) -> f64 {
        let Some(Some(stretch)) = self.stretches.get(phase) else {
            // Whether anything broke is known even if the phase never began.
            return if kind == MarkKind::Damage && self.released_s.is_some() {
                1.0
            } else {
                0.0
            };
        };
        let flown = match kind {
            // These measure progress or the whole run themselves.
            MarkKind::GoalReached | MarkKind::Damage => 1.0,
            _ => stretch.progress,
        };
        let climbing = matches!(
            self.lesson.phases.get(phase).map(|phase| phase.goal),
            Some(Goal::ClimbTo { .. })
        );
        if climbing && kind.is_pilots_merit() {
            flown * in_control_share(self, phase).unwrap_or(0.0)
        } else {
            flown
        }
    }

    pub fn goal_reached(&self) -> bool {
        !self.stretches.is_empty() && self.stretches.iter().all(|s| s.is_some_and(|s| s.done))
    }

    pub fn broken_parts(&self) -> Vec<String> {
        let mut parts: Vec<String> = Vec::new();
        for event in &self.recording.events {
            if let EventKind::Broke { part, .. } = &event.kind
                && !parts.contains(part)
            {
                parts.push(part.clone());
            }
        }
        parts
    }

    pub fn flown_s(&self) -> f64 {
        self.released_s
            .map_or(0.0, |released_s| (self.over_s - released_s).max(0.0))
    }

    pub fn highest_m(&self) -> f64 {
        let from_s = self.released_s.unwrap_or(f64::INFINITY);
        self.between(from_s, self.over_s)
            .map(|s| s.height_m)
            .fold(0.0, f64::max)
    }
}
