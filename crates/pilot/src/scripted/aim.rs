//! What a leg of the flight wants from the hands at a moment.

use crate::attitude::{PI, wrap};
use crate::scripted::Side;
use crate::{Sight, Trims};

/// Where to go, how to hold the nose, how much power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Aim {
    /// Path over the ground.
    pub course: Course,
    /// Steepest bank for it.
    pub bank_limit_rad: f64,
    /// Bank asked for, for each radian that the path is wrong, as a multiple
    /// of the pilot's usual.
    pub eagerness: f64,
    /// Nose attitude.
    pub nose_rad: f64,
    /// Throttle.
    pub throttle: f64,
    /// How firmly the nose is brought there, as a multiple of the usual.
    pub firmness: f64,
    /// Pitch stick added to what holds the attitude.
    pub pull: f64,
    /// Heading that the rudder alone should bring the nose to.
    pub align_rad: Option<f64>,
    /// On its wheels or its belly: the rudder steers, the wings are left alone.
    pub on_ground: bool,
    /// Thumbs off the sticks.
    pub thumbs_off: bool,
    /// Move the trim levers toward the pressure that the sticks need.
    pub trims_by_feel: bool,
    /// Trim clicks asked for besides.
    pub clicks: Trims,
    /// Throttle cut switch.
    pub cut: bool,
}

/// A path over the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Course {
    /// Onto a line and along it, meeting it at up to a right angle.
    Line(Line),
    /// Round a point.
    Circle {
        /// Centre, north of the launch point.
        north_m: f64,
        /// Centre, east of the launch point.
        east_m: f64,
        /// Radius.
        radius_m: f64,
        /// Which way round.
        way: Side,
    },
    /// In a direction, from wherever it is.
    Toward {
        /// The direction.
        track_rad: f64,
    },
    /// Wings level, wherever that leads.
    WingsLevel,
}

/// A line over the ground with a direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Line {
    /// A point on it, north of the launch point.
    pub north_m: f64,
    /// The same, east.
    pub east_m: f64,
    /// Its direction.
    pub track_rad: f64,
    /// Radius of the turn onto it.
    pub turn_m: f64,
    /// Wind across the line, to its right, as a share of the speed through the
    /// air: carried along toward the line, the turn onto it is wider.
    pub wind_right_share: f64,
    /// Largest angle at which it is met.
    pub meet_rad: f64,
    /// Angle of correction for each metre beside it.
    pub gain_rad_m: f64,
}

impl Line {
    /// A line that is met at a right angle if need be.
    pub fn through(north_m: f64, east_m: f64, track_rad: f64, turn_m: f64) -> Self {
        Self {
            north_m,
            east_m,
            track_rad,
            turn_m,
            wind_right_share: 0.0,
            meet_rad: 0.5 * PI,
            gain_rad_m: 0.045,
        }
    }

    /// How far the plane is to the right of it.
    pub fn beside_m(&self, sight: &Sight) -> f64 {
        let (sine, cosine) = libm::sincos(self.track_rad);
        (sight.east_m - self.east_m) * cosine - (sight.north_m - self.north_m) * sine
    }

    /// Direction in which to fly now.
    fn track_now(&self, sight: &Sight) -> f64 {
        let beside_m = self.beside_m(sight);
        let off_m = beside_m.abs();
        // On a circle of this radius that touches the line, the path makes this
        // angle with it; close to the line the angle falls straight to nothing.
        let toward = -self.wind_right_share * beside_m.signum();
        let faster = (1.0 + toward).clamp(0.75, 1.7);
        let on_circle = libm::acos((1.0 - off_m / (self.turn_m * faster * faster)).max(0.0));
        let close = self.gain_rad_m * (off_m + 1.3 * (off_m - 4.0).max(0.0));
        let angle = on_circle.min(close).min(self.meet_rad);
        self.track_rad - if beside_m > 0.0 { angle } else { -angle }
    }
}

