//! From the pilot's hands to what the receiver gives the servos.
//!
//! The transmitter reads the sticks once a frame, the frame arrives after the
//! latency of the link, and the servos hold it until the next one. All of it
//! is a function of time: reading the sticks more often changes nothing.

use std::collections::VecDeque;

use larkfield_airframe::Airframe;
use larkfield_flight::Controls;

use crate::{ControlMessage, Trims};

/// A number for each axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axes {
    /// Roll stick.
    pub roll: f64,
    /// Pitch stick.
    pub pitch: f64,
    /// Yaw stick.
    pub yaw: f64,
}

/// What the roll stick steers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Steering {
    /// Each stick its own axis.
    #[default]
    Ailerons,
    /// No ailerons: the rudder servo is plugged into the roll channel, so that
    /// the plane banks with the stick a pilot turns with. The yaw stick adds.
    Rudder,
}

/// Which stick moves what, when somebody set that wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Wiring {
    /// Each stick what it should.
    #[default]
    Right,
    /// The transmitter is set to another stick mode than the pilot's: the stick
    /// that the pilot takes for the throttle moves the elevator, and the other
    /// way round.
    OtherMode,
    /// The transmitter sends throttle, aileron, elevator and the receiver takes
    /// them for aileron, elevator, throttle.
    ThrottleFirst,
}

impl Wiring {
    /// What the receiver makes of right commands. A throttle runs from shut to
    /// open where the others run from one end to the other; a throttle stick
    /// pushed open is an elevator stick pushed, nose down.
    fn cross(self, right: Controls) -> Controls {
        let as_throttle = |command: f64| 0.5 * (command + 1.0);
        let from_throttle = 2.0 * right.throttle - 1.0;
        match self {
            Self::Right => right,
            Self::OtherMode => Controls {
                pitch: -from_throttle,
                throttle: as_throttle(-right.pitch),
                ..right
            },
            Self::ThrottleFirst => Controls {
                roll: from_throttle,
                pitch: right.roll,
                throttle: as_throttle(right.pitch),
                ..right
            },
        }
    }
}

/// What a receiver does when it has heard nothing for a while.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FailSafe {
    /// Motor off, surfaces centred.
    #[default]
    MotorOff,
    /// Everything stays as it was last heard: a mistake that flies on with the
    /// motor running, here to be found before a flight and never to be flown.
    Hold,
}

/// How a transmitter and its link are set up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RadioSetup {
    /// Share of full travel at full stick.
    pub rates: Axes,
    /// The rates while their switch is on; without them the switch does nothing.
    pub second_rates: Option<Axes>,
    /// Share of cubic response: 0 straight, 1 all cubic (soft centre).
    pub expo: Axes,
    /// What the roll stick steers.
    pub steering: Steering,
    /// Share of the roll stick, after its rate and expo and without its trim,
    /// that goes to the yaw channel as well; to the same side when positive.
    /// Means nothing where the roll stick steers the rudder anyway.
    pub rudder_from_aileron: f64,
    /// Which stick moves what.
    pub wiring: Wiring,
    /// Steps that the link has between one end of a channel and the other;
    /// without a number it has none: a scripted hand is rougher than any link.
    pub steps: Option<u32>,
    /// From stick to receiver. Assumed 40 ms: published latencies of hobby
    /// links are 20 to 85 ms (helipilotonline.com, "Latency & Resolution").
    pub latency_s: f64,
    /// Time between frames. 20 ms is the analogue servo frame
    /// (modelflying.co.uk, "Servo chatter").
    pub frame_s: f64,
    /// How long the receiver waits for a frame before it fails safe.
    /// Assumed; common practice, no source.
    pub fail_safe_after_s: f64,
    /// What it does then.
    pub fail_safe: FailSafe,
}

