//! The field as it is seen from its edge: drawn from the field file, no
//! pictures needed.

mod fence;
mod ground;
mod people;
mod solid;
mod sun;
mod trees;
mod windsock;

use std::sync::Arc;

use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::light::GlobalAmbientLight;
use bevy::pbr::{DistanceFog, FogFalloff};
use bevy::prelude::*;
use glam::DVec3;
use larkfield_lesson::{Field, PersonBody};
use larkfield_weather::Wind;

use solid::{SKY_LIGHT, SKY_TINT, SUN_LUX};
pub use solid::{ball, tube};

use crate::seen::place;
use crate::steps::Steps;

/// Which field to show; whoever replaces it changes what is seen.
#[derive(Resource)]
pub struct FieldToShow {
    /// The place.
    pub field: Field,
    /// Everybody on it but the pilot whose eyes look.
    pub people: Vec<PersonBody>,
    /// The air, for the windsock.
    pub wind: Arc<Wind>,
    /// The pilot's eyes.
    pub eyes_m: Vec3,
    /// Where the thrower stands.
    pub thrower_m: Vec3,
    /// Where the launch goes.
    pub ahead: Vec3,
}

impl FieldToShow {
    /// Unit vector in which its light goes.
    pub fn sunlight(&self) -> Vec3 {
        place(DVec3::from(self.field.sun.rays()))
    }
}

/// Everything that belongs to the field in view.
#[derive(Component)]
pub struct OfField;

/// Haze and the sky behind it.
pub const SKY: Color = Color::srgb(0.68, 0.80, 0.91);
/// A clear day: contrast falls to 5 % in this distance.
const VISIBILITY_M: f32 = 3500.0;

/// Draws the field.
pub struct FieldPlugin;

impl Plugin for FieldPlugin {
    fn build(&self, app: &mut App) {
        app.insert_resource(ClearColor(SKY))
            .insert_resource(GlobalAmbientLight {
                color: Color::linear_rgb(SKY_TINT[0], SKY_TINT[1], SKY_TINT[2]),
                brightness: SKY_LIGHT,
                ..default()
            })
            .add_systems(Startup, light)
            .add_systems(
                Update,
                (
                    clear,
                    (
                        ground::lay,
                        trees::plant,
                        fence::put_up,
                        people::stand,
                        windsock::raise,
                        sun::shine,
                    ),
                )
                    .chain()
                    .run_if(resource_exists_and_changed::<FieldToShow>)
                    .in_set(Steps::Draw),
            )
            .add_systems(
                Update,
                (
                    windsock::swing,
                    people::reach,
                    ground::thin_out,
                    sun::follow,
                )
                    .in_set(Steps::Draw),
            );
    }
}

fn light(mut commands: Commands) {
    commands.spawn((
        DirectionalLight {
            illuminance: SUN_LUX,
            shadow_maps_enabled: false,
            ..default()
        },
        Transform::default(),
    ));
    commands.spawn((
        Camera3d::default(),
        // Colours stay what the files say; there is no glare to tame.
        Tonemapping::None,
        Transform::default(),
        DistanceFog {
            color: SKY,
            falloff: FogFalloff::from_visibility(VISIBILITY_M),
            ..default()
        },
    ));
}

fn clear(mut commands: Commands, old: Query<Entity, With<OfField>>) {
    for entity in &old {
        commands.entity(entity).despawn();
    }
}
