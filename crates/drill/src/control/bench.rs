//! A plane on a stand, its radio, and what one mistake does to both. Sticks go
//! in, surfaces and motor come out, by the same radio, servos and power train
//! as in flight.

use larkfield_airframe::{Airframe, ControlMix};
use larkfield_flight::power::PowerModel;
use larkfield_flight::{Controls, SurfaceState, commanded_share, travel_rad};
use larkfield_pilot::{
    Axes, ControlMessage, FailSafe, Noise, Radio, RadioSetup, Steering, StickMode,
};
use larkfield_radio::{Function, Gimbal};

use super::fault::{SetupFault, is_mixed, mixed_pair};

/// Air at sea level (ISO 2533:1975, table 5).
const DENSITY_KG_M3: f64 = 1.225;
const VISCOSITY_PA_S: f64 = 1.7894e-5;
/// Time that surfaces move in one go.
const STEP_S: f64 = 0.002;
/// Rate of a crawling servo as a share of a sound one's: an aileron takes about
/// a second to its end (common practice, no source).
const CRAWLS: f64 = 0.03;
/// How far a forgotten trim lever stands, as a share of full travel.
const TRIM_OFF: f64 = 0.35;
/// Expo of the wrong sign is at least as strong as this.
const SHARP_EXPO: f64 = 0.4;

/// What the pilot does to the transmitter now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtTransmitter {
    /// Sticks and switches.
    pub message: ControlMessage,
    /// Whether it transmits.
    pub on: bool,
}

impl Default for AtTransmitter {
    fn default() -> Self {
        Self {
            message: ControlMessage::default(),
            on: true,
        }
    }
}

/// What the motor does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorSeen {
    /// Turning rate.
    pub rpm: f64,
    /// Pull along the shaft, forward positive.
    pub pull_n: f64,
}

/// What is wrong on this stand; seeds decide which servo and which lever.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Wrong {
    fault: Option<SetupFault>,
    noise: Noise,
}

/// The stand.
#[derive(Debug, Clone)]
pub struct Bench {
    /// As it is, mistakes included.
    airframe: Airframe,
    wrong: Wrong,
    mode: StickMode,
    steering: Steering,
    radio: Radio,
    power: Option<PowerModel>,
    time_s: f64,
    received: Controls,
    surfaces: Vec<SurfaceState>,
}

impl Bench {
    /// An airframe on its stand with a radio that somebody flies in a mode.
    pub fn new(
        airframe: &Airframe,
        setup: &RadioSetup,
        mode: StickMode,
        fault: Option<SetupFault>,
        seed: u64,
    ) -> Self {
        let wrong = Wrong {
            fault,
            noise: Noise::new(seed, "which part is at fault"),
        };
        let airframe = wrong.airframe(airframe);
        let power = airframe
            .power
            .as_ref()
            .map(|power| PowerModel::new(power, DENSITY_KG_M3, VISCOSITY_PA_S));
        let surfaces = (airframe.controls.iter())
            .map(|surface| SurfaceState {
                deflection_rad: surface.neutral_rad,
                servo_rad: 0.0,
                runs: false,
                stopped: false,
            })
            .collect();
        let mut bench = Self {
            wrong,
            mode,
            steering: setup.steering,
            radio: Radio::new(wrong.setup(setup)),
            power,
            time_s: 0.0,
            received: Controls::default(),
            surfaces,
            airframe,
        };
        // Switched on before anybody looks.
        bench.pass(1.0, &AtTransmitter::default());
        bench
    }

    /// The airframe as it stands there.
    pub fn airframe(&self) -> &Airframe {
        &self.airframe
    }

    /// Lets time pass.
    pub fn pass(&mut self, time_s: f64, at: &AtTransmitter) {
        let message = self.wrong.message(&at.message, self.mode);
        let steps = (time_s.clamp(0.0, 3600.0) / STEP_S).round() as u64;
        for _ in 0..steps {
            self.time_s += STEP_S;
            let sent = self.radio.relay(self.time_s, at.on.then_some(&message));
            self.received = self.wrong.controls(&sent, self.steering);
            for (surface, state) in self.airframe.controls.iter().zip(&mut self.surfaces) {
                larkfield_flight::step_surface(surface, state, &self.received, STEP_S);
            }
        }
    }

