//! Shapes of one mesh each, and chance that is the same every time.

use bevy::camera::Exposure;
use bevy::prelude::*;
use glam::DVec3;
use larkfield_pilot::Noise;

use super::OfField;
use crate::plane::Faces;

/// Cloth, grass, chalk and leaves: nothing out there shines.
pub fn matt(reflectance: f32) -> StandardMaterial {
    StandardMaterial {
        perceptual_roughness: 0.95,
        reflectance,
        ..default()
    }
}

/// Illuminance of the sun, lux, as the picture is exposed for it.
pub const SUN_LUX: f32 = 3600.0;
/// Of the sky, and its colour.
pub const SKY_LIGHT: f32 = 420.0;
pub const SKY_TINT: [f32; 3] = [0.85, 0.92, 1.0];

/// Paint that has its light already, on both sides.
pub fn painted() -> StandardMaterial {
    StandardMaterial {
        unlit: true,
        cull_mode: None,
        ..default()
    }
}

/// Faces of the field that stay where they are, in the light that stays as it is.
/// Nothing out there shines, so that light does not hang on where one looks from.
pub fn sunlit(
    faces: Faces,
    sunlight: Vec3,
    meshes: &mut Assets<Mesh>,
    painted: &Handle<StandardMaterial>,
) -> impl Bundle + use<> {
    // The renderer's own exposure and diffuse law, so that what stays and what
    // moves look alike.
    let exposure = Exposure::default().exposure();
    let sun = SUN_LUX / std::f32::consts::PI * exposure;
    let sky = SKY_TINT.map(|tint| SKY_LIGHT * tint * exposure);
    let lit = faces.in_light(-sunlight, sun, sky);
    still(lit, meshes, painted)
}

/// Faces of the field that stay where they are.
pub fn still(
    faces: Faces,
    meshes: &mut Assets<Mesh>,
    material: &Handle<StandardMaterial>,
) -> impl Bundle + use<> {
    (
        OfField,
        Mesh3d(meshes.add(faces.mesh())),
        MeshMaterial3d(material.clone()),
        Transform::default(),
    )
}

/// Numbers that look random and come from a count: the same field looks the
/// same every time.
pub struct Chance {
    noise: Noise,
    taken: u32,
}

impl Chance {
    /// A sequence of its own for every seed.
    pub fn new(seed: u64) -> Self {
        Self {
            noise: Noise::new(seed, "what a field looks like"),
            taken: 0,
        }
    }

    /// From 0 to 1.
    pub fn share(&mut self) -> f64 {
        self.taken += 1;
        self.noise.uniform(self.taken)
    }

    /// Between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }
}

/// A tube around a line, with different radii at its ends.
pub fn tube(faces: &mut Faces, ends_m: [DVec3; 2], radii_m: [f64; 2], colour: [f32; 4]) {
    const CORNERS: u32 = 8;
    let [from, to] = ends_m;
    let axis = (to - from).normalize_or(DVec3::Y);
    let right = axis.any_orthonormal_vector();
    let up = axis.cross(right);
    let rim = |middle: DVec3, radius_m: f64, i: u32| {
        let angle = f64::from(i) * std::f64::consts::TAU / f64::from(CORNERS);
        middle + (right * angle.cos() + up * angle.sin()) * radius_m
    };
    for i in 0..CORNERS {
        let low = [rim(from, radii_m[0], i), rim(from, radii_m[0], i + 1)];
        let high = [rim(to, radii_m[1], i), rim(to, radii_m[1], i + 1)];
        let outward = (low[0] + high[1]) * 0.5 - (from + to) * 0.5;
        let outward = outward - axis * outward.dot(axis);
        faces.quad_facing([low[0], low[1], high[1], high[0]], outward, colour);
    }
}

/// A rough ball: rings of faces, squashed as asked.
pub fn ball(faces: &mut Faces, middle: DVec3, radii_m: DVec3, colour: [f32; 4]) {
    const RINGS: u32 = 7;
    const CORNERS: u32 = 12;
    let point = |ring: u32, i: u32| {
        let down = f64::from(ring) * std::f64::consts::PI / f64::from(RINGS);
        let round = f64::from(i) * std::f64::consts::TAU / f64::from(CORNERS);
        let unit = DVec3::new(
            down.sin() * round.cos(),
            down.cos(),
            down.sin() * round.sin(),
        );
        middle + unit * radii_m
    };
    for ring in 0..RINGS {
        for i in 0..CORNERS {
            let corners = [
                point(ring, i),
                point(ring, i + 1),
                point(ring + 1, i + 1),
                point(ring + 1, i),
            ];
            let outward = (corners[0] + corners[1] + corners[2] + corners[3]) * 0.25 - middle;
            faces.quad_facing(corners, outward, colour);
        }
    }
}
