//! One plane to look at, one call, and what the call was worth.

use larkfield_airframe::Airframe;
use larkfield_pilot::{Noise, RadioSetup, StickMode};
use larkfield_radio::Function;

use super::bench::{AtTransmitter, Bench};
use super::ends::{End, Watched};
use super::fault::SetupFault;

/// Points of a round: for the call, for having looked at everything, and for
/// not taking all day.
const CALL_POINTS: f64 = 60.0;
const ENDS_POINTS: f64 = 30.0;
const TIME_POINTS: f64 = 10.0;
/// Points of a call that found something wrong and named something else.
const NAMED_WRONG_POINTS: f64 = 30.0;
/// A whole check takes a practised pilot no longer than this, and a beginner
/// no longer than that (common practice, no source).
const QUICK_S: f64 = 45.0;
const SLOW_S: f64 = 120.0;
/// One plane in so many has nothing wrong.
const FIT_SHARE: f64 = 0.3;
/// Hands that do something else than before are looked at in such steps.
const LOOK_S: f64 = 0.02;

/// What the pilot says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Call {
    /// Nothing is wrong.
    Fit,
    /// This is wrong.
    Fault(SetupFault),
}

/// What the call was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Right.
    Right,
    /// Something is wrong, but something else.
    NamedWrong,
    /// Something is wrong, and it was called fit.
    Missed,
    /// Nothing is wrong, and a fault was called.
    FalseAlarm,
    /// Called before the sticks that show it had been moved.
    Guessed,
}

impl Verdict {
    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::NamedWrong => "found, but named as something else",
            Self::Missed => "missed",
            Self::FalseAlarm => "false alarm",
            Self::Guessed => "called before it could be seen",
        }
    }
}

/// A round that is over.
#[derive(Debug, Clone, PartialEq)]
pub struct Called {
    /// What was wrong.
    pub fault: Option<SetupFault>,
    /// What was said.
    pub call: Call,
    /// What that was.
    pub verdict: Verdict,
    /// From the beginning to the call.
    pub time_s: f64,
    /// What nobody looked at.
    pub left: Vec<End>,
    /// Of 100.
    pub points: f64,
}

/// A round that is on.
#[derive(Debug, Clone)]
pub struct Round {
    fault: Option<SetupFault>,
    bench: Bench,
    watched: Watched,
    ends: usize,
    time_s: f64,
    without_radio_s: f64,
}

impl Round {
    /// A plane with a fault or without.
    pub fn new(
        airframe: &Airframe,
        setup: &RadioSetup,
        mode: StickMode,
        fault: Option<SetupFault>,
        seed: u64,
    ) -> Self {
        let watched = Watched::new(airframe, setup);
        Self {
            fault,
            ends: watched.left().len(),
            watched,
            bench: Bench::new(airframe, setup, mode, fault, seed),
            time_s: 0.0,
            without_radio_s: 0.0,
        }
    }

    /// The plane on its stand.
    pub fn bench(&self) -> &Bench {
        &self.bench
    }

    /// Since the round began.
    pub fn time_s(&self) -> f64 {
        self.time_s
    }

    /// What nobody has looked at yet.
    pub fn left(&self) -> Vec<End> {
        self.watched.left()
    }

    /// Hands do something for a while.
    pub fn act(&mut self, at: &AtTransmitter, time_s: f64) {
        let mut left_s = if time_s.is_finite() {
            time_s.clamp(0.0, 3600.0)
        } else {
            0.0
        };
        while left_s > 1e-9 {
            let step_s = left_s.min(LOOK_S);
            let runs = self.bench.motor().is_some_and(|motor| motor.rpm > 100.0);
            self.watched.see(at, runs, step_s);
            self.bench.pass(step_s, at);
            self.time_s += step_s;
            if !at.on {
                self.without_radio_s += step_s;
            }
            left_s -= step_s;
        }
    }

    /// The pilot makes the call.
    pub fn call(self, call: Call) -> Called {
        let left = self.watched.left();
        let seen = match call {
            Call::Fit => left.is_empty(),
            Call::Fault(fault) => self.could_see(fault),
        };
        let verdict = match (self.fault, call) {
            (None, Call::Fault(_)) => Verdict::FalseAlarm,
            (Some(_), Call::Fit) => Verdict::Missed,
            _ if !seen => Verdict::Guessed,
            (Some(fault), Call::Fault(named)) if fault != named => Verdict::NamedWrong,
            _ => Verdict::Right,
        };
        let looked = 1.0 - left.len() as f64 / self.ends.max(1) as f64;
        let quick = ((SLOW_S - self.time_s) / (SLOW_S - QUICK_S)).clamp(0.0, 1.0);
        let points = match verdict {
            // Hurry is worth nothing where something was left out.
            Verdict::Right if left.is_empty() => CALL_POINTS + ENDS_POINTS + TIME_POINTS * quick,
            Verdict::Right => CALL_POINTS + ENDS_POINTS * looked,
            Verdict::NamedWrong => NAMED_WRONG_POINTS + ENDS_POINTS * looked,
            Verdict::Missed | Verdict::FalseAlarm | Verdict::Guessed => 0.0,
        };
        Called {
            fault: self.fault,
            call,
            verdict,
            time_s: self.time_s,
            left,
            points,
        }
    }

    /// Whether the hands have done anything that shows it.
    fn could_see(&self, fault: SetupFault) -> bool {
        let moved = self.watched.moved();
        let any = |functions: &[Function]| functions.iter().any(|f| moved.contains(f));
        match fault {
            SetupFault::ElevatorReversed => any(&[Function::Elevator]),
            SetupFault::AileronReversed => any(&[Function::Aileron]),
            SetupFault::RudderReversed => any(&[Function::Aileron, Function::Rudder]),
            SetupFault::MotorNotArmed | SetupFault::PropellerBackward => any(&[Function::Throttle]),
            SetupFault::FailSafeHolds => self.without_radio_s > 0.0,
            // Seen with the sticks let go.
            SetupFault::TrimOff | SetupFault::ThrottleReversed => true,
            _ => !moved.is_empty(),
        }
    }
}

/// The fault of a round: none in about one of three.
pub fn drawn(airframe: &Airframe, seed: u64, round: u32) -> Option<SetupFault> {
    let noise = Noise::new(seed, "which fault a control check has");
    if noise.uniform(2 * round) < FIT_SHARE {
        return None;
    }
    let can: Vec<SetupFault> = SetupFault::ALL
        .into_iter()
        .filter(|fault| fault.fits(airframe))
        .collect();
    let index = (noise.uniform(2 * round + 1) * can.len() as f64) as usize;
    can.get(index.min(can.len().saturating_sub(1))).copied()
}
