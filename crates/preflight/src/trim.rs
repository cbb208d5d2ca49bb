//! Longitudinal trim: angle of attack and pitch command that hold a path.

use crate::bench::{Bench, Condition, Sample};

/// Which path to hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Path {
    /// Lift carries the whole weight; force along the path is left over.
    LiftIsWeight,
    /// Straight climb or descent at the angle that force along the path asks for.
    Straight,
}

/// A trimmed condition.
#[derive(Debug, Clone, Copy)]
pub struct Trim {
    /// Speed, angle of attack, commands.
    pub condition: Condition,
    /// Loads there.
    pub sample: Sample,
    /// Force along the path over weight: sine of the climb angle on
    /// [`Path::Straight`], excess thrust over weight otherwise.
    pub excess: f64,
}

impl Trim {
    /// Pitch command, -1 to 1 within travel.
    #[must_use]
    pub fn pitch(&self) -> f64 {
        self.condition.controls.pitch
    }

    /// Vertical speed if the excess went into climb at this speed.
    #[must_use]
    pub fn climb_m_s(&self) -> f64 {
        self.excess.clamp(-1.0, 1.0) * self.condition.speed_m_s
    }
}

/// Where to start looking.
#[derive(Debug, Clone, Copy)]
pub struct Guess {
    /// Angle of attack.
    pub alpha_rad: f64,
    /// Pitch command.
    pub pitch: f64,
}

impl Default for Guess {
    fn default() -> Self {
        Self {
            alpha_rad: 0.07,
            pitch: 0.0,
        }
    }
}

impl From<&Trim> for Guess {
    fn from(trim: &Trim) -> Self {
        Self {
            alpha_rad: trim.condition.alpha_rad,
            pitch: trim.pitch(),
        }
    }
}

/// Share of weight and of weight times chord that may be left unbalanced.
const TOLERANCE: f64 = 3e-4;
/// Largest share of full travel that is tried.
const WIDEST_COMMAND: f64 = 2.0;

/// Trims at a speed and throttle; `None` when nothing within the widest
/// command and below the stall balances.
///
/// Newton's method in two unknowns, its matrix kept up with Broyden's rule so
/// that a step costs one look at the air.
#[must_use]
pub fn trim(
    bench: &mut Bench<'_>,
    chord_m: f64,
    speed_m_s: f64,
    throttle: f64,
    path: Path,
    guess: Guess,
) -> Option<Trim> {
    let weight_n = bench.weight_n();
    let mut look = |x: [f64; 2]| -> (Condition, Sample, [f64; 2]) {
        let condition = Condition::straight(speed_m_s, x[0], x[1], throttle);
        let sample = bench.sample(&condition);
        let sine = (sample.along_n / weight_n).clamp(-0.99, 0.99);
        let carried = match path {
            Path::LiftIsWeight => 1.0,
            Path::Straight => (1.0 - sine * sine).sqrt(),
        };
        let left = [
            sample.lift_n / weight_n - carried,
            sample.moment_n_m.y / (weight_n * chord_m),
        ];
        (condition, sample, left)
    };
    let mut x = [guess.alpha_rad, guess.pitch];
    let (mut condition, mut sample, mut left) = look(x);
    let mut matrix = [[0.0; 2]; 2];
    let mut fresh = false;
    for round in 0..24 {
        if left[0].abs() < TOLERANCE && left[1].abs() < TOLERANCE {
            let below_stall = sample.stalled < 0.6;
            return below_stall.then_some(Trim {
                condition,
                sample,
                excess: sample.along_n / weight_n,
            });
        }
        if round % 8 == 0 {
            for (k, step) in [0.01, 0.1].into_iter().enumerate() {
                let mut moved = x;
                moved[k] += step;
                let (_, _, there) = look(moved);
                for row in 0..2 {
                    matrix[row][k] = (there[row] - left[row]) / step;
                }
            }
            fresh = true;
        }
        let [[a, b], [c, d]] = matrix;
        let determinant = a * d - b * c;
        if !(determinant.abs() > 1e-9) {
            if fresh {
                return None;
            }
            continue;
        }
        let mut step = [
            -(d * left[0] - b * left[1]) / determinant,
            -(a * left[1] - c * left[0]) / determinant,
        ];
        let shrink = (0.06 / step[0].abs()).min(0.6 / step[1].abs()).min(1.0);
        step[0] *= shrink;
        step[1] *= shrink;
        let next = [
            (x[0] + step[0]).clamp(-0.5, 0.6),
            (x[1] + step[1]).clamp(-WIDEST_COMMAND, WIDEST_COMMAND),
        ];
        let moved = [next[0] - x[0], next[1] - x[1]];
        let length = moved[0] * moved[0] + moved[1] * moved[1];
        if !(length > 1e-16) {
            return None;
        }
        x = next;
        let before = left;
        (condition, sample, left) = look(x);
        if !(left[0].is_finite() && left[1].is_finite()) {
            return None;
        }
        for row in 0..2 {
            let predicted = matrix[row][0] * moved[0] + matrix[row][1] * moved[1];
            let missed = (left[row] - before[row] - predicted) / length;
            matrix[row][0] += missed * moved[0];
            matrix[row][1] += missed * moved[1];
        }
        fresh = false;
    }
    None
}

