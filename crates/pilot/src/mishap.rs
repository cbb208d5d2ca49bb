//! What gives way in flight, between the sticks and the surfaces.
//!
//! Times count from the release, or from the start of a run without one. Until
//! then nothing has happened.

use larkfield_flight::{Controls, FlightState};

/// A receiver that starts anew is gone for this long (estimated, no source).
const RESTART_S: f64 = 1.5;

/// Something that gives way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mishap {
    /// The controller was never armed: no throttle moves the motor.
    NotArmed,
    /// The controller cuts the motor, and does not give it back.
    MotorCut {
        /// When.
        after_s: f64,
    },
    /// A servo stops where it is.
    ServoStops {
        /// Which of [`larkfield_airframe::Airframe::controls`].
        control: usize,
        /// When.
        after_s: f64,
    },
    /// The receiver hears nothing any more, and does what its fail-safe says.
    LinkLost {
        /// When.
        after_s: f64,
    },
    /// The receiver's supply breaks down: it starts anew, and until it has, the
    /// servos stay where they are and the motor gets nothing.
    BrownOut {
        /// When.
        after_s: f64,
    },
}

/// Everything that gives way in one flight.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mishaps(pub Vec<Mishap>);

impl Mishaps {
    /// Whether the receiver hears the transmitter. `free_s`: since the release.
    #[must_use]
    pub fn hears(&self, free_s: Option<f64>) -> bool {
        !(self.0.iter()).any(|mishap| match mishap {
            Mishap::LinkLost { after_s } => free_s.is_some_and(|free_s| free_s >= *after_s),
            _ => false,
        })
    }

    /// What servos and controller get of what the receiver would give them;
    /// `before`: what they got the last time.
    #[must_use]
    pub fn at_servos(&self, free_s: Option<f64>, given: Controls, before: Controls) -> Controls {
        let mut controls = given;
        for mishap in &self.0 {
            match mishap {
                Mishap::NotArmed => controls.throttle = 0.0,
                Mishap::MotorCut { after_s } => {
                    if free_s.is_some_and(|free_s| free_s >= *after_s) {
                        controls.throttle = 0.0;
                    }
                }
                Mishap::BrownOut { after_s } => {
                    let since_s = free_s.map_or(-1.0, |free_s| free_s - after_s);
                    if (0.0..RESTART_S).contains(&since_s) {
                        controls = Controls {
                            throttle: 0.0,
                            ..before
                        };
                    }
                }
                Mishap::ServoStops { .. } | Mishap::LinkLost { .. } => {}
            }
        }
        controls
    }

    /// Servos that stop: which of [`larkfield_airframe::Airframe::controls`], and
    /// when since the release.
    pub fn servo_stops(&self) -> impl Iterator<Item = (usize, f64)> {
        self.0.iter().filter_map(|mishap| match *mishap {
            Mishap::ServoStops { control, after_s } => Some((control, after_s)),
            _ => None,
        })
    }

    /// Stops the servos that no longer run.
    pub fn stop_servos(&self, free_s: Option<f64>, state: &mut FlightState) {
        for (control, after_s) in self.servo_stops() {
            if free_s.is_some_and(|free_s| free_s >= after_s)
                && let Some(surface) = state.surfaces.get_mut(control)
            {
                surface.stopped = true;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GIVEN: Controls = Controls {
        roll: 0.1,
        pitch: 0.2,
        yaw: 0.3,
        throttle: 0.8,
    };

    #[test]
    fn nothing_gives_way_before_its_time() {
        let all = Mishaps(vec![
            Mishap::LinkLost { after_s: 2.0 },
            Mishap::BrownOut { after_s: 2.0 },
        ]);
        for free_s in [None, Some(0.0), Some(1.99)] {
            assert!(all.hears(free_s));
            assert_eq!(all.at_servos(free_s, GIVEN, Controls::default()), GIVEN);
        }
        assert!(!all.hears(Some(2.0)));
    }

    #[test]
    fn a_receiver_that_starts_anew_leaves_the_servos_and_stops_the_motor_for_a_while() {
        let brown = Mishaps(vec![Mishap::BrownOut { after_s: 1.0 }]);
        let before = Controls {
            pitch: -0.5,
            throttle: 1.0,
            ..Controls::default()
        };
        let during = brown.at_servos(Some(1.2), GIVEN, before);
        assert_eq!((during.pitch, during.throttle), (-0.5, 0.0));
        assert_eq!(brown.at_servos(Some(2.6), GIVEN, before), GIVEN);
    }

    #[test]
    fn a_motor_that_was_never_armed_stands_before_the_release_too() {
        let unarmed = Mishaps(vec![Mishap::NotArmed]);
        let given = unarmed.at_servos(None, GIVEN, GIVEN);
        assert_eq!((given.throttle, given.pitch), (0.0, 0.2));
    }
}
