//! Rounds, answers, and how quick and how right they were, by heading.

use larkfield_pilot::Noise;

/// Good enough (common practice, no source).
const PASS_POINTS: f64 = 80.0;
/// Points of a round for the right side, and for being quick.
const RIGHT_POINTS: f64 = 70.0;
const QUICK_POINTS: f64 = 30.0;
/// A choice between two takes a practised person no longer than this, and a
/// low plane waits no longer than that (common practice, no source).
const QUICK_S: f64 = 0.8;
const SLOW_S: f64 = 2.5;

/// Where the plane is going, as its pilot sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Heading {
    /// Away.
    Away,
    /// Away and to the right.
    AwayRight,
    /// Across, to the right.
    Right,
    /// Toward and to the right.
    TowardRight,
    /// Toward.
    Toward,
    /// Toward and to the left.
    TowardLeft,
    /// Across, to the left.
    Left,
    /// Away and to the left.
    AwayLeft,
}

impl Heading {
    /// All of them, clockwise from above.
    pub const ALL: [Self; 8] = [
        Self::Away,
        Self::AwayRight,
        Self::Right,
        Self::TowardRight,
        Self::Toward,
        Self::TowardLeft,
        Self::Left,
        Self::AwayLeft,
    ];

    /// From straight away, clockwise from above.
    pub fn angle_rad(self) -> f64 {
        self as u8 as f64 * std::f64::consts::FRAC_PI_4
    }

    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Away => "away from you",
            Self::AwayRight => "away, to the right",
            Self::Right => "across, to the right",
            Self::TowardRight => "toward you, to the right",
            Self::Toward => "toward you",
            Self::TowardLeft => "toward you, to the left",
            Self::Left => "across, to the left",
            Self::AwayLeft => "away, to the left",
        }
    }
}

/// Left or right: of a wing as its pilot would sit in it, or of a stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Side {
    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// A plane to look at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Where it is going.
    pub heading: Heading,
    /// Which of its own wings is low.
    pub low: Side,
    /// By how much.
    pub bank_rad: f64,
}

impl View {
    /// Where the stick goes to level it: raise the low wing, whichever way the
    /// plane points.
    pub fn stick(&self) -> Side {
        self.low.other()
    }

    /// Bank, right wing down positive.
    pub fn signed_bank_rad(&self) -> f64 {
        match self.low {
            Side::Left => -self.bank_rad,
            Side::Right => self.bank_rad,
        }
    }
}

/// The view of a round: every heading comes once before one comes again, half
/// of them with either wing low, and the next time with the other one.
pub fn drawn(seed: u64, round: u32) -> View {
    let (lap, place) = (round / 8, (round % 8) as usize);
    let heading = shuffled(seed, "where a plane points", lap)[place];
    let banks = shuffled(seed, "which wing is low", lap / 2);
    let first_half = banks[..4].contains(&heading);
    let low = if first_half == lap.is_multiple_of(2) {
        Side::Left
    } else {
        Side::Right
    };
    let steep = Noise::new(seed, "how low a wing is").uniform(round);
    View {
        heading: Heading::ALL[heading],
        low,
        bank_rad: (25.0 + 25.0 * steep).to_radians(),
    }
}

/// Numbers from 0 to 7 by random keys, the same on every machine.
fn shuffled(seed: u64, what: &str, lap: u32) -> Vec<usize> {
    let noise = Noise::new(seed, what);
    let key = |i: &usize| noise.uniform(lap.wrapping_mul(8).wrapping_add(*i as u32));
    let mut order: Vec<usize> = (0..8).collect();
    order.sort_by(|a, b| key(a).total_cmp(&key(b)));
    order
}

/// A round that is over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Answered {
    /// What there was to see.
    pub view: View,
    /// Where the stick went; `None`: nowhere in time.
    pub answer: Option<Side>,
    /// From the first sight to the stick.
    pub reaction_s: f64,
}

impl Answered {
    /// Whether it levels the plane.
    pub fn right(&self) -> bool {
        self.answer == Some(self.view.stick())
    }

    /// Of 100.
    pub fn points(&self) -> f64 {
        if !self.right() {
            return 0.0;
        }
        let quick = ((SLOW_S - self.reaction_s) / (SLOW_S - QUICK_S)).clamp(0.0, 1.0);
        RIGHT_POINTS + QUICK_POINTS * quick
    }
}

/// How one heading went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByHeading {
    /// Which.
    pub heading: Heading,
    /// Rounds of it.
    pub rounds: usize,
    /// Those that were wrong.
    pub wrong: usize,
    /// Middle one of the reaction times of right answers.
    pub reaction_s: Option<f64>,
}

/// What the drill came to.
#[derive(Debug, Clone, PartialEq)]
pub struct OrientationReport {
    /// Its rounds.
    pub rounds: Vec<Answered>,
    /// By heading, those that came up.
    pub headings: Vec<ByHeading>,
    /// Wrong answers, and none in time.
    pub wrong: usize,
    /// Of 100.
    pub points: f64,
    /// Enough of them.
    pub passed: bool,
}

/// So many planes to look at.
#[derive(Debug, Clone, PartialEq)]
pub struct OrientationDrill {
    seed: u64,
    rounds: u32,
    answered: Vec<Answered>,
}

impl OrientationDrill {
    /// Nobody waits longer than this for an answer.
    pub const PATIENCE_S: f64 = 5.0;

    /// So many rounds.
    pub fn new(rounds: u32, seed: u64) -> Self {
        Self {
            seed,
            rounds,
            answered: Vec::new(),
        }
    }

    /// Number of the round that is on, from 1, and of all.
    pub fn step(&self) -> (u32, u32) {
        let done = self.answered.len() as u32;
        ((done + 1).min(self.rounds), self.rounds)
    }

    /// What there is to see; `None` when all rounds are over.
    pub fn view(&self) -> Option<View> {
        let round = self.answered.len() as u32;
        (round < self.rounds).then(|| drawn(self.seed, round))
    }

    /// The stick goes to a side, or to none in time.
    pub fn answer(&mut self, answer: Option<Side>, reaction_s: f64) -> Option<Answered> {
        let view = self.view()?;
        let late = !(reaction_s <= Self::PATIENCE_S);
        let answered = Answered {
            view,
            answer: if late { None } else { answer },
            reaction_s: if late {
                Self::PATIENCE_S
            } else {
                reaction_s.max(0.0)
            },
        };
        self.answered.push(answered);
        Some(answered)
    }

    /// What it came to so far. Rounds that nobody answered count as nothing.
    pub fn report(&self) -> OrientationReport {
        let headings = Heading::ALL.into_iter().filter_map(|heading| {
            let of = || (self.answered.iter()).filter(move |a| a.view.heading == heading);
            let rounds = of().count();
            let mut times: Vec<f64> = of().filter(|a| a.right()).map(|a| a.reaction_s).collect();
            times.sort_by(f64::total_cmp);
            (rounds > 0).then(|| ByHeading {
                heading,
                rounds,
                wrong: of().filter(|a| !a.right()).count(),
                reaction_s: times.get(times.len() / 2).copied(),
            })
        });
        // An empty sum is minus nothing.
        let sum: f64 = self.answered.iter().map(Answered::points).sum::<f64>() + 0.0;
        let points = sum / f64::from(self.rounds.max(1));
        OrientationReport {
            rounds: self.answered.clone(),
            headings: headings.collect(),
            wrong: self.answered.iter().filter(|a| !a.right()).count(),
            points,
            passed: points >= PASS_POINTS,
        }
    }
}
