//! How likely a log is, given how far it is from what a plane would have flown.
//!
//! What nobody knows exactly - wind, balance, mass, thrust, drag - is fitted
//! first, each held near its design by how far it usually is off. What is then
//! left over is put down to turbulence, whose size is not known either and is
//! taken from the left-over itself: a log in rough air has to be explained less
//! exactly than one in a calm. The likelihood of normal errors of unknown size
//! goes with the power -n/2 of their mean square (Box and Tiao, Bayesian
//! Inference in Statistical Analysis, 1973, chapter 2; from memory).

use nalgebra::{SMatrix, SVector};

use crate::refly::{MEASURES, Miss, STRETCH_S, Stretch, Unknown};

/// Wind, balance, mass, thrust, drag.
pub(crate) const UNKNOWNS: usize = 6;
/// The first of them are the wind's components.
pub(crate) const OF_WIND: usize = 2;

/// One step of each unknown, for its effect, and how far it usually is from
/// zero: a third of the wind that such planes are flown in, and two thirds of what
/// a ruler, a scale and a data sheet leave open (+-3 mm, +-3 %, +-10 %, +-15 %).
const STEP: [f64; UNKNOWNS] = [0.5, 0.5, 0.003, 0.03, 0.1, 0.15];
pub(crate) const USUAL: [f64; UNKNOWNS] = [4.0, 4.0, 0.002, 0.02, 0.067, 0.1];

/// Misses smaller than this mean nothing: rounding of the log and of the ticks.
const FLOOR: Miss = [0.02, 0.02, 0.02, 0.06, 0.06, 0.06, 0.02, 0.05];

impl Unknown {
    pub(crate) fn from_array(x: [f64; UNKNOWNS]) -> Self {
        Self {
            wind_m_s: [x[0], x[1]],
            balance_m: x[2],
            mass_share: x[3],
            thrust_share: x[4],
            drag_share: x[5],
        }
    }
}

/// How each unknown changes each miss, for a unit of it.
#[derive(Debug, Clone)]
pub(crate) struct Slopes {
    pub of: Vec<[Miss; UNKNOWNS]>,
}

impl Slopes {
    /// Nothing changes anything.
    pub fn flat(stretches: usize) -> Self {
        Self {
            of: vec![[[0.0; MEASURES]; UNKNOWNS]; stretches],
        }
    }

    /// An unknown one step off from `base`.
    pub fn step(mut base: [f64; UNKNOWNS], unknown: usize) -> Unknown {
        base[unknown] += STEP[unknown];
        Unknown::from_array(base)
    }

    /// What an unknown changes, from the misses without and with a step of it.
    pub fn learn(&mut self, unknown: usize, without: &[Miss], with: &[Miss]) {
        for ((slopes, without), with) in self.of.iter_mut().zip(without).zip(with) {
            slopes[unknown] = core::array::from_fn(|k| (with[k] - without[k]) / STEP[unknown]);
        }
    }
}

/// How well a plane explains a log.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    /// Logarithm of the likelihood, but for a constant.
    pub log_likelihood: f64,
    /// The unknowns, as they come out.
    pub unknown: [f64; UNKNOWNS],
    /// What is left over of each miss.
    pub left: Vec<Miss>,
}

/// Fits the unknowns, which were `base` where the misses come from.
pub(crate) fn fit(
    stretches: &[Stretch],
    misses: &[Miss],
    slopes: &Slopes,
    base: [f64; UNKNOWNS],
) -> Fit {
    let mut size = FLOOR;
    let mut unknown = base;
    let mut left = misses.to_vec();
    // The size of the turbulence and the unknowns, in turn.
    for _ in 0..6 {
        let mut normal = SMatrix::<f64, UNKNOWNS, UNKNOWNS>::zeros();
        let mut right = SVector::<f64, UNKNOWNS>::zeros();
        for u in 0..UNKNOWNS {
            let weight = 1.0 / (USUAL[u] * USUAL[u]);
            normal[(u, u)] += weight;
            right[u] -= weight * base[u];
        }
        for (miss, slope) in misses.iter().zip(&slopes.of) {
            for k in 0..MEASURES {
                let weight = 1.0 / (size[k] * size[k]);
                for u in 0..UNKNOWNS {
                    right[u] -= weight * slope[u][k] * miss[k];
                    for v in 0..UNKNOWNS {
                        normal[(u, v)] += weight * slope[u][k] * slope[v][k];
                    }
                }
            }
        }
        let Some(change) = normal.cholesky().map(|of| of.solve(&right)) else {
            break;
        };
        for (u, value) in unknown.iter_mut().enumerate() {
            *value = base[u] + change[u];
        }
        for ((left, miss), slope) in left.iter_mut().zip(misses).zip(&slopes.of) {
            for k in 0..MEASURES {
                left[k] = miss[k] + (0..UNKNOWNS).map(|u| slope[u][k] * change[u]).sum::<f64>();
            }
        }
        size = sizes(&left);
    }
    Fit {
        log_likelihood: log_likelihood(stretches, &left) - 0.5 * strain(&unknown),
        unknown,
        left,
    }
}

/// Root of the mean square of each measure, with its floor.
fn sizes(left: &[Miss]) -> Miss {
    let count = left.len().max(1) as f64;
    core::array::from_fn(|k| {
        let square = left.iter().map(|miss| miss[k] * miss[k]).sum::<f64>() / count;
        (square + FLOOR[k] * FLOOR[k]).sqrt()
    })
}

fn log_likelihood(stretches: &[Stretch], left: &[Miss]) -> f64 {
    // Stretches that overlap say the same twice.
    let stride_s = match stretches {
        [first, .., last] => (last.from_s - first.from_s) / (stretches.len() - 1) as f64,
        _ => STRETCH_S,
    };
    let count = left.len() as f64 * (stride_s / STRETCH_S).min(1.0);
    -count * sizes(left).iter().map(|size| size.ln()).sum::<f64>()
}

/// Squares of the unknowns in units of what is usual.
fn strain(unknown: &[f64; UNKNOWNS]) -> f64 {
    (unknown.iter().zip(USUAL))
        .map(|(value, usual)| (value / usual) * (value / usual))
        .sum()
}
