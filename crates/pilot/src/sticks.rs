//! What a pilot's hands do, in one message for every source of control.

/// Positions of the sticks.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sticks {
    /// Right positive, -1 to 1.
    pub roll: f64,
    /// Back (nose up) positive, -1 to 1.
    pub pitch: f64,
    /// Right positive, -1 to 1.
    pub yaw: f64,
    /// 0 shut, 1 full.
    pub throttle: f64,
}

impl Sticks {
    /// The same sticks within their gates. A position that is not a number
    /// counts as centred (throttle: shut).
    pub fn within_gates(self) -> Self {
        let gate = |x: f64| if x.is_nan() { 0.0 } else { x.clamp(-1.0, 1.0) };
        Self {
            roll: gate(self.roll),
            pitch: gate(self.pitch),
            yaw: gate(self.yaw),
            throttle: gate(self.throttle).max(0.0),
        }
    }

    /// Part of the way to other positions, `share` from 0 to 1.
    pub fn toward(self, other: Self, share: f64) -> Self {
        let mix = |from: f64, to: f64| from + (to - from) * share;
        Self {
            roll: mix(self.roll, other.roll),
            pitch: mix(self.pitch, other.pitch),
            yaw: mix(self.yaw, other.yaw),
            throttle: mix(self.throttle, other.throttle),
        }
    }
}

/// Trim levers: shares of full travel added to the sticks.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trims {
    /// Right positive.
    pub roll: f64,
    /// Nose up positive.
    pub pitch: f64,
    /// Right positive.
    pub yaw: f64,
}

/// Declared switches of the transmitter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Switches {
    /// The motor stays off whatever the throttle stick says.
    pub throttle_cut: bool,
    /// The throwing hand holds the plane back; letting go throws. Scripted
    /// pilots leave it off: their throws have a time.
    pub throw_held: bool,
    /// The second set of rates, for a radio that has one.
    pub second_rates: bool,
}

/// An instructor's switches, which the pilot does not see.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Unseen {
    /// The motor gets no more current for the rest of the flight.
    pub power_lost: bool,
    /// Switched on, it sends one gust.
    pub gust: bool,
}

/// The one message that every source of control makes: scripted pilots,
/// playback, keyboard, gamepad, a radio on a cable.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ControlMessage {
    /// Sticks.
    pub sticks: Sticks,
    /// Trim levers.
    pub trims: Trims,
    /// Switches.
    pub switches: Switches,
    /// What an instructor does to the flight, unseen by the pilot.
    pub unseen: Unseen,
    /// The throwing hand is off its stick, which stays where it was left.
    pub hand_off: bool,
}
