//! Grass, strip and safety line.

use bevy::prelude::*;
use glam::DVec3;
use larkfield_recording::Person;

use super::FieldToShow;
use super::solid::{Chance, painted, sunlit};
use crate::plane::Faces;
use crate::seen::place;
use crate::settings::Settings;

/// The ground is drawn this far.
const REACH_M: f64 = 3000.0;
/// Blades of grass stand this far around the launch point.
const BLADES_M: f64 = 28.0;
const BLADES: u32 = 2500;
/// From here on grass is seen as tufts, when it is this high, to this distance.
const TUFTS_M: [f64; 2] = [18.0, 110.0];
const TUFTS: u32 = 3000;
const TUFT_BLADES: u32 = 5;
const LONG_GRASS_M: f64 = 0.1;
/// Patches of other green lie this far around it.
const PATCHES_M: f64 = 320.0;
const PATCHES: u32 = 1200;
/// A mower is about this wide (common practice, no source).
const MOWER_M: f64 = 1.9;

const GRASS: [f32; 4] = [0.115, 0.205, 0.052, 1.0];
/// Grass that stands long turns yellow at its tips.
const HAY: [f32; 4] = [0.160, 0.220, 0.070, 1.0];
const MOWN: [[f32; 4]; 2] = [[0.165, 0.285, 0.070, 1.0], [0.135, 0.250, 0.060, 1.0]];
const LINE: [f32; 4] = [0.85, 0.85, 0.80, 1.0];

/// Everything painted on the ground lies a little above what it lies on.
const STRIP_Y_M: f64 = 0.012;
const LINE_Y_M: f64 = 0.02;
const PATCH_Y_M: f64 = 0.006;

/// Lays the ground.
pub fn lay(
    mut commands: Commands,
    to_show: Res<FieldToShow>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let paint = materials.add(painted());
    let sunlight = to_show.sunlight();
    for faces in [
        meadow(),
        patches(),
        strip(&to_show),
        safety_line(&to_show),
        pilot_box(&to_show),
    ]
    .into_iter()
    .filter(|faces| !faces.is_empty())
    {
        commands.spawn(sunlit(faces, sunlight, &mut meshes, &paint));
    }
    for faces in [blades(&to_show), tufts(&to_show)] {
        if !faces.is_empty() {
            commands.spawn((Fine, sunlit(faces, sunlight, &mut meshes, &paint)));
        }
    }
}

/// What a weak machine does without.
#[derive(Component)]
pub struct Fine;

/// Leaves it out there.
pub fn thin_out(settings: Res<Settings>, mut fine: Query<&mut Visibility, With<Fine>>) {
    for mut visibility in &mut fine {
        visibility.set_if_neq(if settings.is_plain() {
            Visibility::Hidden
        } else {
            Visibility::Inherited
        });
    }
}

fn flat(faces: &mut Faces, corners_m: [DVec3; 4], colour: [f32; 4]) {
    faces.quad_facing(corners_m, DVec3::Y, colour);
}

fn meadow() -> Faces {
    let mut faces = Faces::default();
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    flat(
        &mut faces,
        corners.map(|(x, z)| DVec3::new(x, 0.0, z) * REACH_M),
        GRASS,
    );
    faces
}

/// Darker and lighter places, so that a plane has something to move against.
fn patches() -> Faces {
    let mut faces = Faces::default();
    let mut chance = Chance::new(1);
    for _ in 0..PATCHES {
        let away_m = PATCHES_M * chance.share().sqrt();
        let round = chance.between(0.0, std::f64::consts::TAU);
        let middle = DVec3::new(away_m * round.cos(), PATCH_Y_M, away_m * round.sin());
        let size_m = chance.between(0.5, 3.5);
        let turn = chance.between(0.0, std::f64::consts::TAU);
        let shade = chance.between(0.80, 1.16) as f32;
        let colour = [GRASS[0] * shade, GRASS[1] * shade, GRASS[2] * shade, 1.0];
        let corner = |i: u32| {
            let angle = turn + f64::from(i) * std::f64::consts::TAU / 5.0;
            middle + DVec3::new(angle.cos(), 0.0, angle.sin()) * size_m
        };
        for i in 1..4 {
            faces.triangle([corner(0), corner(i + 1), corner(i)], colour);
        }
    }
    faces
}

