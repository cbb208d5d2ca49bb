//! From keys that are down to sticks, as thumbs would move them.
//!
//! A key is not a stick: it is all or nothing. So each stick travels toward
//! its key at the speed of a thumb and springs back as fast; the throttle has
//! no spring and stays where it was left.

use larkfield_pilot::{ControlMessage, Sticks, Switches, Trims, Unseen};

/// A thumb takes a stick from its centre to its end in this time (common
/// practice, no source: a quick but unhurried movement).
const THUMB_S: f64 = 0.2;
/// From shut to open.
const THROTTLE_S: f64 = 1.0;
/// One push of a trim lever.
const TRIM_STEP: f64 = 0.01;
/// Trim levers reach so far.
const TRIM_MOST: f64 = 0.3;

/// Which way each control is pushed: -1, 0 or 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pushed {
    /// Right.
    pub roll: f64,
    /// Nose up, which is the stick pulled back.
    pub pitch: f64,
    /// Nose right.
    pub yaw: f64,
    /// Open.
    pub throttle: f64,
    /// The throwing hand holds the plane back.
    pub throw_held: bool,
}

/// Two hands at a transmitter.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Hands {
    sticks: Sticks,
    trims: Trims,
    throttle_cut: bool,
    throw_held: bool,
    unseen: Unseen,
}

impl Hands {
    /// Hands that have the throttle where a launch wants it and nothing else
    /// moved.
    pub fn with_throttle(throttle: f64) -> Self {
        Self {
            sticks: Sticks {
                throttle,
                ..Sticks::default()
            },
            ..Self::default()
        }
    }

    /// Moves the thumbs for as long as a frame took.
    pub fn push(&mut self, pushed: &Pushed, frame_s: f64) {
        let spring = |stick: f64, to: f64| {
            let most = frame_s / THUMB_S;
            stick + (to - stick).clamp(-most, most)
        };
        self.sticks.roll = spring(self.sticks.roll, pushed.roll);
        self.sticks.pitch = spring(self.sticks.pitch, pushed.pitch);
        self.sticks.yaw = spring(self.sticks.yaw, pushed.yaw);
        self.sticks.throttle += pushed.throttle * frame_s / THROTTLE_S;
        self.sticks = self.sticks.within_gates();
        self.throw_held = pushed.throw_held;
    }

    /// Pushes a trim lever once; each is -1, 0 or 1.
    pub fn trim(&mut self, roll: f64, pitch: f64) {
        let moved = |trim: f64, by: f64| (trim + by * TRIM_STEP).clamp(-TRIM_MOST, TRIM_MOST);
        self.trims.roll = moved(self.trims.roll, roll);
        self.trims.pitch = moved(self.trims.pitch, pitch);
    }

    /// The switch that stops the motor, either way.
    pub fn toggle_throttle_cut(&mut self) {
        self.throttle_cut = !self.throttle_cut;
    }

    /// An instructor takes the power away, for the rest of the flight, or sends
    /// a gust.
    pub fn surprise(&mut self, power_lost: bool, gust: bool) {
        self.unseen.power_lost |= power_lost;
        self.unseen.gust = gust;
    }

    /// What an instructor does, which the pilot does not see.
    pub fn unseen(&self) -> Unseen {
        self.unseen
    }

    /// What goes to the transmitter.
    pub fn message(&self) -> ControlMessage {
        ControlMessage {
            sticks: self.sticks,
            trims: self.trims,
            switches: Switches {
                throttle_cut: self.throttle_cut,
                throw_held: self.throw_held,
                second_rates: false,
            },
            unseen: self.unseen,
            hand_off: false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RIGHT: Pushed = Pushed {
        roll: 1.0,
        pitch: 0.0,
        yaw: 0.0,
        throttle: 1.0,
        throw_held: false,
    };

    #[test]
    fn a_stick_takes_the_time_of_a_thumb_whatever_the_frames() {
        for frames in [1_u32, 3, 10] {
            let mut hands = Hands::default();
            for _ in 0..frames {
                hands.push(&RIGHT, 0.5 * THUMB_S / f64::from(frames));
            }
            let roll = hands.message().sticks.roll;
            assert!((roll - 0.5).abs() < 1e-12, "{frames} frames: {roll}");
            hands.push(&RIGHT, 1.0);
            assert_eq!(hands.message().sticks.roll, 1.0);
        }
    }

    #[test]
    fn sticks_spring_back_and_the_throttle_stays() {
        let mut hands = Hands::with_throttle(0.2);
        hands.push(&RIGHT, 0.3 * THROTTLE_S);
        hands.push(&Pushed::default(), 10.0);
        let sticks = hands.message().sticks;
        assert_eq!(sticks.roll, 0.0);
        assert!((sticks.throttle - 0.5).abs() < 1e-12, "{}", sticks.throttle);
    }

    #[test]
    fn lost_power_stays_lost_and_a_gust_passes() {
        let mut hands = Hands::default();
        hands.surprise(true, true);
        hands.surprise(false, false);
        let unseen = hands.message().unseen;
        assert_eq!((unseen.power_lost, unseen.gust), (true, false));
    }

    #[test]
    fn trims_stop_at_their_ends() {
        let mut hands = Hands::default();
        for _ in 0..1000 {
            hands.trim(1.0, -1.0);
        }
        let trims = hands.message().trims;
        assert_eq!((trims.roll, trims.pitch), (TRIM_MOST, -TRIM_MOST));
    }
}
