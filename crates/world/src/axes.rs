//! The one place where world axes meet Bevy's axes.
//!
//! The model's world is north, east, down. Bevy and Rapier have y up; here x is
//! east, y is up and z is south, so both are right-handed and a map with north
//! away from the camera looks right. Body axes stay what they are (forward,
//! starboard, down): the rotation handed to Rapier takes body axes to Bevy's
//! world, and colliders are laid out in body axes.
//!
//! Rapier counts in f32. Everything crosses here and nowhere else, so the f64
//! state never passes through f32 unless a contact changed it.

use bevy_rapier3d::rapier::math::{Pose, Rotation, Vector};
use glam::{DQuat, DVec3};

/// Rotation from north-east-down axes to Bevy's axes: a third of a turn about
/// (1, 1, -1), which only permutes and flips components.
const NED_TO_BEVY: DQuat = DQuat::from_xyzw(0.5, 0.5, -0.5, 0.5);

/// A vector or a point from north-east-down axes to Bevy's axes.
pub fn to_bevy(ned: DVec3) -> Vector {
    Vector::new(ned.y as f32, -ned.z as f32, -ned.x as f32)
}

/// A vector or a point from Bevy's axes to north-east-down axes.
pub fn from_bevy(bevy: Vector) -> DVec3 {
    DVec3::new(-f64::from(bevy.z), f64::from(bevy.x), -f64::from(bevy.y))
}

/// An attitude (body to north-east-down) as a rotation from body axes to Bevy's world.
pub fn attitude_to_bevy(attitude: DQuat) -> Rotation {
    let turned = NED_TO_BEVY * attitude;
    Rotation::from_xyzw(
        turned.x as f32,
        turned.y as f32,
        turned.z as f32,
        turned.w as f32,
    )
}

/// A rotation from body axes to Bevy's world as an attitude (body to north-east-down).
pub fn attitude_from_bevy(rotation: Rotation) -> DQuat {
    let turned = DQuat::from_xyzw(
        f64::from(rotation.x),
        f64::from(rotation.y),
        f64::from(rotation.z),
        f64::from(rotation.w),
    );
    (NED_TO_BEVY.conjugate() * turned).normalize()
}

/// Position and attitude together.
pub fn pose_to_bevy(position_m: DVec3, attitude: DQuat) -> Pose {
    Pose::from_parts(to_bevy(position_m), attitude_to_bevy(attitude))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half a unit in the last place of f32 at one, doubled for the products.
    const ROUNDING: f64 = 1.2e-7;

    #[test]
    fn north_is_away_east_is_right_up_is_up() {
        assert_eq!(to_bevy(DVec3::X), Vector::new(0.0, 0.0, -1.0));
        assert_eq!(to_bevy(DVec3::Y), Vector::new(1.0, 0.0, 0.0));
        assert_eq!(to_bevy(DVec3::NEG_Z), Vector::new(0.0, 1.0, 0.0));
    }

    #[test]
    fn there_and_back_is_the_same() {
        let ned = DVec3::new(1.5, -2.25, 3.125);
        assert_eq!(from_bevy(to_bevy(ned)), ned);
        let attitude = DQuat::from_xyzw(0.1, -0.7, 0.3, 0.6).normalize();
        let back = attitude_from_bevy(attitude_to_bevy(attitude));
        assert!(
            attitude.dot(back).abs() > 1.0 - ROUNDING,
            "{attitude} {back}"
        );
    }

    #[test]
    fn rotating_then_converting_equals_converting_then_rotating() {
        let attitude = DQuat::from_xyzw(0.2, 0.5, -0.4, 0.7).normalize();
        for body in [DVec3::X, DVec3::Y, DVec3::Z] {
            let direct = to_bevy(attitude * body);
            let by_rapier = attitude_to_bevy(attitude) * body.as_vec3();
            let apart = f64::from((direct - by_rapier).length());
            assert!(apart < 4.0 * ROUNDING, "{direct} {by_rapier}");
        }
    }
}
