//! What is looked at before a plane is carried to the line.

/// One thing to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Point {
    /// How strong the wind is.
    Wind,
    /// What lies where the throw has to go.
    Direction,
    /// Trees and houses upwind.
    Trees,
    /// Where the sun stands.
    Sun,
    /// People, animals, roads.
    People,
    /// Whether it is allowed.
    Rules,
    /// The pilot.
    Yourself,
}

impl Point {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Wind,
        Self::Direction,
        Self::Trees,
        Self::Sun,
        Self::People,
        Self::Rules,
        Self::Yourself,
    ];

    /// Its name in scripts.
    pub fn name(self) -> &'static str {
        match self {
            Self::Wind => "wind",
            Self::Direction => "direction",
            Self::Trees => "trees",
            Self::Sun => "sun",
            Self::People => "people",
            Self::Rules => "rules",
            Self::Yourself => "yourself",
        }
    }

    /// By its name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|point| point.name() == name)
    }

    /// The question, for people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Wind => "how strong is the wind, gusts included?",
            Self::Direction => "what lies where the throw has to go?",
            Self::Trees => "what stands upwind, how high and how far?",
            Self::Sun => "where does the sun stand?",
            Self::People => "who is about, and do they know?",
            Self::Rules => "may it be flown here, today, by you?",
            Self::Yourself => "how are you?",
        }
    }

    /// When it is a no, for people.
    pub fn limit_in_words(self) -> &'static str {
        match self {
            Self::Wind => "gusts above the limit on the plane's card are a no, whatever the mean",
            Self::Direction => {
                "a throw goes into the wind, with nothing ahead for a hundred metres"
            }
            Self::Trees => {
                "nearer than fifteen of their heights upwind, trees make the air rough for a \
                 small plane"
            }
            Self::Sun => "neither the throw nor the first turn may lead through the sun",
            Self::People => "nobody ahead, nobody beyond the line, everybody told",
            Self::Rules => "what is not allowed, or not known to be, is a no",
            Self::Yourself => "tired, hurried or watched by a crowd counts as wind",
        }
    }
}
