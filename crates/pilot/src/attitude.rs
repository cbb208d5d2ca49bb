//! Euler angles and quaternions with the same bytes on every machine.
//!
//! Yaw, then pitch, then roll (z, y, x); body to world; world axes are north,
//! east, down. glam's own constructors call the system's trigonometry, which
//! differs between processors; these call `libm`.

use glam::{DQuat, DVec3};

/// Pi.
pub const PI: f64 = core::f64::consts::PI;

/// Quaternion from heading, pitch attitude and bank in radians
/// (Stevens, Lewis and Johnson, Aircraft Control and Simulation, section 1.3,
/// from memory).
pub fn from_euler(heading_rad: f64, pitch_rad: f64, bank_rad: f64) -> DQuat {
    let (sy, cy) = libm::sincos(0.5 * heading_rad);
    let (sp, cp) = libm::sincos(0.5 * pitch_rad);
    let (sr, cr) = libm::sincos(0.5 * bank_rad);
    DQuat::from_xyzw(
        sr * cp * cy - cr * sp * sy,
        cr * sp * cy + sr * cp * sy,
        cr * cp * sy - sr * sp * cy,
        cr * cp * cy + sr * sp * sy,
    )
}

/// The rotation by an angle about an axis, both in one vector.
pub fn rotation(turn_rad: DVec3) -> DQuat {
    let angle_rad = turn_rad.length();
    if angle_rad <= 0.0 {
        return DQuat::IDENTITY;
    }
    let (sine, cosine) = libm::sincos(0.5 * angle_rad);
    let axis = turn_rad * (sine / angle_rad);
    DQuat::from_xyzw(axis.x, axis.y, axis.z, cosine)
}

/// Angle and axis of a rotation in one vector, the shorter way round: the
/// opposite of [`rotation`].
pub fn turn_of(rotation: DQuat) -> DVec3 {
    let shorter = if rotation.w < 0.0 {
        -rotation
    } else {
        rotation
    };
    let sine = DVec3::new(shorter.x, shorter.y, shorter.z);
    let length = sine.length();
    if length < 1e-9 {
        return 2.0 * sine;
    }
    sine * (2.0 * libm::atan2(length, shorter.w) / length)
}

/// Heading, pitch attitude and bank in radians: heading and bank from -pi to
/// pi, pitch from -pi/2 to pi/2.
pub fn to_euler(attitude: DQuat) -> (f64, f64, f64) {
    let (x, y, z, w) = (attitude.x, attitude.y, attitude.z, attitude.w);
    let heading = libm::atan2(2.0 * (w * z + x * y), 1.0 - 2.0 * (y * y + z * z));
    let sine = (2.0 * (w * y - x * z)).clamp(-1.0, 1.0);
    let bank = libm::atan2(2.0 * (w * x + y * z), 1.0 - 2.0 * (x * x + y * y));
    (heading, libm::asin(sine), bank)
}

/// The same angle between -pi and pi.
pub fn wrap(angle_rad: f64) -> f64 {
    let turns = (angle_rad / (2.0 * PI) + 0.5).floor();
    angle_rad - turns * 2.0 * PI
}

/// Unit vector of a direction in world axes from its heading and its elevation
/// above the horizon.
pub fn direction(heading_rad: f64, elevation_rad: f64) -> DVec3 {
    let (sh, ch) = libm::sincos(heading_rad);
    let (se, ce) = libm::sincos(elevation_rad);
    DVec3::new(ch * ce, sh * ce, -se)
}

/// Body rates (roll, pitch, yaw) from the rates of the Euler angles.
pub fn body_rates(
    pitch_rad: f64,
    bank_rad: f64,
    heading_rate_rad_s: f64,
    pitch_rate_rad_s: f64,
    bank_rate_rad_s: f64,
) -> DVec3 {
    let (sp, cp) = libm::sincos(pitch_rad);
    let (sb, cb) = libm::sincos(bank_rad);
    DVec3::new(
        bank_rate_rad_s - heading_rate_rad_s * sp,
        pitch_rate_rad_s * cb + heading_rate_rad_s * cp * sb,
        -pitch_rate_rad_s * sb + heading_rate_rad_s * cp * cb,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_rotations_point_the_nose_and_the_wing_where_the_signs_say() {
        // Heading 90 degrees: the nose points east.
        let nose = from_euler(PI / 2.0, 0.0, 0.0) * DVec3::X;
        assert!((nose - DVec3::Y).length() < 1e-14);
        // Pitch 90 degrees: the nose points up, which is -z.
        let nose = from_euler(0.0, PI / 2.0, 0.0) * DVec3::X;
        assert!((nose + DVec3::Z).length() < 1e-14);
        // Bank 90 degrees right: the starboard wing points down, +z.
        let wing = from_euler(0.0, 0.0, PI / 2.0) * DVec3::Y;
        assert!((wing - DVec3::Z).length() < 1e-14);
    }

    #[test]
    fn angles_survive_the_round_trip() {
        for heading in [-3.0, -1.0, 0.0, 0.4, 2.9] {
            for pitch in [-1.4, -0.3, 0.0, 0.2, 1.4] {
                for bank in [-3.0, -0.5, 0.0, 0.7, 3.0] {
                    let (h, p, b) = to_euler(from_euler(heading, pitch, bank));
                    for (ours, wanted) in [(h, heading), (p, pitch), (b, bank)] {
                        assert!((ours - wanted).abs() < 1e-12, "{ours} {wanted}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_direction_of_a_level_nose_is_its_heading() {
        let nose = from_euler(0.7, 0.2, 0.5) * DVec3::X;
        assert!((nose - direction(0.7, 0.2)).length() < 1e-14);
    }

    #[test]
    fn body_rates_are_the_derivative_of_the_attitude() {
        // Central difference of the rotation against the closed form.
        let step = 1e-5;
        let at = |t: f64| from_euler(0.3 + 0.4 * t, 0.2 - 0.7 * t, -0.5 + 1.1 * t);
        let turned = at(-step).conjugate() * at(step);
        let seen = DVec3::new(turned.x, turned.y, turned.z) * (2.0 / (2.0 * step));
        let rates = body_rates(0.2, -0.5, 0.4, -0.7, 1.1);
        assert!((seen - rates).length() < 1e-8, "{seen} {rates}");
    }

    #[test]
    fn wrapping_keeps_the_angle_within_half_a_turn() {
        assert!((wrap(3.0 * PI - 0.1) - (PI - 0.1)).abs() < 1e-12);
        assert!((wrap(-PI - 0.1) - (PI - 0.1)).abs() < 1e-12);
        assert_eq!(wrap(0.25), 0.25);
    }
}
