//! What somebody might have done: each is one plain thing, as an instructor
//! would shout it.

use larkfield_pilot::attitude::to_euler;
use larkfield_pilot::{ControlMessage, Sticks};
use larkfield_world::FlightView;

/// A thumb takes a stick from its centre to its end in this time (common
/// practice, no source: a quick but unhurried movement).
const THUMB_S: f64 = 0.2;
/// Power that is added smoothly takes this long (common practice, no source).
const POWER_S: f64 = 1.0;
/// Stick for each radian of bank, and for each radian a second of roll.
const LEVEL_GAIN: f64 = 1.6;
const LEVEL_DAMPING: f64 = 0.15;
/// A glide is held with the nose this far below the horizon.
const GLIDE_RAD: f64 = -0.05;
const GLIDE_GAIN: f64 = 2.0;
/// Below this height the stick comes back for the landing, so far.
const FLARE_M: f64 = 1.0;
const FLARE: f64 = 0.4;

/// One plain thing to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Correction {
    /// The elevator goes back to its middle; everything else stays.
    EaseElevator,
    /// The throttle opens smoothly; everything else stays.
    AddPower,
    /// The wings are levelled with the elevator in its middle.
    LevelWings,
    /// All sticks are let go; the throttle stays.
    LeaveAlone,
    /// Motor off, wings level, and it lands ahead.
    LandAhead,
}

impl Correction {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::EaseElevator,
        Self::AddPower,
        Self::LevelWings,
        Self::LeaveAlone,
        Self::LandAhead,
    ];

    /// For people.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::EaseElevator => "ease the elevator back to its middle",
            Self::AddPower => "add power smoothly",
            Self::LevelWings => "level the wings, elevator in its middle",
            Self::LeaveAlone => "let go of the sticks, throttle as it is",
            Self::LandAhead => "motor off, wings level, land ahead",
        }
    }

    /// Where the sticks are to go, from where they were when it began.
    fn wanted(self, view: &FlightView, began: &Sticks) -> Sticks {
        let (_, pitch_rad, bank_rad) = to_euler(view.plane.state.attitude);
        let roll_rate_rad_s = view.plane.state.rates_rad_s.x;
        let level = (-LEVEL_GAIN * bank_rad - LEVEL_DAMPING * roll_rate_rad_s).clamp(-1.0, 1.0);
        match self {
            Self::EaseElevator => Sticks {
                pitch: 0.0,
                ..*began
            },
            Self::AddPower => Sticks {
                throttle: 1.0,
                ..*began
            },
            Self::LevelWings => Sticks {
                roll: level,
                pitch: 0.0,
                yaw: 0.0,
                throttle: began.throttle,
            },
            Self::LeaveAlone => Sticks {
                throttle: began.throttle,
                ..Sticks::default()
            },
            Self::LandAhead => Sticks {
                roll: level,
                pitch: if -view.plane.state.position_m.z < FLARE_M {
                    FLARE
                } else {
                    (GLIDE_GAIN * (GLIDE_RAD - pitch_rad)).clamp(-0.5, 0.5)
                },
                yaw: 0.0,
                throttle: 0.0,
            },
        }
    }

    /// Moves the hands on by a little time.
    pub(crate) fn go_on(
        self,
        view: &FlightView,
        began: &Sticks,
        hands: &mut ControlMessage,
        time_s: f64,
    ) {
        let wanted = self.wanted(view, began);
        let toward = |stick: f64, to: f64, full_s: f64| {
            let most = time_s / full_s;
            stick + (to - stick).clamp(-most, most)
        };
        let sticks = &mut hands.sticks;
        sticks.roll = toward(sticks.roll, wanted.roll, THUMB_S);
        sticks.pitch = toward(sticks.pitch, wanted.pitch, THUMB_S);
        sticks.yaw = toward(sticks.yaw, wanted.yaw, THUMB_S);
        // A throttle is shut in a moment and opened smoothly.
        let throttle_s = if wanted.throttle < sticks.throttle {
            THUMB_S
        } else {
            POWER_S
        };
        sticks.throttle = toward(sticks.throttle, wanted.throttle, throttle_s);
    }
}
