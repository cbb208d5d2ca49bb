//! Where to land and which way, and the circuit that leads there.

use glam::DVec3;
use larkfield_pilot::attitude::{PI, wrap};
use larkfield_pilot::{Circuit, Side, Undercarriage};

use crate::problem::require_range;
use crate::{Conditions, Field, Problem, SAFE_DISTANCE_M};

/// Less wind than this has no direction that matters to a landing.
pub const CALM_M_S: f64 = 0.5;
/// The final begins this far before the touch point, and a go-round leads this
/// far beyond it. Common practice, no source.
const FINAL_M: f64 = 60.0;
const BEYOND_M: f64 = 40.0;
/// The final keeps this far from the safety line.
const FROM_LINE_M: f64 = 10.0;
/// Steps in which the landing direction is turned away from the safety line.
const TURN_STEP_RAD: f64 = PI / 36.0;

/// The place to land, as a lesson gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LandingPlan {
    /// Middle of the box to touch in, north of the launch point.
    pub aim_north_m: f64,
    /// Middle of the box, east of the launch point.
    pub aim_east_m: f64,
    /// Length of the box along the landing direction.
    pub box_length_m: f64,
    /// Width of the box.
    pub box_width_m: f64,
    /// Height of the circuit. About 10 m for small models (cef.club, "Flying
    /// The Circuit").
    pub circuit_height_m: f64,
    /// From the landing line to the downwind leg.
    pub spacing_m: f64,
}

impl LandingPlan {
    /// The circuit on a day. Wheels land along the strip, the way that has more
    /// headwind. Skids land into the wind wherever that is, turned toward the
    /// strip as far as it takes to keep the final away from the safety line.
    /// The circuit lies on the side that is farther from the safety line, or
    /// from the people where that is the same.
    pub fn circuit(&self, field: &Field, conditions: &Conditions) -> Circuit {
        let heading_rad = self.landing_heading_rad(field, conditions);
        let circuit = |turns| Circuit {
            landing_heading_rad: heading_rad,
            touch_north_m: self.aim_north_m,
            touch_east_m: self.aim_east_m,
            box_half_length_m: 0.5 * self.box_length_m,
            box_half_width_m: 0.5 * self.box_width_m,
            turns,
            height_m: self.circuit_height_m,
            spacing_m: self.spacing_m,
        };
        let room = |turns| {
            let leg = CircuitFrame::of(&circuit(turns)).at(0.0, self.spacing_m);
            let line_m = field.safety_line.distance_m(leg.x, leg.y);
            let people_m = field
                .people
                .iter()
                .map(|body| libm::hypot(body.north_m - leg.x, body.east_m - leg.y))
                .fold(1e6, f64::min);
            (line_m, people_m)
        };
        let (left, right) = (room(Side::Left), room(Side::Right));
        let turns = if (left.0 - right.0).abs() > 1.0 {
            if left.0 > right.0 {
                Side::Left
            } else {
                Side::Right
            }
        } else if left.1 >= right.1 {
            Side::Left
        } else {
            Side::Right
        };
        circuit(turns)
    }

    fn landing_heading_rad(&self, field: &Field, conditions: &Conditions) -> f64 {
        let wind_m_s = conditions.wind_m_s;
        let strip_rad = field.strip.heading_rad;
        if conditions.wind_speed_m_s() < CALM_M_S {
            return strip_rad;
        }
        let from_rad = libm::atan2(-wind_m_s.y, -wind_m_s.x);
        let along_rad = if wrap(from_rad - strip_rad).abs() <= 0.5 * PI {
            strip_rad
        } else {
            wrap(strip_rad + PI)
        };
        if conditions.undercarriage == Undercarriage::Wheels {
            return along_rad;
        }
        let off_rad = wrap(from_rad - along_rad);
        let steps = (off_rad.abs() / TURN_STEP_RAD) as u32;
        for step in 0..=steps {
            let turned_rad = f64::from(step) * TURN_STEP_RAD * off_rad.signum();
            let heading_rad = wrap(from_rad - turned_rad);
            if self.keeps_off_the_line(field, heading_rad) {
                return heading_rad;
            }
        }
        along_rad
    }

    fn keeps_off_the_line(&self, field: &Field, heading_rad: f64) -> bool {
        let (sine, cosine) = libm::sincos(heading_rad);
        [-FINAL_M, BEYOND_M].into_iter().all(|along_m| {
            let north_m = self.aim_north_m + along_m * cosine;
            let east_m = self.aim_east_m + along_m * sine;
            field.safety_line.distance_m(north_m, east_m) >= FROM_LINE_M
        })
    }

