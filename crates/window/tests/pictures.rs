//! What is seen: the window is opened on a screen without a monitor, a flight is
//! watched, and the plane in the picture is held against geometry.
//!
//! The pictures stay under `target/tmp/window/` for people to look at.

mod support;

use glam::{DQuat, DVec3};
use larkfield_pilot::ControlMessage;
use larkfield_rehearsal::Request;
use larkfield_window::session::Session;
use support::{Screen, folder};

/// The window's own defaults, which the pictures are taken with.
const PICTURE_WIDTH_MM: f64 = 530.0;
const EYE_DISTANCE_MM: f64 = 600.0;

/// Left, right, top, bottom of what is not sky, within `around_px` of the middle,
/// where the plane is in front of sky only.
fn outline(picture: &image::RgbImage, around_px: f64) -> [f64; 4] {
    let sky = *picture.get_pixel(2, 2);
    let mut found = [
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
    ];
    let (width, height) = picture.dimensions();
    let near = |at: u32, size: u32| (f64::from(at) - 0.5 * f64::from(size)).abs() < around_px;
    for (x, y, pixel) in picture.enumerate_pixels() {
        if !(near(x, width) && near(y, height)) {
            continue;
        }
        let differs = (0..3).any(|i| pixel.0[i].abs_diff(sky.0[i]) > 6);
        if differs {
            let (x, y) = (f64::from(x), f64::from(y));
            found = [
                found[0].min(x),
                found[1].max(x + 1.0),
                found[2].min(y),
                found[3].max(y + 1.0),
            ];
        }
    }
    found
}

/// Where a point is in a picture of a level head at `eyes_m` that looks at
/// `plane_m`; north, east, down. Central projection, worked out from angles and
/// not with the camera of the window.
fn projected(point_m: DVec3, eyes_m: DVec3, plane_m: DVec3, size_px: [f64; 2]) -> [f64; 2] {
    let ahead = (plane_m - eyes_m).normalize();
    let right = DVec3::Z.cross(ahead).normalize();
    let down = ahead.cross(right);
    let away = point_m - eyes_m;
    // One millimetre on the screen is so many pixels.
    let scale = size_px[0] / PICTURE_WIDTH_MM * EYE_DISTANCE_MM / away.dot(ahead);
    [
        0.5 * size_px[0] + away.dot(right) * scale,
        0.5 * size_px[1] + away.dot(down) * scale,
    ]
}

/// The corners of all panels and bodies around a pose.
fn corners_m(session: &Session, position_m: DVec3, attitude: DQuat) -> Vec<DVec3> {
    let model = &session.inputs().model;
    let balance_m = model.mass().cg_m;
    let panels = model
        .airframe()
        .panels
        .iter()
        .flat_map(|panel| &panel.stations);
    let mut body_m: Vec<DVec3> = panels
        .flat_map(|station| {
            let aft_m = DVec3::new(-station.chord_m, 0.0, 0.0);
            [station.leading_edge_m, station.leading_edge_m + aft_m]
        })
        .collect();
    for body in &model.airframe().bodies {
        for station in &body.stations {
            for (y, z) in [(-0.5, -0.5), (0.5, -0.5), (-0.5, 0.5), (0.5, 0.5)] {
                body_m.push(DVec3::new(
                    station.x_m,
                    body.y_m + y * station.width_m,
                    station.z_m + z * station.height_m,
                ));
            }
        }
    }
    let placed = body_m
        .into_iter()
        .map(|p| position_m + attitude * (p - balance_m));
    placed.collect()
}

#[test]
fn the_plane_is_where_geometry_says_and_as_large() {
    const AT_S: f64 = 3.0;
    // The shipped lesson's own pilot flies the window's first seed.
    let request = Request {
        seed: 1,
        ..Request::default()
    };
    let mut session = Session::open(request).expect("shipped files");
    while session.view().expect("a flight").time_s < AT_S - 1e-9 {
        session.advance(0.002, ControlMessage::default());
    }
    let view = session.view().expect("a flight");
    let state = &view.plane.state;
    let (position_m, attitude) = (state.position_m, state.attitude);
    let eyes_m = session.eyes_m();
    let screen = Screen::x11();
    for (width, height) in [(1280, 720), (900, 900)] {
        let folder = folder(&format!("{width}x{height}"));
        let (size, place) = (format!("{width}x{height}"), folder.display().to_string());
        screen.show(
            &[
                "--watch",
                "--bare",
                "--size",
                &size,
                "--at",
                "3",
                "--pictures",
                &place,
            ],
            &[],
        );
        let file = folder.join("0003.00.png");
        let picture = image::open(&file)
            .unwrap_or_else(|e| panic!("{}: {e}", file.display()))
            .to_rgb8();
        assert_eq!(picture.dimensions(), (width, height));
        let size_px = [f64::from(width), f64::from(height)];
        let wanted = corners_m(&session, position_m, attitude)
            .into_iter()
            .map(|point_m| projected(point_m, eyes_m, position_m, size_px))
            .fold(
                [
                    f64::INFINITY,
                    f64::NEG_INFINITY,
                    f64::INFINITY,
                    f64::NEG_INFINITY,
                ],
                |box_px, [x, y]| {
                    [
                        box_px[0].min(x),
                        box_px[1].max(x),
                        box_px[2].min(y),
                        box_px[3].max(y),
                    ]
                },
            );
        let seen = outline(&picture, wanted[1] - wanted[0]);
        println!("{size}: outline {seen:.1?}, by geometry {wanted:.1?} pixels");
        // A pixel of rounding at each edge, half of one for the thickness of the
        // sheet.
        // The propeller's disk reaches lower than the hull.
        for side in 0..3 {
            assert!(
                (seen[side] - wanted[side]).abs() <= 1.5,
                "side {side}: {seen:?} {wanted:?}"
            );
        }
        assert!(seen[3] >= wanted[3] - 1.5, "{seen:?} {wanted:?}");
    }
}
