//! Some rounds, and what they came to together.

use larkfield_airframe::Airframe;
use larkfield_pilot::{RadioSetup, StickMode};

use super::bench::AtTransmitter;
use super::fault::SetupFault;
use super::round::{Call, Called, Round, Verdict};

/// Good enough, when nothing was missed (common practice, no source).
pub const PASS_POINTS: f64 = 80.0;

/// Several planes to look at, one after the other.
#[derive(Debug, Clone)]
pub struct ControlCheck {
    airframe: Airframe,
    setup: RadioSetup,
    mode: StickMode,
    seed: u64,
    faults: Vec<Option<SetupFault>>,
    called: Vec<Called>,
    on: Option<Round>,
}

/// What a control check came to.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckReport {
    /// Its rounds.
    pub rounds: Vec<Called>,
    /// Mean of the rounds, of 100.
    pub points: f64,
    /// Faults found and named.
    pub found: usize,
    /// Faults called fit.
    pub missed: usize,
    /// Sound planes called faulty.
    pub false_alarms: usize,
    /// Enough points, and nothing missed.
    pub passed: bool,
}

impl ControlCheck {
    /// A round for each of these; the seed decides which servo and which lever.
    /// See [`super::drawn`] for faults that nobody has chosen.
    pub fn new(
        airframe: &Airframe,
        setup: &RadioSetup,
        mode: StickMode,
        faults: Vec<Option<SetupFault>>,
        seed: u64,
    ) -> Self {
        let mut check = Self {
            airframe: airframe.clone(),
            setup: *setup,
            mode,
            seed,
            faults,
            called: Vec::new(),
            on: None,
        };
        check.begin();
        check
    }

    fn begin(&mut self) {
        let number = self.called.len();
        self.on = self.faults.get(number).map(|fault| {
            let seed = self.seed.wrapping_add(number as u64);
            Round::new(&self.airframe, &self.setup, self.mode, *fault, seed)
        });
    }

    /// The airframe as its builder meant it.
    pub fn airframe(&self) -> &Airframe {
        &self.airframe
    }

    /// The radio as its owner meant it.
    pub fn setup(&self) -> &RadioSetup {
        &self.setup
    }

    /// Number of the round that is on, from 1, and of all.
    pub fn step(&self) -> (usize, usize) {
        let all = self.faults.len();
        ((self.called.len() + 1).min(all), all)
    }

    /// How many rounds there are.
    pub fn rounds(&self) -> usize {
        self.faults.len()
    }

    /// The round that is on; `None` when all are over.
    pub fn round(&self) -> Option<&Round> {
        self.on.as_ref()
    }

    /// Hands do something for a while.
    pub fn act(&mut self, at: &AtTransmitter, time_s: f64) {
        if let Some(round) = &mut self.on {
            round.act(at, time_s);
        }
    }

    /// A call ends the round; what it was, and the next one begins.
    pub fn call(&mut self, call: Call) -> Option<&Called> {
        let round = self.on.take()?;
        self.called.push(round.call(call));
        self.begin();
        self.called.last()
    }

    /// What it came to so far. Rounds that nobody called count as nothing.
    pub fn report(&self) -> CheckReport {
        let count = |verdict: Verdict| {
            (self.called.iter())
                .filter(|called| called.verdict == verdict)
                .count()
        };
        // An empty sum is minus nothing.
        let sum: f64 = self.called.iter().map(|called| called.points).sum::<f64>() + 0.0;
        let points = sum / self.faults.len().max(1) as f64;
        let missed = count(Verdict::Missed);
        CheckReport {
            rounds: self.called.clone(),
            points,
            found: (self.called.iter())
                .filter(|called| called.verdict == Verdict::Right && called.fault.is_some())
                .count(),
            missed,
            false_alarms: count(Verdict::FalseAlarm),
            passed: points >= PASS_POINTS && missed == 0,
        }
    }
}
