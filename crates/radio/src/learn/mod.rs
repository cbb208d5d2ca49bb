//! Finding out about a device nobody has described: which axis is which stick,
//! its ends, its centre, its noise, and what the radio does to it already.
//!
//! A [`Learner`] is fed with events and with time, says what the person should
//! do next, and goes on when the sticks have been still for [`STILL_S`]. It
//! knows only what arrives; nothing is assumed of an axis that has not moved.

mod outcome;
mod prompt;
mod steps;
mod switches;
mod watch;

use std::collections::BTreeMap;

use larkfield_pilot::StickMode;

pub use outcome::{Learned, LearnedAxis};
pub use prompt::{Prompt, Refusal};
pub use watch::{JUMP_S, STILL_S};

use crate::{
    AxisCode, AxisMap, DeviceEvent, DeviceEventKind, Function, Gimbal, SwitchJob, ThrottleStop,
};
use switches::SwitchHunt;
use watch::{AxisWatch, Rest};

/// Nothing moving for this long ends the learning.
const PATIENCE_S: f64 = 20.0;
/// An axis has moved when it has covered this much of all it could.
const MOVED: f64 = 0.2;
/// No step takes longer than this.
const LONGEST_STEP_S: f64 = 120.0;
/// Time passes in steps of at most this.
const GRAIN_S: f64 = 0.02;

/// How far learning has come.
#[derive(Debug, Clone, PartialEq)]
pub enum Progress {
    /// It goes on: what to do now.
    Ask(Prompt),
    /// All is known.
    Done(Box<Learned>),
    /// It cannot go on.
    Refused(Refusal),
}

/// What is known of one stick movement so far.
#[derive(Debug, Clone, Copy, Default)]
struct Found {
    code: Option<AxisCode>,
    to: f64,
    from: f64,
    half: Option<f64>,
    centre: f64,
    noise: f64,
}

/// Learns one device.
#[derive(Debug, Clone)]
pub struct Learner {
    mode: StickMode,
    watches: BTreeMap<AxisCode, AxisWatch>,
    /// Where everything rested after it had been stirred.
    rests: BTreeMap<AxisCode, Rest>,
    /// Since when four axes have rested while all are stirred.
    still_since_s: Option<f64>,
    /// Axes that never rest.
    restless: Vec<AxisCode>,
    /// Values when the present step began.
    begun: BTreeMap<AxisCode, f64>,
    found: [Found; 4],
    throttle_stop: ThrottleStop,
    hunt: SwitchHunt,
    steps: Vec<Prompt>,
    /// Present step, and since when.
    step: usize,
    since_s: Option<f64>,
    /// When something last moved.
    moved_s: f64,
    now_s: f64,
    ended: Option<Progress>,
}

impl Learner {
    /// Asks for an instructor's switches as well.
    #[must_use]
    pub fn with_instructor(mut self) -> Self {
        let jobs = [SwitchJob::InstructorPowerLoss, SwitchJob::InstructorGust];
        self.steps.extend(jobs.map(Prompt::Switch));
        self
    }

    /// A learner for somebody who flies in this mode.
    pub fn new(mode: StickMode) -> Self {
        let mut steps = vec![Prompt::Stir(mode)];
        for gimbal in Gimbal::ALL {
            steps.push(Prompt::Hold { gimbal, to: true });
            if gimbal.function(mode) != Function::Throttle {
                steps.push(Prompt::Half(gimbal));
            }
            steps.push(Prompt::Hold { gimbal, to: false });
            steps.push(Prompt::LetGo(gimbal));
        }
        let jobs = [
            SwitchJob::Throw,
            SwitchJob::ThrottleCut,
            SwitchJob::SecondRates,
            SwitchJob::Again,
        ];
        steps.extend(jobs.map(Prompt::Switch));
        Self {
            mode,
            watches: BTreeMap::new(),
            rests: BTreeMap::new(),
            still_since_s: None,
            restless: Vec::new(),
            begun: BTreeMap::new(),
            found: [Found::default(); 4],
            throttle_stop: ThrottleStop::LowEnd,
            hunt: SwitchHunt::default(),
            steps,
            step: 0,
            since_s: None,
            moved_s: 0.0,
            now_s: 0.0,
            ended: None,
        }
    }

    /// What to do now, or how it ended.
    pub fn progress(&self) -> Progress {
        match (&self.ended, self.steps.get(self.step)) {
            (Some(ended), _) => ended.clone(),
            (None, Some(prompt)) => Progress::Ask(*prompt),
            // The last step ends it.
            (None, None) => Progress::Refused(Refusal::Unplugged),
        }
    }

    /// Number of the present step from 1, and of all of them.
    pub fn step(&self) -> (usize, usize) {
        ((self.step + 1).min(self.steps.len()), self.steps.len())
    }

    /// The device did something.
    pub fn hear(&mut self, event: &DeviceEvent) {
        self.pass(event.time_s);
        if self.ended.is_some() {
            return;
        }
        match event.kind {
            DeviceEventKind::Disconnected => self.refuse(Refusal::Unplugged),
            DeviceEventKind::Connected => {}
            DeviceEventKind::Axis { code, value } if value.is_finite() => {
                let watch = self.watches.entry(code).or_default();
                let before = watch.value();
                watch.hear(event.time_s, value);
                let base = self.begun.entry(code).or_insert(value);
                let moved = before.is_none() || (value - *base).abs() > MOVED;
                if moved && !self.restless.contains(&code) {
                    self.moved_s = event.time_s;
                }
            }
            DeviceEventKind::Axis { .. } => {}
            DeviceEventKind::Button { code, pressed } => {
                if let Some(Prompt::Switch(_)) = self.steps.get(self.step) {
                    self.hunt.button(event.time_s, code, pressed);
                    self.moved_s = event.time_s;
                }
            }
        }
    }

