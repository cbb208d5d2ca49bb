//! The plane at the bench, what it answers, and what was dangerous.

use larkfield_pilot::Noise;

use super::Act;

/// A battery that sags below this under load is not flown (3.0 to 3.3 V: common
/// practice, no source).
const LEAST_CELL_V: f64 = 3.3;

/// What may be wrong, unseen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hidden {
    /// The fail-safe holds the motor.
    FailSafeHolds,
    /// The throttle cut does not cut.
    CutDoesNothing,
    /// The radio does not reach.
    ShortRange,
    /// The battery sags.
    BatterySags,
    /// A surface is reversed.
    SurfaceReversed,
}

impl Hidden {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::FailSafeHolds,
        Self::CutDoesNothing,
        Self::ShortRange,
        Self::BatterySags,
        Self::SurfaceReversed,
    ];

    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::FailSafeHolds => "without the radio the motor goes on",
            Self::CutDoesNothing => "the throttle cut does not stop the motor",
            Self::ShortRange => "the radio does not reach as far as it should",
            Self::BatterySags => "the battery's voltage falls too far under load",
            Self::SurfaceReversed => "a surface moves the wrong way",
        }
    }

    /// What shows it.
    pub fn shown_by(self) -> Act {
        match self {
            Self::FailSafeHolds => Act::FailSafe,
            Self::CutDoesNothing => Act::ThrottleCut,
            Self::ShortRange => Act::Range,
            Self::BatterySags => Act::FullThrottle,
            Self::SurfaceReversed => Act::Surfaces,
        }
    }
}

/// A way to hurt somebody, or to lose the plane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Danger {
    /// Connected with the propeller on before anything about the motor was
    /// known.
    ConnectedWithPropeller,
    /// Somebody's hands were at the propeller of a connected plane.
    HandsAtPropeller,
    /// The motor ran with the propeller on and the plane free to move.
    RanFree,
    /// Connected while no transmitter told the motor to stay still.
    ConnectedWithoutRadio,
    /// The transmitter went off while the plane was connected.
    LeftAlone,
    /// Flown with something unknown or wrong.
    FlewUnchecked,
}

impl Danger {
    /// What is dangerous about it, for people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::ConnectedWithPropeller => {
                "connected with the propeller on before throttle cut and fail-safe were known: \
                 a motor that starts by itself cuts"
            }
            Self::HandsAtPropeller => {
                "hands at the propeller of a connected plane: disconnect the flight battery first"
            }
            Self::RanFree => {
                "the motor ran with the propeller on and nothing held the plane: tie it down, \
                 everybody behind the propeller"
            }
            Self::ConnectedWithoutRadio => {
                "connected while no transmitter was on: nothing told the motor to stay still; \
                 the transmitter comes on first, throttle shut"
            }
            Self::LeftAlone => {
                "the transmitter went off while the plane was connected: the battery is \
                 disconnected first, always"
            }
            Self::FlewUnchecked => "flown before everything had been looked at, or with a fault",
        }
    }
}

/// What an act came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What there is to see and hear.
    pub seen: String,
    /// Why it was dangerous.
    pub danger: Option<Danger>,
}

/// What the drill came to.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerReport {
    /// What was wrong, unseen.
    pub hidden: Option<Hidden>,
    /// Whether the last call was right: flown when sound, kept down when not.
    pub call_right: bool,
    /// Checks that were left out.
    pub left_out: Vec<Act>,
    /// Everything dangerous.
    pub dangers: Vec<Danger>,
    /// Whether the battery was out before anything else after landing, or after
    /// calling it off.
    pub disconnected_first: bool,
    /// Of 100; nothing when somebody could have been hurt.
    pub points: f64,
    /// Every line of it right.
    pub passed: bool,
}

/// Checks that have to be done, in the order in which they are safe.
const CHECKS: [Act; 6] = [
    Act::Surfaces,
    Act::ThrottleCut,
    Act::FailSafe,
    Act::Range,
    Act::Restrain,
    Act::FullThrottle,
];

/// The drill: a plane in its box, propeller on, battery out, transmitter off.
#[derive(Debug, Clone)]
pub struct PowerDrill {
    hidden: Option<Hidden>,
    propeller: bool,
    transmitter: bool,
    connected: bool,
    restrained: bool,
    done: Vec<Act>,
    dangers: Vec<Danger>,
    called: Option<Act>,
    after: Option<Act>,
    cell_v: f64,
}

