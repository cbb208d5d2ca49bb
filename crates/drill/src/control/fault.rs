//! What can be wrong with a set-up, one thing at a time.

use larkfield_airframe::{Airframe, ControlSurface};

/// One mistake of set-up or one worn part, to be found on the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SetupFault {
    /// The elevator moves the wrong way.
    ElevatorReversed,
    /// The ailerons move the wrong way.
    AileronReversed,
    /// The rudder moves the wrong way.
    RudderReversed,
    /// Left and right servo of a mixed pair are in each other's sockets.
    PairSwapped,
    /// One servo of a mixed pair moves the wrong way.
    PairOneReversed,
    /// The radio is in another stick mode.
    WrongMode,
    /// The servos are in the sockets of another channel order.
    WrongChannelOrder,
    /// The model memory of another plane is chosen.
    WrongModelMemory,
    /// The surfaces move twice as far as they should.
    RatesDoubled,
    /// The surfaces move half as far as they should.
    RatesHalved,
    /// A trim lever is far from its middle.
    TrimOff,
    /// Expo makes the middle of the stick sharper instead of softer.
    ExpoReversed,
    /// The motor runs with the throttle shut.
    ThrottleReversed,
    /// The motor's controller is not armed.
    MotorNotArmed,
    /// One servo does not move.
    DeadServo,
    /// One servo crawls.
    SluggishServo,
    /// The propeller is mounted back to front.
    PropellerBackward,
    /// Without the radio everything goes on as it was, motor included.
    FailSafeHolds,
}

/// Name, what it is, how it shows, what to do about it.
struct Words(&'static str, &'static str, &'static str, &'static str);

impl SetupFault {
    /// All of them.
    pub const ALL: [Self; 18] = [
        Self::ElevatorReversed,
        Self::AileronReversed,
        Self::RudderReversed,
        Self::PairSwapped,
        Self::PairOneReversed,
        Self::WrongMode,
        Self::WrongChannelOrder,
        Self::WrongModelMemory,
        Self::RatesDoubled,
        Self::RatesHalved,
        Self::TrimOff,
        Self::ExpoReversed,
        Self::ThrottleReversed,
        Self::MotorNotArmed,
        Self::DeadServo,
        Self::SluggishServo,
        Self::PropellerBackward,
        Self::FailSafeHolds,
    ];