    /// Deflections, in the order of the airframe's controls; positive away from
    /// the panel's normal.
    pub fn deflections_rad(&self) -> Vec<f64> {
        self.surfaces.iter().map(|s| s.deflection_rad).collect()
    }

    /// The motor; `None` without one.
    pub fn motor(&self) -> Option<MotorSeen> {
        let point = self.power.as_ref()?.static_point(self.received.throttle);
        Some(MotorSeen {
            rpm: point.rpm.abs(),
            pull_n: point.thrust_n,
        })
    }

    /// Where a stick puts the surfaces of a plane that is set up well, once they
    /// are there; the card that a builder has of a plane.
    pub fn meant_rad(
        airframe: &Airframe,
        setup: &RadioSetup,
        function: Function,
        stick: f64,
    ) -> Vec<f64> {
        let mut message = ControlMessage::default();
        *stick_of(&mut message, function) = stick;
        let controls = setup.encode(&message);
        (airframe.controls.iter())
            .map(|surface| {
                let share = commanded_share(surface, &controls).clamp(-1.0, 1.0);
                travel_rad(surface, share) + surface.neutral_rad
            })
            .collect()
    }
}

/// The stick of a function in a message.
pub fn stick_of(message: &mut ControlMessage, function: Function) -> &mut f64 {
    match function {
        Function::Aileron => &mut message.sticks.roll,
        Function::Elevator => &mut message.sticks.pitch,
        Function::Throttle => &mut message.sticks.throttle,
        Function::Rudder => &mut message.sticks.yaw,
    }
}

/// How far a stick is away from you or to the right.
fn physical(message: &ControlMessage, function: Function) -> f64 {
    match function {
        Function::Aileron => message.sticks.roll,
        Function::Elevator => -message.sticks.pitch,
        Function::Throttle => 2.0 * message.sticks.throttle - 1.0,
        Function::Rudder => message.sticks.yaw,
    }
}

impl Wrong {
    fn is(&self, fault: SetupFault) -> bool {
        self.fault == Some(fault)
    }

    /// One of so many.
    fn pick(&self, channel: u32, count: usize) -> usize {
        ((self.noise.uniform(channel) * count as f64) as usize).min(count.saturating_sub(1))
    }

    fn airframe(&self, fit: &Airframe) -> Airframe {
        let mut plane = fit.clone();
        let Some(fault) = self.fault else {
            return plane;
        };
        let one = self.pick(0, plane.controls.len());
        let reverse = |share: &mut f64| *share = -*share;
        for (index, surface) in plane.controls.iter_mut().enumerate() {
            let plain = !is_mixed(surface);
            match fault {
                SetupFault::ElevatorReversed if plain => reverse(&mut surface.mix.pitch),
                SetupFault::AileronReversed if plain => reverse(&mut surface.mix.roll),
                SetupFault::RudderReversed if plain => reverse(&mut surface.mix.yaw),
                SetupFault::RatesDoubled | SetupFault::RatesHalved => {
                    let times = if fault == SetupFault::RatesDoubled {
                        2.0
                    } else {
                        0.5
                    };
                    surface.travel_positive_rad *= times;
                    surface.travel_negative_rad *= times;
                }
                SetupFault::DeadServo if index == one => surface.servo.speed_rad_s = 0.0,
                SetupFault::SluggishServo if index == one => surface.servo.speed_rad_s *= CRAWLS,
                _ => {}
            }
        }
        if let Some([left, right]) = mixed_pair(&plane) {
            match fault {
                SetupFault::PairSwapped => {
                    let mix: ControlMix = plane.controls[left].mix;
                    plane.controls[left].mix = plane.controls[right].mix;
                    plane.controls[right].mix = mix;
                }
                SetupFault::PairOneReversed => {
                    let which = [left, right][self.pick(1, 2)];
                    plane.controls[which].servo.reversed = !plane.controls[which].servo.reversed;
                }
                _ => {}
            }
        }
        if fault == SetupFault::PropellerBackward
            && let Some(power) = &mut plane.power
        {
            power.propeller.mounted_backward = !power.propeller.mounted_backward;
        }
        plane
    }

