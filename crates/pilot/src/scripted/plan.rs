//! What a pilot is told before a flight: what to do, in which order, where,
//! and what practice with the plane has taught.

use glam::DVec3;
use larkfield_airframe::Airframe;

use crate::{Launch, PowerTiming, RadioSetup, Steering, Trims};

/// One thing to do. A plan is a list of these; the pilot moves on when the
/// eye says that one is done, whatever a referee thinks of it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Maneuver {
    /// Get away from the hand or the ground: straight ahead, wings level.
    GetAway,
    /// Climb straight ahead to this height and level off.
    ClimbTo {
        /// Height above the ground.
        height_m: f64,
    },
    /// Fly level and move the trims until the sticks need no pressure, then
    /// take the thumbs off for this long.
    TrimOut {
        /// How long the thumbs stay off.
        hold_s: f64,
    },
    /// A full turn one way, then a full turn the other way, at one height.
    FigureEight,
    /// Slow up until it stalls, wings level or in a turn, and recover.
    Stall {
        /// Bank of the turn; 0 for wings level.
        bank_rad: f64,
    },
    /// Join the leg against the landing direction from wherever the plane is,
    /// and fly it past the touch point until it is time to turn.
    Downwind,
    /// Turn across and begin to come down.
    Base,
    /// Turn into the landing direction and come down toward the touch point.
    Final,
    /// Come down the final to this height, then power on and climb away
    /// straight ahead to circuit height.
    GoRound {
        /// Height at which the approach is given up.
        at_height_m: f64,
    },
    /// Level off low, hold off, touch, roll or slide to a stop.
    Land {
        /// How.
        technique: LandingTechnique,
    },
    /// Throttle at its low stop, throttle cut on.
    StopAndDisarm,
}

/// How a landing is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LandingTechnique {
    /// Powered approach, motor shut in the flare before the touch.
    #[default]
    Usual,
    /// Motor stopped first, then held off until it will fly no longer.
    StallLimit,
}

/// A side, seen in the direction of flight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Side {
    /// Port.
    #[default]
    Left,
    /// Starboard.
    Right,
}

impl Side {
    /// Right positive: -1 or 1, the sign of a turn or of an offset to that side.
    pub fn sign(self) -> f64 {
        match self {
            Self::Left => -1.0,
            Self::Right => 1.0,
        }
    }
}

/// Where the circuit lies, in world axes. Everybody on the field can point at
/// these places, so a pilot may know them exactly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circuit {
    /// Direction of the landing, clockwise from north: into the wind as well as
    /// the strip allows; for a plane that lands on skids, straight into the wind.
    pub landing_heading_rad: f64,
    /// Point to touch down on (middle of the box), metres north of the launch point.
    pub touch_north_m: f64,
    /// Point to touch down on, metres east of the launch point.
    pub touch_east_m: f64,
    /// Half of the length of the box along the landing direction.
    pub box_half_length_m: f64,
    /// Half of the width of the box across it.
    pub box_half_width_m: f64,
    /// Side of the landing line on which the circuit lies, which is also the
    /// way all its turns go: away from the safety line.
    pub turns: Side,
    /// Height of the downwind leg above the ground. 10 m is usual for small
    /// models (cef.club, "Flying The Circuit").
    pub height_m: f64,
    /// From the landing line to the downwind leg.
    pub spacing_m: f64,
}

impl Circuit {
    /// A circuit at 12 m, 35 m out, around a box of 30 m by 12 m at the launch
    /// point (common practice, no source).
    pub fn around_launch_point(landing_heading_rad: f64, turns: Side) -> Self {
        Self {
            landing_heading_rad,
            touch_north_m: 0.0,
            touch_east_m: 0.0,
            box_half_length_m: 15.0,
            box_half_width_m: 6.0,
            turns,
            height_m: 12.0,
            spacing_m: 35.0,
        }
    }
}

/// A line on the ground that planes stay on one side of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Boundary {
    /// A point of it, north of the launch point.
    pub north_m: f64,
    /// The point, east of the launch point.
    pub east_m: f64,
    /// Direction of the line, clockwise from north.
    pub direction_rad: f64,
    /// The side to fly on, seen in that direction.
    pub flying_side: Side,
}

impl Boundary {
    /// Distance of a place from the line, positive where flying is allowed.
    pub fn distance_m(&self, north_m: f64, east_m: f64) -> f64 {
        let (sine, cosine) = libm::sincos(self.direction_rad);
        let right_m = (east_m - self.east_m) * cosine - (north_m - self.north_m) * sine;
        self.flying_side.sign() * right_m
    }
}

/// What the plane stands on when it is on the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Undercarriage {
    /// Belly or skids: drift at the touch trips it, so it lands into the wind.
    #[default]
    Skids,
    /// Wheels that keep a direction and roll.
    Wheels,
}

