//! Modes of small motions about straight trimmed flight.
//!
//! The equations are the flight model's own: accelerations of one very short
//! step from a state whose air has settled, apparent mass included, are
//! differenced about the trim. Symmetric and sideways motions are solved apart;
//! what the turning propeller couples between them is left out, as are lags of
//! the air and the servos.

use glam::{DMat3, DQuat, DVec3};
use larkfield_flight::{Controls, FlightState};
use nalgebra::Matrix4;
use serde::Serialize;

use crate::bench::Bench;
use crate::trim::Trim;

/// Name of a mode.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum ModeKind {
    /// Slow exchange of height and speed.
    Phugoid,
    /// Fast pitching.
    ShortPeriod,
    /// Yawing and rolling to and fro.
    DutchRoll,
    /// Decay of rolling.
    Roll,
    /// Slow bank that grows or fades.
    Spiral,
    /// Roll and spiral joined into one oscillation.
    LateralPhugoid,
    /// A symmetric motion that does not oscillate.
    PitchSubsidence,
}

/// One mode.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Mode {
    /// Which.
    pub kind: ModeKind,
    /// Period; `None` when it does not oscillate.
    pub period_s: Option<f64>,
    /// Time to halve; `None` when it grows.
    pub time_to_half_s: Option<f64>,
    /// Time to double; `None` when it fades.
    pub time_to_double_s: Option<f64>,
    /// Damping ratio of an oscillation.
    pub damping_ratio: Option<f64>,
}

impl Mode {
    fn of(kind: ModeKind, re: f64, im: f64) -> Self {
        let ln2 = core::f64::consts::LN_2;
        Self {
            kind,
            period_s: (im.abs() > 1e-9).then(|| 2.0 * core::f64::consts::PI / im.abs()),
            time_to_half_s: (re < 0.0).then(|| ln2 / -re),
            time_to_double_s: (re > 0.0).then(|| ln2 / re),
            damping_ratio: (im.abs() > 1e-9).then(|| -re / (re * re + im * im).sqrt()),
        }
    }
}

/// Small motions: velocity u, v, w, rates p, q, r, bank and pitch attitude.
type Small = [f64; 8];

/// Accelerations of the small motions at a departure from the trim.
fn rates(bench: &mut Bench<'_>, trim: &Trim, departure: &Small) -> Small {
    let gamma = libm::asin(trim.excess.clamp(-1.0, 1.0));
    let theta = gamma + trim.condition.alpha_rad + departure[7];
    let bank = departure[6];
    let velocity =
        trim.condition.velocity_m_s() + DVec3::new(departure[0], departure[1], departure[2]);
    let w = DVec3::new(departure[3], departure[4], departure[5]);
    let mut condition = trim.condition;
    condition.speed_m_s = velocity.length();
    condition.alpha_rad = libm::atan2(velocity.z, velocity.x);
    condition.beta_rad = libm::asin((velocity.y / condition.speed_m_s).clamp(-1.0, 1.0));
    condition.rates_rad_s = w;
    let _ = bench.sample(&condition);
    let attitude = DQuat::from_xyzw(0.0, libm::sin(0.5 * theta), 0.0, libm::cos(0.5 * theta))
        * DQuat::from_xyzw(libm::sin(0.5 * bank), 0.0, 0.0, libm::cos(0.5 * bank));
    let rotation = DMat3::from_quat(attitude);
    let mut state: FlightState = bench.state().clone();
    state.attitude = attitude;
    state.velocity_m_s = rotation * velocity;
    let (old_velocity, old_rates) = (state.velocity_m_s, state.rates_rad_s);
    const STEP_S: f64 = 1e-6;
    let controls: Controls = trim.condition.controls;
    bench
        .model()
        .step(&mut state, &controls, &Bench::surroundings(), STEP_S);
    let linear =
        rotation.transpose() * ((state.velocity_m_s - old_velocity) / STEP_S) - w.cross(velocity);
    let angular = (state.rates_rad_s - old_rates) / STEP_S;
    let tangent = libm::tan(theta);
    [
        linear.x,
        linear.y,
        linear.z,
        angular.x,
        angular.y,
        angular.z,
        w.x + tangent * (w.y * libm::sin(bank) + w.z * libm::cos(bank)),
        w.y * libm::cos(bank) - w.z * libm::sin(bank),
    ]
}

/// Modes about a trim on a straight path.
#[must_use]
pub fn modes(bench: &mut Bench<'_>, trim: &Trim) -> Vec<Mode> {
    let speed = trim.condition.speed_m_s;
    // Departures of about a third of a degree, so that all columns are local.
    let sizes: Small = [
        0.005 * speed,
        0.005 * speed,
        0.005 * speed,
        0.05,
        0.05,
        0.05,
        0.005,
        0.005,
    ];
    let mut matrix = [[0.0; 8]; 8];
    for column in 0..8 {
        let mut ends = [[0.0; 8]; 2];
        for (end, sign) in ends.iter_mut().zip([-1.0, 1.0]) {
            let mut departure = [0.0; 8];
            departure[column] = sign * sizes[column];
            *end = rates(bench, trim, &departure);
        }
        for (row, line) in matrix.iter_mut().enumerate() {
            line[column] = (ends[1][row] - ends[0][row]) / (2.0 * sizes[column]);
        }
    }
    let block = |pick: [usize; 4]| Matrix4::from_fn(|i, j| matrix[pick[i]][pick[j]]);
    let mut found = symmetric(&block([0, 2, 4, 7]));
    found.extend(sideways(&block([1, 3, 5, 6])));
    found
}

