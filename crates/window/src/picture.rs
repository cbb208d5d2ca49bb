//! Pictures at stated moments, for those who cannot look at the window.

use std::path::PathBuf;
use std::time::Duration;

use bevy::prelude::*;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured, save_to_disk};
use bevy::time::TimeUpdateStrategy;

use crate::seen::Seen;

/// Frames of a flight that is only pictured take this long, however long they
/// really take.
pub const FRAME_S: f64 = 0.1;

/// A flight that has stood still for so many frames is over.
const IDLE_FRAMES: u32 = 40;

/// What to picture.
#[derive(Resource, Debug, Clone)]
pub struct Pictures {
    /// Moments of the flight, rising.
    pub at_s: Vec<f64>,
    /// Folder for them.
    pub folder: PathBuf,
    /// Those taken.
    pub taken: usize,
}

/// Takes pictures, then leaves.
pub struct PicturePlugin;

impl Plugin for PicturePlugin {
    fn build(&self, app: &mut App) {
        app.insert_resource(frames_of(FRAME_S))
            .add_systems(Last, take);
    }
}

/// Frames of this length, however long they really take.
pub fn frames_of(frame_s: f64) -> TimeUpdateStrategy {
    TimeUpdateStrategy::ManualDuration(Duration::from_secs_f64(frame_s))
}

/// What the frames before were like.
#[derive(Default)]
struct Before {
    /// A picture was asked for and is not there yet.
    waits: bool,
    /// Frames since the flight moved.
    idle: u32,
    time_s: f64,
}

fn take(
    mut commands: Commands,
    mut pictures: ResMut<Pictures>,
    seen: Res<Seen>,
    mut before: Local<Before>,
    shots: Query<(), With<Screenshot>>,
    mut time: ResMut<TimeUpdateStrategy>,
    mut exit: MessageWriter<AppExit>,
) {
    if before.waits {
        before.waits = !shots.is_empty();
        return;
    }
    before.idle = if seen.time_s == before.time_s {
        before.idle + 1
    } else {
        0
    };
    before.time_s = seen.time_s;
    let Some(at_s) = pictures.at_s.get(pictures.taken).copied() else {
        exit.write(AppExit::Success);
        return;
    };
    // A flight that is over is pictured at once: it will not get any older.
    let left_s = at_s - seen.time_s;
    if left_s > 1e-9 && before.idle < IDLE_FRAMES {
        // Frames rounded to ticks end a tick short of the moment; a whole frame
        // more would miss it.
        *time = frames_of(left_s.min(FRAME_S));
        return;
    }
    let name = format!("{at_s:07.2}.png");
    let path = pictures.folder.join(name);
    pictures.taken += 1;
    before.waits = true;
    // The flight stands still until the picture is there.
    *time = frames_of(0.0);
    shoot(&mut commands, path);
}

/// Writes what is in the window into a file.
pub fn shoot(commands: &mut Commands, path: PathBuf) {
    let mut save = save_to_disk(path);
    commands
        .spawn(Screenshot::primary_window())
        .observe(move |captured: On<ScreenshotCaptured>| save(captured));
}
