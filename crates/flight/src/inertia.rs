//! How a plane answers a blow: the inverse of its mass and inertia, the air
//! that moves with it included.

use glam::{DMat3, DVec3};

/// Inverse of a 6 x 6 mass matrix in body axes, in blocks: an impulse J and its
/// moment H about the centre of gravity change the velocity by
/// `linear J + mixed H` and the rates by `mixed^T J + angular H`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InverseInertia {
    /// Velocity for each impulse, 1/kg.
    pub linear_per_kg: DMat3,
    /// Velocity for each moment, 1/(kg m).
    pub mixed_per_kg_m: DMat3,
    /// Rates for each moment, 1/(kg m2).
    pub angular_per_kg_m2: DMat3,
}

impl InverseInertia {
    /// A rigid body in a vacuum, about its centre of gravity.
    #[must_use]
    pub fn rigid(mass_kg: f64, inertia_kg_m2: DMat3) -> Self {
        Self {
            linear_per_kg: DMat3::from_diagonal(DVec3::splat(1.0 / mass_kg)),
            mixed_per_kg_m: DMat3::ZERO,
            angular_per_kg_m2: inertia_kg_m2.inverse(),
        }
    }

    /// From the rows of a symmetric matrix, force before moment.
    pub(crate) fn from_rows(entry: impl Fn(usize, usize) -> f64) -> Self {
        let block = |row: usize, column: usize| {
            let line = |c: usize| DVec3::new(entry(row, c), entry(row + 1, c), entry(row + 2, c));
            DMat3::from_cols(line(column), line(column + 1), line(column + 2))
        };
        Self {
            linear_per_kg: block(0, 0),
            mixed_per_kg_m: block(0, 3),
            angular_per_kg_m2: block(3, 3),
        }
    }

    /// Changes of velocity and rates by an impulse and its moment, body axes.
    #[must_use]
    pub fn answer(&self, impulse_n_s: DVec3, moment_n_m_s: DVec3) -> (DVec3, DVec3) {
        (
            self.linear_per_kg * impulse_n_s + self.mixed_per_kg_m * moment_n_m_s,
            self.mixed_per_kg_m.transpose() * impulse_n_s + self.angular_per_kg_m2 * moment_n_m_s,
        )
    }
}
