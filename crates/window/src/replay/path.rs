//! The way of a flight in the air: how near the wing was to its stall, and where
//! the wind blew.
//!
//! The margin shows three times: by colour, by pattern and by width, so that
//! nobody has to tell colours apart.

use bevy::prelude::*;
use glam::DVec3;

use crate::field::tube;
use crate::plane::Faces;
use crate::track::Moment;

/// A wing this far from its stall has room for a gust or a hasty hand.
pub const AMPLE_RAD: f64 = 6.0 * std::f64::consts::PI / 180.0;
/// A piece of the way is so long.
const PIECE_S: f64 = 0.05;
/// Arrows of wind stand this far apart.
const ARROW_EVERY_S: f64 = 1.0;
/// An arrow is as long as the wind blows in this time.
const ARROW_S: f64 = 0.5;
/// Less wind than this makes no arrow.
const CALM_M_S: f64 = 0.3;

const BLUE: [f32; 4] = [0.02, 0.16, 0.55, 1.0];
const ORANGE: [f32; 4] = [0.85, 0.28, 0.0, 1.0];
const BLACK: [f32; 4] = [0.01, 0.01, 0.01, 1.0];
const WHITE: [f32; 4] = [0.95, 0.95, 0.95, 1.0];
/// The flight beside it.
const GREY: [f32; 4] = [0.25, 0.25, 0.25, 1.0];

/// How near a wing is to its stall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Margin {
    /// A thin unbroken blue line.
    Ample,
    /// Orange dashes.
    Small,
    /// Thick black beads.
    Stalled,
}

impl Margin {
    /// Of an angle below the stall.
    pub fn of(stall_margin_rad: f64) -> Self {
        if stall_margin_rad >= AMPLE_RAD {
            Self::Ample
        } else if stall_margin_rad > 0.0 {
            Self::Small
        } else {
            Self::Stalled
        }
    }

    fn colour(self) -> [f32; 4] {
        match self {
            Self::Ample => BLUE,
            Self::Small => ORANGE,
            Self::Stalled => BLACK,
        }
    }

    fn radius_m(self) -> f64 {
        match self {
            Self::Ample => 0.03,
            Self::Small => 0.055,
            Self::Stalled => 0.09,
        }
    }

    /// Whether a piece of the way is drawn: two of three make dashes, one of two
    /// beads.
    fn draws(self, piece: usize) -> bool {
        match self {
            Self::Ample => true,
            Self::Small => piece % 3 != 2,
            Self::Stalled => piece.is_multiple_of(2),
        }
    }
}

/// What the patterns mean.
pub const LEGEND: &str = "way: blue line, more than 6 deg below the stall; orange dashes, less; \
                          black beads, stalled. White arrows: wind";

/// Pieces of a way as pairs of moments.
fn pieces(moments: &[Moment]) -> impl Iterator<Item = (usize, &Moment, &Moment)> {
    let mut ends: Vec<&Moment> = Vec::new();
    for moment in moments {
        let due = ends
            .last()
            .is_none_or(|last| moment.seen.time_s - last.seen.time_s >= PIECE_S - 1e-9);
        if due {
            ends.push(moment);
        }
    }
    let pairs = ends.iter().copied().zip(ends.iter().skip(1).copied());
    let pairs: Vec<_> = pairs.collect();
    pairs.into_iter().enumerate().map(|(k, (a, b))| (k, a, b))
}

fn place(moment: &Moment) -> DVec3 {
    moment.seen.plane.place_m.as_dvec3()
}

/// The way of a flight from where it was free.
pub fn way(moments: &[Moment]) -> Faces {
    let mut faces = Faces::default();
    for (piece, from, to) in pieces(moments) {
        let margin = Margin::of(from.stall_margin_rad.min(to.stall_margin_rad));
        if margin.draws(piece) {
            let radius_m = margin.radius_m();
            tube(
                &mut faces,
                [place(from), place(to)],
                [radius_m; 2],
                margin.colour(),
            );
        }
    }
    faces
}

/// The way of the flight beside it: thin and grey.
pub fn way_beside(moments: &[Moment]) -> Faces {
    let mut faces = Faces::default();
    for (_, from, to) in pieces(moments) {
        tube(&mut faces, [place(from), place(to)], [0.02; 2], GREY);
    }
    faces
}

/// Arrows that fly with the wind along the way.
pub fn arrows(moments: &[Moment]) -> Faces {
    let mut faces = Faces::default();
    let mut next_s = f64::NEG_INFINITY;
    for moment in moments {
        let wind_m_s = moment.wind_m_s.as_dvec3();
        if moment.seen.time_s < next_s {
            continue;
        }
        next_s = moment.seen.time_s + ARROW_EVERY_S;
        if wind_m_s.length() > CALM_M_S {
            let from = place(moment);
            let to = from + wind_m_s * ARROW_S;
            let neck = from + wind_m_s * (0.7 * ARROW_S);
            tube(&mut faces, [from, neck], [0.02; 2], WHITE);
            tube(&mut faces, [neck, to], [0.08, 0.0], WHITE);
        }
    }
    faces
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seen::{Pose, Seen};

    fn moments(margins_rad: &[f64]) -> Vec<Moment> {
        let at = |k: usize| k as f64 * PIECE_S;
        let moment = |(k, margin_rad): (usize, &f64)| Moment {
            seen: Seen {
                time_s: at(k),
                plane: Pose {
                    place_m: Vec3::new(at(k) as f32, 0.0, 0.0),
                    ..Pose::default()
                },
                ..Seen::default()
            },
            stall_margin_rad: *margin_rad,
            wind_m_s: Vec3::new(0.0, 0.0, 4.0),
        };
        margins_rad.iter().enumerate().map(moment).collect()
    }

    #[test]
    fn the_three_margins_differ_in_pattern_and_width_too() {
        let drawn = |margin: Margin| (0..6).filter(|k| margin.draws(*k)).count();
        assert_eq!(drawn(Margin::of(0.2)), 6);
        assert_eq!(drawn(Margin::of(0.05)), 4);
        assert_eq!(drawn(Margin::of(-0.01)), 3);
        assert!(Margin::Ample.radius_m() < Margin::Small.radius_m());
        assert!(Margin::Small.radius_m() < Margin::Stalled.radius_m());
    }

    #[test]
    fn a_way_has_a_piece_between_all_its_moments() {
        // A tube of eight sides, two triangles each, three corners each.
        let one = 8 * 2 * 3;
        let way = way(&moments(&[0.2; 5]));
        assert_eq!(way.corners_m().len(), 4 * one);
        assert!(super::way(&[]).is_empty());
    }

    #[test]
    fn an_arrow_is_as_long_as_the_wind_blows_in_half_a_second() {
        let faces = arrows(&moments(&[0.2, 0.2]));
        let far = faces.corners_m().iter().map(|c| c[2]);
        let far = far.fold(f32::NEG_INFINITY, f32::max);
        assert!((far - 2.0).abs() < 1e-4, "{far}");
    }
}
