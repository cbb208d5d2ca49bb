//! The motor at an instant: three constants (Drela, First-Order DC Electric
//! Motor Model, MIT, 2007; from memory).

use super::train::PowerModel;

/// Turning rate below which bearing and iron drag fade to nothing, rad/s.
/// A real motor sticks and cogs here; that is not modelled.
const STICTION_RAD_S: f64 = 5.0;

/// Motor at an instant, in the sense of the motor.
#[derive(Debug, Clone, Copy)]
pub(super) struct MotorPoint {
    pub current_a: f64,
    pub battery_current_a: f64,
    pub torque_n_m: f64,
    pub slope_n_m_s: f64,
    pub friction_n_m: f64,
}

impl PowerModel {
    /// Motor at a duty, resting voltage and turning rate (motor's sense).
    pub(super) fn motor_point(
        &self,
        duty: f64,
        resting_v: f64,
        omega_rad_s: f64,
        braking: bool,
    ) -> MotorPoint {
        let k = self.torque_constant;
        let back_v = omega_rad_s * k;
        let (current, battery_share, conductance) = if braking {
            let g = 1.0 / self.motor.resistance_ohm;
            (-back_v * g, 0.0, g)
        } else {
            let g = 1.0 / (self.motor.resistance_ohm + duty * duty * self.pack_ohm);
            // Turned backward by the air, a shut controller carries nothing.
            let open = if back_v < 0.0 {
                (50.0 * duty).min(1.0)
            } else {
                1.0
            };
            let current = (duty * resting_v - open * back_v) * g;
            if current > 0.0 {
                (current, duty, open * g)
            } else {
                (0.0, 0.0, 0.0)
            }
        };
        let square = omega_rad_s * omega_rad_s + STICTION_RAD_S * STICTION_RAD_S;
        let root = square.sqrt();
        let drag = self.motor.no_load_current_a * k;
        let friction = drag * omega_rad_s / root;
        MotorPoint {
            current_a: current,
            battery_current_a: battery_share * current,
            torque_n_m: current * k - friction,
            slope_n_m_s: -k * k * conductance
                - drag * STICTION_RAD_S * STICTION_RAD_S / (square * root),
            friction_n_m: friction,
        }
    }
}
