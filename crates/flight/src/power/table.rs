//! Propeller coefficients over every direction of inflow, made once.
//!
//! The blade-element balance takes some 20 us, a flight tick has 1 us for
//! everything: the balance is solved when the model is made and looked up in
//! flight. Coordinates of the table:
//!
//! - direction of the flow at three quarters of the radius, full circle, as
//!   in four-quadrant propeller diagrams. Not its angle but the *diamond*
//!   coordinate `v / (|v| + |u|)` by quadrants, which needs one division
//!   where the angle would need an arc tangent, and has a continuous slope;
//! - speed `U` of that flow through `U / (U + 40 m/s)`, which stands for the
//!   Reynolds number (air and propeller are fixed) and is never out of range.
//!
//! Interpolation is cubic (Catmull-Rom) in both, slopes continuous.

use std::f64::consts::PI;

use crate::lanes::{Lanes, Plain, Processor, WIDTH, Wide};

use super::blade::Rotor;
use super::inflow::{AnnulusLoad, Running, balance, induced_speed};

/// Entries in each node, see [`Coefficients`].
const CHANNELS: usize = WIDTH;
/// Nodes in a quarter turn of the flow direction.
const QUARTER: usize = 32;
/// Nodes all round.
const AROUND: usize = 4 * QUARTER;
/// Nodes in speed.
const SPEEDS: usize = 6;
/// Speed in the middle of the speed coordinate, m/s.
const MIDDLE_SPEED_M_S: f64 = 40.0;
/// Ends of the speed coordinate: 3.5 m/s and 227 m/s.
const SPEED_FIRST: f64 = 0.08;
const SPEED_LAST: f64 = 0.85;

/// Table of propeller coefficients.
#[derive(Debug, Clone)]
pub(super) struct Table {
    nodes: Vec<Node>,
}

/// Coefficients at a node, one in each lane.
type Node = Lanes;

/// Forces over `rho U^2 A / 2`, moments over that times the radius, per unit
/// of what drives them where something does.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Coefficients {
    /// Thrust.
    pub thrust: f64,
    /// Torque that resists turning in the made sense.
    pub torque: f64,
    /// Force along the crossflow for each unit of crossflow over U.
    pub along: f64,
    /// Force across it, likewise.
    pub across: f64,
    /// Moment about the crossflow direction, likewise.
    pub yawing: f64,
    /// Moment about the direction across it, likewise.
    pub pitching: f64,
    /// Mean induced speed at the disk over U.
    pub induced: f64,
    /// Moment for each unit of disk tilt rate times radius over U.
    pub damping: f64,
    /// Slope of the torque coefficient against the diamond coordinate.
    pub torque_slope: f64,
}

impl Table {
    /// Solves every node.
    pub fn new(rotor: &Rotor, viscosity_m2_s: f64) -> Self {
        let mut nodes = vec![Node::default(); AROUND * SPEEDS];
        for (index, node) in nodes.iter_mut().enumerate() {
            let (speed_index, around_index) = (index / AROUND, index % AROUND);
            let x =
                SPEED_FIRST + (SPEED_LAST - SPEED_FIRST) * speed_index as f64 / (SPEEDS - 1) as f64;
            let speed = MIDDLE_SPEED_M_S * x / (1.0 - x);
            let (v, u) = direction(around_index as f64 / QUARTER as f64);
            let solved = solve(rotor, viscosity_m2_s, speed * v, speed * u);
            *node = Lanes(solved);
        }
        Self { nodes }
    }

    /// Multiplies thrust and torque, and sets induced speed to match.
    pub fn scale(&mut self, thrust: f64, torque: f64) {
        for (index, node) in self.nodes.iter_mut().enumerate() {
            let (v, _) = direction((index % AROUND) as f64 / QUARTER as f64);
            let factors = [thrust, torque, torque, thrust, thrust, thrust, 1.0, thrust];
            for (channel, factor) in factors.into_iter().enumerate() {
                node.0[channel] *= factor;
            }
            node.0[6] = induced_speed(0.25 * node.0[0], v);
        }
    }

