//! Things that happen at an instant.

/// Who was involved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Person {
    /// Whoever threw the plane.
    Thrower,
    /// The pilot, when somebody else threw.
    Pilot,
    /// A helper or instructor.
    Helper,
    /// Anybody else.
    Bystander,
}

/// What happened.
#[derive(Debug, Clone, PartialEq)]
pub enum EventKind {
    /// Somebody said one of the agreed words.
    Said {
        /// Who.
        person: Person,
        /// The word.
        word: String,
    },
    /// The hand began to move.
    ThrowBegan,
    /// The hand let go.
    Released,
    /// The throwing hand is back on its stick.
    HandOnStick,
    /// The wing stalled: separated over a third of its area.
    Stalled,
    /// First touch of the ground after being free.
    TouchedGround {
        /// Rate of descent at touch.
        sink_m_s: f64,
        /// Part that touched first.
        part: String,
    },
    /// A part broke.
    Broke {
        /// The part.
        part: String,
        /// Impulse within 20 ms.
        impulse_n_s: f64,
        /// What it would have survived.
        limit_n_s: f64,
    },
    /// The turning propeller struck the ground and stopped.
    PropellerStruck {
        /// Impulse at the blade's tip.
        impulse_n_s: f64,
    },
    /// A part that came off lies still.
    PieceAtRest {
        /// The part.
        part: String,
        /// North of the launch point.
        north_m: f64,
        /// East of the launch point.
        east_m: f64,
    },
    /// The plane came within the safe distance of somebody.
    NearPerson {
        /// Who.
        person: Person,
        /// Closest distance.
        distance_m: f64,
    },
    /// The plane or a moving propeller hit somebody.
    HitPerson {
        /// Who.
        person: Person,
        /// The propeller was turning and touched them.
        propeller: bool,
    },
    /// The plane crossed the safety line.
    CrossedSafetyLine,
    /// A phase of the lesson was completed.
    PhaseDone {
        /// Name of the phase.
        phase: String,
    },
    /// A phase could not be completed any more.
    PhaseFailed {
        /// Name of the phase and the reason, in plain words.
        why: String,
    },
    /// The motor got no more current, whatever the throttle asked for.
    PowerLost,
    /// The plane came to rest.
    AtRest,
    /// The run was over.
    Ended {
        /// Why, in plain words.
        reason: String,
    },
    /// The state stopped being finite; the plane was frozen where it was.
    NotFinite {
        /// The quantity.
        quantity: String,
    },
}

/// An event and its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Time since the start of the run.
    pub time_s: f64,
    /// What happened.
    pub kind: EventKind,
}
