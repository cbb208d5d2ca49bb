//! What can be marked, and how a value turns into points.

use larkfield_pilot::Undercarriage;

/// What can be marked. Each is measured over its phase; "above the touch" means
/// above where the balance point was at the touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum MarkKind {
    /// Lowest height, m.
    LowestHeight,
    /// Lowest speed over the minimum level speed at the throttle of the moment, %.
    SpeedMargin,
    /// Largest bank, deg.
    BankHeld,
    /// Largest difference between the nose and the heading of the launch, deg.
    HeadingHeld,
    /// Height gained over distance flown, as an angle, deg.
    ClimbAngle,
    /// Least angle between the wing and its stall, over 0.2 s, deg.
    StallMargin,
    /// Share of the phase's goal that was reached, %.
    GoalReached,
    /// Share of the time in which a hand flew the plane, %.
    InControl,
    /// Stick reversals a second.
    StickReversals,
    /// Parts that broke.
    Damage,
    /// Highest less lowest height, m; of a figure-eight while its turns lasted.
    HeightBand,
    /// Largest difference from the height of the circuit, m.
    CircuitHeight,
    /// Distance from the landing line when beside the touch point, m.
    Spacing,
    /// Angle between track and landing direction at the end of the phase; at
    /// the touch that of the nose, deg.
    Alignment,
    /// Distance beside the landing line: largest, at the touch that of the
    /// touch, m.
    CentreLine,
    /// How much the rate of descent varies, one standard deviation, m/s.
    Steadiness,
    /// Height above the touch at which the descent was checked for good, m.
    FlareHeight,
    /// Rate of descent at the touch, m/s.
    SinkAtTouch,
    /// Sideways speed at the touch, across the nose, m/s.
    DriftAtTouch,
    /// Angle between the nose at the touch and where the wind comes from, deg.
    /// 0 in a calm.
    IntoWind,
    /// Distance of the touch from the middle of the box, m.
    DistanceFromAim,
    /// Throttle stick at the touch, %.
    PowerAtTouch,
    /// Distance flown over the last metre of height, m.
    Float,
    /// Height above the touch of the highest stall, m. 0 without one.
    StallHeight,
    /// Angle left to the stall at the touch, deg.
    HeldOff,
    /// Times it left the ground again.
    Bounces,
    /// Distance from the touch to rest, m.
    RollOut,
    /// Speed of climb or sink with nobody on the sticks, m/s.
    TrimDrift,
    /// Speed of turning with nobody on the sticks, deg/s.
    TrimTurn,
    /// Slower rate of the two turns of a figure-eight over the faster, %.
    Symmetry,
    /// Time from rest until it was disarmed, s.
    TimeToDisarm,
}