/// Single blades near by: they show how high the eye is. As tall as the field file
/// says the grass is there, and shorter where it was mown.
fn blades(to_show: &FieldToShow) -> Faces {
    let field = &to_show.field;
    let around_m = field.ground.grass_height_m;
    let strip_m = field
        .strip
        .ground
        .map_or(around_m, |ground| ground.grass_height_m);
    let mut faces = Faces::default();
    let mut chance = Chance::new(2);
    for _ in 0..BLADES {
        // Denser near the middle.
        let away_m = BLADES_M * chance.share();
        let round = chance.between(0.0, std::f64::consts::TAU);
        let foot = DVec3::new(away_m * round.cos(), 0.0, away_m * round.sin());
        let turn = chance.between(0.0, std::f64::consts::TAU);
        let half = DVec3::new(turn.cos(), 0.0, turn.sin()) * chance.between(0.008, 0.03);
        let lean = DVec3::new(
            chance.between(-0.03, 0.03),
            0.0,
            chance.between(-0.03, 0.03),
        );
        // The renderer's axes: east to the right, north away.
        let grass_m = if field.strip.contains(-foot.z, foot.x) {
            strip_m
        } else {
            around_m
        };
        let tip = foot + DVec3::Y * (grass_m * chance.between(0.5, 1.8)).max(0.015) + lean;
        let shade = chance.between(0.7, 1.5) as f32;
        let colour = [GRASS[0] * shade, GRASS[1] * shade, GRASS[2] * shade, 1.0];
        // Seen from both sides: the paint is.
        faces.triangle([foot - half, foot + half, tip], colour);
    }
    faces
}

/// Long grass farther off, where single blades are no longer seen: it shows where
/// the mown strip ends. None where the grass is short.
fn tufts(to_show: &FieldToShow) -> Faces {
    let field = &to_show.field;
    let tall_m = field.ground.grass_height_m;
    let mut faces = Faces::default();
    if tall_m < LONG_GRASS_M {
        return faces;
    }
    let mut chance = Chance::new(4);
    for _ in 0..TUFTS {
        let away_m = TUFTS_M[0] + (TUFTS_M[1] - TUFTS_M[0]) * chance.share().sqrt();
        let round = chance.between(0.0, std::f64::consts::TAU);
        let foot = DVec3::new(away_m * round.cos(), 0.0, away_m * round.sin());
        // The renderer's axes: east to the right, north away.
        if field.strip.contains(-foot.z, foot.x) {
            continue;
        }
        // Across the pilot's way of looking.
        let aside = DVec3::new(-round.sin(), 0.0, round.cos());
        let shade = chance.between(0.8, 1.15) as f32;
        let colour = [HAY[0] * shade, HAY[1] * shade, HAY[2] * shade, 1.0];
        for _ in 0..TUFT_BLADES {
            let foot = foot + aside * chance.between(-0.5, 0.5);
            let half = aside * chance.between(0.03, 0.08);
            let tip = foot
                + DVec3::Y * tall_m * chance.between(0.6, 1.2)
                + aside * chance.between(-0.12, 0.12);
            faces.triangle_lit([foot - half, foot + half, tip], DVec3::Y, colour);
        }
    }
    faces
}

