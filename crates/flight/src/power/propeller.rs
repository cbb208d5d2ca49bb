//! A propeller in air: loads in any direction of flow and turning.

use std::f64::consts::PI;

use larkfield_airframe::{Propeller, Rotation};

use super::blade::Rotor;
use super::inflow::mass_flow_speed;
use super::table::Table;

/// Propeller in air of one density and viscosity.
#[derive(Debug, Clone)]
pub struct PropellerModel {
    table: Table,
    radius_m: f64,
    density_kg_m3: f64,
    inertia_kg_m2: f64,
    sense: f64,
}

/// How the disk meets the air.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DiskFlow {
    /// Forward speed of the hub through the air along the shaft.
    pub axial_m_s: f64,
    /// Speed of the air across the disk, never negative.
    pub cross_m_s: f64,
    /// Turning rate, positive in the sense the propeller is made for.
    pub omega_rad_s: f64,
    /// Induced speed at the disk as last found, for the effect of crossflow
    /// on it; 0 leaves that effect out.
    pub wake_m_s: f64,
}

/// Loads of a propeller. Components are along the shaft (thrust forward),
/// along the crossflow and across it (shaft cross crossflow).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DiskLoads {
    /// Force forward along the shaft.
    pub thrust_n: f64,
    /// Torque that resists turning in the made sense.
    pub torque_n_m: f64,
    /// Slope of that torque against the turning rate.
    pub torque_slope_n_m_s: f64,
    /// Force in the plane of the disk along the crossflow.
    pub along_n: f64,
    /// Force in the plane of the disk toward shaft cross crossflow.
    pub across_n: f64,
    /// Moment about the crossflow direction.
    pub moment_along_n_m: f64,
    /// Moment about shaft cross crossflow.
    pub moment_across_n_m: f64,
    /// Moment for each rad/s of disk tilting about an axis in its plane;
    /// negative: it resists.
    pub damping_n_m_s: f64,
    /// Mean induced speed at the disk, backward positive.
    pub induced_m_s: f64,
}

impl PropellerModel {
    /// Solves the blade elements for every flow direction; about 10 ms.
    ///
    /// `density_kg_m3` of the air, `viscosity_pa_s` its dynamic viscosity.
    #[must_use]
    pub fn new(propeller: &Propeller, density_kg_m3: f64, viscosity_pa_s: f64) -> Self {
        let rotor = Rotor::new(propeller);
        let density = if density_kg_m3 > 0.0 {
            density_kg_m3
        } else {
            0.0
        };
        let kinematic = viscosity_pa_s / density;
        let kinematic = if kinematic.is_finite() && kinematic > 0.0 {
            kinematic
        } else {
            1.46e-5
        };
        Self {
            table: Table::new(&rotor, kinematic),
            radius_m: rotor.radius_m,
            density_kg_m3: density,
            inertia_kg_m2: rotor.inertia_kg_m2,
            sense: match propeller.rotation {
                Rotation::Clockwise => 1.0,
                Rotation::Anticlockwise => -1.0,
            },
        }
    }

    /// The same, by a few hundredths larger in every measure. Blades of one shape
    /// have the same coefficients at the same Reynolds number, which changes with
    /// the size by no more than that; so the table is kept.
    #[must_use]
    pub(crate) fn enlarged(mut self, factor: f64) -> Self {
        self.radius_m *= factor;
        self.inertia_kg_m2 *= libm::pow(factor, 5.0);
        self
    }

    /// Tip radius, m.
    #[must_use]
    pub fn radius_m(&self) -> f64 {
        self.radius_m
    }

    /// Density the model was made for, kg/m3.
    #[must_use]
    pub fn density_kg_m3(&self) -> f64 {
        self.density_kg_m3
    }

    /// Polar inertia about the shaft, kg m2.
    #[must_use]
    pub fn inertia_kg_m2(&self) -> f64 {
        self.inertia_kg_m2
    }

