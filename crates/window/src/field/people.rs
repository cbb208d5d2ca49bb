//! People as they stand, and the arm that throws.

use bevy::prelude::*;
use glam::DVec3;
use larkfield_lesson::PersonBody;
use larkfield_pilot::Arm;
use larkfield_recording::Person;

use super::solid::{ball, matt, painted, still, sunlit, tube};
use super::{FieldToShow, OfField};
use crate::plane::Faces;
use crate::seen::{Seen, place};
use crate::shadow::{on_ground, shade};

const SKIN: [f32; 4] = [0.48, 0.27, 0.17, 1.0];
const TROUSERS: [f32; 4] = [0.05, 0.055, 0.08, 1.0];

/// Coats: the thrower's is the lightest, the bystanders' the dullest.
fn coat(person: Person) -> [f32; 4] {
    match person {
        Person::Thrower => [0.55, 0.30, 0.03, 1.0],
        Person::Pilot => [0.10, 0.16, 0.38, 1.0],
        Person::Helper => [0.55, 0.52, 0.40, 1.0],
        Person::Bystander => [0.30, 0.30, 0.32, 1.0],
    }
}

/// Half of an upper arm or of a forearm.
#[derive(Component, Clone, Copy)]
pub struct Limb {
    from: usize,
}

/// Puts everybody where they stand.
pub fn stand(
    mut commands: Commands,
    to_show: Res<FieldToShow>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let cloth = materials.add(matt(0.1));
    let paint = materials.add(painted());
    let shadow = materials.add(shade());
    let sunlight = to_show.sunlight();
    for body in &to_show.people {
        commands.spawn(sunlit(body_faces(body), sunlight, &mut meshes, &paint));
        commands.spawn(still(shadow_faces(body, sunlight), &mut meshes, &shadow));
    }
    let radius_m = Arm::FOREARM_RADIUS_M;
    for from in [0, 1] {
        let mut faces = Faces::default();
        let colour = if from == 0 {
            coat(Person::Thrower)
        } else {
            SKIN
        };
        tube(
            &mut faces,
            [DVec3::ZERO, DVec3::Y],
            [radius_m, radius_m],
            colour,
        );
        commands.spawn((
            OfField,
            Limb { from },
            Mesh3d(meshes.add(faces.mesh())),
            MeshMaterial3d(cloth.clone()),
            Transform::default(),
            Visibility::Hidden,
        ));
    }
}

fn body_faces(body: &PersonBody) -> Faces {
    let mut faces = Faces::default();
    let foot = place(DVec3::new(body.north_m, body.east_m, 0.0)).as_dvec3();
    let tall_m = body.height_m;
    let up = |share: f64| foot + DVec3::Y * (share * tall_m);
    // Proportions of a standing body (from memory): hip 0.5, shoulder 0.82,
    // chin 0.87 of the stature.
    for side in [-0.09, 0.09] {
        let aside = DVec3::X * side;
        tube(
            &mut faces,
            [foot + aside, up(0.5) + aside],
            [0.07, 0.09],
            TROUSERS,
        );
    }
    tube(
        &mut faces,
        [up(0.47), up(0.82)],
        [0.17, 0.22],
        coat(body.person),
    );
    ball(
        &mut faces,
        up(0.82),
        DVec3::new(0.22, 0.06, 0.16),
        coat(body.person),
    );
    ball(&mut faces, up(0.93), DVec3::new(0.085, 0.12, 0.10), SKIN);
    faces
}

fn shadow_faces(body: &PersonBody, sunlight: Vec3) -> Faces {
    let mut faces = Faces::default();
    let foot = place(DVec3::new(body.north_m, body.east_m, 0.0));
    let head = on_ground(foot + Vec3::Y * body.height_m as f32, sunlight);
    let foot = Vec3::new(foot.x, head.y, foot.z);
    let side = (head - foot).cross(Vec3::Y).normalize_or_zero() * body.radius_m as f32 * 0.8;
    let corners = [
        foot - side,
        foot + side,
        head + side * 0.4,
        head - side * 0.4,
    ];
    faces.quad_facing(corners.map(|corner| corner.as_dvec3()), DVec3::Y, [1.0; 4]);
    faces
}

/// Moves the arm that carries the plane and follows through.
pub fn reach(seen: Res<Seen>, mut limbs: Query<(&Limb, &mut Transform, &mut Visibility)>) {
    for (limb, mut transform, mut visibility) in &mut limbs {
        let Some(joints_m) = seen.arm_m else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        let (from, to) = (joints_m[limb.from], joints_m[limb.from + 1]);
        let along = to - from;
        let length_m = along.length().max(1e-3);
        *transform = Transform::from_translation(from)
            .with_rotation(Quat::from_rotation_arc(Vec3::Y, along / length_m))
            .with_scale(Vec3::new(1.0, length_m, 1.0));
        visibility.set_if_neq(Visibility::Inherited);
    }
}
