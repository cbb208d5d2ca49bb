//! A windsock that obeys the wind at its place.

use bevy::prelude::*;
use glam::DVec3;

use super::solid::{matt, painted, sunlit, tube};
use super::{FieldToShow, OfField};
use crate::plane::Faces;
use crate::seen::{Seen, place};

/// The mast.
const MAST_M: f64 = 4.0;
/// It stands this far from the edge of the strip.
const ASIDE_M: f64 = 6.0;
/// The sock.
const LENGTH_M: f64 = 1.8;
/// In this wind it hangs half way down: a light sock of a club field (common
/// practice, no source).
const HALF_M_S: f64 = 2.5;
/// It follows the wind as slowly as this.
const LAG_S: f32 = 0.6;

/// The sock, from the top of its mast, along its own x.
#[derive(Component)]
pub struct Sock {
    place_m: DVec3,
    blown_m_s: Vec3,
}

/// Where the mast stands: beside the strip, on the side away from the pilot,
/// where it is seen against the far field. North, east, down.
pub fn mast_m(to_show: &FieldToShow) -> DVec3 {
    let strip = &to_show.field.strip;
    let (sin, cos) = strip.heading_rad.sin_cos();
    let at = |side: f64| {
        let across_m = side * (0.5 * strip.width_m + ASIDE_M);
        DVec3::new(
            strip.north_m - across_m * sin,
            strip.east_m + across_m * cos,
            -MAST_M,
        )
    };
    let far = |side: f64| {
        let place_m = at(side);
        to_show.field.safety_line.distance_m(place_m.x, place_m.y)
    };
    if far(1.0) >= far(-1.0) {
        at(1.0)
    } else {
        at(-1.0)
    }
}

/// Raises it.
pub fn raise(
    mut commands: Commands,
    to_show: Res<FieldToShow>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let cloth = materials.add(matt(0.1));
    let paint = materials.add(painted());
    let top_m = mast_m(&to_show);
    let top = place(top_m).as_dvec3();
    let mut mast = Faces::default();
    let foot = DVec3::new(top.x, 0.0, top.z);
    tube(
        &mut mast,
        [foot, top],
        [0.04, 0.03],
        [0.75, 0.75, 0.75, 1.0],
    );
    commands.spawn(sunlit(mast, to_show.sunlight(), &mut meshes, &paint));
    let mut sock = Faces::default();
    const BANDS: u32 = 5;
    for band in 0..BANDS {
        let share = |i: u32| f64::from(i) / f64::from(BANDS);
        let radius_m = |i: u32| 0.24 - 0.12 * share(i);
        let colour = if band % 2 == 0 {
            [0.85, 0.25, 0.02, 1.0]
        } else {
            [0.9, 0.9, 0.88, 1.0]
        };
        let ends = [share(band), share(band + 1)].map(|s| DVec3::X * (s * LENGTH_M));
        tube(
            &mut sock,
            ends,
            [radius_m(band), radius_m(band + 1)],
            colour,
        );
    }
    commands.spawn((
        OfField,
        Sock {
            place_m: top_m,
            blown_m_s: Vec3::ZERO,
        },
        Mesh3d(meshes.add(sock.mesh())),
        MeshMaterial3d(cloth),
        Transform::from_translation(place(top_m)),
    ));
}

/// How a sock lies in a wind: downwind, and the lower the less there is of it.
/// Weight against a drag that grows with the square of the speed.
pub fn lies_along(wind_m_s: Vec3) -> Vec3 {
    let speed_m_s = wind_m_s.x.hypot(wind_m_s.z);
    let lift = (speed_m_s / HALF_M_S as f32).powi(2);
    Vec3::new(
        wind_m_s.x / speed_m_s.max(1e-3) * lift,
        -1.0,
        wind_m_s.z / speed_m_s.max(1e-3) * lift,
    )
    .normalize()
}

/// Lets it swing.
pub fn swing(
    seen: Res<Seen>,
    time: Res<Time>,
    to_show: Res<FieldToShow>,
    mut socks: Query<(&mut Sock, &mut Transform)>,
) {
    for (mut sock, mut transform) in &mut socks {
        let wind_m_s = place(to_show.wind.sample(sock.place_m, seen.time_s));
        let share = if sock.blown_m_s == Vec3::ZERO {
            1.0
        } else {
            1.0 - (-time.delta_secs() / LAG_S).exp()
        };
        let blown_m_s = sock.blown_m_s.lerp(wind_m_s, share);
        sock.blown_m_s = blown_m_s;
        transform.rotation = Quat::from_rotation_arc(Vec3::X, lies_along(blown_m_s));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sock_points_downwind_and_hangs_in_a_calm() {
        let calm = lies_along(Vec3::ZERO);
        assert!(calm.y < -0.999, "{calm}");
        let half = lies_along(Vec3::new(HALF_M_S as f32, 0.0, 0.0));
        assert!(
            (half.x - 0.5_f32.sqrt()).abs() < 1e-5 && half.x > 0.0,
            "{half}"
        );
        let strong = lies_along(Vec3::new(0.0, 0.0, -10.0));
        assert!(strong.z < -0.99, "{strong}");
    }
}
