//! What somebody can do at the bench and on the field.

/// One thing to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Act {
    /// Take the propeller off.
    PropellerOff,
    /// Put the propeller on.
    PropellerOn,
    /// Switch the transmitter on, throttle shut.
    TransmitterOn,
    /// Switch it off.
    TransmitterOff,
    /// Connect the flight battery.
    Connect,
    /// Disconnect it.
    Disconnect,
    /// Move every stick both ways and look at the surfaces.
    Surfaces,
    /// Open the throttle with the throttle cut on.
    ThrottleCut,
    /// Run the motor a little and switch the transmitter off.
    FailSafe,
    /// Walk away with the radio at reduced power.
    Range,
    /// Tie the plane down, or have it held from behind.
    Restrain,
    /// Full throttle for ten seconds, with an eye on the voltage.
    FullThrottle,
    /// Say that it is ready, and fly.
    Fly,
    /// Say that it stays on the ground, something being wrong.
    StayDown,
}

impl Act {
    /// All of them.
    pub const ALL: [Self; 14] = [
        Self::PropellerOff,
        Self::PropellerOn,
        Self::TransmitterOn,
        Self::TransmitterOff,
        Self::Connect,
        Self::Disconnect,
        Self::Surfaces,
        Self::ThrottleCut,
        Self::FailSafe,
        Self::Range,
        Self::Restrain,
        Self::FullThrottle,
        Self::Fly,
        Self::StayDown,
    ];

    /// Its name in scripts.
    pub fn name(self) -> &'static str {
        match self {
            Self::PropellerOff => "propeller_off",
            Self::PropellerOn => "propeller_on",
            Self::TransmitterOn => "transmitter_on",
            Self::TransmitterOff => "transmitter_off",
            Self::Connect => "connect",
            Self::Disconnect => "disconnect",
            Self::Surfaces => "surfaces",
            Self::ThrottleCut => "throttle_cut",
            Self::FailSafe => "fail_safe",
            Self::Range => "range",
            Self::Restrain => "restrain",
            Self::FullThrottle => "full_throttle",
            Self::Fly => "fly",
            Self::StayDown => "stay_down",
        }
    }

    /// By its name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|act| act.name() == name)
    }

    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::PropellerOff => "take the propeller off",
            Self::PropellerOn => "put the propeller on",
            Self::TransmitterOn => "switch the transmitter on, throttle shut",
            Self::TransmitterOff => "switch the transmitter off",
            Self::Connect => "connect the flight battery",
            Self::Disconnect => "disconnect the flight battery",
            Self::Surfaces => "move every stick both ways and look at the surfaces",
            Self::ThrottleCut => "throttle cut on, then open the throttle",
            Self::FailSafe => "motor a little open, then switch the transmitter off and on",
            Self::Range => "walk 30 paces away with the radio at reduced power, moving the sticks",
            Self::Restrain => "tie the plane down, everybody behind the propeller",
            Self::FullThrottle => "full throttle for ten seconds, an eye on the voltage",
            Self::Fly => "call it ready, and fly",
            Self::StayDown => "call it off: something is wrong",
        }
    }
}
