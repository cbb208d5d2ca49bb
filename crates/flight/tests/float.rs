//! How far a plane floats before it settles, near the ground and high above it.
#![allow(missing_docs)]

mod support;

use std::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::SurfaceKind;
use larkfield_flight::{Controls, FlightModel, FlightState};
use larkfield_proof::{Chapter, Checks};
use support::{AIR, GRAVITY_M_S2, shipped, still_air};

const TICK_S: f64 = 0.002;
/// Speeds between which the float is measured: well below the approach, above the stall.
const FROM_M_S: f64 = 9.5;
const MIDDLE_M_S: f64 = 8.2;
const TO_M_S: f64 = 7.2;

/// Held level at a height without power, as a pilot who holds off does.
struct HoldOff<'a> {
    model: &'a FlightModel,
    state: FlightState,
    height_m: f64,
    held: f64,
}

impl<'a> HoldOff<'a> {
    fn new(model: &'a FlightModel, height_m: f64) -> Self {
        let mut state = model.state_at_rest();
        state.position_m.z = -height_m;
        state.velocity_m_s = DVec3::new(11.5, 0.0, 0.0);
        Self {
            model,
            state,
            height_m,
            held: 0.0,
        }
    }

    fn tick(&mut self) {
        let low_m = self.height_m + self.state.position_m.z;
        let error = 0.8 * low_m + 0.5 * self.state.velocity_m_s.z;
        self.held = (self.held + 1.5 * error * TICK_S).clamp(-1.0, 1.0);
        let controls = Controls {
            pitch: (error + self.held - 0.15 * self.state.rates_rad_s.y).clamp(-1.0, 1.0),
            ..Controls::default()
        };
        self.model
            .step(&mut self.state, &controls, &still_air(), TICK_S);
    }

    /// Speed it would have if it gave back the height it has strayed: a hand
    /// does not hold level to the millimetre, and strays cost no energy.
    fn level_speed_m_s(&self) -> f64 {
        let high_m = -self.state.position_m.z - self.height_m;
        (self.state.velocity_m_s.length_squared() + 2.0 * GRAVITY_M_S2 * high_m).sqrt()
    }

    /// Flies on until it is as slow as that; distance and mean height of the wing.
    fn until(&mut self, slow_m_s: f64) -> (f64, f64) {
        let (start_m, mut heights, mut ticks) = (self.state.position_m.x, 0.0, 0_u32);
        while self.level_speed_m_s() > slow_m_s && ticks < 20_000 {
            heights -= self.state.position_m.z;
            self.tick();
            ticks += 1;
        }
        let distance_m = self.state.position_m.x - start_m;
        (distance_m, heights / f64::from(ticks.max(1)))
    }
}

/// Distance from one speed to a lower one under a drag `a v^2 + b / v^2`: the
/// integral of `v dv` over the deceleration.
fn coasting_m(mass_kg: f64, a: f64, b: f64, from_m_s: f64, to_m_s: f64) -> f64 {
    let term = |v: f64| a * v.powi(4) + b;
    mass_kg / (4.0 * a) * (term(from_m_s) / term(to_m_s)).ln()
}

/// The two terms of drag that give the two distances flown.
fn drag_terms(mass_kg: f64, distances_m: [f64; 2]) -> (f64, f64) {
    // The ratio of the distances decides b / a, their sum then the size.
    let ratio = |b_over_a: f64| {
        coasting_m(mass_kg, 1.0, b_over_a, FROM_M_S, MIDDLE_M_S)
            / coasting_m(mass_kg, 1.0, b_over_a, MIDDLE_M_S, TO_M_S)
    };
    let (mut low, mut high) = (0.0, 1.0e5);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if ratio(middle) < distances_m[0] / distances_m[1] {
            low = middle;
        } else {
            high = middle;
        }
    }
    let b_over_a = 0.5 * (low + high);
    let a =
        coasting_m(mass_kg, 1.0, b_over_a, FROM_M_S, TO_M_S) / (distances_m[0] + distances_m[1]);
    (a, a * b_over_a)
}

/// Mean height of the wing over the balance point, by area.
fn wing_over_balance_m(model: &FlightModel) -> f64 {
    let (mut sum, mut area) = (0.0, 0.0);
    let wings = model.airframe().panels.iter();
    for panel in wings.filter(|panel| panel.kind == SurfaceKind::Wing) {
        for ends in panel.stations.windows(2) {
            let along_m = (ends[1].leading_edge_m - ends[0].leading_edge_m).y.abs();
            let piece = along_m * 0.5 * (ends[0].chord_m + ends[1].chord_m);
            let height_m = -0.5 * (ends[0].leading_edge_m.z + ends[1].leading_edge_m.z);
            sum += piece * height_m;
            area += piece;
        }
    }
    sum / area + model.mass().cg_m.z
}

#[test]
fn it_floats_farther_near_the_ground() {
    let mut checks = Checks::new(
        Chapter::GroundEffect,
        "Float of the trainer, held off without power",
        "drag A v^2 + B / v^2 with the two terms of its own flight far from the ground and \
         Prandtl's induced drag in B taken down by Wieselsberger's factor, NACA TM 77, 1922 \
         (from memory)",
    );
    let model = FlightModel::new(&shipped("marram"), AIR).expect("flies");
    let mass_kg = model.mass().mass_kg;
    let mut aloft = HoldOff::new(&model, 100.0);
    aloft.until(FROM_M_S);
    let (fast_m, _) = aloft.until(MIDDLE_M_S);
    let (slow_m, _) = aloft.until(TO_M_S);
    let (a, b) = drag_terms(mass_kg, [fast_m, slow_m]);
    // A thin plate also loses leading-edge suction as it lifts; that part of b
    // is the section's and stays. Induced drag of a plain wing: Prandtl's, span
    // efficiency 0.95.
    let weight_n = mass_kg * GRAVITY_M_S2;
    let span_m = model.span_m();
    let induced = 2.0 * weight_n * weight_n / (0.95 * PI * AIR.density_kg_m3 * span_m * span_m);
    let wing_over_balance_m = wing_over_balance_m(&model);
    for height_m in [0.15, 0.25, 0.4] {
        let mut low = HoldOff::new(&model, height_m);
        low.until(FROM_M_S);
        let (float_m, mean_m) = low.until(TO_M_S);
        let h_over_b = (mean_m + wing_over_balance_m) / span_m;
        let influence = (1.0 - 1.32 * h_over_b) / (1.05 + 7.4 * h_over_b);
        let low_b = b - influence * induced;
        let expected_m = coasting_m(mass_kg, a, low_b, FROM_M_S, TO_M_S);
        let row = format!("float at {height_m} m, over that far from the ground");
        let free_m = fast_m + slow_m;
        checks.share(&row, float_m / free_m, expected_m / free_m, 0.05);
    }
    checks.finish();
}
