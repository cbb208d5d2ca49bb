//! Throws by a helper, word by word.

use super::incident::drawn;
use super::{Incident, Word};

/// Good enough (common practice, no source).
pub const PASS_POINTS: f64 = 80.0;
/// Of 100, for what is agreed before; the rest is for the throws.
const AGREED_POINTS: f64 = 40.0;
/// Less for each slip that endangers nobody.
const SLIP_POINTS: f64 = 10.0;

/// A way to hurt somebody.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mistake {
    /// Power with a helper who has not been told where the fingers are, and all
    /// the rest.
    PowerUnagreed,
    /// Power before everybody has said that they are ready.
    PowerUnasked,
    /// On in spite of what came between.
    WentOn,
    /// A plane was held with its motor running after somebody had said stop.
    MotorLeftOn,
}

impl Mistake {
    /// What is dangerous about it, for people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::PowerUnagreed => {
                "a propeller turned in the hand of somebody who had not been told everything"
            }
            Self::PowerUnasked => "power came before everybody had said \"ready\"",
            Self::WentOn => "it went on although something had come between",
            Self::MotorLeftOn => "after \"stop\" the motor went on running in your helper's hand",
        }
    }
}

/// What endangers nobody, but is not the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// Thrown with the motor off.
    ThrownWithoutPower,
    /// A word that does nothing there.
    OutOfPlace,
}

impl Slip {
    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::ThrownWithoutPower => "\"throw\" without power: it falls at your helper's feet",
            Self::OutOfPlace => "that does nothing now",
        }
    }
}

/// Where a throw is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stage {
    /// Nobody has been asked.
    Standing,
    /// All have said that they are ready.
    Asked,
    /// The motor runs in the helper's hand.
    Running,
}

/// What the drill came to.
#[derive(Debug, Clone, PartialEq)]
pub struct BriefingReport {
    /// What was never agreed.
    pub left_out: Vec<Word>,
    /// Everything dangerous.
    pub mistakes: Vec<Mistake>,
    /// Slips.
    pub slips: usize,
    /// Throws that left the hand, and of how many.
    pub thrown: u32,
    /// Throws there were to be.
    pub throws: u32,
    /// What came between and was met with a stop.
    pub stopped: Vec<Incident>,
    /// Of 100; nothing when somebody could have been hurt.
    pub points: f64,
    /// Enough of them, every throw thrown.
    pub passed: bool,
}

/// A helper with the plane in hand, and so many throws.
#[derive(Debug, Clone, PartialEq)]
pub struct BriefingDrill {
    between: Vec<Option<(Incident, bool)>>,
    thrown: u32,
    stage: Stage,
    /// What has come between and is not settled.
    incident: Option<Incident>,
    /// Said after it.
    is_stopped: bool,
    agreed: Vec<Word>,
    mistakes: Vec<Mistake>,
    slips: usize,
    stopped: Vec<Incident>,
    /// What comes between in this throw has come.
    has_come: bool,
}

impl BriefingDrill {
    /// So many throws as they come.
    pub fn new(throws: u32, seed: u64) -> Self {
        Self::with((0..throws).map(|throw| drawn(seed, throw)).collect())
    }

    /// Throws with these between, before the motor runs or after.
    pub fn with(between: Vec<Option<(Incident, bool)>>) -> Self {
        Self {
            between,
            thrown: 0,
            stage: Stage::Standing,
            incident: None,
            is_stopped: false,
            agreed: Vec::new(),
            mistakes: Vec::new(),
            slips: 0,
            stopped: Vec::new(),
            has_come: false,
        }
    }

    /// Number of the throw that is on, from 1, and of all.
    pub fn step(&self) -> (u32, u32) {
        let of = self.between.len() as u32;
        ((self.thrown + 1).min(of), of)
    }

    /// Whether all are thrown.
    pub fn over(&self) -> bool {
        self.thrown as usize == self.between.len()
    }

    /// Whether something has been agreed.
    pub fn has_agreed(&self, word: Word) -> bool {
        self.agreed.contains(&word)
    }

    /// How things stand, for people.
    pub fn state_in_words(&self) -> String {
        let stands = match self.stage {
            Stage::Standing => "your helper holds the plane, the motor is still",
            Stage::Asked => "everybody has said \"ready\", the motor is still",
            Stage::Running => "the motor runs, your helper holds the plane level",
        };
        match self.incident {
            Some(incident) if !self.is_stopped => format!("{stands}; {}", incident.in_words()),
            Some(_) => format!("{stands}; all stand still"),
            None => stands.to_owned(),
        }
    }

    /// Says or does something; what comes of it.
    pub fn say(&mut self, word: Word) -> String {
        if self.over() {
            return "it is over".to_owned();
        }
        match word {
            _ if Word::AGREED.contains(&word) => self.agree(word),
            Word::Stop => self.stop(),
            Word::Shut => self.shut(),
            _ if self.incident.is_some() => self.go_on(word),
            Word::Ready => self.ready(),
            Word::Power => self.power(),
            _ => self.throw(),
        }
    }

