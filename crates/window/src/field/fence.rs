//! Fences of the field file: posts and two rails.

use bevy::prelude::*;
use glam::DVec3;
use larkfield_lesson::Fence;

use super::FieldToShow;
use super::solid::{painted, sunlit, tube};
use crate::plane::Faces;
use crate::seen::place;

/// Posts stand this far apart at most (common practice, no source).
const POST_EVERY_M: f64 = 2.5;
const WOOD: [f32; 4] = [0.22, 0.17, 0.12, 1.0];

/// Puts them up.
pub fn put_up(
    mut commands: Commands,
    to_show: Res<FieldToShow>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let mut faces = Faces::default();
    for fence in &to_show.field.fences {
        draw(&mut faces, fence);
    }
    if !faces.is_empty() {
        let paint = materials.add(painted());
        commands.spawn(sunlit(faces, to_show.sunlight(), &mut meshes, &paint));
    }
}

fn draw(faces: &mut Faces, fence: &Fence) {
    let (sin, cos) = fence.direction_rad.sin_cos();
    let at = |along_m: f64, up_m: f64| {
        let north_m = fence.north_m + along_m * cos;
        let east_m = fence.east_m + along_m * sin;
        place(DVec3::new(north_m, east_m, -up_m)).as_dvec3()
    };
    let half_m = 0.5 * fence.length_m;
    for share in [0.45, 0.9] {
        let up_m = share * fence.height_m;
        tube(
            faces,
            [at(-half_m, up_m), at(half_m, up_m)],
            [0.03; 2],
            WOOD,
        );
    }
    let gaps = (fence.length_m / POST_EVERY_M).ceil().max(1.0);
    for post in 0..=gaps as u32 {
        let along_m = -half_m + fence.length_m * f64::from(post) / gaps;
        let ends = [at(along_m, 0.0), at(along_m, fence.height_m)];
        tube(faces, ends, [0.05, 0.045], WOOD);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fence_reaches_from_end_to_end_and_to_its_height() {
        let mut faces = Faces::default();
        draw(
            &mut faces,
            &Fence {
                north_m: 10.0,
                east_m: -20.0,
                direction_rad: std::f64::consts::FRAC_PI_2,
                length_m: 30.0,
                height_m: 1.2,
            },
        );
        let (mut low, mut high) = (Vec3::MAX, Vec3::MIN);
        for corner in faces.corners_m() {
            low = low.min(Vec3::from(*corner));
            high = high.max(Vec3::from(*corner));
        }
        // The renderer has east to the right, north away, up above: the fence runs
        // east and west about 20 m west and 10 m north.
        assert!(
            (low.x + 35.0).abs() < 0.1 && (high.x + 5.0).abs() < 0.1,
            "{low} {high}"
        );
        assert!((low.z + 10.0).abs() < 0.1 && (high.z + 10.0).abs() < 0.1);
        assert!(low.y.abs() < 0.06 && (high.y - 1.2).abs() < 0.06);
    }
}