    /// Coefficients for air onto the disk at `axial_m_s` and the speed
    /// `turning_m_s` of the blade at three quarters of the radius; `speed_m_s`
    /// is the root of the sum of their squares.
    #[inline]
    pub fn at(&self, axial_m_s: f64, turning_m_s: f64, speed_m_s: f64) -> Coefficients {
        let sum = axial_m_s.abs() + turning_m_s.abs();
        let d = if sum > 0.0 { axial_m_s / sum } else { 0.0 };
        let p = if turning_m_s >= 0.0 {
            if d < 0.0 { 4.0 + d } else { d }
        } else {
            2.0 - d
        };
        let around = p * QUARTER as f64;
        let cell = (around as usize).min(AROUND - 1);
        let t = around - cell as f64;

        let x = speed_m_s / (speed_m_s + MIDDLE_SPEED_M_S);
        let step = (SPEEDS - 1) as f64 / (SPEED_LAST - SPEED_FIRST);
        let along = ((x - SPEED_FIRST) * step).clamp(0.0, (SPEEDS - 1) as f64);
        let row = (along as usize).min(SPEEDS - 2);
        let s = along - row as f64;

        let columns = [
            (cell + AROUND - 1) % AROUND,
            cell,
            (cell + 1) % AROUND,
            (cell + 2) % AROUND,
        ];
        let rows = [
            row.saturating_sub(1),
            row,
            row + 1,
            (row + 2).min(SPEEDS - 1),
        ];
        let patch = Patch {
            nodes: &self.nodes,
            columns,
            rows,
            across: cubic(t),
            slopes: cubic_slope(t),
            along: cubic(s),
        };
        let [at, slopes] = patch.sums();
        Coefficients {
            thrust: at.0[0],
            torque: at.0[1],
            along: at.0[2],
            across: at.0[3],
            yawing: at.0[4],
            pitching: at.0[5],
            induced: at.0[6],
            damping: at.0[7],
            torque_slope: slopes.0[1] * QUARTER as f64,
        }
    }
}

/// Sixteen nodes round a place in the table, and their weights.
struct Patch<'a> {
    nodes: &'a [Node],
    columns: [usize; 4],
    rows: [usize; 4],
    across: [f64; 4],
    slopes: [f64; 4],
    along: [f64; 4],
}

impl Patch<'_> {
    /// The coefficients and their slopes, with whatever vector instructions the
    /// processor offers.
    #[inline]
    fn sums(self) -> [Lanes; 2] {
        #[cfg(target_arch = "x86_64")]
        if let Some(processor) = pulp::x86::V4::try_new() {
            return processor.vectorize(PatchOn(processor, self));
        }
        #[cfg(target_arch = "x86_64")]
        if let Some(processor) = pulp::x86::V3::try_new() {
            return processor.vectorize(PatchOn(processor, self));
        }
        self.sums_on(Plain)
    }

    #[inline(always)]
    fn sums_on<P: Processor>(&self, p: P) -> [Lanes; 2] {
        let nil = Wide::all(p, 0.0);
        let [mut sum, mut slopes] = [nil; 2];
        for i in 0..4 {
            let mut column = nil;
            for j in 0..4 {
                let Some(node) = self.nodes.get(self.rows[j] * AROUND + self.columns[i]) else {
                    continue;
                };
                column += self.along[j] * node.on(p);
            }
            sum += self.across[i] * column;
            slopes += self.slopes[i] * column;
        }
        [sum.lanes(), slopes.lanes()]
    }
}

/// The same as something that can be compiled for each kind of processor.
struct PatchOn<'a, P: Processor>(P, Patch<'a>);

impl<P: Processor> pulp::NullaryFnOnce for PatchOn<'_, P> {
    type Output = [Lanes; 2];

    #[inline(always)]
    fn call(self) -> [Lanes; 2] {
        self.1.sums_on(self.0)
    }
}

/// Catmull-Rom weights of the four nodes round an interval.
#[inline]
fn cubic(t: f64) -> [f64; 4] {
    let t2 = t * t;
    let t3 = t2 * t;
    [
        0.5 * (2.0 * t2 - t - t3),
        0.5 * (3.0 * t3 - 5.0 * t2 + 2.0),
        0.5 * (4.0 * t2 - 3.0 * t3 + t),
        0.5 * (t3 - t2),
    ]
}