impl PowerDrill {
    /// A plane that may have something wrong with it.
    pub fn new(seed: u64) -> Self {
        let noise = Noise::new(seed, "what is wrong before power");
        let hidden = (noise.uniform(0) < 0.6).then(|| {
            let index = (noise.uniform(1) * Hidden::ALL.len() as f64) as usize;
            Hidden::ALL[index.min(Hidden::ALL.len() - 1)]
        });
        Self::with(hidden, noise.uniform(2))
    }

    /// A plane with this wrong; `share` from 0 to 1 moves the voltage a little.
    pub fn with(hidden: Option<Hidden>, share: f64) -> Self {
        let cell_v = if hidden == Some(Hidden::BatterySags) {
            LEAST_CELL_V - 0.2 - 0.3 * share
        } else {
            LEAST_CELL_V + 0.2 + 0.2 * share
        };
        Self {
            hidden,
            propeller: true,
            transmitter: false,
            connected: false,
            restrained: false,
            done: Vec::new(),
            dangers: Vec::new(),
            called: None,
            after: None,
            cell_v,
        }
    }

    /// Whether it is over.
    pub fn over(&self) -> bool {
        self.after.is_some() || (self.called.is_some() && !self.connected)
    }

    /// Whether the propeller is on.
    pub fn propeller_on(&self) -> bool {
        self.propeller
    }

    /// How things stand, for people.
    pub fn state_in_words(&self) -> String {
        let or = |yes: bool, a: &'static str, b: &'static str| if yes { a } else { b };
        let landed = match self.called {
            Some(Act::Fly) => "; it has landed, and you walk up to it",
            Some(_) => "; it stays on the ground",
            None => "",
        };
        format!(
            "propeller {}, flight battery {}, transmitter {}, plane {}{landed}",
            or(self.propeller, "on", "off"),
            or(self.connected, "connected", "out"),
            or(self.transmitter, "on", "off"),
            or(self.restrained, "tied down", "free"),
        )
    }

    /// Does something.
    pub fn act(&mut self, act: Act) -> Finding {
        if self.over() {
            return say("it is over", None);
        }
        if self.called.is_some() {
            self.after = Some(act);
            let danger = match act {
                Act::Disconnect => None,
                Act::TransmitterOff => Some(Danger::LeftAlone),
                _ => Some(Danger::HandsAtPropeller),
            };
            if act == Act::Disconnect {
                self.connected = false;
            }
            self.note(danger);
            return say("", danger);
        }
        let finding = self.before(act);
        self.note(finding.danger);
        finding
    }

    fn note(&mut self, danger: Option<Danger>) {
        if let Some(danger) = danger.filter(|danger| !self.dangers.contains(danger)) {
            self.dangers.push(danger);
        }
    }