/// The mown strip, lane beside lane as the mower went.
fn strip(to_show: &FieldToShow) -> Faces {
    let strip = &to_show.field.strip;
    let mut faces = Faces::default();
    let (sin, cos) = strip.heading_rad.sin_cos();
    let point = |along_m: f64, across_m: f64| {
        let north_m = strip.north_m + along_m * cos - across_m * sin;
        let east_m = strip.east_m + along_m * sin + across_m * cos;
        place(DVec3::new(north_m, east_m, -STRIP_Y_M)).as_dvec3()
    };
    let lanes = (strip.width_m / MOWER_M).round().max(1.0);
    let lane_m = strip.width_m / lanes;
    let half_m = 0.5 * strip.length_m;
    for lane in 0..lanes as u32 {
        let from_m = -0.5 * strip.width_m + f64::from(lane) * lane_m;
        let corners = [
            point(-half_m, from_m),
            point(half_m, from_m),
            point(half_m, from_m + lane_m),
            point(-half_m, from_m + lane_m),
        ];
        flat(&mut faces, corners, MOWN[(lane % 2) as usize]);
    }
    faces
}

/// A chalk line with posts, so that it is seen from low down.
fn safety_line(to_show: &FieldToShow) -> Faces {
    const LENGTH_M: f64 = 240.0;
    const WIDE_M: f64 = 0.1;
    const POST_EVERY_M: f64 = 20.0;
    let line = &to_show.field.safety_line;
    let mut faces = Faces::default();
    let (sin, cos) = line.direction_rad.sin_cos();
    let point = |along_m: f64, across_m: f64, up_m: f64| {
        let north_m = line.north_m + along_m * cos - across_m * sin;
        let east_m = line.east_m + along_m * sin + across_m * cos;
        place(DVec3::new(north_m, east_m, -up_m)).as_dvec3()
    };
    let half_m = 0.5 * LENGTH_M;
    flat(
        &mut faces,
        [
            point(-half_m, -WIDE_M, LINE_Y_M),
            point(half_m, -WIDE_M, LINE_Y_M),
            point(half_m, WIDE_M, LINE_Y_M),
            point(-half_m, WIDE_M, LINE_Y_M),
        ],
        LINE,
    );
    let posts = (LENGTH_M / POST_EVERY_M) as i32;
    for post in 0..=posts {
        let along_m = -half_m + f64::from(post) * POST_EVERY_M;
        let foot = point(along_m, 0.0, 0.0);
        let size = DVec3::new(0.03, 0.0, 0.03);
        faces.cuboid(foot - size, foot + size + DVec3::Y * 0.5, LINE);
        let band = DVec3::new(0.033, 0.0, 0.033);
        let low = foot + DVec3::Y * 0.3;
        faces.cuboid(
            low - band,
            low + band + DVec3::Y * 0.12,
            [0.6, 0.05, 0.03, 1.0],
        );
    }
    faces
}

/// Chalk around the place where the pilot stands.
fn pilot_box(to_show: &FieldToShow) -> Faces {
    /// From its middle to a side, and the width of the chalk (common practice, no
    /// source).
    const HALF_M: f64 = 1.0;
    const CHALK_M: f64 = 0.05;
    let mut faces = Faces::default();
    let people = &to_show.field.people;
    let Some(pilot) = people.iter().find(|body| body.person == Person::Pilot) else {
        return faces;
    };
    // Along the safety line, which is where pilots stand.
    let (sin, cos) = to_show.field.safety_line.direction_rad.sin_cos();
    let point = |along_m: f64, across_m: f64| {
        let north_m = pilot.north_m + along_m * cos - across_m * sin;
        let east_m = pilot.east_m + along_m * sin + across_m * cos;
        place(DVec3::new(north_m, east_m, -LINE_Y_M)).as_dvec3()
    };
    for side_m in [-HALF_M, HALF_M] {
        let (near_m, far_m) = (side_m - CHALK_M, side_m + CHALK_M);
        let along = [
            point(-HALF_M, near_m),
            point(HALF_M, near_m),
            point(HALF_M, far_m),
            point(-HALF_M, far_m),
        ];
        let across = [
            point(near_m, -HALF_M),
            point(far_m, -HALF_M),
            point(far_m, HALF_M),
            point(near_m, HALF_M),
        ];
        flat(&mut faces, along, LINE);
        flat(&mut faces, across, LINE);
    }
    faces
}
