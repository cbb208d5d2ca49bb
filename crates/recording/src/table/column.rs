//! The columns of the sample table: name, unit, and where the number lives.

use super::number::undo_factor;
use crate::Sample;

/// Degrees in a radian, 180 / pi.
pub const DEG_PER_RAD: f64 = 180.0 / core::f64::consts::PI;
/// Revolutions a minute in a radian a second, 60 / (2 pi).
pub const RPM_PER_RAD_S: f64 = 30.0 / core::f64::consts::PI;

/// A column of numbers.
pub(super) struct Column {
    pub(super) name: &'static str,
    /// Number in the file over number in the sample.
    factor: f64,
    get: fn(&Sample) -> f64,
    set: fn(&mut Sample, f64),
}

impl Column {
    pub(super) fn shown(&self, sample: &Sample) -> f64 {
        // Times one is exact, so columns without a conversion keep their bits.
        (self.get)(sample) * self.factor
    }

    pub(super) fn store(&self, sample: &mut Sample, shown: f64) {
        let value = if self.factor == 1.0 {
            shown
        } else {
            undo_factor(shown, self.factor)
        };
        (self.set)(sample, value);
    }
}

macro_rules! column {
    ($name:literal, $factor:expr, $field:ident) => {
        Column {
            name: $name,
            factor: $factor,
            get: |sample| sample.$field,
            set: |sample, value| sample.$field = value,
        }
    };
}

/// The columns of numbers, in the order they are written. `interval_s`,
/// `stage` and `hand_busy` stand after the first.
pub(super) const COLUMNS: [Column; 41] = [
    column!("time_s", 1.0, time_s),
    column!("north_m", 1.0, north_m),
    column!("east_m", 1.0, east_m),
    column!("height_m", 1.0, height_m),
    column!("velocity_north_m_s", 1.0, velocity_north_m_s),
    column!("velocity_east_m_s", 1.0, velocity_east_m_s),
    column!("climb_m_s", 1.0, climb_m_s),
    column!("bank_deg", DEG_PER_RAD, bank_rad),
    column!("pitch_deg", DEG_PER_RAD, pitch_rad),
    column!("heading_deg", DEG_PER_RAD, heading_rad),
    column!("roll_rate_deg_s", DEG_PER_RAD, roll_rate_rad_s),
    column!("pitch_rate_deg_s", DEG_PER_RAD, pitch_rate_rad_s),
    column!("yaw_rate_deg_s", DEG_PER_RAD, yaw_rate_rad_s),
    column!("airspeed_m_s", 1.0, airspeed_m_s),
    column!("alpha_deg", DEG_PER_RAD, alpha_rad),
    column!("beta_deg", DEG_PER_RAD, beta_rad),
    column!("stall_margin_deg", DEG_PER_RAD, stall_margin_rad),
    column!("stalled_left_fraction", 1.0, stalled_left),
    column!("stalled_right_fraction", 1.0, stalled_right),
    column!("load_factor_g", 1.0, load_factor),
    column!("wind_north_m_s", 1.0, wind_north_m_s),
    column!("wind_east_m_s", 1.0, wind_east_m_s),
    column!("wind_up_m_s", 1.0, wind_up_m_s),
    column!("stick_roll_fraction", 1.0, stick_roll),
    column!("stick_pitch_fraction", 1.0, stick_pitch),
    column!("stick_yaw_fraction", 1.0, stick_yaw),
    column!("stick_throttle_fraction", 1.0, stick_throttle),
    column!("elevator_deg", DEG_PER_RAD, elevator_rad),
    column!("rudder_deg", DEG_PER_RAD, rudder_rad),
    column!("aileron_deg", DEG_PER_RAD, aileron_rad),
    column!("propeller_rpm", RPM_PER_RAD_S, propeller_rad_s),
    column!("thrust_n", 1.0, thrust_n),
    column!("current_a", 1.0, current_a),
    column!("voltage_v", 1.0, voltage_v),
    column!("contact_impulse_n_s", 1.0, contact_impulse_n_s),
    column!("nearest_person_m", 1.0, nearest_person_m),
    column!("safety_line_m", 1.0, safety_line_m),
    column!("energy_j", 1.0, energy_j),
    column!("air_work_j", 1.0, air_work_j),
    column!("thrust_work_j", 1.0, thrust_work_j),
    column!("contact_work_j", 1.0, contact_work_j),
];

/// Names of the columns of the sample table, in order.
#[must_use]
pub fn sample_columns() -> Vec<&'static str> {
    let mut names = vec![COLUMNS[0].name, "interval_s", "stage", "hand_busy"];
    names.extend(COLUMNS.iter().skip(1).map(|column| column.name));
    names
}

/// Moves every converted number to the value that comes back from a file.
pub(super) fn settle(sample: &mut Sample) {
    for column in &COLUMNS {
        let shown = column.shown(sample);
        column.store(sample, shown);
    }
}
