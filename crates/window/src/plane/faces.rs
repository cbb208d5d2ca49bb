//! Coloured flat faces, and the mesh they make.

use bevy::asset::RenderAssetUsages;
use bevy::mesh::PrimitiveTopology;
use bevy::prelude::*;
use glam::DVec3;
use larkfield_airframe::Colour;

/// Triangles with one normal and one colour each.
#[derive(Debug, Clone, Default)]
pub struct Faces {
    positions: Vec<[f32; 3]>,
    normals: Vec<[f32; 3]>,
    colours: Vec<[f32; 4]>,
}

/// A colour as the renderer counts it.
pub fn linear(colour: Colour) -> [f32; 4] {
    LinearRgba::from(Color::srgb_u8(colour.red, colour.green, colour.blue)).to_f32_array()
}

impl Faces {
    /// Adds a triangle, seen from where its corners run anticlockwise.
    pub fn triangle(&mut self, corners_m: [DVec3; 3], colour: [f32; 4]) {
        let [a, b, c] = corners_m;
        self.triangle_lit(corners_m, (b - a).cross(c - a).normalize_or_zero(), colour);
    }

    /// A triangle that takes its light as if it faced another way: grass is as
    /// bright as the meadow it stands in.
    pub fn triangle_lit(&mut self, corners_m: [DVec3; 3], normal: DVec3, colour: [f32; 4]) {
        for corner_m in corners_m {
            self.positions.push(corner_m.as_vec3().to_array());
            self.normals.push(normal.as_vec3().to_array());
            self.colours.push(colour);
        }
    }

    /// Adds a quadrangle, seen from where its corners run anticlockwise.
    pub fn quad(&mut self, corners_m: [DVec3; 4], colour: [f32; 4]) {
        let [a, b, c, d] = corners_m;
        self.triangle([a, b, c], colour);
        self.triangle([a, c, d], colour);
    }

    /// Adds a quadrangle seen from the side to which `outward` points.
    pub fn quad_facing(&mut self, corners_m: [DVec3; 4], outward: DVec3, colour: [f32; 4]) {
        let [a, b, c, d] = corners_m;
        if (c - a).cross(d - b).dot(outward) >= 0.0 {
            self.quad([a, b, c, d], colour);
        } else {
            self.quad([d, c, b, a], colour);
        }
    }

    /// Adds a box between two corners.
    pub fn cuboid(&mut self, low_m: DVec3, high_m: DVec3, colour: [f32; 4]) {
        let corner = |x: bool, y: bool, z: bool| {
            let pick = |high: bool, low: f64, top: f64| if high { top } else { low };
            DVec3::new(
                pick(x, low_m.x, high_m.x),
                pick(y, low_m.y, high_m.y),
                pick(z, low_m.z, high_m.z),
            )
        };
        let square = [(false, false), (true, false), (true, true), (false, true)];
        for high in [false, true] {
            let sign = if high { 1.0 } else { -1.0 };
            self.quad_facing(
                square.map(|(a, b)| corner(high, a, b)),
                DVec3::X * sign,
                colour,
            );
            self.quad_facing(
                square.map(|(a, b)| corner(a, high, b)),
                DVec3::Y * sign,
                colour,
            );
            self.quad_facing(
                square.map(|(a, b)| corner(a, b, high)),
                DVec3::Z * sign,
                colour,
            );
        }
    }

    /// The same in the light of a sun and a sky that never change: for faces that
    /// never turn, worked out once and not for every pixel of every frame.
    /// `toward_sun` is a unit vector; both lights are multiples of the colour.
    pub fn in_light(mut self, toward_sun: Vec3, sun: f32, sky: [f32; 3]) -> Self {
        for (colour, normal) in self.colours.iter_mut().zip(&self.normals) {
            let direct = sun * Vec3::from(*normal).dot(toward_sun).max(0.0);
            for (channel, sky) in colour.iter_mut().zip(sky) {
                *channel *= direct + sky;
            }
        }
        self
    }

    /// The corners of all triangles, three each.
    pub fn corners_m(&self) -> &[[f32; 3]] {
        &self.positions
    }

    /// True when there is nothing to draw.
    pub fn is_empty(&self) -> bool {
        self.positions.is_empty()
    }

    /// The mesh.
    pub fn mesh(self) -> Mesh {
        Mesh::new(
            PrimitiveTopology::TriangleList,
            RenderAssetUsages::RENDER_WORLD,
        )
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, self.positions)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, self.normals)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, self.colours)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lambert's law: light falls with the cosine to the sun, and what looks away
    /// has the sky alone.
    #[test]
    fn light_falls_with_the_cosine() {
        let mut faces = Faces::default();
        faces.cuboid(DVec3::ZERO, DVec3::ONE, [1.0; 4]);
        let toward_sun = Vec3::new(0.6, 0.8, 0.0);
        let lit = faces.in_light(toward_sun, 2.0, [0.5; 3]);
        for (colour, normal) in lit.colours.iter().zip(&lit.normals) {
            let wanted = match normal {
                [x, _, _] if *x > 0.5 => 1.7,
                [_, y, _] if *y > 0.5 => 2.1,
                _ => 0.5,
            };
            assert!((colour[0] - wanted).abs() < 1e-6, "{colour:?} {normal:?}");
            assert_eq!(colour[3], 1.0);
        }
    }

    #[test]
    fn every_face_of_a_box_looks_outward() {
        let mut faces = Faces::default();
        faces.cuboid(
            DVec3::new(-1.0, -2.0, -3.0),
            DVec3::new(1.0, 2.0, 3.0),
            [1.0; 4],
        );
        // Six faces of two triangles of three corners.
        assert_eq!(faces.corners_m().len(), 36);
        for (corner, normal) in faces.positions.iter().zip(&faces.normals) {
            // The middle of the box is its origin.
            assert!(Vec3::from(*corner).dot(Vec3::from(*normal)) > 0.0);
        }
    }
}