    fn agree(&mut self, word: Word) -> String {
        if self.stage == Stage::Running {
            return self.slip(Slip::OutOfPlace);
        }
        if !self.agreed.contains(&word) {
            self.agreed.push(word);
        }
        "your helper says it back to you".to_owned()
    }

    /// Never wrong: whoever says it once too often has lost nothing.
    fn stop(&mut self) -> String {
        if let Some(incident) = self.incident.filter(|_| !self.is_stopped) {
            self.stopped.push(incident);
        }
        self.is_stopped = true;
        if self.stage == Stage::Running {
            return "everybody stands still; the motor runs on".to_owned();
        }
        self.settle()
    }

    fn shut(&mut self) -> String {
        if self.stage != Stage::Running {
            return "the motor is still".to_owned();
        }
        self.stage = Stage::Standing;
        if self.is_stopped {
            return self.settle();
        }
        // Shut before anybody said it: they see it, and stand still.
        "the motor stops; your helper looks at you".to_owned()
    }

    /// What came between is over, and all begins anew.
    fn settle(&mut self) -> String {
        self.stage = Stage::Standing;
        self.is_stopped = false;
        match self.incident.take() {
            Some(_) => "everybody waits until it is settled; then from the beginning".to_owned(),
            None => "everybody waits; nothing was wrong, and nothing is lost".to_owned(),
        }
    }

    fn go_on(&mut self, word: Word) -> String {
        if word == Word::Ready && self.stage != Stage::Running {
            // Asking again while it lasts: nobody says that they are.
            return "nobody answers".to_owned();
        }
        let mistake = if self.is_stopped {
            Mistake::MotorLeftOn
        } else {
            Mistake::WentOn
        };
        self.note(mistake);
        self.is_stopped = true;
        self.stage = Stage::Standing;
        let told = self.settle();
        format!("DANGER: {}\n{told}", mistake.in_words())
    }

    fn ready(&mut self) -> String {
        if self.stage == Stage::Running {
            return self.slip(Slip::OutOfPlace);
        }
        if self.comes_between(true) {
            return "your helper draws breath to answer".to_owned();
        }
        self.stage = Stage::Asked;
        "\"ready\", says your helper; \"clear\", says who looks out".to_owned()
    }

    fn power(&mut self) -> String {
        if self.stage == Stage::Running {
            return self.slip(Slip::OutOfPlace);
        }
        let mistake = if Word::AGREED.iter().any(|word| !self.agreed.contains(word)) {
            Some(Mistake::PowerUnagreed)
        } else if self.stage != Stage::Asked {
            Some(Mistake::PowerUnasked)
        } else {
            None
        };
        self.stage = Stage::Running;
        self.comes_between(false);
        match mistake {
            Some(mistake) => {
                self.note(mistake);
                format!("DANGER: {}", mistake.in_words())
            }
            None => "the motor runs up".to_owned(),
        }
    }

    fn throw(&mut self) -> String {
        if self.stage != Stage::Running {
            return self.slip(Slip::ThrownWithoutPower);
        }
        if self.is_stopped {
            return self.go_on(Word::Throw);
        }
        self.thrown += 1;
        self.stage = Stage::Standing;
        self.has_come = false;
        "it is gone; your helper steps back, hands down".to_owned()
    }

    /// Lets what comes between in this throw come, if this is its moment.
    fn comes_between(&mut self, before_power: bool) -> bool {
        let due = self.between.get(self.thrown as usize).copied().flatten();
        if let Some((incident, early)) = due
            && early == before_power
            && !self.has_come
        {
            self.incident = Some(incident);
            self.has_come = true;
            return true;
        }
        false
    }

    fn slip(&mut self, slip: Slip) -> String {
        self.slips += 1;
        slip.in_words().to_owned()
    }

    fn note(&mut self, mistake: Mistake) {
        if !self.mistakes.contains(&mistake) {
            self.mistakes.push(mistake);
        }
    }

    /// What it came to so far.
    pub fn report(&self) -> BriefingReport {
        let left_out: Vec<Word> = (Word::AGREED.into_iter())
            .filter(|word| !self.agreed.contains(word))
            .collect();
        let agreed = 1.0 - left_out.len() as f64 / Word::AGREED.len() as f64;
        let throws = self.between.len() as u32;
        let thrown = f64::from(self.thrown) / f64::from(throws.max(1));
        let points = if self.mistakes.is_empty() {
            let all = AGREED_POINTS * agreed + (100.0 - AGREED_POINTS) * thrown;
            (all - SLIP_POINTS * self.slips as f64).max(0.0)
        } else {
            0.0
        };
        BriefingReport {
            left_out,
            mistakes: self.mistakes.clone(),
            slips: self.slips,
            thrown: self.thrown,
            throws,
            stopped: self.stopped.clone(),
            points,
            passed: points >= PASS_POINTS && self.over(),
        }
    }
}