/// What a pilot knows of a plane from practice with a good example of it:
/// attitudes against the horizon, stick positions, and how it moves over the
/// ground on a calm day. All for the plane as it was meant to be built; what
/// this example does differently the pilot has to find out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaneFeel {
    /// What it stands on.
    pub undercarriage: Undercarriage,
    /// Throttle that holds height in the circuit.
    pub level_throttle: f64,
    /// Nose attitude there.
    pub level_pitch_rad: f64,
    /// How fast it covers the ground there on a calm day.
    pub level_speed_m_s: f64,
    /// Throttle for climbing.
    pub climb_throttle: f64,
    /// Nose attitude while climbing at that throttle.
    pub climb_pitch_rad: f64,
    /// Nose attitude of a good glide with the motor off.
    pub glide_pitch_rad: f64,
    /// How steeply the path of that glide goes down.
    pub glide_slope_rad: f64,
    /// How fast it covers the ground in that glide on a calm day.
    pub glide_speed_m_s: f64,
    /// Throttle of the approach.
    pub approach_throttle: f64,
    /// Nose attitude of the approach.
    pub approach_pitch_rad: f64,
    /// How steeply the path of the approach goes down.
    pub approach_slope_rad: f64,
    /// How fast it covers the ground on the approach on a calm day.
    pub approach_speed_m_s: f64,
    /// Nose attitude in level flight just before it will fly no longer: the
    /// attitude in which it should touch.
    pub touch_pitch_rad: f64,
    /// How fast it rolls at full roll stick in the circuit; for a plane that
    /// banks by its rudder some value that is not used.
    pub roll_rate_rad_s: f64,
    /// How much the nose rises, all settled, for full pitch stick.
    pub nose_per_stick_rad: f64,
    /// Height of the balance point above the ground when it stands.
    pub standing_height_m: f64,
}

impl Default for PlaneFeel {
    /// Practice with some small trainer or other (common practice, no source).
    fn default() -> Self {
        Self {
            undercarriage: Undercarriage::Skids,
            level_throttle: 0.55,
            level_pitch_rad: 0.05,
            level_speed_m_s: 8.5,
            climb_throttle: 0.75,
            climb_pitch_rad: 0.22,
            glide_pitch_rad: -0.05,
            glide_slope_rad: 0.16,
            glide_speed_m_s: 7.5,
            approach_throttle: 0.25,
            approach_pitch_rad: 0.0,
            approach_slope_rad: 0.10,
            approach_speed_m_s: 7.0,
            touch_pitch_rad: 0.14,
            roll_rate_rad_s: 2.6,
            nose_per_stick_rad: 0.3,
            standing_height_m: 0.1,
        }
    }
}

/// How the flight begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Departure {
    /// From somebody's hand.
    Thrown {
        /// When the throttle is opened.
        power: PowerTiming,
    },
    /// From the ground, under its own power.
    RiseOffGround {
        /// Time in which the throttle opens evenly.
        opening_s: f64,
    },
    /// It flies already: level, at the throttle for that.
    InFlight,
}

/// What the pilot was told before the flight, and knows of the plane.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// Direction of the launch and of the climb: into wind, clockwise from north.
    pub heading_rad: f64,
    /// Throttle with which it begins.
    pub throttle: f64,
    /// From the hand, from the ground or in the air.
    pub departure: Departure,
    /// What the roll stick steers.
    pub steering: Steering,
    /// What to do, in order. After the last the pilot flies on level.
    pub maneuvers: Vec<Maneuver>,
    /// Where the circuit lies; without one the pilot makes one up around the
    /// launch point, into the launch direction.
    pub circuit: Option<Circuit>,
    /// The line not to be crossed.
    pub boundary: Option<Boundary>,
    /// What the windsock showed before the flight: velocity of the air, world axes.
    pub windsock_m_s: DVec3,
    /// What practice has taught.
    pub feel: PlaneFeel,
    /// Where the trim levers stand before the flight.
    pub trims: Trims,
}

impl Task {
    /// Get away by this launch and climb to a height, with a plane whose roll
    /// stick steers `steering`.
    pub fn after(launch: &Launch, climb_to_m: f64, steering: Steering) -> Self {
        Self {
            heading_rad: launch.heading_rad(),
            throttle: launch.throttle(),
            departure: match launch {
                Launch::Throw(throw) => Departure::Thrown { power: throw.power },
                Launch::Ground(start) => Departure::RiseOffGround {
                    opening_s: start.opening_s,
                },
            },
            steering,
            maneuvers: vec![
                Maneuver::GetAway,
                Maneuver::ClimbTo {
                    height_m: climb_to_m,
                },
            ],
            circuit: None,
            boundary: None,
            windsock_m_s: DVec3::ZERO,
            feel: PlaneFeel::default(),
            trims: Trims::default(),
        }
    }

    /// The same, asking the airframe what the roll stick steers.
    pub fn with_airframe(launch: &Launch, climb_to_m: f64, airframe: &Airframe) -> Self {
        Self::after(
            launch,
            climb_to_m,
            RadioSetup::for_airframe(airframe).steering,
        )
    }

    /// The height that the first climb of the plan goes to; 0 without one.
    pub fn climb_to_m(&self) -> f64 {
        self.maneuvers
            .iter()
            .find_map(|maneuver| match maneuver {
                Maneuver::ClimbTo { height_m } => Some(*height_m),
                _ => None,
            })
            .unwrap_or(0.0)
    }

    /// Where the throttle stick belongs before the flight proper: nothing of
    /// the plane in the air is needed for it. `free_s`: time since the pilot
    /// noticed the release.
    pub(crate) fn launch_throttle(&self, free_s: Option<f64>) -> f64 {
        match (self.departure, free_s) {
            (
                Departure::Thrown {
                    power: PowerTiming::Before,
                },
                _,
            ) => self.throttle,
            (
                Departure::Thrown {
                    power: PowerTiming::After { delay_s },
                },
                Some(free_s),
            ) if free_s >= delay_s => self.throttle,
            (Departure::Thrown { .. }, _) => 0.0,
            // Opened steadily, so that torque and the urge to swing come gently.
            (Departure::RiseOffGround { opening_s }, free_s) => {
                let open = free_s.unwrap_or(0.0) / opening_s.max(1e-3);
                self.throttle * open.clamp(0.0, 1.0)
            }
            (Departure::InFlight, _) => self.throttle,
        }
    }
}