/// Pairs with positive imaginary part, and real roots, each sorted by size.
fn split(matrix: &Matrix4<f64>) -> (Vec<(f64, f64)>, Vec<f64>) {
    if matrix.iter().any(|x| !x.is_finite()) {
        return (Vec::new(), Vec::new());
    }
    let (mut pairs, mut reals) = (Vec::new(), Vec::new());
    for root in &matrix.complex_eigenvalues() {
        let size = (root.re * root.re + root.im * root.im).sqrt();
        if root.im.abs() <= 1e-7 * size.max(1e-6) {
            reals.push(root.re);
        } else if root.im > 0.0 {
            pairs.push((root.re, root.im));
        }
    }
    pairs.sort_by(|a, b| (b.0 * b.0 + b.1 * b.1).total_cmp(&(a.0 * a.0 + a.1 * a.1)));
    reals.sort_by(|a, b| b.abs().total_cmp(&a.abs()));
    (pairs, reals)
}

fn symmetric(matrix: &Matrix4<f64>) -> Vec<Mode> {
    let (pairs, reals) = split(matrix);
    let mut found = Vec::new();
    match pairs.as_slice() {
        [fast, slow] => {
            found.push(Mode::of(ModeKind::ShortPeriod, fast.0, fast.1));
            found.push(Mode::of(ModeKind::Phugoid, slow.0, slow.1));
        }
        [one] => {
            // Two real roots that are faster than the pair are the short period.
            let size = (one.0 * one.0 + one.1 * one.1).sqrt();
            let slow = reals.iter().all(|r| r.abs() > size);
            let kind = if slow {
                ModeKind::Phugoid
            } else {
                ModeKind::ShortPeriod
            };
            found.push(Mode::of(kind, one.0, one.1));
        }
        _ => {}
    }
    found.extend((reals.iter()).map(|r| Mode::of(ModeKind::PitchSubsidence, *r, 0.0)));
    found
}

fn sideways(matrix: &Matrix4<f64>) -> Vec<Mode> {
    let (pairs, reals) = split(matrix);
    let mut found = Vec::new();
    if let Some(fast) = pairs.first() {
        found.push(Mode::of(ModeKind::DutchRoll, fast.0, fast.1));
    }
    if let Some(slow) = pairs.get(1) {
        found.push(Mode::of(ModeKind::LateralPhugoid, slow.0, slow.1));
    }
    for (k, root) in reals.iter().enumerate() {
        let kind = if k == 0 {
            ModeKind::Roll
        } else {
            ModeKind::Spiral
        };
        found.push(Mode::of(kind, *root, 0.0));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use larkfield_proof::{Chapter, Checks};

    /// The light aeroplane of Nelson's worked examples (a Navion at 176 ft/s
    /// at sea level): its matrices of derivatives in, its roots out.
    #[test]
    fn a_published_aeroplane_has_its_published_modes() {
        let mut checks = Checks::new(
            Chapter::Modes,
            "Modes of a published light aeroplane",
            "R. C. Nelson, Flight Stability and Automatic Control, 2nd edition, 1998, worked \
             examples of chapters 4 and 5; derivatives and roots from memory",
        );
        let root = |re: f64, im: f64| {
            let size = f64::hypot(re, im);
            (2.0 * core::f64::consts::PI / im, -re / size)
        };
        // u, w in ft/s, q in rad/s, theta in rad.
        #[rustfmt::skip]
        let symmetric = symmetric(&Matrix4::new(
            -0.045, 0.036, 0.0, -32.2,
            -0.369, -2.02, 176.0, 0.0,
            0.0019, -0.0396, -2.948, 0.0,
            0.0, 0.0, 1.0, 0.0,
        ));
        // Sideslip in rad in place of v: the roots are the same.
        #[rustfmt::skip]
        let sideways = sideways(&Matrix4::new(
            -0.254, 0.0, -1.0, 0.182,
            -16.02, -8.40, 2.19, 0.0,
            4.488, -0.350, -0.760, 0.0,
            0.0, 1.0, 0.0, 0.0,
        ));
        let all: Vec<Mode> = symmetric.into_iter().chain(sideways).collect();
        let find = |kind: ModeKind| {
            let mut of_kind = all.iter().filter(|m| m.kind == kind);
            let found = of_kind.next().copied();
            assert!(of_kind.next().is_none(), "two of {kind:?}");
            found
        };
        for (kind, re, im) in [
            (ModeKind::ShortPeriod, -2.5, 2.59),
            (ModeKind::Phugoid, -0.0171, 0.213),
            (ModeKind::DutchRoll, -0.487, 2.335),
        ] {
            let (period_s, damping) = root(re, im);
            let mode = find(kind);
            let ours =
                |of: fn(&Mode) -> Option<f64>| mode.as_ref().and_then(of).unwrap_or(f64::NAN);
            // As many figures as the roots are remembered with.
            let what = format!("{kind:?}: period, s");
            checks.share(&what, ours(|m| m.period_s), period_s, 0.01);
            let what = format!("{kind:?}: damping ratio");
            checks.share(&what, ours(|m| m.damping_ratio), damping, 0.01);
        }
        for (kind, re) in [(ModeKind::Roll, -8.435), (ModeKind::Spiral, -0.008_77)] {
            let half_s = core::f64::consts::LN_2 / -re;
            let ours = find(kind).and_then(|m| m.time_to_half_s);
            let what = format!("{kind:?}: time to half, s");
            checks.share(&what, ours.unwrap_or(f64::NAN), half_s, 0.02);
        }
        checks.finish();
    }
}