/// Their slopes for one interval.
#[inline]
fn cubic_slope(t: f64) -> [f64; 4] {
    let t2 = t * t;
    [
        0.5 * (4.0 * t - 1.0 - 3.0 * t2),
        0.5 * (9.0 * t2 - 10.0 * t),
        0.5 * (8.0 * t - 9.0 * t2 + 1.0),
        0.5 * (3.0 * t2 - 2.0 * t),
    ]
}

/// Unit vector (axial, turning) at a diamond coordinate of 0..4.
fn direction(p: f64) -> (f64, f64) {
    let (v, u) = if p <= 1.0 {
        (p, 1.0 - p)
    } else if p <= 3.0 {
        let d = 2.0 - p;
        (d, d.abs() - 1.0)
    } else {
        let d = p - 4.0;
        (d, 1.0 + d)
    };
    let size = (v * v + u * u).sqrt();
    (v / size, u / size)
}

/// One node: all annuli, summed and made dimensionless.
fn solve(rotor: &Rotor, viscosity_m2_s: f64, axial_m_s: f64, turning_m_s: f64) -> [f64; CHANNELS] {
    let radius = rotor.radius_m;
    let running = Running {
        axial_m_s,
        omega_rad_s: turning_m_s / (0.75 * radius),
        viscosity_m2_s,
    };
    let speed = (axial_m_s * axial_m_s + turning_m_s * turning_m_s).sqrt();
    let mut sum = [0.0; CHANNELS];
    for annulus in &rotor.annuli {
        let AnnulusLoad {
            axial,
            tangential,
            axial_by_tangential,
            tangential_by_tangential,
            axial_by_axial,
            tangential_by_axial,
            induced_m_s,
            flow_m_s,
        } = balance(rotor, annulus, running);
        let (r, dr) = (annulus.radius_m, annulus.width_m);
        // A wake blown aside by the crossflow induces more at its lee edge:
        // 15 pi/32 tan(angle/2) times r/R (Pitt and Peters, 1981; from
        // memory), the angle about crossflow over the flow through the disk.
        let skew = 15.0 * PI / 64.0 * induced_m_s / flow_m_s * r / radius;
        sum[0] += axial * dr;
        sum[1] += tangential * r * dr;
        sum[2] += 0.5 * tangential_by_tangential * dr;
        sum[3] -= 0.5 * tangential_by_axial * skew * dr;
        sum[4] += 0.5 * axial_by_tangential * r * dr;
        sum[5] -= 0.5 * axial_by_axial * skew * r * dr;
        sum[7] += 0.5 * axial_by_axial * r * r * dr;
    }
    let area = PI * radius * radius;
    let force = 1.0 / (0.5 * speed * speed * area);
    let rate = force * speed;
    [
        sum[0] * force,
        sum[1] * force / radius,
        sum[2] * rate,
        sum[3] * rate,
        sum[4] * rate / radius,
        sum[5] * rate / radius,
        induced_speed(sum[0] / (2.0 * area), axial_m_s) / speed,
        sum[7] * rate / (radius * radius),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_and_vector_look_ups_agree_to_the_bit() {
        let node = |k: usize| {
            let number = |channel: usize| libm::sin(0.7 * k as f64 + channel as f64);
            Lanes(core::array::from_fn(number))
        };
        let nodes: Vec<Node> = (0..AROUND * SPEEDS).map(node).collect();
        for step in 0..200 {
            let t = f64::from(step) / 200.0;
            let patch = || Patch {
                nodes: &nodes,
                columns: [AROUND - 1, 0, 1, 2],
                rows: [0, 1, 2, 3],
                across: cubic(t),
                slopes: cubic_slope(t),
                along: cubic(1.0 - 0.9 * t),
            };
            let bits = |sums: [Lanes; 2]| sums.map(|lanes| lanes.0.map(f64::to_bits));
            assert_eq!(bits(patch().sums_on(Plain)), bits(patch().sums()), "{t}");
            #[cfg(target_arch = "x86_64")]
            if let Some(p) = pulp::x86::V3::try_new() {
                assert_eq!(
                    bits(patch().sums_on(Plain)),
                    bits(patch().sums_on(p)),
                    "{t}"
                );
            }
        }
    }
}
