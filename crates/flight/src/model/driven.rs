//! What a running propeller does to the aeroplane as a whole.

use glam::DVec3;

use crate::flow::Flow;
use crate::power::{PowerModel, PowerOutput};

/// Loads of the propeller about the centre of gravity, and what of the power
/// train is reported. Nothing where no propeller turns.
///
/// Much less than [`PowerOutput`], so that what nobody asks for is not reckoned
/// and nothing large is carried about.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Driven {
    pub force_n: DVec3,
    /// Gyroscopic moment included.
    pub moment_n_m: DVec3,
    pub thrust_n: f64,
    pub propeller_rad_s: f64,
    pub current_a: f64,
    pub voltage_v: f64,
}

impl Driven {
    #[inline(always)]
    pub fn by(model: &PowerModel, flow: &Flow, output: &PowerOutput) -> Self {
        Self {
            force_n: output.force_n,
            moment_n_m: output.moment_n_m
                + model.hub_m().cross(output.force_n)
                + output.angular_momentum_kg_m2_s.cross(flow.rates_rad_s),
            thrust_n: output.thrust_n,
            propeller_rad_s: output.omega_rad_s,
            current_a: output.battery_current_a,
            voltage_v: output.voltage_v,
        }
    }
}
