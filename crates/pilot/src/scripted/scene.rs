//! What a leg looks at when it decides: the picture, the place in the circuit,
//! the person, the plane as known from practice.

use crate::Sight;
use crate::attitude::{PI, wrap};
use crate::scripted::wind_guess::WindGuess;
use crate::scripted::{Ability, Aim, Circuit, Course, Habits, Line, PlaneFeel, Task};

/// Gravity, for the width of turns; two digits are more than an eye has.
const GRAVITY_M_S2: f64 = 9.81;

/// The line that must not be crossed is kept at least this far away...
const KEEP_FROM_LINE_M: f64 = 6.0;
/// ...and what is flown while the pilot looks and rolls.
const REACTION_S: f64 = 0.8;

/// Everything that a decision may depend on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scene<'a> {
    /// Time of the run.
    pub time_s: f64,
    /// Time since the last decision.
    pub step_s: f64,
    /// What the pilot believes to see.
    pub sight: &'a Sight,
    /// What there is to do.
    pub task: &'a Task,
    /// Where.
    pub circuit: &'a Circuit,
    /// How finely this person flies.
    pub ability: &'a Ability,
    /// What this person does in a situation.
    pub habits: &'a Habits,
    /// The wind as guessed.
    pub wind: WindGuess,
    /// Time since the pilot noticed the release; `None` before.
    pub free_s: Option<f64>,
}

