//! From the pilot's hands to what the receiver gives the servos.
//!
//! The transmitter reads the sticks once a frame, the frame arrives after the
//! latency of the link, and the servos hold it until the next one. All of it
//! is a function of time: reading the sticks more often changes nothing.

use std::collections::VecDeque;

use larkfield_airframe::Airframe;
use larkfield_flight::Controls;

use crate::ControlMessage;

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

/// How a transmitter and its link are set up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RadioSetup {
    /// Share of full travel at full stick.
    pub rates: Axes,
    /// Share of cubic response: 0 straight, 1 all cubic (soft centre).
    pub expo: Axes,
    /// What the roll stick steers.
    pub steering: Steering,
    /// From stick to receiver. Assumed 40 ms: published latencies of hobby
    /// links are 20 to 85 ms (helipilotonline.com, "Latency & Resolution").
    pub latency_s: f64,
    /// Time between frames. 20 ms is the analogue servo frame
    /// (modelflying.co.uk, "Servo chatter").
    pub frame_s: f64,
    /// How long the receiver waits for a frame before it fails safe.
    /// Assumed; common practice, no source.
    pub fail_safe_after_s: f64,
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
            steering: Steering::Ailerons,
            latency_s: 0.040,
            frame_s: 0.020,
            fail_safe_after_s: 0.5,
        }
    }
}

impl RadioSetup {
    /// The default set-up for an airframe: when nothing on it answers the roll
    /// command, the roll stick steers the rudder at full rate (a rudder has to
    /// do the work of ailerons).
    pub fn for_airframe(airframe: &Airframe) -> Self {
        let mut setup = Self::default();
        if airframe
            .controls
            .iter()
            .all(|surface| surface.mix.roll == 0.0)
        {
            setup.steering = Steering::Rudder;
            setup.rates.roll = 1.0;
        }
        setup
    }

    /// What the transmitter encodes for a message: expo, rates, trims, mixing,
    /// throttle cut; nothing beyond full travel.
    pub fn encode(&self, message: &ControlMessage) -> Controls {
        let sticks = message.sticks.within_gates();
        let axis = |stick: f64, expo: f64, rate: f64, trim: f64| {
            let shaped = stick * ((1.0 - expo) + expo * stick * stick);
            travel(shaped * rate + trim)
        };
        let (expo, rates, trims) = (&self.expo, &self.rates, &message.trims);
        let roll = axis(sticks.roll, expo.roll, rates.roll, trims.roll);
        let yaw = axis(sticks.yaw, expo.yaw, rates.yaw, trims.yaw);
        let (roll, yaw) = match self.steering {
            Steering::Ailerons => (roll, yaw),
            Steering::Rudder => (0.0, travel(roll + yaw)),
        };
        Controls {
            roll,
            pitch: axis(sticks.pitch, expo.pitch, rates.pitch, trims.pitch),
            yaw,
            throttle: if message.switches.throttle_cut {
                0.0
            } else {
                sticks.throttle
            },
        }
    }
}

/// Frames on their way at most; a link with more latency than this many frames
/// loses the oldest.
const FRAMES_IN_FLIGHT: usize = 64;

/// A transmitter, its link and its receiver. Fail-safe: motor off, surfaces
/// centred; never hold-last.
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
        if silent {
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
