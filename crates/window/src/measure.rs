//! What a frame costs, and how soon a stick is seen: measured and printed, so that
//! nobody has to guess.
//!
//! In one run: frames with all of the field, then frames of the same size of a
//! scene with nothing in it but one lit plain, then with light and camera alone. And: the frames from the one that reads a
//! stick to the one whose picture has the surface moved.

use std::time::Instant;

use bevy::camera::visibility::VisibilitySystems;
use bevy::prelude::*;

use crate::attempt::Paused;
use crate::seen::Seen;
use crate::steps::Steps;

/// Frames until everything is there.
const WARM: u32 = 12;
/// Frames that are timed, of each kind.
const TIMED: u32 = 30;
/// Frames after the change of scene that do not count.
const SETTLE: u32 = 6;
/// A surface that moved by this much has moved.
const MOVED_RAD: f64 = 1e-4;

/// Measures, prints and leaves.
pub struct MeasurePlugin;

impl Plugin for MeasurePlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Measured>()
            .add_systems(Startup, lay_plain)
            .add_systems(PreUpdate, push.after(bevy::input::InputSystems))
            .add_systems(Update, see.after(Steps::Draw))
            .add_systems(
                PostUpdate,
                empty.before(VisibilitySystems::VisibilityPropagate),
            )
            .add_systems(Last, count);
    }
}

/// What was measured so far.
#[derive(Resource, Default)]
struct Measured {
    frame: u32,
    began: Option<Instant>,
    field_s: f64,
    plain_s: f64,
    /// The frame that read a stick, and the surfaces before it.
    pushed: Option<(u32, Instant, Vec<f64>)>,
    /// Frames until it was drawn, and the time.
    drawn: Option<(u32, f64)>,
}

const FIELD_FROM: u32 = WARM;
const FIELD_TO: u32 = FIELD_FROM + TIMED;
const PLAIN_FROM: u32 = FIELD_TO + SETTLE;
const PLAIN_TO: u32 = PLAIN_FROM + TIMED;
const EMPTY_FROM: u32 = PLAIN_TO + SETTLE;
const EMPTY_TO: u32 = EMPTY_FROM + TIMED;

/// A stick is pushed once everything is there, and held.
fn push(
    mut measured: ResMut<Measured>,
    mut keys: ResMut<ButtonInput<KeyCode>>,
    seen: Option<Res<Seen>>,
) {
    if measured.frame == FIELD_FROM
        && measured.pushed.is_none()
        && let Some(seen) = seen
    {
        keys.press(KeyCode::ArrowDown);
        measured.pushed = Some((measured.frame, Instant::now(), seen.deflections_rad.clone()));
    }
}

fn see(mut measured: ResMut<Measured>, seen: Res<Seen>) {
    let Some((frame, at, before)) = &measured.pushed else {
        return;
    };
    let mut pairs = before.iter().zip(&seen.deflections_rad);
    if measured.drawn.is_none() && pairs.any(|(a, b)| (a - b).abs() > MOVED_RAD) {
        let (frames, time_s) = (measured.frame - frame, at.elapsed().as_secs_f64());
        measured.drawn = Some((frames, time_s));
    }
}

/// Meshes, and words with their plates.
type Drawn = (Or<(With<Mesh3d>, With<Node>)>, Without<Plain>);

/// The one lit plain, to the horizon.
#[derive(Component)]
struct Plain;

fn lay_plain(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    commands.spawn((
        Plain,
        Mesh3d(meshes.add(Plane3d::default().mesh().size(6000.0, 6000.0))),
        MeshMaterial3d(materials.add(StandardMaterial::from_color(Color::srgb(0.3, 0.4, 0.2)))),
        Transform::default(),
        Visibility::Hidden,
    ));
}

/// Takes everything out of the picture but light.
fn empty(
    measured: Res<Measured>,
    mut paused: ResMut<Paused>,
    mut shown: Query<&mut Visibility, Drawn>,
    mut plain: Query<&mut Visibility, With<Plain>>,
) {
    for mut visibility in &mut plain {
        visibility.set_if_neq(if (FIELD_TO..PLAIN_TO).contains(&measured.frame) {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
    }
    if measured.frame >= FIELD_TO {
        paused.0 = true;
        for mut visibility in &mut shown {
            visibility.set_if_neq(Visibility::Hidden);
        }
    }
}

fn count(mut measured: ResMut<Measured>, mut exit: MessageWriter<AppExit>) {
    let frame = measured.frame;
    measured.frame += 1;
    let per_frame = |began: Option<Instant>| {
        began.map_or(f64::NAN, |began| {
            began.elapsed().as_secs_f64() / f64::from(TIMED)
        })
    };
    match frame {
        FIELD_FROM | PLAIN_FROM | EMPTY_FROM => measured.began = Some(Instant::now()),
        FIELD_TO => measured.field_s = per_frame(measured.began),
        PLAIN_TO => measured.plain_s = per_frame(measured.began),
        EMPTY_TO => {
            let empty_s = per_frame(measured.began);
            let (field_s, plain_s) = (measured.field_s, measured.plain_s);
            println!(
                "A frame with the whole field {:.1} ms, with one lit plain {:.1} ms: {:.2} times; \
                 with light alone {:.1} ms.",
                field_s * 1000.0,
                plain_s * 1000.0,
                field_s / plain_s,
                empty_s * 1000.0
            );
            match measured.drawn {
                // What is laid out in a frame is drawn while the next is laid out.
                Some((frames, time_s)) => println!(
                    "A stick moves the surface in the picture {frames} frames after the one that \
                     read it, {:.0} ms; the picture is drawn one frame later.",
                    time_s * 1000.0
                ),
                None => println!("A stick moved nothing in the picture."),
            }
            exit.write(AppExit::Success);
        }
        _ => {}
    }
}