impl MarkKind {
    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::LowestHeight => "lowest height",
            Self::SpeedMargin => "speed margin",
            Self::BankHeld => "largest bank",
            Self::HeadingHeld => "largest heading error",
            Self::ClimbAngle => "climb angle",
            Self::StallMargin => "stall margin",
            Self::GoalReached => "completed",
            Self::InControl => "time flown by hand",
            Self::StickReversals => "stick reversals",
            Self::Damage => "broken parts",
            Self::HeightBand => "height band",
            Self::CircuitHeight => "off circuit height",
            Self::Spacing => "spacing",
            Self::Alignment => "alignment",
            Self::CentreLine => "off the centre line",
            Self::Steadiness => "unsteady descent",
            Self::FlareHeight => "flare height",
            Self::SinkAtTouch => "sink at touch",
            Self::DriftAtTouch => "drift at touch",
            Self::IntoWind => "off the wind at touch",
            Self::DistanceFromAim => "touch from aim point",
            Self::PowerAtTouch => "power at touch",
            Self::Float => "float",
            Self::StallHeight => "height of stall",
            Self::HeldOff => "left to the stall",
            Self::Bounces => "bounces",
            Self::RollOut => "roll-out",
            Self::TrimDrift => "untouched climb, sink",
            Self::TrimTurn => "untouched turn",
            Self::Symmetry => "equal turns",
            Self::TimeToDisarm => "time to disarm",
        }
    }

    /// Unit of its value.
    pub fn unit(self) -> &'static str {
        match self {
            Self::LowestHeight
            | Self::HeightBand
            | Self::CircuitHeight
            | Self::Spacing
            | Self::CentreLine
            | Self::FlareHeight
            | Self::DistanceFromAim
            | Self::Float
            | Self::StallHeight
            | Self::RollOut => "m",
            Self::SpeedMargin
            | Self::GoalReached
            | Self::InControl
            | Self::PowerAtTouch
            | Self::Symmetry => "%",
            Self::BankHeld
            | Self::HeadingHeld
            | Self::ClimbAngle
            | Self::StallMargin
            | Self::Alignment
            | Self::IntoWind
            | Self::HeldOff => "deg",
            Self::Steadiness | Self::SinkAtTouch | Self::DriftAtTouch | Self::TrimDrift => "m/s",
            Self::TrimTurn => "deg/s",
            Self::StickReversals => "1/s",
            Self::TimeToDisarm => "s",
            Self::Damage => "parts",
            Self::Bounces => "times",
        }
    }

    /// Marks that a plane left alone may earn by itself. While climbing and
    /// levelling off they count only for the share of the time in which a hand
    /// flew.
    pub(crate) fn is_pilots_merit(self) -> bool {
        matches!(
            self,
            Self::BankHeld
                | Self::HeadingHeld
                | Self::ClimbAngle
                | Self::StallMargin
                | Self::StickReversals
                | Self::GoalReached
        )
    }
}

/// From a value to a share of the points; straight lines between the bounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// More is better.
    AtLeast {
        /// All points from here up.
        full: f64,
        /// No points from here down.
        zero: f64,
    },
    /// Less is better.
    AtMost {
        /// All points from here down.
        full: f64,
        /// No points from here up.
        zero: f64,
    },
    /// Best between two bounds.
    Between {
        /// No points from here down.
        zero_below: f64,
        /// All points from here...
        full_from: f64,
        /// ...to here.
        full_to: f64,
        /// No points from here up.
        zero_above: f64,
    },
}

impl Scale {
    /// Share of the points for a value, 0 to 1. NaN earns nothing.
    pub fn share(&self, value: f64) -> f64 {
        // Going up from 0 at `zero` to 1 at `full`; either may be the larger.
        let ramp = |zero: f64, full: f64| {
            let share = (value - zero) / (full - zero);
            if share.is_nan() {
                0.0
            } else {
                // Without minus nothing, which would be printed.
                share.clamp(0.0, 1.0) + 0.0
            }
        };
        match *self {
            Self::AtLeast { full, zero } | Self::AtMost { full, zero } => ramp(zero, full),
            Self::Between {
                zero_below,
                full_from,
                full_to,
                zero_above,
            } => ramp(zero_below, full_from).min(ramp(zero_above, full_to)),
        }
    }

    /// The limit in words, with its unit.
    pub fn in_words(&self, unit: &str) -> String {
        match *self {
            Self::AtLeast { full, .. } => format!("at least {full} {unit}"),
            Self::AtMost { full, .. } => format!("at most {full} {unit}"),
            Self::Between {
                full_from, full_to, ..
            } => format!("{full_from} to {full_to} {unit}"),
        }
    }

    /// Whether the bounds are in order.
    pub(crate) fn in_order(&self) -> bool {
        match *self {
            Self::AtLeast { full, zero } => zero < full,
            Self::AtMost { full, zero } => full < zero,
            Self::Between {
                zero_below,
                full_from,
                full_to,
                zero_above,
            } => zero_below < full_from && full_from <= full_to && full_to < zero_above,
        }
    }
}

/// One line of the score sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarkRule {
    /// What is marked.
    pub kind: MarkKind,
    /// Points to be had.
    pub points: f64,
    /// How the value turns into points.
    pub scale: Scale,
    /// Counts only for planes that stand on this; for all when `None`.
    pub only: Option<Undercarriage>,
}

impl MarkRule {
    /// Counts for a plane that stands on this.
    pub fn counts_for(&self, undercarriage: Undercarriage) -> bool {
        self.only.is_none_or(|only| only == undercarriage)
    }
}
