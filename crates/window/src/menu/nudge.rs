//! Sticks that move the finger: pushed once they move it once, held they go on.

use larkfield_pilot::Sticks;

/// A stick that is held moves the finger this often.
const REPEAT_S: f64 = 0.25;
/// From here on a stick is pushed.
const PUSHED: f64 = 0.5;

/// Time until a stick that is held moves the finger again.
#[derive(Debug, Clone, Copy, Default)]
pub struct Nudge {
    wait_s: f64,
}

/// Steps of the finger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct By {
    /// Rows down.
    pub down: i32,
    /// To the next of several.
    pub turn: i32,
}

impl Nudge {
    /// As if a stick was held already: one that is still over from flying moves
    /// nothing at once.
    pub fn held() -> Self {
        Self { wait_s: REPEAT_S }
    }

    /// What the sticks ask for after a time has passed.
    pub fn by(&mut self, sticks: &Sticks, passed_s: f64) -> By {
        self.wait_s -= passed_s;
        let mut by = By::default();
        if sticks.pitch.abs().max(sticks.roll.abs()) <= PUSHED {
            self.wait_s = 0.0;
        } else if self.wait_s <= 0.0 {
            self.wait_s = REPEAT_S;
            if sticks.pitch.abs() > sticks.roll.abs() {
                // Pulled back is down the list.
                by.down = sticks.pitch.signum() as i32;
            } else {
                by.turn = sticks.roll.signum() as i32;
            }
        }
        by
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME_S: f64 = 0.02;

    fn steps(nudge: &mut Nudge, pitch: f64, roll: f64, seconds: f64) -> By {
        let sticks = Sticks {
            pitch,
            roll,
            ..Sticks::default()
        };
        let mut sum = By::default();
        for _ in 0..(seconds / FRAME_S).round() as u32 {
            let by = nudge.by(&sticks, FRAME_S);
            sum.down += by.down;
            sum.turn += by.turn;
        }
        sum
    }

    #[test]
    fn a_push_is_one_step_and_a_held_stick_goes_on() {
        let mut nudge = Nudge::default();
        assert_eq!(steps(&mut nudge, 1.0, 0.2, 0.1), By { down: 1, turn: 0 });
        assert_eq!(steps(&mut nudge, 0.0, 0.0, 0.1), By::default());
        // At once and after a quarter and half of a second.
        assert_eq!(steps(&mut nudge, -0.8, 0.0, 0.6), By { down: -3, turn: 0 });
        assert_eq!(steps(&mut nudge, 0.0, 0.0, 0.1), By::default());
        assert_eq!(steps(&mut nudge, 0.3, 0.9, 0.1), By { down: 0, turn: 1 });
        assert_eq!(steps(&mut nudge, 0.4, -0.4, 1.0), By::default());
    }

    #[test]
    fn a_stick_still_over_from_flying_moves_nothing_at_once() {
        let mut nudge = Nudge::held();
        assert_eq!(steps(&mut nudge, 1.0, 0.0, 0.2), By::default());
        assert_eq!(steps(&mut nudge, 1.0, 0.0, 0.1), By { down: 1, turn: 0 });
    }
}
