//! Steady running, and a model matched to a bench measurement.

use std::error::Error;
use std::f64::consts::PI;
use std::fmt;

use super::battery::resting_v;
use super::motor::MotorPoint;
use super::propeller::{DiskFlow, DiskLoads};
use super::train::PowerModel;

/// Steady running at one throttle and speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OperatingPoint {
    /// Turning rate, positive in the sense the propeller is made for.
    pub omega_rad_s: f64,
    /// The same in revolutions a minute.
    pub rpm: f64,
    /// Thrust.
    pub thrust_n: f64,
    /// Torque the air takes.
    pub torque_n_m: f64,
    /// Current through the motor.
    pub motor_current_a: f64,
    /// Current out of the battery.
    pub battery_current_a: f64,
    /// Voltage at the battery terminals.
    pub voltage_v: f64,
    /// Power out of the battery terminals.
    pub electrical_w: f64,
    /// Power on the shaft.
    pub shaft_w: f64,
    /// Induced speed at the disk.
    pub induced_m_s: f64,
}

/// Why a bench measurement cannot belong to this power train.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CalibrationError {
    /// A measured value is not a positive number.
    NotPositive,
    /// The current leaves the motor no torque at full throttle: it must lie
    /// between the no-load current and what voltage and resistance allow.
    CurrentOutOfReach {
        /// Least current, A.
        least_a: f64,
        /// Greatest current, A.
        greatest_a: f64,
    },
    /// More thrust than an ideal actuator disk makes of the shaft power.
    AboveActuatorDisk {
        /// The bound, N.
        bound_n: f64,
    },
    /// No scale between a fifth and five times gives the measured thrust.
    ThrustOutOfReach,
}

impl fmt::Display for CalibrationError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotPositive => write!(f, "a measured value must be a positive number"),
            Self::CurrentOutOfReach {
                least_a,
                greatest_a,
            } => write!(
                f,
                "the measured current must lie between {least_a:.1} and {greatest_a:.1} A \
                 for this motor and battery"
            ),
            Self::AboveActuatorDisk { bound_n } => write!(
                f,
                "the measured thrust exceeds {bound_n:.2} N, the most an ideal propeller of \
                 this diameter makes of the shaft power"
            ),
            Self::ThrustOutOfReach => write!(
                f,
                "the measured thrust is less than a fifth or more than five times the \
                 calculated one"
            ),
        }
    }
}

impl Error for CalibrationError {}

impl PowerModel {
    /// Steady running at rest, battery as charged. `throttle` 0 to 1.
    #[must_use]
    pub fn static_point(&self, throttle: f64) -> OperatingPoint {
        self.operating_point(throttle, 0.0, 0.0)
    }

    /// Steady running in flight along the shaft at `speed_m_s`.
    #[must_use]
    pub fn level_point(&self, speed_m_s: f64, throttle: f64) -> OperatingPoint {
        self.operating_point(throttle, speed_m_s, 0.0)
    }

    /// Steady running at an axial speed with `used_c` coulombs taken.
    ///
    /// The balance of motor and air is sought by halving, which needs a
    /// change of sign and nothing else.
    #[must_use]
    pub fn operating_point(&self, throttle: f64, axial_m_s: f64, used_c: f64) -> OperatingPoint {
        let duty = if throttle > super::train::CLOSED_THROTTLE {
            throttle.min(1.0)
        } else {
            0.0
        };
        let axial_m_s = if axial_m_s.is_finite() {
            axial_m_s
        } else {
            0.0
        };
        let braking = self.brake && duty == 0.0;
        let resting = resting_v(&self.battery, used_c);
        let at = |omega: f64| -> (f64, DiskLoads, MotorPoint) {
            let loads = self.propeller.loads(DiskFlow {
                axial_m_s,
                omega_rad_s: omega,
                ..DiskFlow::default()
            });
            let motor = self.motor_point(duty, resting, self.motor_sense * omega, braking);
            (
                self.motor_sense * motor.torque_n_m - loads.torque_n_m,
                loads,
                motor,
            )
        };
        // Neither motor nor windmill goes faster than this.
        let most = self.motor.speed_constant_rad_s_v * resting * duty
            + 12.0 * axial_m_s.abs() / self.propeller.radius_m()
            + 10.0;
        let (mut low, mut high) = (-most, most);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if at(middle).0 > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        let omega = 0.5 * (low + high);
        let (_, loads, motor) = at(omega);
        let voltage = resting - motor.battery_current_a * self.pack_ohm;
        OperatingPoint {
            omega_rad_s: omega,
            rpm: omega * 30.0 / PI,
            thrust_n: loads.thrust_n,
            torque_n_m: loads.torque_n_m,
            motor_current_a: motor.current_a,
            battery_current_a: motor.battery_current_a,
            voltage_v: voltage,
            electrical_w: voltage * motor.battery_current_a,
            shaft_w: motor.torque_n_m * self.motor_sense * omega,
            induced_m_s: loads.induced_m_s,
        }
    }

