//! Where in a flight one looks, and how fast it goes on.

/// How fast: shares of real time.
const SPEEDS: [f64; 6] = [0.0625, 0.125, 0.25, 0.5, 1.0, 2.0];
/// The last one that is not faster than life.
const REAL: usize = 4;
/// One begins to look this long before the throw, and no longer before the end
/// than [`LAST_S`].
const BEFORE_THROW_S: f64 = 0.5;
/// Longest part that is shown at first: the end is what people ask about.
const LAST_S: f64 = 12.0;
/// A key that is held moves through time this many times as fast as life.
pub const SCRUB: f64 = 4.0;

/// A hand on the time of a flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Player {
    from_s: f64,
    to_s: f64,
    at_s: f64,
    speed: usize,
    /// Time goes on by itself.
    pub plays: bool,
}

impl Player {
    /// Over a flight from a time to a time, of which it was free from `free_s`.
    pub fn new(from_s: f64, to_s: f64, free_s: f64) -> Self {
        let throw_s = (free_s - BEFORE_THROW_S).max(from_s);
        Self {
            from_s,
            to_s,
            at_s: throw_s.max(to_s - LAST_S).clamp(from_s, to_s),
            speed: REAL,
            plays: true,
        }
    }

    /// The time that is looked at.
    pub fn at_s(&self) -> f64 {
        self.at_s
    }

    /// Share of the whole flight that lies before it.
    pub fn share(&self) -> f64 {
        let length_s = self.to_s - self.from_s;
        if length_s > 0.0 {
            (self.at_s - self.from_s) / length_s
        } else {
            0.0
        }
    }

    /// Share of the whole flight before a time, for marks.
    pub fn share_of(&self, time_s: f64) -> f64 {
        let there = Self {
            at_s: time_s.clamp(self.from_s, self.to_s),
            ..*self
        };
        there.share()
    }

    /// Looks at a share of the whole flight.
    pub fn look_at_share(&mut self, share: f64) {
        let share = if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            0.0
        };
        self.at_s = self.from_s + (self.to_s - self.from_s) * share;
        self.plays = false;
    }

    /// Looks earlier or later, and stands still there.
    pub fn move_by(&mut self, by_s: f64) {
        self.at_s = (self.at_s + by_s).clamp(self.from_s, self.to_s);
        self.plays = false;
    }

    /// A frame passes.
    pub fn go_on(&mut self, frame_s: f64) {
        if self.plays {
            self.at_s = (self.at_s + frame_s * self.speed()).min(self.to_s);
            self.plays = self.at_s < self.to_s;
        }
    }

    /// Plays or stands; from the end it begins again.
    pub fn toggle(&mut self) {
        self.plays = !self.plays;
        if self.plays && self.at_s >= self.to_s {
            self.at_s = self.from_s;
        }
    }

    /// Faster or slower by so many steps.
    pub fn hurry(&mut self, steps: i32) {
        let speed = self.speed.saturating_add_signed(steps as isize);
        self.speed = speed.min(SPEEDS.len() - 1);
    }

    /// Share of real time.
    pub fn speed(&self) -> f64 {
        SPEEDS.get(self.speed).copied().unwrap_or(1.0)
    }

    /// The same for people: "1/4 of real time".
    pub fn speed_in_words(&self) -> String {
        let speed = self.speed();
        if speed < 1.0 {
            format!("1/{:.0} of real time", 1.0 / speed)
        } else if speed > 1.0 {
            format!("{speed:.0} times real time")
        } else {
            "real time".to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_begins_before_the_throw_and_stops_at_the_end() {
        let mut player = Player::new(0.0, 8.0, 2.0);
        assert_eq!(player.at_s(), 1.5);
        player.hurry(-2);
        player.go_on(2.0);
        assert_eq!((player.at_s(), player.plays), (2.0, true));
        player.hurry(9);
        player.go_on(100.0);
        assert_eq!((player.at_s(), player.plays), (8.0, false));
        player.toggle();
        assert_eq!((player.at_s(), player.plays), (0.0, true));
    }

    #[test]
    fn of_a_long_flight_the_end_is_shown() {
        assert_eq!(Player::new(0.0, 100.0, 2.0).at_s(), 88.0);
    }

    #[test]
    fn a_hand_moves_it_within_the_flight() {
        let mut player = Player::new(1.0, 5.0, 1.0);
        player.look_at_share(0.25);
        assert_eq!((player.at_s(), player.plays), (2.0, false));
        player.move_by(-9.0);
        assert_eq!(player.share(), 0.0);
        player.look_at_share(f64::NAN);
        assert_eq!(player.at_s(), 1.0);
        assert_eq!(player.share_of(3.0), 0.5);
        // A flight of no length has one time.
        let mut none = Player::new(1.0, 1.0, 1.0);
        none.go_on(1.0);
        assert_eq!((none.at_s(), none.share()), (1.0, 0.0));
    }

    #[test]
    fn speeds_are_named_as_people_say_them() {
        let mut player = Player::new(0.0, 1.0, 0.0);
        assert_eq!(player.speed_in_words(), "real time");
        player.hurry(-2);
        assert_eq!(player.speed_in_words(), "1/4 of real time");
        player.hurry(-99);
        assert_eq!(player.speed_in_words(), "1/16 of real time");
    }
}
