//! Hinged surfaces and the servos that move them.

/// Whether air can pass through the hinge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gap {
    /// Taped over or a live hinge.
    Sealed,
    /// Open, this wide.
    Open {
        /// Width of the slot.
        width_m: f64,
    },
}

/// How a surface follows the pilot's commands. Each gain is the share of full
/// travel that a full command asks for, signed so that a *correctly* set-up
/// plane has the values below. Commands: roll right, pitch nose up, yaw nose
/// right are positive; deflection is positive when the trailing edge turns
/// away from the panel's normal (down on a wing or tail, to port on a fin).
///
/// | surface | roll | pitch | yaw |
/// |---|---|---|---|
/// | elevator | 0 | -1 | 0 |
/// | rudder | 0 | 0 | -1 |
/// | starboard aileron | -1 | 0 | 0 |
/// | port aileron | 1 | 0 | 0 |
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ControlMix {
    /// Response to a roll command.
    pub roll: f64,
    /// Response to a pitch command.
    pub pitch: f64,
    /// Response to a yaw command.
    pub yaw: f64,
}

/// A servo and its linkage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Servo {
    /// Rate of the surface under load.
    pub speed_rad_s: f64,
    /// Command change that moves nothing, as a share of full travel.
    pub dead_band: f64,
    /// Free play of the surface, end to end.
    pub slop_rad: f64,
    /// True when it turns the wrong way.
    pub reversed: bool,
}

/// A hinged part of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlSurface {
    /// Unique name within the airframe, such as `elevator_left`.
    pub name: String,
    /// Index of the panel in [`crate::Airframe::panels`].
    pub panel: usize,
    /// Start of the hinged part over the panel's span, 0 at the root.
    pub span_from: f64,
    /// End of the hinged part over the panel's span, 1 at the tip.
    pub span_to: f64,
    /// Chord behind the hinge line over the chord, at `span_from`.
    pub flap_fraction_from: f64,
    /// The same at `span_to`; differs when the hinge line is skewed.
    pub flap_fraction_to: f64,
    /// The slot at the hinge.
    pub gap: Gap,
    /// Largest positive deflection (trailing edge away from the normal).
    pub travel_positive_rad: f64,
    /// Largest negative deflection, as a positive number.
    pub travel_negative_rad: f64,
    /// Deflection when the command is zero: a trim or rigging error.
    pub neutral_rad: f64,
    /// Which commands move it.
    pub mix: ControlMix,
    /// What moves it.
    pub servo: Servo,
}