    /// The model matched to measurements at full throttle at rest, battery as
    /// charged.
    ///
    /// With a current the motor equations give turning rate and torque; the
    /// torque coefficients are multiplied so that the propeller takes that
    /// torque. With a thrust the thrust coefficients are multiplied to match
    /// it. With one of the two alone, thrust and torque are multiplied by the
    /// same factor, as a blade of other width would. Factors hold for every
    /// speed and throttle.
    ///
    /// # Errors
    /// When no such propeller can exist, see [`CalibrationError`].
    pub fn calibrated(
        mut self,
        static_thrust_n: Option<f64>,
        static_current_a: Option<f64>,
    ) -> Result<Self, CalibrationError> {
        for value in [static_thrust_n, static_current_a].into_iter().flatten() {
            if !(value > 0.0 && value.is_finite()) {
                return Err(CalibrationError::NotPositive);
            }
        }
        if let Some(current) = static_current_a {
            let factor = self.torque_factor(current)?;
            self.propeller.scale(factor, factor);
            if let Some(thrust) = static_thrust_n {
                let ours = self.static_point(1.0).thrust_n;
                if ours <= 0.0 || !(0.2..=5.0).contains(&(thrust / ours)) {
                    return Err(CalibrationError::ThrustOutOfReach);
                }
                self.propeller.scale(thrust / ours, 1.0);
            }
        } else if let Some(thrust) = static_thrust_n {
            self = self.with_static_thrust(thrust)?;
        }
        if let Some(thrust) = static_thrust_n {
            let point = self.static_point(1.0);
            let radius = self.propeller.radius_m();
            let area = PI * radius * radius;
            let density = self.propeller.density_kg_m3();
            let bound_n =
                libm::cbrt(2.0 * density * area * point.shaft_w.max(0.0) * point.shaft_w.max(0.0));
            if thrust > bound_n {
                return Err(CalibrationError::AboveActuatorDisk { bound_n });
            }
        }
        Ok(self)
    }

    /// Factor on propeller torque that makes the motor draw `current_a`.
    fn torque_factor(&self, current_a: f64) -> Result<f64, CalibrationError> {
        let resistance = self.motor.resistance_ohm + self.pack_ohm;
        let resting = resting_v(&self.battery, 0.0);
        let least_a = self.motor.no_load_current_a;
        let greatest_a = resting / resistance;
        let k = self.torque_constant;
        let omega = (resting - current_a * resistance) / k;
        let torque = (current_a - self.motor.no_load_current_a) * k;
        let ours = self.propeller.loads(DiskFlow {
            omega_rad_s: self.motor_sense * omega,
            ..DiskFlow::default()
        });
        let factor = torque / (self.motor_sense * ours.torque_n_m);
        if omega > 0.0 && torque > 0.0 && factor.is_finite() && factor > 0.0 {
            Ok(factor)
        } else {
            Err(CalibrationError::CurrentOutOfReach {
                least_a,
                greatest_a,
            })
        }
    }

    /// Thrust and torque by one factor, so that the static thrust is met.
    fn with_static_thrust(&self, thrust_n: f64) -> Result<Self, CalibrationError> {
        let scaled = |factor: f64| {
            let mut model = self.clone();
            model.propeller.scale(factor, factor);
            model
        };
        let (mut low, mut high) = (0.2, 5.0);
        if scaled(low).static_point(1.0).thrust_n > thrust_n
            || scaled(high).static_point(1.0).thrust_n < thrust_n
        {
            return Err(CalibrationError::ThrustOutOfReach);
        }
        for _ in 0..24 {
            let middle = 0.5 * (low + high);
            if scaled(middle).static_point(1.0).thrust_n < thrust_n {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(scaled(0.5 * (low + high)))
    }
}
