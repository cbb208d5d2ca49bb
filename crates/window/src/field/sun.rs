//! The sun: the light that comes from it, and the place in the sky where a plane
//! is lost from sight.

use bevy::prelude::*;
use glam::DVec3;

use super::solid::painted;
use super::{FieldToShow, OfField, SKY};
use crate::plane::Faces;

/// Half of its angle in the sky, which is 0.53 degrees wide (astronomical
/// handbooks; from memory).
const DISK_RAD: f64 = 0.265 * std::f64::consts::PI / 180.0;
/// The glare around it in which nothing small is seen (estimated, no source).
const GLARE_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;
/// Drawn this far away, behind everything.
const AWAY_M: f64 = 2800.0;
/// So much of the glare is left towards its edge.
const RINGS: u32 = 10;
const WHITE: [f32; 3] = [1.0, 0.99, 0.94];

/// The disk with its glare.
#[derive(Component)]
pub struct Disk;

/// Aims the light and puts the disk where it comes from.
pub fn shine(
    mut commands: Commands,
    to_show: Res<FieldToShow>,
    mut lights: Query<&mut Transform, With<DirectionalLight>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let sunlight = to_show.sunlight();
    let upright = if sunlight.y < -0.99 { Vec3::X } else { Vec3::Y };
    for mut light in &mut lights {
        light.look_to(sunlight, upright);
    }
    let material = StandardMaterial {
        fog_enabled: false,
        ..painted()
    };
    commands.spawn((
        OfField,
        Disk,
        Mesh3d(meshes.add(disk(-sunlight.as_dvec3()).mesh())),
        MeshMaterial3d(materials.add(material)),
        Transform::default(),
    ));
}

/// It stands as far away from wherever one looks.
pub fn follow(
    eyes: Query<&Transform, (With<Camera3d>, Without<Disk>)>,
    mut disks: Query<&mut Transform, With<Disk>>,
) {
    for eye in &eyes {
        for mut disk in &mut disks {
            disk.translation = eye.translation;
        }
    }
}

/// White in the middle, the sky's colour at the edge of the glare.
fn disk(toward_sun: DVec3) -> Faces {
    const CORNERS: u32 = 32;
    let right = toward_sun.any_orthonormal_vector();
    let up = toward_sun.cross(right);
    let point = |angle_rad: f64, corner: u32| {
        let round = f64::from(corner) * std::f64::consts::TAU / f64::from(CORNERS);
        let aside = right * round.cos() + up * round.sin();
        (toward_sun + aside * angle_rad.tan()) * AWAY_M
    };
    let ring_rad = |ring: u32| {
        let share = f64::from(ring) / f64::from(RINGS);
        DISK_RAD + (GLARE_RAD - DISK_RAD) * share * share
    };
    let sky = SKY.to_linear();
    let mut faces = Faces::default();
    for corner in 0..CORNERS {
        let rim = [point(DISK_RAD, corner), point(DISK_RAD, corner + 1)];
        let colour = [WHITE[0], WHITE[1], WHITE[2], 1.0];
        faces.triangle([toward_sun * AWAY_M, rim[0], rim[1]], colour);
        for ring in 0..RINGS {
            let left = 1.0 - (ring + 1) as f32 / (RINGS + 1) as f32;
            let glare = 0.85 * left * left;
            let mix = |white: f32, sky: f32| sky + (white - sky) * glare;
            let colour = [
                mix(WHITE[0], sky.red),
                mix(WHITE[1], sky.green),
                mix(WHITE[2], sky.blue),
                1.0,
            ];
            let [inner, outer] = [ring_rad(ring), ring_rad(ring + 1)];
            let corners = [
                point(inner, corner),
                point(inner, corner + 1),
                point(outer, corner + 1),
                point(outer, corner),
            ];
            faces.quad_facing(corners, -toward_sun, colour);
        }
    }
    faces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_disk_stands_where_the_light_comes_from_and_is_as_wide_as_the_sun() {
        let toward_sun = DVec3::new(-0.6, 0.64, 0.48);
        let faces = disk(toward_sun);
        let angles = faces.corners_m().iter().map(|corner| {
            let corner = DVec3::from(corner.map(f64::from));
            corner.angle_between(toward_sun).to_degrees()
        });
        let widest = angles.clone().fold(0.0, f64::max);
        assert!((widest - 5.0).abs() < 0.01, "{widest}");
        // The rim of the disk itself: the smallest angle but the middle's.
        let rim = angles.filter(|angle| *angle > 0.01).fold(90.0, f64::min);
        assert!((rim - 0.265).abs() < 0.005, "{rim}");
    }
}
