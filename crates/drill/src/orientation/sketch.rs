//! The plane out there in letters, from its geometry.

use std::fmt::Write;

use glam::{DMat3, DVec3};

use super::drill::View;

const COLUMNS: usize = 49;
const ROWS: usize = 17;

/// Its points: nose, tail, wing tips, top of the fin, and the tail's tips; x
/// forward, y starboard, z down, in spans.
const NOSE: DVec3 = DVec3::new(0.30, 0.0, 0.0);
const TAIL: DVec3 = DVec3::new(-0.50, 0.0, 0.0);
const FIN: DVec3 = DVec3::new(-0.52, 0.0, -0.17);
const TIPS: [DVec3; 2] = [DVec3::new(0.0, -0.5, -0.03), DVec3::new(0.0, 0.5, -0.03)];
const TAIL_TIPS: [DVec3; 2] = [DVec3::new(-0.5, -0.18, 0.0), DVec3::new(-0.5, 0.18, 0.0)];

/// A point of the plane as its pilot sees it: to the right, up, and away. The
/// plane flies level, a little above the eye's line.
pub fn seen(view: &View, point: DVec3) -> DVec3 {
    // Bank about its own axis, then its heading about the vertical, then the
    // eye that looks up at it.
    const LOOK_UP_RAD: f64 = 0.25;
    let bank = DMat3::from_rotation_x(view.signed_bank_rad());
    let heading = DMat3::from_rotation_z(view.heading.angle_rad());
    let placed = heading * (bank * point);
    // Forward is away, starboard right, down down.
    let (sin, cos) = (libm::sin(LOOK_UP_RAD), libm::cos(LOOK_UP_RAD));
    let up = -placed.z * cos - placed.x * sin;
    DVec3::new(placed.y, up, placed.x * cos - placed.z * sin)
}

/// Lines of the plane, for whoever draws: the ends of each, and what it is.
pub fn outline() -> [(DVec3, DVec3, char); 6] {
    [
        (TAIL_TIPS[0], TAIL_TIPS[1], '-'),
        (TAIL, FIN, '|'),
        (TAIL, NOSE, ':'),
        (TIPS[0], DVec3::ZERO, 'L'),
        (TIPS[1], DVec3::ZERO, 'R'),
        (NOSE, NOSE, 'O'),
    ]
}

/// The picture and what is in it. Wings are drawn with the same letter: which is
/// which is for the pilot to see.
pub fn in_words(view: &View) -> String {
    let mut rows = vec![vec![' '; COLUMNS]; ROWS];
    let mut lines = outline();
    // What is nearer hides what is behind.
    let away = |line: &(DVec3, DVec3, char)| (seen(view, line.0).z + seen(view, line.1).z) * 0.5;
    lines.sort_by(|a, b| away(b).total_cmp(&away(a)));
    for (from, to, letter) in lines {
        let letter = if matches!(letter, 'L' | 'R') {
            '='
        } else {
            letter
        };
        for step in 0..=96 {
            let at = seen(view, from.lerp(to, f64::from(step) / 96.0));
            let column = (COLUMNS / 2) as f64 + at.x * (COLUMNS - 9) as f64;
            // Letters are about twice as high as wide.
            let row = (ROWS / 2) as f64 - at.y * (COLUMNS - 9) as f64 * 0.5;
            let cell = (rows.get_mut(row.round().max(0.0) as usize))
                .and_then(|row| row.get_mut(column.round().max(0.0) as usize));
            if let Some(cell) = cell {
                *cell = letter;
            }
        }
    }
    let mut out = String::new();
    for row in rows {
        let line: String = row.into_iter().collect();
        if !line.trim().is_empty() {
            let _ = writeln!(out, "  {}", line.trim_end());
        }
    }
    let _ = writeln!(
        out,
        "  = wing   - tail   | fin   : fuselage   O nose\n  It flies {}.",
        view.heading.in_words()
    );
    out
}
