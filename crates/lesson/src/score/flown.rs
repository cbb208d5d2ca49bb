//! Which stretch of the recording belongs to which phase.

use larkfield_recording::{EventKind, FlightStage, Recording, Sample};

use crate::score::measure::in_control_share;
use crate::{CircuitFrame, Conditions, Field, Goal, GoalWatch, Lesson, MarkKind, Progress, Watch};

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

/// The touch that a landing is judged by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Touch<'a> {
    pub time_s: f64,
    /// Rate of descent.
    pub sink_m_s: f64,
    /// The last sample in the air, before the ground changed anything.
    pub before: &'a Sample,
}

/// A recording cut into phases.
pub(super) struct Flight<'a> {
    pub lesson: &'a Lesson,
    pub recording: &'a Recording,
    pub conditions: &'a Conditions,
    /// Where the circuit is.
    pub frame: Option<CircuitFrame>,
    /// When the hand let go, or the start of a run without a hand; `None` when
    /// it never did.
    pub released_s: Option<f64>,
    /// First touch after take-off, break or hit, or the last sample.
    pub over_s: f64,
    /// The last sample.
    pub last_s: f64,
    /// When both hands were on the sticks.
    pub hand_back_s: f64,
    /// One for each phase; `None` when it was never begun.
    pub stretches: Vec<Option<Stretch>>,
}

impl<'a> Flight<'a> {
    pub fn new(
        lesson: &'a Lesson,
        field: &Field,
        recording: &'a Recording,
        conditions: &'a Conditions,
    ) -> Self {
        let when = |wanted: fn(&EventKind) -> bool| {
            recording
                .events
                .iter()
                .find(|event| wanted(&event.kind))
                .map(|event| event.time_s)
        };
        let last_s = recording.samples.last().map_or(0.0, |sample| sample.time_s);
        let free = |sample: &&Sample| sample.stage != FlightStage::InHand;
        let released_s = when(|kind| matches!(kind, EventKind::Released)).or_else(|| {
            let first = recording.samples.first().filter(free);
            first.map(|sample| sample.time_s)
        });
        let hand_back_s = when(|kind| matches!(kind, EventKind::HandOnStick))
            .or(released_s)
            .unwrap_or(last_s);
        let mut flight = Self {
            frame: lesson.frame(field, conditions),
            lesson,
            recording,
            conditions,
            released_s,
            over_s: last_s,
            last_s,
            hand_back_s,
            stretches: Vec::new(),
        };
        flight.over_s = flight.over_s().unwrap_or(last_s).min(last_s);
        flight.cut();
        flight
    }

    /// The first thing that ends flying. Hops before taking off do not.
    fn over_s(&self) -> Option<f64> {
        let first = self.lesson.phases.first();
        let airborne_s = match first.map(|phase| (phase.goal, self.done_s(&phase.name))) {
            Some((Goal::LiftOff, done_s)) => done_s.unwrap_or(f64::INFINITY),
            _ => f64::NEG_INFINITY,
        };
        let ends = |kind: &EventKind, time_s: f64| match kind {
            EventKind::TouchedGround { .. } => time_s >= airborne_s,
            EventKind::Broke { .. }
            | EventKind::HitPerson { .. }
            | EventKind::NotFinite { .. }
            | EventKind::Ended { .. } => true,
            _ => false,
        };
        self.recording
            .events
            .iter()
            .find(|event| ends(&event.kind, event.time_s))
            .map(|event| event.time_s)
    }

