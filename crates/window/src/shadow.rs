//! Shadows on the grass: by them a height is judged.
//!
//! The ground is flat, so the shadow of a corner is where its ray from the sun
//! meets the ground. That is exact, sharp at any distance, and costs a weak
//! machine next to nothing, none of which holds for shadow maps.

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::mesh::PrimitiveTopology;
use bevy::prelude::*;

use crate::field::FieldToShow;
use crate::plane::{Group, pose_of};
use crate::seen::Seen;
use crate::steps::Steps;

/// Shadows lie this high, above everything painted on the ground.
const LIFTED_M: f32 = 0.03;
/// A shadowed meadow.
const SHADE: Color = Color::srgb(0.10, 0.16, 0.07);

/// Triangles that stand in the sun, from the plane's balance point.
#[derive(Component, Debug, Clone, Default)]
pub struct Casts {
    corners_m: Vec<Vec3>,
}

impl Casts {
    /// Adds triangles, three corners each.
    pub fn add(&mut self, corners_m: &[[f32; 3]], from_m: Vec3) {
        let moved = corners_m.iter().map(|corner| Vec3::from(*corner) + from_m);
        self.corners_m.extend(moved);
    }
}

/// Where the ray of the sun through a point meets the ground.
pub fn on_ground(point_m: Vec3, sunlight: Vec3) -> Vec3 {
    let down = (point_m.y - LIFTED_M).max(0.0) / -sunlight.y;
    let at = point_m + sunlight * down;
    Vec3::new(at.x, LIFTED_M, at.z)
}

/// Paints the plane's shadow.
pub struct ShadowPlugin;

impl Plugin for ShadowPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, spread).add_systems(
            Update,
            paint
                .run_if(resource_exists::<FieldToShow>)
                .in_set(Steps::Draw),
        );
    }
}

#[derive(Component)]
struct PlaneShadow;

/// The paint of every shadow.
pub fn shade() -> StandardMaterial {
    StandardMaterial {
        base_color: SHADE,
        unlit: true,
        double_sided: true,
        cull_mode: None,
        ..default()
    }
}

fn spread(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let mesh = Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    )
    .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, vec![[0.0_f32; 3]; 3])
    .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, vec![[0.0_f32, 1.0, 0.0]; 3]);
    commands.spawn((
        PlaneShadow,
        Mesh3d(meshes.add(mesh)),
        MeshMaterial3d(materials.add(shade())),
        Transform::default(),
        // Its corners move every frame, and its bounds with them.
        NoFrustumCulling,
    ));
}

fn paint(
    seen: Res<Seen>,
    to_show: Res<FieldToShow>,
    casters: Query<(&Group, &Casts)>,
    shadow: Query<&Mesh3d, With<PlaneShadow>>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let sunlight = to_show.sunlight();
    let mut corners: Vec<[f32; 3]> = Vec::new();
    for (group, casts) in &casters {
        let (pose, shown) = pose_of(&seen, *group);
        if shown {
            let placed = casts.corners_m.iter().map(|corner| pose.point(*corner));
            corners.extend(placed.map(|point| on_ground(point, sunlight).to_array()));
        }
    }
    if corners.is_empty() {
        return;
    }
    for handle in &shadow {
        if let Some(mut mesh) = meshes.get_mut(&handle.0) {
            let up = vec![[0.0_f32, 1.0, 0.0]; corners.len()];
            mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, corners.clone());
            mesh.insert_attribute(Mesh::ATTRIBUTE_NORMAL, up);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shadow_lies_on_the_ray_and_on_the_ground() {
        let point_m = Vec3::new(3.0, 12.0, -40.0);
        // A sun in the south-west: its light goes east, down and away.
        let sunlight = Vec3::new(0.45, -0.66, -0.6).normalize();
        let shadow_m = on_ground(point_m, sunlight);
        assert_eq!(shadow_m.y, LIFTED_M);
        // Parallel vectors have no cross product.
        let off = (shadow_m - point_m).cross(sunlight).length();
        assert!(off < 1e-4, "{off}");
    }
}