/// The most lift that trimmed flight has, power off.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Stall {
    /// Speed at which that lift carries the weight.
    pub speed_m_s: f64,
    /// Angle of attack there.
    pub alpha_rad: f64,
    /// Lift coefficient there, on the reference area given.
    pub lift_coefficient: f64,
    /// Pitch command there.
    pub pitch: f64,
    /// Full up elevator is reached before the wing's own limit.
    pub elevator_limited: bool,
}

/// Stall speed in straight flight with the motor off: angle of attack is
/// raised by degrees with the pitch command that trims, until lift falls or
/// the stick is at its stop. `guess_m_s` near the answer saves half the work.
#[must_use]
pub fn stall(bench: &mut Bench<'_>, area_m2: f64, guess_m_s: Option<f64>) -> Option<Stall> {
    let density = bench.model().air().density_kg_m3;
    let mut speed = guess_m_s.unwrap_or(6.0);
    let mut best = None;
    // Coefficients depend a little on speed: once more at the speed found.
    for _ in 0..if guess_m_s.is_some() { 1 } else { 2 } {
        let found = stall_at(bench, area_m2, speed)?;
        speed = (2.0 * bench.weight_n() / (density * area_m2 * found.lift_coefficient)).sqrt();
        if !(speed > 0.0 && speed.is_finite()) {
            return None;
        }
        best = Some(Stall {
            speed_m_s: speed,
            ..found
        });
    }
    bench.calm();
    best
}

fn stall_at(bench: &mut Bench<'_>, area_m2: f64, speed: f64) -> Option<Stall> {
    bench.calm();
    let force = 0.5 * bench.model().air().density_kg_m3 * speed * speed * area_m2;
    let mut pitch = 0.0_f64;
    // Moment for a full command; kept from one angle to the next.
    let mut slope: Option<f64> = None;
    let mut best: Option<Stall> = None;
    let mut falling = 0;
    for degrees in 2..=25 {
        let alpha_rad = f64::from(degrees).to_radians();
        let mut look = |p: f64| bench.sample(&Condition::straight(speed, alpha_rad, p, 0.0));
        let mut sample = look(pitch);
        let mut needed = pitch;
        for _ in 0..6 {
            let moment = sample.moment_n_m.y;
            let gain = match slope {
                Some(s) => s,
                None => (look(pitch + 0.05).moment_n_m.y - moment) / 0.05,
            };
            slope = Some(gain);
            if !(gain.abs() > 1e-9) {
                break;
            }
            needed = pitch - moment / gain;
            let next = needed.clamp(-1.0, 1.0);
            let change = next - pitch;
            if change.abs() < 0.01 {
                break;
            }
            sample = look(next);
            if change.abs() > 0.1 {
                slope = Some((sample.moment_n_m.y - moment) / change);
            }
            pitch = next;
        }
        let lift_coefficient = sample.lift_n / force;
        if needed > 1.01
            && let Some(before) = best
        {
            // The stop is met somewhere within this degree.
            let share = ((1.0 - before.pitch) / (needed - before.pitch)).clamp(0.0, 1.0);
            let angle = before.alpha_rad + share * (alpha_rad - before.alpha_rad);
            let lift = before.lift_coefficient
                + share * (lift_coefficient - before.lift_coefficient).max(0.0);
            return Some(Stall {
                alpha_rad: angle,
                lift_coefficient: lift,
                pitch: 1.0,
                elevator_limited: true,
                ..before
            });
        }
        if lift_coefficient > 0.0 && best.is_none_or(|b| lift_coefficient > b.lift_coefficient) {
            falling = 0;
            best = Some(Stall {
                speed_m_s: speed,
                alpha_rad,
                lift_coefficient,
                pitch,
                elevator_limited: false,
            });
        } else {
            falling += 1;
            if falling == 3 {
                break;
            }
        }
    }
    best
}