    /// Refuses sizes that no circuit has.
    pub(crate) fn check(&self, found: &mut Vec<Problem>) {
        for (field, value, limits) in [
            ("aim.north", self.aim_north_m, (-500.0, 500.0, "m")),
            ("aim.east", self.aim_east_m, (-500.0, 500.0, "m")),
            ("box.length", self.box_length_m, (2.0, 200.0, "m")),
            ("box.width", self.box_width_m, (2.0, 100.0, "m")),
            ("circuit.height", self.circuit_height_m, (5.0, 100.0, "m")),
            ("circuit.spacing", self.spacing_m, (10.0, 150.0, "m")),
        ] {
            require_range(found, format!("landing.{field}"), value, limits);
        }
    }

    /// What the place says against the field.
    pub(crate) fn check_with(&self, field: &Field, found: &mut Vec<Problem>) {
        let to_line_m = field
            .safety_line
            .distance_m(self.aim_north_m, self.aim_east_m);
        let half_m = 0.5 * libm::hypot(self.box_length_m, self.box_width_m);
        // Written so that NaN is refused.
        let clear = to_line_m >= half_m;
        if !clear {
            found.push(Problem::new(
                "landing.aim",
                format!("the box to land in reaches over the safety line, {to_line_m:.1} m away"),
                format!("move the box at least {half_m:.0} m from the line"),
            ));
        }
        for (index, body) in field.people.iter().enumerate() {
            let away_m = libm::hypot(
                body.north_m - self.aim_north_m,
                body.east_m - self.aim_east_m,
            );
            if away_m < half_m + SAFE_DISTANCE_M {
                found.push(Problem::new(
                    "landing.aim",
                    format!("people[{index}] of the field stands {away_m:.1} m from its middle"),
                    format!(
                        "keep the box {SAFE_DISTANCE_M} m from everybody, here {:.0} m from its \
                         middle",
                        half_m + SAFE_DISTANCE_M
                    ),
                ));
            }
        }
    }
}

/// The circuit as a frame of reference: along the landing direction from the
/// touch point, and across toward the side of the circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CircuitFrame {
    origin_m: DVec3,
    sine: f64,
    cosine: f64,
    /// Direction of the landing, clockwise from north.
    pub heading_rad: f64,
    /// 1 when the circuit lies to the right of the landing line, -1 to the left.
    pub side: f64,
    /// Height of the circuit.
    pub height_m: f64,
    /// From the landing line to the downwind leg.
    pub spacing_m: f64,
    /// Half of the box along.
    pub box_half_length_m: f64,
    /// Half of the box across.
    pub box_half_width_m: f64,
}

impl CircuitFrame {
    /// The frame of a circuit.
    pub fn of(circuit: &Circuit) -> Self {
        let (sine, cosine) = libm::sincos(circuit.landing_heading_rad);
        Self {
            origin_m: DVec3::new(circuit.touch_north_m, circuit.touch_east_m, 0.0),
            sine,
            cosine,
            heading_rad: circuit.landing_heading_rad,
            side: circuit.turns.sign(),
            height_m: circuit.height_m,
            spacing_m: circuit.spacing_m,
            box_half_length_m: circuit.box_half_length_m,
            box_half_width_m: circuit.box_half_width_m,
        }
    }

    /// Metres along the landing direction beyond the touch point, and metres
    /// beside the landing line toward the circuit.
    pub fn place(&self, position_m: DVec3) -> (f64, f64) {
        let from_m = position_m - self.origin_m;
        let along_m = from_m.x * self.cosine + from_m.y * self.sine;
        let right_m = -from_m.x * self.sine + from_m.y * self.cosine;
        (along_m, right_m * self.side)
    }

    /// The place on the ground at these distances; world axes.
    pub fn at(&self, along_m: f64, across_m: f64) -> DVec3 {
        let right_m = across_m * self.side;
        self.origin_m
            + DVec3::new(
                along_m * self.cosine - right_m * self.sine,
                along_m * self.sine + right_m * self.cosine,
                0.0,
            )
    }

    /// Angle between the track over the ground and a direction, given to the
    /// right of the landing direction. Half a turn when it hardly moves.
    pub fn track_off(&self, velocity_m_s: DVec3, right_rad: f64) -> f64 {
        let speed_m_s = libm::hypot(velocity_m_s.x, velocity_m_s.y);
        // Written so that NaN is off.
        if speed_m_s > 0.3 {
            let track_rad = libm::atan2(velocity_m_s.y, velocity_m_s.x);
            wrap(track_rad - self.heading_rad - right_rad).abs()
        } else {
            PI
        }
    }

    /// In the box.
    pub fn in_box(&self, position_m: DVec3) -> bool {
        let (along_m, across_m) = self.place(position_m);
        along_m.abs() <= self.box_half_length_m && across_m.abs() <= self.box_half_width_m
    }

    /// Corners of the box, world axes, in order around it.
    pub fn box_corners_m(&self) -> [DVec3; 4] {
        let (l, w) = (self.box_half_length_m, self.box_half_width_m);
        [(l, w), (l, -w), (-l, -w), (-l, w)].map(|(along_m, across_m)| self.at(along_m, across_m))
    }
}
