//! From where one looks.
//!
//! The pilot's eyes stay where the pilot stands and the head follows the plane;
//! the horizon stays level. The picture covers the angle that the window covers
//! at the eye, so that the plane looks as large as it would out there.

use bevy::prelude::*;

use crate::field::FieldToShow;
use crate::seen::Seen;
use crate::steps::Steps;

/// What the window covers of a screen, and how far the eye is from it.
#[derive(Resource, Debug, Clone, Copy, PartialEq)]
pub struct Screen {
    /// Width of the window on the screen.
    pub width_m: f32,
    /// Distance of the eye.
    pub distance_m: f32,
}

impl Default for Screen {
    /// A monitor on a desk, and the window fills it.
    fn default() -> Self {
        Self {
            width_m: 0.53,
            distance_m: 0.6,
        }
    }
}

impl Screen {
    /// The vertical angle that a window of this many pixels covers.
    pub fn field_of_view_rad(&self, window_px: Vec2) -> f32 {
        let height_m = self.width_m * window_px.y / window_px.x.max(1.0);
        (2.0 * (0.5 * height_m / self.distance_m).atan()).clamp(0.05, 2.5)
    }
}

/// Places to look from.
#[derive(Resource, Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Look {
    /// From where the pilot stands.
    #[default]
    Pilot,
    /// From behind the thrower.
    Thrower,
    /// From behind the plane, for watching only.
    Chase,
}

impl Look {
    /// The next one.
    pub fn next(self) -> Self {
        match self {
            Self::Pilot => Self::Thrower,
            Self::Thrower => Self::Chase,
            Self::Chase => Self::Pilot,
        }
    }

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pilot => "pilot's eyes",
            Self::Thrower => "behind the thrower",
            Self::Chase => "behind the plane",
        }
    }
}

/// Whether a far plane is drawn nearer.
#[derive(Resource, Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Zoom(pub bool);

/// Zoom begins at this distance, and a plane farther away looks no smaller.
const ZOOM_FROM_M: f32 = 60.0;

/// Moves the camera.
pub struct EyesPlugin;

impl Plugin for EyesPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Screen>()
            .init_resource::<Look>()
            .init_resource::<Zoom>()
            .add_systems(Update, look.in_set(Steps::Draw));
    }
}

/// Where the camera is and what it looks at.
pub fn gaze(look: Look, seen: &Seen, pilot_m: Vec3, thrower_m: Vec3, ahead: Vec3) -> Transform {
    let plane_m = seen.plane.place_m;
    let from_m = match look {
        Look::Pilot => pilot_m,
        Look::Thrower => thrower_m - ahead * 4.0 + Vec3::Y * 2.2,
        Look::Chase => {
            let flat = Vec3::new(seen.velocity_m_s.x, 0.0, seen.velocity_m_s.z);
            let back = flat.try_normalize().unwrap_or(ahead);
            let behind_m = plane_m - back * 5.0 + Vec3::Y * 1.2;
            behind_m.max(Vec3::new(f32::MIN, 0.3, f32::MIN))
        }
    };
    let to = plane_m - from_m;
    // Straight up or down there is no level horizon; keep a little of ahead.
    let to = if to.x.hypot(to.z) < 1e-3 {
        to + ahead * 0.01
    } else {
        to
    };
    Transform::from_translation(from_m).looking_to(to, Vec3::Y)
}

fn look(
    seen: Res<Seen>,
    field: Res<FieldToShow>,
    screen: Res<Screen>,
    (look, zoom): (Res<Look>, Res<Zoom>),
    windows: Query<&Window>,
    mut cameras: Query<(&mut Transform, &mut Projection), With<Camera3d>>,
) {
    let Ok(window) = windows.single() else {
        return;
    };
    for (mut transform, mut projection) in &mut cameras {
        *transform = gaze(*look, &seen, field.eyes_m, field.thrower_m, field.ahead);
        if let Projection::Perspective(perspective) = &mut *projection {
            let fov_rad = screen.field_of_view_rad(window.size());
            let away_m = transform.translation.distance(seen.plane.place_m);
            let nearer = if zoom.0 {
                (away_m / ZOOM_FROM_M).clamp(1.0, 4.0)
            } else {
                1.0
            };
            perspective.fov = 2.0 * ((0.5 * fov_rad).tan() / nearer).atan();
            perspective.near = 0.05;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_picture_covers_what_the_window_covers_at_the_eye() {
        // 0.6 m wide seen from 0.3 m: 45 degrees to each side; the window is
        // square and fills the width.
        let screen = Screen {
            width_m: 0.6,
            distance_m: 0.3,
        };
        let fov_rad = screen.field_of_view_rad(Vec2::splat(800.0));
        assert!(
            (fov_rad - std::f32::consts::FRAC_PI_2).abs() < 1e-6,
            "{fov_rad}"
        );
        // A window half as high covers 2 atan(0.15 / 0.3) from top to bottom.
        let fov_rad = screen.field_of_view_rad(Vec2::new(800.0, 400.0));
        assert!((fov_rad - 2.0 * 0.5_f32.atan()).abs() < 1e-6, "{fov_rad}");
    }

    #[test]
    fn the_horizon_is_level_wherever_the_plane_is() {
        for plane_m in [Vec3::new(3.0, 20.0, -5.0), Vec3::new(0.0, 40.0, 0.0)] {
            let mut seen = Seen::default();
            seen.plane.place_m = plane_m;
            let eye = gaze(
                Look::Pilot,
                &seen,
                Vec3::new(0.0, 1.6, 0.0),
                Vec3::ZERO,
                Vec3::NEG_Z,
            );
            assert!(eye.right().y.abs() < 1e-6);
            assert!(eye.up().y > 0.0);
        }
    }
}