impl Default for RadioSetup {
    /// Low rates of 75 % and 30 % expo on roll and pitch (low rates 50 to 75 %,
    /// expo 20 to 40 %: common practice, no source).
    fn default() -> Self {
        Self {
            rates: Axes {
                roll: 0.75,
                pitch: 0.75,
                yaw: 1.0,
            },
            expo: Axes {
                roll: 0.3,
                pitch: 0.3,
                yaw: 0.3,
            },
            second_rates: None,
            steering: Steering::Ailerons,
            rudder_from_aileron: 0.0,
            wiring: Wiring::Right,
            steps: None,
            latency_s: 0.040,
            frame_s: 0.020,
            fail_safe_after_s: 0.5,
            fail_safe: FailSafe::MotorOff,
        }
    }
}

impl RadioSetup {
    /// The default set-up for an airframe: when nothing on it answers the roll
    /// command, the roll stick steers the rudder at full rate (a rudder has to
    /// do the work of ailerons).
    pub fn for_airframe(airframe: &Airframe) -> Self {
        let mut setup = Self {
            steering: Self::steering_of(airframe),
            ..Self::default()
        };
        if setup.steering == Steering::Rudder {
            setup.rates.roll = 1.0;
        }
        setup
    }

    /// The steering that suits an airframe: the roll stick moves what answers the
    /// roll command, or the rudder when nothing does.
    pub fn steering_of(airframe: &Airframe) -> Steering {
        let ailerons = (airframe.controls.iter()).any(|surface| surface.mix.roll != 0.0);
        if ailerons {
            Steering::Ailerons
        } else {
            Steering::Rudder
        }
    }

    /// What the transmitter encodes for a message: expo, rates, trims, mixing,
    /// throttle cut; nothing beyond full travel, in the steps of the link.
    pub fn encode(&self, message: &ControlMessage) -> Controls {
        let sticks = message.sticks.within_gates();
        let rates = match &self.second_rates {
            Some(second) if message.switches.second_rates => second,
            _ => &self.rates,
        };
        let shape =
            |stick: f64, expo: f64, rate: f64| stick * ((1.0 - expo) + expo * stick * stick) * rate;
        let (expo, trims) = (&self.expo, &message.trims);
        let shaped_roll = shape(sticks.roll, expo.roll, rates.roll);
        let roll = travel(shaped_roll + trims.roll);
        let yaw = travel(shape(sticks.yaw, expo.yaw, rates.yaw) + trims.yaw);
        let (roll, yaw) = match self.steering {
            Steering::Ailerons => (roll, travel(yaw + self.rudder_from_aileron * shaped_roll)),
            Steering::Rudder => (0.0, travel(roll + yaw)),
        };
        let pitch = travel(shape(sticks.pitch, expo.pitch, rates.pitch) + trims.pitch);
        let throttle = if message.switches.throttle_cut {
            0.0
        } else {
            sticks.throttle
        };
        self.wiring.cross(Controls {
            roll: self.in_steps(roll, 0.5),
            pitch: self.in_steps(pitch, 0.5),
            yaw: self.in_steps(yaw, 0.5),
            throttle: self.in_steps(throttle, 1.0),
        })
    }

    /// The nearest command that the link can send; `steps_share`: how much of
    /// its steps lie between 0 and 1.
    fn in_steps(&self, command: f64, steps_share: f64) -> f64 {
        match self.steps {
            Some(steps) if steps > 0 => {
                let steps = f64::from(steps) * steps_share;
                travel((command * steps).round() / steps)
            }
            _ => command,
        }
    }
}

impl Trims {
    /// What the servos get when linkages are out of trim by this much.
    #[must_use]
    pub fn misalign(&self, controls: Controls, steering: Steering) -> Controls {
        // Without ailerons the roll stick moves the rudder, and so does its error.
        let (roll, yaw) = match steering {
            Steering::Ailerons => (self.roll, self.yaw),
            Steering::Rudder => (0.0, self.roll + self.yaw),
        };
        Controls {
            roll: travel(controls.roll + roll),
            pitch: travel(controls.pitch + self.pitch),
            yaw: travel(controls.yaw + yaw),
            throttle: controls.throttle,
        }
    }
}