impl Scene<'_> {
    /// The plane as known from practice.
    pub fn feel(&self) -> &PlaneFeel {
        &self.task.feel
    }

    /// Headwind on the landing line, as guessed.
    pub fn headwind_m_s(&self) -> f64 {
        self.wind.against_m_s(self.circuit.landing_heading_rad)
    }

    /// Metres past the touch point along the landing direction.
    pub fn along_m(&self) -> f64 {
        let (sine, cosine) = libm::sincos(self.circuit.landing_heading_rad);
        let (north_m, east_m) = self.offset_m();
        north_m * cosine + east_m * sine
    }

    /// Metres from the landing line toward the circuit's side.
    pub fn out_m(&self) -> f64 {
        let (sine, cosine) = libm::sincos(self.circuit.landing_heading_rad);
        let (north_m, east_m) = self.offset_m();
        self.circuit.turns.sign() * (east_m * cosine - north_m * sine)
    }

    fn offset_m(&self) -> (f64, f64) {
        (
            self.sight.north_m - self.circuit.touch_north_m,
            self.sight.east_m - self.circuit.touch_east_m,
        )
    }

    /// Height of whatever touches first.
    pub fn clearance_m(&self) -> f64 {
        self.sight.height_m - self.feel().standing_height_m
    }

    /// Height at which something is flown that needs no certain one: where the
    /// plane is, but not below the circuit.
    pub fn height_to_hold_m(&self) -> f64 {
        self.sight.height_m.max(self.circuit.height_m)
    }

    /// A place in the circuit as north and east of the launch point.
    pub fn place_m(&self, along_m: f64, out_m: f64) -> (f64, f64) {
        let circuit = self.circuit;
        let (sine, cosine) = libm::sincos(circuit.landing_heading_rad);
        let right_m = circuit.turns.sign() * out_m;
        (
            circuit.touch_north_m + along_m * cosine - right_m * sine,
            circuit.touch_east_m + along_m * sine + right_m * cosine,
        )
    }

    /// A line along the circuit, this far out: with the landing direction
    /// (`turned_rad` 0) or at an angle to it.
    pub fn line(&self, out_m: f64, turned_rad: f64) -> Line {
        let (north_m, east_m) = self.place_m(0.0, out_m);
        let track_rad = self.circuit.landing_heading_rad + turned_rad;
        Line {
            // Slower corrections for a faster plane.
            gain_rad_m: 0.3 / self.feel().level_speed_m_s,
            wind_right_share: -self.wind.against_m_s(track_rad + 0.5 * PI)
                / self.feel().level_speed_m_s,
            ..Line::through(north_m, east_m, track_rad, self.line_turn_m())
        }
    }

    /// Radius of a turn in the circuit at the bank this person uses.
    pub fn turn_m(&self) -> f64 {
        let speed = self.feel().level_speed_m_s;
        let bank = self.ability.turn_bank_rad;
        speed * speed / (GRAVITY_M_S2 * libm::tan(bank.clamp(0.1, 1.2)))
    }

    /// How much steeper turns are flown while the wind carries the plane along.
    fn carried(&self) -> f64 {
        (self.sight.ground_speed_m_s / self.feel().level_speed_m_s).clamp(1.0, 1.4)
    }

    /// The same with room for the roll into it.
    pub fn line_turn_m(&self) -> f64 {
        1.25 * self.turn_m() + 0.3 * self.feel().level_speed_m_s
    }

    /// How much room is left before the line that must not be crossed, at a place
    /// in the circuit; infinite without one.
    pub fn room_m(&self, along_m: f64, out_m: f64) -> f64 {
        let (north_m, east_m) = self.place_m(along_m, out_m);
        self.task
            .boundary
            .map_or(f64::INFINITY, |line| line.distance_m(north_m, east_m))
    }

    /// The way along the line, when the plane is about to cross it: the one that
    /// is nearer to where it wants to go anyhow.
    pub fn away_from_line(&self, wanted_rad: Option<f64>) -> Option<f64> {
        let line = self.task.boundary.filter(|_| self.habits.minds_line)?;
        let sight = self.sight;
        let left_m = line.distance_m(sight.north_m, sight.east_m);
        let off_rad = wrap(sight.track_rad - line.direction_rad);
        // Positive toward the line.
        let toward = -line.flying_side.sign() * libm::sin(off_rad);
        if toward <= 0.0 || self.free_s.is_none_or(|free_s| free_s < 3.0) {
            return None;
        }
        let speed = sight.ground_speed_m_s;
        let faster = speed / self.feel().level_speed_m_s;
        let turn_m = self.turn_m() * faster * faster * (1.0 - libm::cos(off_rad).abs());
        let needed_m = KEEP_FROM_LINE_M + REACTION_S * speed * toward + turn_m;
        let to_rad = wanted_rad.unwrap_or(sight.track_rad);
        let forth = libm::cos(to_rad - line.direction_rad) >= 0.0;
        let along_rad = line.direction_rad + if forth { 0.0 } else { PI };
        // A little away from it, rather than along it.
        let outward = line.flying_side.sign() * if forth { 0.6 } else { -0.6 };
        (left_m < needed_m).then(|| wrap(along_rad + outward))
    }

    /// Slope of the approach over the ground: in wind the same descent goes
    /// down more steeply.
    pub fn approach_slope(&self) -> f64 {
        let feel = self.feel();
        let speed = feel.approach_speed_m_s;
        let against = (1.0 - self.headwind_m_s() / speed).clamp(0.5, 1.3);
        (self.habits.slope_share * feel.approach_slope_rad / against).clamp(0.03, 0.3)
    }

    /// Distance before the touch point at which the path of the approach would
    /// meet the ground: the plane floats from there.
    pub fn float_m(&self) -> f64 {
        let feel = self.feel();
        let speed = feel.approach_speed_m_s;
        // From approach speed to that of the touch at the drag of the glide; the
        // ratio of the two is that of 1.35 to 1.06 times the stall speed.
        let float_m = 0.38 * speed * speed / (2.0 * GRAVITY_M_S2 * feel.glide_slope_rad.max(0.06));
        // Down there the wind is about half of that aloft.
        0.8 * float_m * (1.0 - 0.5 * self.headwind_m_s() / speed).clamp(0.4, 1.2)
    }

    /// An aim that holds a height: nose and throttle as known, a little more of
    /// both when low.
    pub fn level(&self, course: Course, height_m: f64) -> Aim {
        let (feel, sight) = (self.feel(), self.sight);
        let low_m = (height_m - sight.height_m).clamp(-4.0, 4.0);
        let climb = sight.climb_m_s;
        let load = 1.0 / libm::cos(sight.bank_rad.clamp(-1.0, 1.0)) - 1.0;
        let nose = (0.03 * low_m - 0.04 * climb).clamp(-0.12, 0.12);
        let power = (0.05 * low_m - 0.06 * climb).clamp(-0.35, 0.35);
        Aim {
            nose_rad: feel.level_pitch_rad + nose + 0.2 * load,
            throttle: (feel.level_throttle * (1.0 + 0.8 * load) + power).clamp(0.0, 1.0),
            pull: 0.6 * load,
            ..self.plain(course)
        }
    }

    /// An aim with the usual bank, level nose and throttle.
    pub fn plain(&self, course: Course) -> Aim {
        Aim {
            course,
            bank_limit_rad: self.ability.turn_bank_rad * self.carried(),
            eagerness: 1.6_f64.min(0.85 / self.ability.heading_gain),
            nose_rad: self.feel().level_pitch_rad,
            throttle: self.feel().level_throttle,
            firmness: 1.0,
            pull: 0.0,
            align_rad: None,
            on_ground: false,
            thumbs_off: false,
            trims_by_feel: false,
            clicks: crate::Trims::default(),
            cut: false,
        }
    }
}
