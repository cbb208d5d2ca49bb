//! The arm that throws: what a propeller must not meet.

use glam::DVec3;

/// Height of a shoulder: 0.82 of a stature of 1.75 m (body proportions, from
/// memory).
pub(crate) const SHOULDER_HEIGHT_M: f64 = 1.43;
/// From the middle of the body to the shoulder.
pub(crate) const SHOULDER_BESIDE_M: f64 = 0.2;
/// Upper arm, and forearm to the middle of the fist (body proportions, from
/// memory: 0.19 and 0.20 of the stature).
const UPPER_ARM_M: f64 = 0.33;
const FOREARM_M: f64 = 0.35;

/// A thrower's arm, world axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm {
    /// Where it begins.
    pub shoulder_m: DVec3,
    /// Where it bends.
    pub elbow_m: DVec3,
    /// Middle of the fist.
    pub hand_m: DVec3,
}

impl Arm {
    /// A hand is about this big around the grip point.
    pub const HAND_RADIUS_M: f64 = 0.05;
    /// Half the thickness of a forearm.
    pub const FOREARM_RADIUS_M: f64 = 0.04;

    /// An arm that reaches from a shoulder to a hand, the elbow hanging; straight
    /// when the hand is farther away than the arm is long (the body leans).
    pub fn reaching(shoulder_m: DVec3, hand_m: DVec3) -> Self {
        let to_hand_m = hand_m - shoulder_m;
        let distance_m = to_hand_m.length().max(1e-6);
        let along = to_hand_m / distance_m;
        let whole_m = UPPER_ARM_M + FOREARM_M;
        if distance_m >= whole_m {
            let elbow_m = shoulder_m + to_hand_m * (UPPER_ARM_M / whole_m);
            return Self {
                shoulder_m,
                elbow_m,
                hand_m,
            };
        }
        // Foot of the elbow on the line from shoulder to hand: two circles meet.
        let foot_m = (distance_m * distance_m + UPPER_ARM_M * UPPER_ARM_M - FOREARM_M * FOREARM_M)
            / (2.0 * distance_m);
        let foot_m = foot_m.clamp(-UPPER_ARM_M, UPPER_ARM_M);
        let bend_m = (UPPER_ARM_M * UPPER_ARM_M - foot_m * foot_m)
            .max(0.0)
            .sqrt();
        let mut hang = DVec3::Z - along * along.z;
        if hang.length() < 1e-6 {
            hang = DVec3::X;
        }
        Self {
            shoulder_m,
            elbow_m: shoulder_m + along * foot_m + hang.normalize() * bend_m,
            hand_m,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bones_keep_their_length() {
        let shoulder_m = DVec3::new(0.0, 0.0, -1.4);
        for hand_m in [
            DVec3::new(0.5, 0.0, -1.6),
            DVec3::new(0.2, 0.3, -1.1),
            DVec3::new(0.0, 0.0, -0.9),
        ] {
            let arm = Arm::reaching(shoulder_m, hand_m);
            assert!(((arm.elbow_m - shoulder_m).length() - UPPER_ARM_M).abs() < 1e-9);
            assert!(((arm.elbow_m - hand_m).length() - FOREARM_M).abs() < 1e-9);
        }
        let far = Arm::reaching(shoulder_m, DVec3::new(1.0, 0.0, -1.4));
        let bent = (far.elbow_m - shoulder_m).cross(far.hand_m - shoulder_m);
        assert!(bent.length() < 1e-12);
    }
}
