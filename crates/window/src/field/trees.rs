//! Tree lines of the field file, and the hedges and woods far beyond the field
//! that every horizon has.

use bevy::prelude::*;
use glam::DVec3;

use super::FieldToShow;
use super::solid::{Chance, ball, painted, sunlit, tube};
use crate::plane::Faces;
use crate::seen::place;

const TRUNK: [f32; 4] = [0.07, 0.045, 0.03, 1.0];
const LEAVES: [f32; 3] = [0.045, 0.095, 0.030];
/// Woods around, far outside of every field; they bend no wind.
const WOODS_M: [f64; 2] = [420.0, 760.0];

/// Plants them.
pub fn plant(
    mut commands: Commands,
    to_show: Res<FieldToShow>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let paint = materials.add(painted());
    let mut faces = Faces::default();
    for (index, line) in to_show.field.tree_lines.iter().enumerate() {
        let mut chance = Chance::new(10 + index as u64);
        // Crowns about as wide as half the height touch each other.
        let every_m = 0.45 * line.height_m;
        let count = (line.length_m / every_m).ceil().clamp(1.0, 400.0);
        let [from, to] = line.ends_m();
        for tree in 0..count as u32 {
            let at = from.lerp(to, (f64::from(tree) + 0.5) / count);
            let aside = chance.between(-0.1, 0.1) * line.height_m;
            let foot = place(DVec3::new(at.x + aside, at.y + aside, 0.0)).as_dvec3();
            let height_m = line.height_m * chance.between(0.85, 1.0);
            tree_at(&mut faces, &mut chance, foot, height_m);
        }
    }
    woods(&mut faces);
    commands.spawn(sunlit(faces, to_show.sunlight(), &mut meshes, &paint));
}

fn tree_at(faces: &mut Faces, chance: &mut Chance, foot: DVec3, height_m: f64) {
    let crown_m = 0.28 * height_m;
    let middle = foot + DVec3::Y * (height_m - crown_m * 1.3);
    tube(
        faces,
        [foot, middle],
        [0.03 * height_m, 0.015 * height_m],
        TRUNK,
    );
    for _ in 0..4 {
        let shade = chance.between(0.75, 1.3) as f32;
        let leaves = [LEAVES[0] * shade, LEAVES[1] * shade, LEAVES[2] * shade, 1.0];
        let aside = DVec3::new(
            chance.between(-0.5, 0.5),
            chance.between(-0.7, 0.25),
            chance.between(-0.5, 0.5),
        ) * crown_m;
        ball(
            faces,
            middle + aside,
            DVec3::new(crown_m, crown_m * 1.05, crown_m),
            leaves,
        );
    }
}

/// A ragged band of woods in two distances.
fn woods(faces: &mut Faces) {
    let mut chance = Chance::new(3);
    for (ring, away_m) in WOODS_M.into_iter().enumerate() {
        const PIECES: u32 = 420;
        let shade = [0.9_f32, 1.15][ring];
        let mut height_m = 9.0;
        for piece in 0..PIECES {
            // Crowns of like age, one a little higher than the other.
            let next_m = chance.between(7.5, 12.5);
            // A gap now and then lets the horizon through.
            let open = chance.share() < 0.06;
            let at = |i: u32, up_m: f64| {
                let angle = f64::from(i) * std::f64::consts::TAU / f64::from(PIECES);
                DVec3::new(away_m * angle.cos(), up_m, away_m * angle.sin())
            };
            if !open {
                let light = shade * chance.between(0.9, 1.1) as f32;
                let colour = [LEAVES[0] * light, LEAVES[1] * light, LEAVES[2] * light, 1.0];
                let corners = [
                    at(piece, 0.0),
                    at(piece + 1, 0.0),
                    at(piece + 1, next_m),
                    at(piece, height_m),
                ];
                faces.quad_facing(corners, -at(piece, 0.0), colour);
            }
            height_m = next_m;
        }
    }
}