    /// Time passes.
    pub fn pass(&mut self, now_s: f64) {
        if !now_s.is_finite() || now_s < self.now_s || self.ended.is_some() {
            return;
        }
        if self.since_s.is_none() {
            self.now_s = now_s;
            self.begin_step();
        }
        while self.ended.is_none() && self.now_s + GRAIN_S < now_s {
            self.look(self.now_s + GRAIN_S);
        }
        if self.ended.is_none() {
            self.look(now_s);
        }
    }

    /// Goes on when the sticks are where the present step wants them.
    fn look(&mut self, now_s: f64) {
        self.now_s = now_s;
        for watch in self.watches.values_mut() {
            watch.pass(now_s);
        }
        match self.steps.get(self.step).copied() {
            Some(Prompt::Stir(_)) => self.stir(),
            Some(Prompt::Hold { gimbal, to }) => self.hold(gimbal, to),
            Some(Prompt::Half(gimbal)) => self.half(gimbal),
            Some(Prompt::LetGo(gimbal)) => self.let_go(gimbal),
            Some(Prompt::Switch(job)) => self.switch(job),
            None => {}
        }
        let since_s = self.since_s.unwrap_or(now_s);
        let quiet_s = now_s - self.moved_s.max(since_s);
        let long = quiet_s >= PATIENCE_S || now_s - since_s >= LONGEST_STEP_S;
        if self.ended.is_none() && long {
            self.give_up();
        }
    }

    /// There will be no more events: what is known is enough when only switches
    /// are missing.
    pub fn finish(&mut self) {
        // A recording ends when the last stick has come to rest.
        let now_s = self.now_s;
        self.pass(now_s + steps::STAYS_S + STILL_S);
        while self.ended.is_none() {
            match self.steps.get(self.step) {
                Some(Prompt::Switch(_)) => self.next_step(),
                _ => self.give_up(),
            }
        }
    }

    fn begin_step(&mut self) {
        self.since_s = Some(self.now_s);
        self.begun = (self.watches.iter())
            .filter_map(|(code, watch)| Some((*code, watch.value()?)))
            .collect();
    }

    fn next_step(&mut self) {
        self.step += 1;
        self.begin_step();
        if self.step == self.steps.len() {
            self.conclude();
        }
    }

    fn refuse(&mut self, why: Refusal) {
        self.ended = Some(Progress::Refused(why));
    }

    /// Says why the present step never came to its end.
    fn give_up(&mut self) {
        let restless = (self.watches.iter())
            .find(|(_, watch)| covered(watch) > MOVED && watch.rest(self.now_s).is_none())
            .map(|(code, _)| *code);
        let why = match (self.steps.get(self.step).copied(), restless) {
            (Some(Prompt::Stir(_)), None) | (None, _) => Refusal::TooFew {
                moved: self.moved_axes(),
            },
            (Some(Prompt::Stir(_)), Some(code)) if self.moved_axes().len() >= 4 => {
                Refusal::NeverStill { code }
            }
            (Some(Prompt::Stir(_)), Some(_)) => Refusal::TooFew {
                moved: self.moved_axes(),
            },
            (Some(Prompt::Hold { gimbal, to }), _) => Refusal::DidNotMove { gimbal, to },
            (Some(Prompt::Half(gimbal)), _) => Refusal::NotDone {
                gimbal,
                what: "held half-way",
            },
            (Some(Prompt::LetGo(gimbal)), _) => Refusal::NotDone {
                gimbal,
                what: "let go",
            },
            (Some(Prompt::Switch(_)), _) => return self.next_step(),
        };
        self.refuse(why);
    }

    fn conclude(&mut self) {
        // Shares as a file has them, in hundredths of a percent.
        let rounded = |share: f64| (share * 1e4).round() / 1e4 + 0.0;
        let axes = Gimbal::ALL.map(|gimbal| {
            let found = self.found[index_of(gimbal)];
            let code = found.code.unwrap_or(AxisCode(0));
            LearnedAxis {
                gimbal,
                function: gimbal.function(self.mode),
                map: AxisMap {
                    code,
                    from: rounded(found.from),
                    centre: rounded(found.centre),
                    to: rounded(found.to),
                    noise: rounded(found.noise),
                },
                half: found.half.map(rounded),
                jumps: self.watches.get(&code).map_or(0, |watch| watch.jumps),
            }
        });
        let learned = Learned {
            mode: self.mode,
            axes,
            throttle_stop: self.throttle_stop,
            switches: self.hunt.switches(),
            restless: self.restless.clone(),
        };
        let radio = learned.transmitter("learned", None, true);
        self.ended = Some(match radio.check() {
            Ok(()) => Progress::Done(Box::new(learned)),
            Err(problems) => match problems.into_iter().next() {
                Some(problem) => Progress::Refused(Refusal::Unusable(problem)),
                None => Progress::Done(Box::new(learned)),
            },
        });
    }
}

fn index_of(gimbal: Gimbal) -> usize {
    match gimbal {
        Gimbal::LeftAcross => 0,
        Gimbal::LeftAlong => 1,
        Gimbal::RightAcross => 2,
        Gimbal::RightAlong => 3,
    }
}

/// How much of all it could an axis has covered.
fn covered(watch: &AxisWatch) -> f64 {
    watch.range().map_or(0.0, |(low, high)| high - low)
}