impl Course {
    /// Direction in which to fly now, and the bank that the path itself needs.
    /// `None`: no direction is wanted.
    pub fn wanted(&self, sight: &Sight) -> Option<(f64, f64)> {
        match *self {
            Self::Line(line) => Some((line.track_now(sight), 0.0)),
            Self::Toward { track_rad } => Some((track_rad, 0.0)),
            Self::WingsLevel => None,
            Self::Circle {
                north_m,
                east_m,
                radius_m,
                way,
            } => {
                let (dn, de) = (sight.north_m - north_m, sight.east_m - east_m);
                let away_m = (dn * dn + de * de).sqrt();
                let out_rad = libm::atan2(de, dn);
                // Along the tangent, and toward the circle when beside it.
                let inward = (0.06 * (away_m - radius_m)).clamp(-1.2, 1.2);
                let track = out_rad + way.sign() * (0.5 * PI + inward);
                let speed = sight.ground_speed_m_s;
                let near = (1.0 - (away_m - radius_m).abs() / radius_m).clamp(0.0, 1.0);
                let bank = libm::atan2(speed * speed, 9.81 * radius_m) * near;
                Some((wrap(track), way.sign() * bank))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(north_m: f64, east_m: f64, track_rad: f64) -> Sight {
        Sight {
            north_m,
            east_m,
            track_rad,
            heading_rad: track_rad,
            ground_speed_m_s: 9.0,
            ..Sight::default()
        }
    }

    fn wanted(course: Course, sight: &Sight) -> (f64, f64) {
        course.wanted(sight).unwrap_or((f64::NAN, f64::NAN))
    }

    #[test]
    fn a_line_is_met_at_a_right_angle_from_afar_and_followed_when_reached() {
        let line = Course::Line(Line::through(0.0, 0.0, 0.0, 20.0));
        let (far, _) = wanted(line, &at(0.0, 60.0, 0.0));
        assert!((far + 0.5 * PI).abs() < 1e-9, "{far}");
        let (on, _) = wanted(line, &at(35.0, 0.0, 0.0));
        assert!(on.abs() < 1e-9, "{on}");
        // Half a turn radius beside it the circle that touches the line makes
        // an angle of 60 degrees with it: cos a = 1 - 1/2.
        let (half, _) = wanted(line, &at(0.0, 10.0, 0.0));
        assert!(half > -PI / 3.0 - 1e-9 && half < -0.3, "{half}");
    }

    #[test]
    fn left_and_right_are_mirror_images() {
        for (north_m, east_m, track_rad) in [(3.0, 12.0, 0.4), (-20.0, 45.0, 2.0), (8.0, 2.0, -1.0)]
        {
            let (right, left) = (
                at(north_m, east_m, track_rad),
                at(north_m, -east_m, -track_rad),
            );
            let line = Course::Line(Line::through(0.0, 0.0, 0.0, 20.0));
            let (a, b) = (wanted(line, &right).0, wanted(line, &left).0);
            assert!(wrap(a + b).abs() < 1e-12, "{a} {b}");
            let circle = |way, east_m| Course::Circle {
                north_m: 5.0,
                east_m,
                radius_m: 18.0,
                way,
            };
            let (a, bank_a) = wanted(circle(Side::Right, 20.0), &right);
            let (b, bank_b) = wanted(circle(Side::Left, -20.0), &left);
            assert!(wrap(a + b).abs() < 1e-12, "{a} {b}");
            assert!((bank_a + bank_b).abs() < 1e-12, "{bank_a} {bank_b}");
        }
    }

    #[test]
    fn on_a_circle_the_path_is_its_tangent_and_the_bank_that_of_the_turn() {
        // East of the centre, clockwise from above: toward the south.
        let circle = Course::Circle {
            north_m: 0.0,
            east_m: 0.0,
            radius_m: 20.0,
            way: Side::Right,
        };
        let (track, bank) = wanted(circle, &at(0.0, 20.0, PI));
        assert!(wrap(track - PI).abs() < 1e-9, "{track}");
        // tan(bank) = V^2 / (g r), level turn.
        let turn = (81.0_f64 / (9.81 * 20.0)).atan();
        assert!((bank - turn).abs() < 1e-9, "{bank} {turn}");
    }
}
