//! What a pilot could have seen, and when first.

use larkfield_recording::{FlightStage, Sample};

/// A wing this low, a nose this high or low, is seen by anybody (common
/// practice, no source).
const BANK_RAD: f64 = 0.44;
const NOSE_UP_RAD: f64 = 0.52;
const NOSE_DOWN_RAD: f64 = -0.44;
/// Sinking this fast, this low, is seen as well (common practice, no source).
const SINK_M_S: f64 = 1.5;
const LOW_M: f64 = 6.0;
/// A cue that was gone for longer than this was another one.
const GAP_S: f64 = 0.6;

/// Something that can be seen from the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cue {
    /// A wing is low.
    Bank,
    /// The nose is high.
    NoseHigh,
    /// The nose is low.
    NoseLow,
    /// It sinks, near the ground.
    Sink,
}

impl Cue {
    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Bank => "a wing drops below 25 degrees",
            Self::NoseHigh => "the nose rises above 30 degrees",
            Self::NoseLow => "the nose drops below 25 degrees",
            Self::Sink => "it sinks, low over the ground",
        }
    }

    fn of(sample: &Sample) -> Option<Self> {
        if sample.bank_rad.abs() > BANK_RAD {
            Some(Self::Bank)
        } else if sample.pitch_rad > NOSE_UP_RAD {
            Some(Self::NoseHigh)
        } else if sample.pitch_rad < NOSE_DOWN_RAD {
            Some(Self::NoseLow)
        } else if sample.climb_m_s < -SINK_M_S && sample.height_m < LOW_M {
            Some(Self::Sink)
        } else {
            None
        }
    }
}

/// When the trouble at a time could first be seen coming, and by what; `None`
/// when nothing was to be seen before it.
pub fn first_cue(samples: &[Sample], trouble_s: f64) -> Option<(f64, Cue)> {
    let mut found = None;
    let mut since_s = trouble_s;
    let before = samples
        .iter()
        .rev()
        .filter(|sample| sample.time_s < trouble_s);
    for sample in before {
        if sample.stage == FlightStage::InHand {
            break;
        }
        if let Some(cue) = Cue::of(sample) {
            found = Some((sample.time_s, cue));
            since_s = sample.time_s;
        } else if since_s - sample.time_s > GAP_S {
            break;
        }
    }
    found
}
