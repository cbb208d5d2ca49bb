//! What a pilot says to a helper, or does with the throttle.

/// One thing to say or to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Word {
    /// Who does what.
    Roles,
    /// Which words are said, and that anybody says stop.
    Words,
    /// Where the fingers are.
    Fingers,
    /// How it leaves the hand.
    Manner,
    /// What the helper does then.
    Afterwards,
    /// What happens if it goes wrong.
    GoesWrong,
    /// Asking whether all are ready.
    Ready,
    /// Power goes on.
    Power,
    /// It is to be thrown.
    Throw,
    /// Nobody throws.
    Stop,
    /// Throttle shut and cut.
    Shut,
}

impl Word {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::Roles,
        Self::Words,
        Self::Fingers,
        Self::Manner,
        Self::Afterwards,
        Self::GoesWrong,
        Self::Ready,
        Self::Power,
        Self::Throw,
        Self::Stop,
        Self::Shut,
    ];

    /// What has to be agreed before power.
    pub const AGREED: [Self; 6] = [
        Self::Roles,
        Self::Words,
        Self::Fingers,
        Self::Manner,
        Self::Afterwards,
        Self::GoesWrong,
    ];

    /// Its name in scripts.
    pub fn name(self) -> &'static str {
        match self {
            Self::Roles => "roles",
            Self::Words => "words",
            Self::Fingers => "fingers",
            Self::Manner => "manner",
            Self::Afterwards => "afterwards",
            Self::GoesWrong => "goes_wrong",
            Self::Ready => "ready",
            Self::Power => "power",
            Self::Throw => "throw",
            Self::Stop => "stop",
            Self::Shut => "shut",
        }
    }

    /// By its name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|word| word.name() == name)
    }

    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Roles => "agree: who throws, who flies, who looks out for people",
            Self::Words => "agree: \"ready\", \"power\", \"throw\", and \"stop\" by anybody",
            Self::Fingers => {
                "agree: fingers behind the propeller and away from it, until it is gone"
            }
            Self::Manner => "agree: level, straight, steady, into the wind",
            Self::Afterwards => "agree: after the release a step back, hands down",
            Self::GoesWrong => "agree: motor off, wings level, land ahead; nobody runs after it",
            Self::Ready => "ask: \"ready?\"",
            Self::Power => "\"power\", and the throttle goes on",
            Self::Throw => "\"throw\"",
            Self::Stop => "\"stop\"",
            Self::Shut => "throttle shut and cut",
        }
    }
}