    fn before(&mut self, act: Act) -> Finding {
        let wrong = self.hidden;
        let is = |hidden: Hidden| wrong == Some(hidden);
        match act {
            Act::PropellerOff | Act::PropellerOn => {
                self.propeller = act == Act::PropellerOn;
                let danger = self.connected.then_some(Danger::HandsAtPropeller);
                say(
                    if self.propeller {
                        "it is on"
                    } else {
                        "it is off"
                    },
                    danger,
                )
            }
            Act::TransmitterOn => {
                self.transmitter = true;
                say("it is on, throttle shut", None)
            }
            Act::TransmitterOff => {
                self.transmitter = false;
                say("it is off", self.connected.then_some(Danger::LeftAlone))
            }
            Act::Connect => {
                self.connected = true;
                let known = [Act::ThrottleCut, Act::FailSafe];
                let danger = if !self.transmitter {
                    Some(Danger::ConnectedWithoutRadio)
                } else if self.propeller && !known.iter().all(|act| self.done.contains(act)) {
                    Some(Danger::ConnectedWithPropeller)
                } else {
                    None
                };
                say("tones, then silence", danger)
            }
            Act::Disconnect => {
                self.connected = false;
                say("it is out", None)
            }
            Act::Restrain => {
                self.restrained = true;
                self.do_check(act);
                say("it is held, everybody behind the propeller", None)
            }
            Act::Surfaces if self.alive() => {
                self.do_check(act);
                say(
                    if is(Hidden::SurfaceReversed) {
                        "stick to the right: the rudder's trailing edge goes to the left"
                    } else {
                        "each surface goes the way of its stick"
                    },
                    None,
                )
            }
            Act::ThrottleCut if self.alive() => self.run(
                act,
                is(Hidden::CutDoesNothing),
                "throttle cut on, throttle open: the motor runs",
                "throttle cut on, throttle open: the motor stays still",
            ),
            Act::FailSafe if self.alive() => self.run(
                act,
                is(Hidden::FailSafeHolds),
                "transmitter off: the motor goes on as it was",
                "transmitter off: within a second the motor stops",
            ),
            Act::Range if self.alive() => self.run(
                act,
                is(Hidden::ShortRange),
                "at 12 paces the surfaces jerk and stop",
                "at 30 paces every surface follows",
            ),
            Act::FullThrottle if self.alive() => {
                let danger = (self.propeller && !self.restrained).then_some(Danger::RanFree);
                if !self.propeller {
                    return say("without its propeller the motor takes no load", None);
                }
                self.do_check(act);
                let seen = format!("after ten seconds {:.1} V a cell", self.cell_v);
                say(&seen, danger)
            }
            Act::Surfaces | Act::ThrottleCut | Act::FailSafe | Act::Range | Act::FullThrottle => {
                say("nothing moves: battery out, or transmitter off", None)
            }
            Act::Fly => {
                if !self.alive() {
                    return say("nothing moves: battery out, or transmitter off", None);
                }
                self.called = Some(act);
                let unchecked = self.hidden.is_some() || !self.left_out().is_empty();
                say(
                    "it flew, and it has landed",
                    unchecked.then_some(Danger::FlewUnchecked),
                )
            }
            Act::StayDown => {
                self.called = Some(act);
                say("it stays on the ground today", None)
            }
        }
    }

    fn alive(&self) -> bool {
        self.connected && self.transmitter
    }

    /// A check with the motor running a little, or perhaps.
    fn run(&mut self, act: Act, wrong: bool, bad: &str, good: &str) -> Finding {
        let danger = if self.propeller && !self.restrained {
            Some(Danger::RanFree)
        } else {
            None
        };
        self.do_check(act);
        say(if wrong { bad } else { good }, danger)
    }

    fn do_check(&mut self, act: Act) {
        if !self.done.contains(&act) {
            self.done.push(act);
        }
    }

    fn left_out(&self) -> Vec<Act> {
        (CHECKS.into_iter())
            .filter(|act| !self.done.contains(act))
            .collect()
    }

    /// What it came to.
    pub fn report(&self) -> PowerReport {
        let found = (self.hidden).is_none_or(|hidden| self.done.contains(&hidden.shown_by()));
        let call_right = match self.called {
            Some(Act::Fly) => self.hidden.is_none() && self.left_out().is_empty(),
            Some(Act::StayDown) => self.hidden.is_some() && found,
            _ => false,
        };
        // Who has found what is wrong need look no farther.
        let left_out = if call_right && self.hidden.is_some() {
            Vec::new()
        } else {
            self.left_out()
        };
        // It may have been out before the call.
        let disconnected_first =
            self.called.is_some() && !self.connected && self.after.is_none_or(is_disconnect);
        let checks = 1.0 - left_out.len() as f64 / CHECKS.len() as f64;
        let points = if self.dangers.is_empty() {
            40.0 * checks
                + if call_right { 40.0 } else { 0.0 }
                + if disconnected_first { 20.0 } else { 0.0 }
        } else {
            0.0
        };
        PowerReport {
            hidden: self.hidden,
            call_right,
            passed: self.dangers.is_empty()
                && call_right
                && left_out.is_empty()
                && disconnected_first,
            left_out,
            dangers: self.dangers.clone(),
            disconnected_first,
            points,
        }
    }
}

fn is_disconnect(act: Act) -> bool {
    act == Act::Disconnect
}

fn say(seen: &str, danger: Option<Danger>) -> Finding {
    Finding {
        seen: seen.to_owned(),
        danger,
    }
}