    /// 1 when made to turn clockwise seen from behind, -1 otherwise.
    #[must_use]
    pub fn sense(&self) -> f64 {
        self.sense
    }

    /// Loads in the given flow.
    ///
    /// Crossflow is linear theory (blade elements seeing a speed that varies
    /// once round, after Glauert and Ribner, NACA Report 820, 1945), limited
    /// smoothly where the crossflow exceeds the blade's own speed.
    #[must_use]
    #[inline]
    pub fn loads(&self, flow: DiskFlow) -> DiskLoads {
        let radius = self.radius_m;
        let turning = 0.75 * radius * flow.omega_rad_s;
        // Crossflow carries more air through the disk, which induces less
        // (Glauert's momentum theory with the whole speed at the disk,
        // M' = sqrt(M^2 + crossflow^2)). The blades then see what they see in
        // an axial flow slower by what the induced speed lost; at most once
        // the induced speed, beyond which the table's vortex ring is no
        // picture of a disk flown edgewise.
        let (wake, cross) = (flow.wake_m_s, flow.cross_m_s);
        let through = mass_flow_speed(flow.axial_m_s, wake);
        let (thinned, lost) = if wake != 0.0 && through > 0.0 && cross > 0.0 {
            let all = (through * through + cross * cross).sqrt();
            (through / all, wake * ((all - through) / through).min(1.0))
        } else {
            (1.0, 0.0)
        };
        let axial = flow.axial_m_s - lost;
        let square = axial * axial + turning * turning;
        let speed = square.sqrt();
        let c = self.table.at(axial, turning, speed);
        let half_rho_area = 0.5 * self.density_kg_m3 * PI * radius * radius;
        let force = half_rho_area * square;
        // U times the limited crossflow.
        let both = square + cross * cross;
        let limited = if both > 0.0 {
            cross * square / both.sqrt()
        } else {
            0.0
        };
        let side = half_rho_area * limited;
        let sum = axial.abs() + turning.abs();
        let torque_slope = if sum > 0.0 {
            half_rho_area
                * radius
                * 0.75
                * radius
                * (2.0 * turning * c.torque - square * c.torque_slope * axial / (sum * sum))
        } else {
            0.0
        };
        DiskLoads {
            thrust_n: force * c.thrust,
            torque_n_m: force * radius * c.torque,
            torque_slope_n_m_s: torque_slope,
            along_n: side * c.along,
            across_n: side * self.sense * c.across,
            moment_along_n_m: side * radius * self.sense * c.yawing,
            moment_across_n_m: side * radius * c.pitching,
            damping_n_m_s: half_rho_area * speed * radius * radius * c.damping,
            induced_m_s: speed * c.induced * thinned,
        }
    }

    /// Thrust coefficient `T/(rho n^2 D^4)` and power coefficient
    /// `P/(rho n^3 D^5)` at a turning rate in rpm and an advance ratio
    /// `V/(n D)`; both zero at no turning.
    #[must_use]
    pub fn coefficients(&self, rpm: f64, advance_ratio: f64) -> (f64, f64) {
        let n = rpm / 60.0;
        let d = 2.0 * self.radius_m;
        let loads = self.loads(DiskFlow {
            axial_m_s: advance_ratio * n * d,
            omega_rad_s: 2.0 * PI * n,
            ..DiskFlow::default()
        });
        let scale = self.density_kg_m3 * n * n * d * d * d * d;
        if scale > 0.0 {
            (
                loads.thrust_n / scale,
                2.0 * PI * loads.torque_n_m / (scale * d),
            )
        } else {
            (0.0, 0.0)
        }
    }

    /// Multiplies thrust (with its crossflow companions) and torque by the
    /// given factors, as a measurement on the bench asks.
    pub fn scale(&mut self, thrust: f64, torque: f64) {
        self.table.scale(thrust, torque);
    }
}
