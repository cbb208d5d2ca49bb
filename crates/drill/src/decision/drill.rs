//! Days, decisions, and what each of them was worth.

use super::{Day, Point, drawn};

/// Good enough (common practice, no source).
pub const PASS_POINTS: f64 = 80.0;
/// Points of a day: for a no that is right without seeing why; for a no where
/// nothing was against it, for unsure is no; for a go that was right by luck.
const UNSEEN_POINTS: f64 = 40.0;
const CAREFUL_POINTS: f64 = 50.0;
const LUCKY_POINTS: f64 = 30.0;
/// Less for each reason that is none.
const WRONG_REASON_POINTS: f64 = 15.0;

/// What somebody decides.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Call {
    /// It is flown.
    Go,
    /// It stays in the car, for these reasons.
    No(Vec<Point>),
}

/// How a decision stands to its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Flown on a day that was looked at and good.
    Went,
    /// Flown on a good day, with something not looked at.
    Lucky,
    /// Flown in spite of something.
    Dangerous,
    /// Left, for a reason.
    Stayed,
    /// Left on a bad day without naming a reason that it had.
    StayedUnseeing,
    /// Left on a good day.
    Careful,
}

impl Verdict {
    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Went => "a go, and everything was looked at",
            Self::Lucky => "a go, and by luck nothing was wrong with what was not looked at",
            Self::Dangerous => "DANGER: a go on a day that said no",
            Self::Stayed => "a no, and rightly",
            Self::StayedUnseeing => "a no, and rightly, but what spoke against it was not named",
            Self::Careful => {
                "a no where nothing spoke against it: that costs an afternoon, no more"
            }
        }
    }
}

/// A day that is decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Decided {
    /// What spoke against it.
    pub against: Vec<Point>,
    /// What was decided.
    pub call: Call,
    /// What had not been looked at.
    pub not_looked_at: Vec<Point>,
    /// How it stands to its day.
    pub verdict: Verdict,
    /// Of 100.
    pub points: f64,
}

/// What the drill came to.
#[derive(Debug, Clone, PartialEq)]
pub struct GoNoGoReport {
    /// Its days.
    pub days: Vec<Decided>,
    /// Decisions that could have hurt somebody or lost the plane.
    pub dangerous: usize,
    /// Of 100; nothing when one of them was dangerous.
    pub points: f64,
    /// Enough of them, every day decided, none dangerously.
    pub passed: bool,
}

/// So many days.
#[derive(Debug, Clone, PartialEq)]
pub struct GoNoGoDrill {
    days: Vec<Day>,
    looked_at: Vec<Point>,
    decided: Vec<Decided>,
}

impl GoNoGoDrill {
    /// So many days as they come.
    pub fn new(days: u32, seed: u64) -> Self {
        Self::with((0..days).map(|day| drawn(seed, day)).collect())
    }

    /// These days.
    pub fn with(days: Vec<Day>) -> Self {
        Self {
            days,
            looked_at: Vec::new(),
            decided: Vec::new(),
        }
    }

    /// Number of the day that is on, from 1, and of all.
    pub fn step(&self) -> (usize, usize) {
        let of = self.days.len();
        ((self.decided.len() + 1).min(of), of)
    }

    /// Whether all days are decided.
    pub fn over(&self) -> bool {
        self.decided.len() == self.days.len()
    }

    /// Whether a point of this day has been looked at.
    pub fn has_looked_at(&self, point: Point) -> bool {
        self.looked_at.contains(&point)
    }

    /// What there is to see at a point; `None` when all days are over.
    pub fn look(&mut self, point: Point) -> Option<String> {
        let day = self.days.get(self.decided.len())?;
        if !self.looked_at.contains(&point) {
            self.looked_at.push(point);
        }
        Some(day.seen(point))
    }

    /// Decides the day.
    pub fn call(&mut self, call: Call) -> Option<Decided> {
        let day = self.days.get(self.decided.len())?;
        let against = day.against().to_vec();
        let not_looked_at: Vec<Point> = (Point::ALL.into_iter())
            .filter(|point| !self.looked_at.contains(point))
            .collect();
        let (verdict, points) = match &call {
            Call::Go if !against.is_empty() => (Verdict::Dangerous, 0.0),
            Call::Go if !not_looked_at.is_empty() => (Verdict::Lucky, LUCKY_POINTS),
            Call::Go => (Verdict::Went, 100.0),
            Call::No(_) if against.is_empty() => (Verdict::Careful, CAREFUL_POINTS),
            Call::No(reasons) => {
                let none = reasons.iter().filter(|r| !against.contains(r)).count();
                if none == reasons.len() {
                    (Verdict::StayedUnseeing, UNSEEN_POINTS)
                } else {
                    let points = 100.0 - WRONG_REASON_POINTS * none as f64;
                    (Verdict::Stayed, points.max(UNSEEN_POINTS))
                }
            }
        };
        let decided = Decided {
            against,
            call,
            not_looked_at,
            verdict,
            points,
        };
        self.looked_at.clear();
        self.decided.push(decided.clone());
        Some(decided)
    }

    /// What it came to so far. Days that nobody decided count as nothing.
    pub fn report(&self) -> GoNoGoReport {
        let is_dangerous = |day: &&Decided| day.verdict == Verdict::Dangerous;
        let dangerous = self.decided.iter().filter(is_dangerous).count();
        let sum: f64 = self.decided.iter().map(|day| day.points).sum::<f64>() + 0.0;
        let points = if dangerous == 0 {
            sum / self.days.len().max(1) as f64
        } else {
            0.0
        };
        GoNoGoReport {
            days: self.decided.clone(),
            dangerous,
            points,
            passed: points >= PASS_POINTS && self.over(),
        }
    }
}