/// Frames on their way at most; a link with more latency than this many frames
/// loses the oldest.
const FRAMES_IN_FLIGHT: usize = 64;

/// A transmitter, its link and its receiver.
#[derive(Debug, Clone, PartialEq)]
pub struct Radio {
    setup: RadioSetup,
    /// Last message seen and when; frames between two messages interpolate.
    last: Option<(f64, ControlMessage)>,
    /// Number of the last frame sent.
    frame: f64,
    on_the_way: VecDeque<(f64, Controls)>,
    /// What the receiver holds.
    held: Controls,
    heard_s: Option<f64>,
}

impl Radio {
    /// A radio that has just been switched on: the receiver has heard nothing
    /// and holds the fail-safe.
    pub fn new(setup: RadioSetup) -> Self {
        Self {
            setup,
            last: None,
            frame: f64::NEG_INFINITY,
            on_the_way: VecDeque::new(),
            held: Controls::default(),
            heard_s: None,
        }
    }

    /// Its set-up.
    pub fn setup(&self) -> &RadioSetup {
        &self.setup
    }

    /// Gives the transmitter the sticks of this moment and returns what the
    /// receiver gives the servos at this moment. `None`: the link is down.
    /// Times must not go backward; a time that is not finite is ignored.
    pub fn relay(&mut self, time_s: f64, message: Option<&ControlMessage>) -> Controls {
        if !time_s.is_finite() {
            return self.held;
        }
        self.send(time_s, message);
        self.receive(time_s);
        self.held
    }

    fn send(&mut self, time_s: f64, message: Option<&ControlMessage>) {
        // The small share absorbs the rounding of times that are sums of ticks.
        let due = (time_s / self.setup.frame_s + 1e-6).floor();
        if self.frame < 0.0 {
            // Just switched on: nothing is owed for the past.
            self.frame = due - 1.0;
        }
        if due > self.frame {
            let first = (self.frame + 1.0).max(due - FRAMES_IN_FLIGHT as f64 + 1.0);
            for step in 0..(due - first + 1.0) as usize {
                let sent_s = (first + step as f64) * self.setup.frame_s;
                if let Some(message) = message {
                    let controls = self.setup.encode(&self.at_frame(sent_s, time_s, message));
                    if self.on_the_way.len() == FRAMES_IN_FLIGHT {
                        self.on_the_way.pop_front();
                    }
                    self.on_the_way
                        .push_back((sent_s + self.setup.latency_s, controls));
                }
            }
            self.frame = due;
        }
        self.last = message.map(|message| (time_s, *message));
    }

    /// Where the sticks were when the frame was read.
    fn at_frame(&self, sent_s: f64, now_s: f64, now: &ControlMessage) -> ControlMessage {
        let mut read = *now;
        if let Some((before_s, before)) = &self.last
            && now_s > *before_s
        {
            let share = ((sent_s - before_s) / (now_s - before_s)).clamp(0.0, 1.0);
            read.sticks = before.sticks.toward(now.sticks, share);
        }
        read
    }

    fn receive(&mut self, time_s: f64) {
        while let Some((arrives_s, controls)) = self.on_the_way.front().copied() {
            if arrives_s > time_s + 1e-6 * self.setup.frame_s {
                break;
            }
            self.held = controls;
            self.heard_s = Some(arrives_s);
            self.on_the_way.pop_front();
        }
        let silent = self
            .heard_s
            .is_none_or(|heard_s| time_s - heard_s > self.setup.fail_safe_after_s);
        if silent && self.setup.fail_safe == FailSafe::MotorOff {
            self.held = Controls::default();
        }
    }
}

fn travel(command: f64) -> f64 {
    if command.is_nan() {
        0.0
    } else {
        command.clamp(-1.0, 1.0)
    }
}