    fn setup(&self, fit: &RadioSetup) -> RadioSetup {
        let mut setup = *fit;
        if self.is(SetupFault::ExpoReversed) {
            let sharp = |expo: f64| -expo.abs().max(SHARP_EXPO);
            setup.expo = Axes {
                roll: sharp(setup.expo.roll),
                pitch: sharp(setup.expo.pitch),
                yaw: sharp(setup.expo.yaw),
            };
        }
        if self.is(SetupFault::FailSafeHolds) {
            setup.fail_safe = FailSafe::Hold;
        }
        setup
    }

    /// What the transmitter takes the hands' movements for.
    fn message(&self, hands: &ControlMessage, mode: StickMode) -> ControlMessage {
        let mut taken = *hands;
        match self.fault {
            Some(SetupFault::WrongMode) => {
                let radio_mode = other_mode(mode);
                let of = |function: Function| {
                    let moved: Gimbal = function.gimbal(radio_mode);
                    physical(hands, moved.function(mode))
                };
                taken.sticks.roll = of(Function::Aileron);
                taken.sticks.pitch = -of(Function::Elevator);
                taken.sticks.yaw = of(Function::Rudder);
                taken.sticks.throttle = 0.5 + 0.5 * of(Function::Throttle);
            }
            Some(SetupFault::TrimOff) => {
                let off = if self.noise.uniform(2) < 0.5 {
                    TRIM_OFF
                } else {
                    -TRIM_OFF
                };
                if self.pick(3, 2) == 0 {
                    taken.trims.pitch += off;
                } else {
                    taken.trims.roll += off;
                }
            }
            Some(SetupFault::ThrottleReversed) => {
                taken.sticks.throttle = 1.0 - hands.sticks.throttle;
            }
            _ => {}
        }
        taken
    }

    /// What arrives where the servos and the motor are plugged in.
    fn controls(&self, sent: &Controls, steering: Steering) -> Controls {
        let travel = |command: f64| command.clamp(-1.0, 1.0);
        let mut there = *sent;
        match (self.fault, steering) {
            // The sockets are in the order throttle, aileron, elevator, rudder;
            // the radio sends aileron, elevator, throttle, rudder.
            (Some(SetupFault::WrongChannelOrder), _) => {
                let first = match steering {
                    Steering::Ailerons => sent.roll,
                    Steering::Rudder => sent.yaw,
                };
                there.throttle = 0.5 + 0.5 * first;
                there.pitch = 2.0 * sent.throttle - 1.0;
                match steering {
                    Steering::Ailerons => there.roll = sent.pitch,
                    Steering::Rudder => there.yaw = sent.pitch,
                }
            }
            // A memory that mixes two channels for a plane that does not.
            (Some(SetupFault::WrongModelMemory), Steering::Ailerons) => {
                there.roll = travel(sent.roll + sent.pitch);
                there.pitch = travel(sent.pitch - sent.roll);
            }
            (Some(SetupFault::WrongModelMemory), Steering::Rudder) => {
                there.yaw = travel(sent.yaw + sent.pitch);
                there.pitch = travel(sent.pitch - sent.yaw);
            }
            (Some(SetupFault::MotorNotArmed), _) => there.throttle = 0.0,
            _ => {}
        }
        there
    }
}

/// The mode that others nearby most often have: throttle on the other hand.
fn other_mode(mode: StickMode) -> StickMode {
    match mode {
        StickMode::Mode1 => StickMode::Mode2,
        StickMode::Mode2 => StickMode::Mode1,
        StickMode::Mode3 => StickMode::Mode4,
        StickMode::Mode4 => StickMode::Mode3,
    }
}
