//! Puts the plane into the picture and moves it.

use bevy::prelude::*;
use glam::DVec3;
use larkfield_airframe::{Airframe, BreakPart};
use larkfield_world::contact::panel_part;

use super::body::{body_faces, gear_faces};
use super::faces::Faces;
use super::panel::{Flap, cut, turned};
use super::propeller::{BLUR_RAD_S, blade_faces, disk_faces};
use crate::seen::{Pose, Seen};
use crate::settings::Settings;
use crate::shadow::Casts;
use crate::steps::Steps;

/// Which plane to show; whoever replaces it changes what is seen.
#[derive(Resource)]
pub struct PlaneToShow {
    /// The plane.
    pub airframe: Airframe,
    /// Its balance point, airframe axes.
    pub balance_m: DVec3,
}

/// Draws the plane.
pub struct PlanePlugin;

impl Plugin for PlanePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(
            Update,
            (
                build.run_if(resource_exists_and_changed::<PlaneToShow>),
                (place_groups, turn_flaps, turn_propeller),
            )
                .chain()
                .in_set(Steps::Draw),
        );
    }
}

/// Everything that belongs to the plane in view.
#[derive(Component)]
struct OfPlane;

/// What stays together when something breaks; `None` is what always stays.
#[derive(Component, Clone, Copy)]
pub struct Group(pub Option<BreakPart>);

/// A flap on its hinge.
#[derive(Component)]
struct Hinged {
    control: usize,
    axis: DVec3,
}

/// How a propeller shows.
#[derive(Component, Clone, Copy, PartialEq)]
enum Turning {
    Blades,
    Disk,
}

/// The flat sheet of a group while it is drawn up.
struct Part {
    group: Option<BreakPart>,
    faces: Vec<Faces>,
    flaps: Vec<Flap>,
}

fn parts_of(airframe: &Airframe, balance_m: DVec3) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let mut add = |group: Option<BreakPart>, faces: Faces, flaps: Vec<Flap>| match parts
        .iter_mut()
        .find(|part| part.group == group)
    {
        Some(part) => {
            part.faces.push(faces);
            part.flaps.extend(flaps);
        }
        None => parts.push(Part {
            group,
            faces: vec![faces],
            flaps,
        }),
    };
    for (index, panel) in airframe.panels.iter().enumerate() {
        let cut = cut(panel, index, &airframe.controls, balance_m);
        add(Some(panel_part(panel)), cut.faces, cut.flaps);
    }
    for body in &airframe.bodies {
        add(None, body_faces(body, balance_m), Vec::new());
    }
    add(
        Some(BreakPart::Gear),
        gear_faces(airframe, balance_m),
        Vec::new(),
    );
    parts
}

fn build(
    mut commands: Commands,
    plane: Res<PlaneToShow>,
    old: Query<Entity, With<OfPlane>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    for entity in &old {
        commands.entity(entity).despawn();
    }
    let foam = materials.add(StandardMaterial {
        perceptual_roughness: 0.9,
        reflectance: 0.2,
        ..default()
    });
    let blur = materials.add(StandardMaterial {
        alpha_mode: AlphaMode::Blend,
        unlit: true,
        ..default()
    });
    let (airframe, balance_m) = (&plane.airframe, plane.balance_m);
    for part in parts_of(airframe, balance_m) {
        let group = Group(part.group);
        let mut casts = Casts::default();
        for faces in &part.faces {
            casts.add(faces.corners_m(), Vec3::ZERO);
        }
        for flap in &part.flaps {
            casts.add(flap.faces.corners_m(), flap.hinge_m.as_vec3());
        }
        let entity = commands
            .spawn((
                OfPlane,
                group,
                casts,
                Transform::default(),
                Visibility::default(),
            ))
            .id();
        for faces in part.faces.into_iter().filter(|faces| !faces.is_empty()) {
            commands.spawn((
                ChildOf(entity),
                Mesh3d(meshes.add(faces.mesh())),
                MeshMaterial3d(foam.clone()),
                Transform::default(),
            ));
        }
        for flap in part.flaps.into_iter().filter(|flap| !flap.faces.is_empty()) {
            commands.spawn((
                ChildOf(entity),
                Hinged {
                    control: flap.control,
                    axis: flap.axis,
                },
                Mesh3d(meshes.add(flap.faces.mesh())),
                MeshMaterial3d(foam.clone()),
                Transform::from_translation(flap.hinge_m.as_vec3()),
            ));
        }
    }
    if let Some(power) = &airframe.power {
        let hub = Transform::from_translation((power.hub_m - balance_m).as_vec3());
        let group = commands
            .spawn((
                OfPlane,
                Group(Some(BreakPart::Propeller)),
                Transform::default(),
                Visibility::default(),
            ))
            .id();
        for (turning, faces, material) in [
            (Turning::Blades, blade_faces(power), foam),
            (Turning::Disk, disk_faces(power), blur),
        ] {
            commands.spawn((
                ChildOf(group),
                turning,
                Axis(power.thrust_direction.as_vec3()),
                Mesh3d(meshes.add(faces.mesh())),
                MeshMaterial3d(material),
                hub,
            ));
        }
    }
}

/// What a propeller turns about.
#[derive(Component)]
struct Axis(Vec3);

fn place_groups(seen: Res<Seen>, mut groups: Query<(&Group, &mut Transform, &mut Visibility)>) {
    for (group, mut transform, mut visibility) in &mut groups {
        let (pose, shown) = pose_of(&seen, *group);
        *transform = Transform::from_translation(pose.place_m).with_rotation(pose.turn);
        visibility.set_if_neq(if shown {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
    }
}

/// Where a group is, and whether it is anywhere: what broke and has no mass of
/// its own is gone.
pub fn pose_of(seen: &Seen, group: Group) -> (Pose, bool) {
    let Some(part) = group.0 else {
        return (seen.plane, true);
    };
    match seen.loose.iter().find(|loose| loose.part == part) {
        Some(loose) => (loose.pose, true),
        None => (
            seen.plane,
            !(part == BreakPart::Propeller && seen.broken.contains(&part)),
        ),
    }
}

fn turn_flaps(seen: Res<Seen>, mut flaps: Query<(&Hinged, &mut Transform)>) {
    for (hinged, mut transform) in &mut flaps {
        let deflection_rad = seen
            .deflections_rad
            .get(hinged.control)
            .copied()
            .unwrap_or(0.0);
        transform.rotation = turned(hinged.axis, deflection_rad);
    }
}

fn turn_propeller(
    (seen, settings): (Res<Seen>, Res<Settings>),
    mut turned_rad: Local<f32>,
    mut last_s: Local<f64>,
    mut shown: Query<(&Turning, &Axis, &mut Transform, &mut Visibility)>,
) {
    let passed_s = (seen.time_s - *last_s).clamp(0.0, 0.1);
    *last_s = seen.time_s;
    // Blades that flicker are motion that nobody needs.
    let slow_rad_s = if settings.reduced_motion {
        1.0
    } else {
        BLUR_RAD_S
    };
    let fast = seen.omega_rad_s.abs() > slow_rad_s;
    *turned_rad = (*turned_rad + (seen.omega_rad_s * passed_s) as f32) % std::f32::consts::TAU;
    for (turning, axis, mut transform, mut visibility) in &mut shown {
        transform.rotation = Quat::from_axis_angle(axis.0, *turned_rad);
        visibility.set_if_neq(if fast == (*turning == Turning::Disk) {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
    }
}