    fn cut(&mut self) {
        let mut begins_s = self.released_s;
        for phase in &self.lesson.phases {
            let over_s = match phase.goal {
                Goal::RollOut | Goal::Disarm { .. } => self.last_s,
                _ => self.over_s,
            };
            let done_s = self.done_s(&phase.name);
            // What is done in the very instant in which it begins, such as
            // disarming before the plane has come to rest, is done as well.
            let flown = |from_s: &f64| *from_s < over_s || done_s.is_some();
            let stretch = begins_s.filter(flown).map(|from_s| {
                let to_s = done_s.unwrap_or(over_s);
                Stretch {
                    from_s,
                    to_s,
                    progress: match done_s {
                        Some(_) => 1.0,
                        None => self.progress(&phase.goal, from_s, to_s),
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

    /// Share of an unfinished phase that was flown.
    fn progress(&self, goal: &Goal, from_s: f64, to_s: f64) -> f64 {
        let share = match goal {
            // Nothing is known between samples, but time is.
            Goal::FlyAway { for_s } => (to_s - from_s) / for_s,
            // The climb began at the hand, whatever the phase before it took.
            Goal::ClimbTo { height_m } => {
                let start_m = self.release_height_m();
                let top_m = self
                    .between(from_s, to_s)
                    .map(|s| s.height_m)
                    .fold(start_m, f64::max);
                (top_m - start_m) / (height_m - start_m)
            }
            // A touch that does not count as reached was flown all the same.
            Goal::Touch { .. } => {
                if self.touch_between(from_s, to_s).is_some() {
                    1.0
                } else {
                    0.0
                }
            }
            _ => self.watched(goal, from_s, to_s),
        };
        if share.is_nan() {
            0.0
        } else {
            share.clamp(0.0, 1.0)
        }
    }

    /// What the goal's own watch says of the samples.
    fn watched(&self, goal: &Goal, from_s: f64, to_s: f64) -> f64 {
        let mut watch = GoalWatch::new(*goal, self.frame);
        let released_s = self.released_s.unwrap_or(from_s);
        let mut reached: f64 = 0.0;
        for sample in self.between(from_s, to_s) {
            if sample.stage == FlightStage::Ended {
                continue;
            }
            let seen = Watch::from(sample);
            match watch.watch(&seen, sample.time_s - released_s) {
                Progress::Under(share) => reached = share,
                Progress::Done => return 1.0,
                Progress::Failed(_) => break,
            }
        }
        reached
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
            .stretch(phase)
            .map_or((1.0, 0.0), |stretch| (stretch.from_s, stretch.to_s));
        self.between(from_s, to_s)
    }

    /// A phase as flown.
    pub fn stretch(&self, phase: usize) -> Option<Stretch> {
        self.stretches.get(phase).copied().flatten()
    }

    /// Goal of a phase.
    pub fn goal(&self, phase: usize) -> Option<&'a Goal> {
        self.lesson.phases.get(phase).map(|phase| &phase.goal)
    }

    /// The first touch of the phase that lands.
    pub fn touch(&self) -> Option<Touch<'a>> {
        let lands = |goal: &Goal| matches!(goal, Goal::Touch { .. });
        let phase = self
            .lesson
            .phases
            .iter()
            .position(|phase| lands(&phase.goal))?;
        let stretch = self.stretch(phase)?;
        self.touch_between(stretch.from_s, stretch.to_s)
    }

    fn touch_between(&self, from_s: f64, to_s: f64) -> Option<Touch<'a>> {
        let slack_s = 1e-6;
        let (time_s, sink_m_s) =
            self.recording
                .events
                .iter()
                .find_map(|event| match event.kind {
                    EventKind::TouchedGround { sink_m_s, .. }
                        if event.time_s >= from_s && event.time_s <= to_s + slack_s =>
                    {
                        Some((event.time_s, sink_m_s))
                    }
                    _ => None,
                })?;
        let before = self
            .recording
            .samples
            .iter()
            .rfind(|s| s.time_s < time_s - slack_s && s.stage == FlightStage::Free)?;
        Some(Touch {
            time_s,
            sink_m_s,
            before,
        })
    }

    /// Height at the release, 0 when there was none.
    pub fn release_height_m(&self) -> f64 {
        self.released_s
            .and_then(|time_s| self.between(time_s, f64::INFINITY).next())
            .map_or(0.0, |sample| sample.height_m)
    }

    /// The share of a line's points that can count at all.
    pub fn share_counted(&self, kind: MarkKind, phase: usize) -> f64 {
        let Some(stretch) = self.stretch(phase) else {
            // Whether anything broke is known even if the phase never began;
            // it counts for the part of the lesson that was flown.
            return if kind == MarkKind::Damage {
                self.share_flown()
            } else {
                0.0
            };
        };
        let flown = match kind {
            MarkKind::Damage => self.share_flown(),
            // This measures progress itself.
            MarkKind::GoalReached => 1.0,
            _ => stretch.progress,
        };
        let alone = matches!(
            self.goal(phase),
            Some(Goal::ClimbTo { .. } | Goal::LevelOff { .. })
        );
        if alone && kind.is_pilots_merit() {
            flown * in_control_share(self, phase).unwrap_or(0.0)
        } else {
            flown
        }
    }

    /// Share of the lesson that was flown, phases counting alike.
    fn share_flown(&self) -> f64 {
        let phases = self.stretches.len().max(1) as f64;
        let flown: f64 = self.stretches.iter().flatten().map(|s| s.progress).sum();
        flown / phases
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
