//! One row of the recording.

/// Where in the lesson the plane is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FlightStage {
    /// Carried by a hand.
    #[default]
    InHand,
    /// Flying free.
    Free,
    /// Touching the ground.
    Ground,
    /// Nothing more will happen.
    Ended,
}

/// State of the plane, its pilot and its air at one instant. World axes are
/// north, east, down; heights are above the ground; angles in radians here and
/// in degrees in the table that people read.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sample {
    /// Time since the start of the run.
    pub time_s: f64,
    /// Stage.
    pub stage: FlightStage,
    /// North of the launch point, centre of gravity.
    pub north_m: f64,
    /// East of the launch point.
    pub east_m: f64,
    /// Height of the centre of gravity above the ground.
    pub height_m: f64,
    /// Velocity over the ground, north.
    pub velocity_north_m_s: f64,
    /// Velocity over the ground, east.
    pub velocity_east_m_s: f64,
    /// Rate of climb.
    pub climb_m_s: f64,
    /// Bank, right wing low positive.
    pub bank_rad: f64,
    /// Pitch attitude, nose up positive.
    pub pitch_rad: f64,
    /// Heading of the nose, 0 north, clockwise.
    pub heading_rad: f64,
    /// Roll rate in body axes.
    pub roll_rate_rad_s: f64,
    /// Pitch rate in body axes.
    pub pitch_rate_rad_s: f64,
    /// Yaw rate in body axes.
    pub yaw_rate_rad_s: f64,
    /// Speed through the air.
    pub airspeed_m_s: f64,
    /// Angle of attack of the fuselage axis.
    pub alpha_rad: f64,
    /// Sideslip, wind from starboard positive.
    pub beta_rad: f64,
    /// Angle between the most loaded wing strip and its stall; negative: stalled.
    pub stall_margin_rad: f64,
    /// Separated share of the port wing, 0 to 1.
    pub stalled_left: f64,
    /// Separated share of the starboard wing, 0 to 1.
    pub stalled_right: f64,
    /// Force over weight along the body's up axis.
    pub load_factor: f64,
    /// Air velocity at the plane, toward north.
    pub wind_north_m_s: f64,
    /// Air velocity at the plane, toward east.
    pub wind_east_m_s: f64,
    /// Air velocity at the plane, upward.
    pub wind_up_m_s: f64,
    /// Pilot's roll stick, right positive, -1 to 1.
    pub stick_roll: f64,
    /// Pilot's pitch stick, back (nose up) positive.
    pub stick_pitch: f64,
    /// Pilot's yaw stick, right positive.
    pub stick_yaw: f64,
    /// Pilot's throttle stick, 0 to 1.
    pub stick_throttle: f64,
    /// True while the pilot's throwing hand is off its stick.
    pub hand_busy: bool,
    /// Mean elevator deflection, trailing edge down positive.
    pub elevator_rad: f64,
    /// Mean rudder deflection, trailing edge to port positive.
    pub rudder_rad: f64,
    /// Aileron deflection, half the difference port minus starboard (right roll positive).
    pub aileron_rad: f64,
    /// Propeller speed.
    pub propeller_rad_s: f64,
    /// Thrust along the shaft.
    pub thrust_n: f64,
    /// Battery current.
    pub current_a: f64,
    /// Battery voltage under load.
    pub voltage_v: f64,
    /// Contact impulse on the plane since the last sample.
    pub contact_impulse_n_s: f64,
    /// Distance from the plane to the nearest person, the thrower included.
    pub nearest_person_m: f64,
    /// Signed distance to the safety line, positive on the flying side.
    pub safety_line_m: f64,
    /// Kinetic plus potential energy.
    pub energy_j: f64,
    /// Work of the air since the start of free flight.
    pub air_work_j: f64,
    /// Work of the propeller since the start of free flight.
    pub thrust_work_j: f64,
    /// Work of contacts since the start of free flight.
    pub contact_work_j: f64,
}
