//! The wind that explains a log best, of a plane with or without a fault.

use larkfield_faults::Scene;
use larkfield_flight::{FlightModel, FlightModelError};

use crate::fit::{Fit, OF_WIND, Slopes, UNKNOWNS, fit};
use crate::log::Log;
use crate::refly::{Candidate, Miss, Stretch, Unknown};

/// The wind is known when it moves by no more than this from round to round.
const SETTLED_M_S: f64 = 0.3;
const MOST_ROUNDS: u32 = 4;
/// Nobody flies such planes in more than this.
const STRONGEST_M_S: f64 = 12.0;

/// A plane in the wind that suits it best.
pub(crate) struct InWind {
    pub base: [f64; UNKNOWNS],
    pub slopes: Slopes,
    pub misses: Vec<Miss>,
    pub fit: Fit,
}

impl InWind {
    /// `known`: slopes of a plane that is much the same, whose own but for the
    /// wind's are taken.
    pub fn of(
        scene: &Scene,
        like: &FlightModel,
        log: &Log,
        stretches: &[Stretch],
        known: Option<&Slopes>,
    ) -> Result<Self, FlightModelError> {
        let fly = |unknown: &Unknown| {
            Candidate::new(scene, unknown, like)
                .map(|candidate| candidate.misses(log, stretches, unknown))
        };
        let mut slopes = known.map_or_else(|| Slopes::flat(stretches.len()), Slopes::clone);
        let mut all_known = known.is_some();
        let mut base = [0.0; UNKNOWNS];
        let mut rounds = 0;
        loop {
            rounds += 1;
            let misses = fly(&Unknown::from_array(base))?;
            for unknown in 0..OF_WIND {
                slopes.learn(unknown, &misses, &fly(&Slopes::step(base, unknown))?);
            }
            let mut found = fit(stretches, &misses, &slopes, base);
            // What the wind is not needs no looking at before the wind is known.
            if !all_known && (!moved(&found, &base) || rounds == MOST_ROUNDS) {
                for unknown in OF_WIND..UNKNOWNS {
                    slopes.learn(unknown, &misses, &fly(&Slopes::step(base, unknown))?);
                }
                all_known = true;
                found = fit(stretches, &misses, &slopes, base);
            }
            if all_known && (!moved(&found, &base) || rounds >= MOST_ROUNDS) {
                return Ok(Self {
                    base,
                    slopes,
                    misses,
                    fit: found,
                });
            }
            // Loads go with the square of the speed, so the wind is closed in on.
            for (base, found) in base.iter_mut().zip(found.unknown).take(OF_WIND) {
                *base = found.clamp(-STRONGEST_M_S, STRONGEST_M_S);
            }
        }
    }
}

/// The wind is not what it was taken for.
fn moved(found: &Fit, base: &[f64; UNKNOWNS]) -> bool {
    (0..OF_WIND).any(|u| (found.unknown[u] - base[u]).abs() > SETTLED_M_S)
}
