//! One axis: from what the device sends to how far the stick is pushed.

use crate::AxisCode;

/// A calibrated axis. Raw values are shares of what the device can send, -1 to
/// 1; which end is which falls out of their order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisMap {
    /// The axis.
    pub code: AxisCode,
    /// Raw value with the stick at the left, or toward you.
    pub from: f64,
    /// Raw value with the stick let go.
    pub centre: f64,
    /// Raw value with the stick at the right, or away from you.
    pub to: f64,
    /// How far the raw value wanders by itself while nothing moves, to each
    /// side.
    pub noise: f64,
}

/// Ends nearer together than this are no travel.
pub const LEAST_TRAVEL: f64 = 0.1;

impl AxisMap {
    /// An axis that uses all that the device can send and is perfectly quiet.
    pub fn full(code: AxisCode) -> Self {
        Self {
            code,
            from: -1.0,
            centre: 0.0,
            to: 1.0,
            noise: 0.0,
        }
    }

    /// The same with the ends changed over.
    #[must_use]
    pub fn reversed(self) -> Self {
        Self {
            from: self.to,
            to: self.from,
            ..self
        }
    }

    /// How far the stick is pushed, -1 (left, toward you) to 1 (right, away).
    /// Within its noise the centre is the centre, and so are the ends: each
    /// half runs straight from one to the other. `None` for a raw value that is
    /// not a number.
    pub fn position(&self, raw: f64) -> Option<f64> {
        if raw.is_nan() {
            return None;
        }
        // Along the direction from `from` to `to`.
        let sign = if self.to >= self.from { 1.0 } else { -1.0 };
        let away = (raw - self.centre) * sign;
        let half = if away >= 0.0 {
            (self.to - self.centre) * sign
        } else {
            (self.centre - self.from) * sign
        };
        let share = share_of(away.abs(), half, self.noise);
        Some(if away >= 0.0 { share } else { -share })
    }

    /// How far a lever that does not spring back is open, 0 at `from` to 1 at
    /// `to`. `None` for a raw value that is not a number.
    pub fn opening(&self, raw: f64) -> Option<f64> {
        if raw.is_nan() {
            return None;
        }
        let sign = if self.to >= self.from { 1.0 } else { -1.0 };
        let open = (raw - self.from) * sign;
        let travel = (self.to - self.from) * sign;
        Some(if open <= 0.0 {
            0.0
        } else {
            share_of(open, travel, self.noise)
        })
    }
}

/// Share of a travel, with its noise cut off at both ends.
fn share_of(way: f64, travel: f64, noise: f64) -> f64 {
    let usable = travel - 2.0 * noise;
    // Written so that NaN, too, is no travel.
    if usable > 0.0 {
        ((way - noise) / usable).clamp(0.0, 1.0)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: halves of 0.8 and 0.5, noise 0.02 at both ends of each.
    #[test]
    fn each_half_runs_straight_from_the_centre_to_its_end() {
        let axis = AxisMap {
            code: AxisCode(0),
            from: -0.7,
            centre: 0.1,
            to: 0.6,
            noise: 0.02,
        };
        for (raw, position) in [
            (0.1, 0.0),
            (0.12, 0.0),
            (0.08, 0.0),
            (0.6, 1.0),
            (0.58, 1.0),
            (-0.7, -1.0),
            (-0.68, -1.0),
            (5.0, 1.0),
            (-5.0, -1.0),
            // (0.35 - 0.1 - 0.02) / (0.5 - 0.04) = 0.23 / 0.46
            (0.35, 0.5),
            // (0.4 - 0.02) / (0.8 - 0.04) = 0.38 / 0.76
            (-0.3, -0.5),
        ] {
            let found = axis.position(raw).unwrap_or(f64::NAN);
            assert!((found - position).abs() < 1e-12, "{raw}: {found}");
            let other = AxisMap {
                from: -0.6,
                centre: -0.1,
                to: 0.7,
                ..axis
            };
            let mirrored = other.position(-raw).unwrap_or(f64::NAN);
            assert!((mirrored + position).abs() < 1e-12, "{raw}: {mirrored}");
        }
        let reversed = axis.reversed();
        assert_eq!(reversed.position(-0.7), Some(1.0));
        assert_eq!(reversed.position(0.6), Some(-1.0));
        assert_eq!(axis.position(f64::NAN), None);
        // (0.15 + 0.7 - 0.02) / (1.3 - 0.04) = 0.83 / 1.26
        let open = axis.opening(0.15).unwrap_or(f64::NAN);
        assert!((open - 0.83 / 1.26).abs() < 1e-12);
        assert_eq!(axis.opening(-0.69), Some(0.0));
        assert_eq!(axis.opening(0.59), Some(1.0));
        assert_eq!(reversed.opening(-0.7), Some(1.0));
    }

    #[test]
    fn the_last_step_of_a_coarse_device_is_reached() {
        // Eight bits end at 127/128 of what the number could be.
        let axis = AxisMap {
            from: -127.0 / 128.0,
            ..AxisMap::full(AxisCode(0))
        };
        assert_eq!(axis.position(-0.9921875), Some(-1.0));
    }
}