    fn words(self) -> Words {
        match self {
            Self::ElevatorReversed => Words(
                "elevator_reversed",
                "the elevator is reversed",
                "stick toward you, and its trailing edge goes down",
                "reverse its channel in the radio, then look again with the stick at both ends",
            ),
            Self::AileronReversed => Words(
                "aileron_reversed",
                "the ailerons are reversed",
                "stick to the right, and the right one goes down",
                "reverse their channel in the radio, then look again with the stick at both ends",
            ),
            Self::RudderReversed => Words(
                "rudder_reversed",
                "the rudder is reversed",
                "stick to the right, and its trailing edge goes to the left",
                "reverse its channel in the radio, then look again with the stick at both ends",
            ),
            Self::PairSwapped => Words(
                "pair_swapped",
                "left and right of the mixed pair are in each other's sockets",
                "one stick moves them as it should, the other the wrong way round",
                "swap the two plugs at the receiver, then look at both sticks again",
            ),
            Self::PairOneReversed => Words(
                "pair_one_reversed",
                "one of the mixed pair is reversed",
                "the elevator stick moves them like ailerons, and the aileron stick like an elevator",
                "reverse that one servo's channel, then look at both sticks again",
            ),
            Self::WrongMode => Words(
                "wrong_mode",
                "the radio is in another stick mode",
                "the elevator answers the stick of the throttle, and the motor that of the elevator",
                "choose your own mode in the radio, and let nobody else's radio fly your plane",
            ),
            Self::WrongChannelOrder => Words(
                "wrong_channel_order",
                "servos and motor are in the sockets of another channel order",
                "each stick moves something, but something else",
                "put each plug where your radio sends its function; the motor's first",
            ),
            Self::WrongModelMemory => Words(
                "wrong_model_memory",
                "the model memory of another plane is chosen",
                "one stick moves two things, as a mix for another plane would",
                "choose this plane's memory, then do the whole check again",
            ),
            Self::RatesDoubled => Words(
                "rates_doubled",
                "the surfaces move twice as far as they should",
                "the right way, and the angles at full stick are twice those on the card",
                "choose the low rates, or move the push rod nearer to the middle of the servo arm",
            ),
            Self::RatesHalved => Words(
                "rates_halved",
                "the surfaces move half as far as they should",
                "the right way, and the angles at full stick are half those on the card",
                "look at the rates, or move the push rod farther out on the servo arm",
            ),
            Self::TrimOff => Words(
                "trim_off",
                "a trim lever is far from its middle",
                "with the sticks let go one surface stands off its middle",
                "centre the trim, then set the surface straight at its push rod",
            ),
            Self::ExpoReversed => Words(
                "expo_reversed",
                "the expo has the wrong sign",
                "full stick as on the card, but half stick gives far more than on the card",
                "change the sign of the expo, then look at half stick again",
            ),
            Self::ThrottleReversed => Words(
                "throttle_reversed",
                "the throttle is reversed",
                "the motor runs with the throttle shut and stops with it open",
                "throttle cut, battery out, propeller off; then reverse the channel",
            ),
            Self::MotorNotArmed => Words(
                "motor_not_armed",
                "the motor's controller is not armed",
                "the throttle goes up and the motor stays still",
                "throttle shut, battery out and in again, and wait for its tones",
            ),
            Self::DeadServo => Words(
                "dead_servo",
                "one servo does not move",
                "one surface stays where it is, whatever the sticks do",
                "look at its plug, its gears and its push rod; change it rather than wait",
            ),
            Self::SluggishServo => Words(
                "sluggish_servo",
                "one servo crawls",
                "one surface gets where it should, but long after the stick",
                "look for a push rod that binds and a battery that sags; else change the servo",
            ),
            Self::PropellerBackward => Words(
                "propeller_backward",
                "the propeller is mounted back to front",
                "full throttle makes its noise and little pull",
                "battery out, then turn the propeller round: the writing faces forward",
            ),
            Self::FailSafeHolds => Words(
                "fail_safe_holds",
                "the fail-safe holds instead of stopping the motor",
                "with the transmitter off, motor and surfaces go on as they were",
                "set the fail-safe to motor off, then switch the transmitter off and look again",
            ),
        }
    }

    /// Its name in scripts and reports.
    pub fn name(self) -> &'static str {
        self.words().0
    }

    /// By its name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fault| fault.name() == name)
    }

    /// What it is, for people.
    pub fn in_words(self) -> &'static str {
        self.words().1
    }

    /// How it shows, seen from behind.
    pub fn shows(self) -> &'static str {
        self.words().2
    }

    /// What to do about it, with the battery out and the propeller off.
    pub fn to_do(self) -> &'static str {
        self.words().3
    }

    /// Whether an airframe can have it.
    pub fn fits(self, airframe: &Airframe) -> bool {
        let any = |pick: fn(&ControlSurface) -> bool| airframe.controls.iter().any(pick);
        match self {
            Self::ElevatorReversed => any(|s| !is_mixed(s) && s.mix.pitch != 0.0),
            Self::AileronReversed => any(|s| !is_mixed(s) && s.mix.roll != 0.0),
            Self::RudderReversed => any(|s| !is_mixed(s) && s.mix.yaw != 0.0),
            Self::PairSwapped | Self::PairOneReversed => mixed_pair(airframe).is_some(),
            Self::WrongMode
            | Self::WrongChannelOrder
            | Self::ThrottleReversed
            | Self::MotorNotArmed
            | Self::PropellerBackward
            | Self::FailSafeHolds => airframe.power.is_some(),
            Self::WrongModelMemory
            | Self::RatesDoubled
            | Self::RatesHalved
            | Self::TrimOff
            | Self::ExpoReversed
            | Self::DeadServo
            | Self::SluggishServo => !airframe.controls.is_empty(),
        }
    }
}

/// Whether a surface answers more than one stick.
pub(super) fn is_mixed(surface: &ControlSurface) -> bool {
    let mix = &surface.mix;
    let answers = [mix.roll, mix.pitch, mix.yaw];
    answers.iter().filter(|share| **share != 0.0).count() > 1
}

/// Two surfaces that answer the same two sticks, one of them the other way.
pub(super) fn mixed_pair(airframe: &Airframe) -> Option<[usize; 2]> {
    let mut mixed = (airframe.controls.iter().enumerate()).filter(|(_, s)| is_mixed(s));
    let (first, _) = mixed.next()?;
    let (second, _) = mixed.next()?;
    Some([first, second])
}
