//! A full turn one way and a full turn the other way, side by side.

use super::Progress;
use crate::attitude::{PI, wrap};
use crate::scripted::Side;
use crate::scripted::aim::{Aim, Course};
use crate::scripted::scene::Scene;

/// A little more than a full turn, so that nobody has to argue about it.
const FULL_TURN_RAD: f64 = 2.0 * PI + 0.25;
/// The nearest part of the circles stays this far out from the landing line.
const NEAREST_M: f64 = 8.0;

/// The figure, with how much of each turn is done.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(in crate::scripted) struct Eight {
    second: bool,
    /// Height held: that of the circuit, or where it was when higher.
    height_m: Option<f64>,
    turned_rad: f64,
    last_track_rad: Option<f64>,
}

impl Eight {
    pub(super) fn fly(&mut self, scene: &Scene<'_>) -> (Aim, Progress) {
        let radius_m = 1.25 * scene.turn_m();
        // The crossing is flown outward, away from the line: the circle ahead
        // of it is flown against the circuit's turns, the one behind with them.
        let turns = scene.circuit.turns;
        let (along_m, way) = match (self.second, turns) {
            (false, Side::Left) => (radius_m, Side::Right),
            (false, Side::Right) => (radius_m, Side::Left),
            (true, _) => (-radius_m, turns),
        };
        let (north_m, east_m) = scene.place_m(along_m, radius_m + NEAREST_M);
        let height_m = *self.height_m.get_or_insert(scene.height_to_hold_m());
        let aim = scene.level(
            Course::Circle {
                north_m,
                east_m,
                radius_m,
                way,
            },
            height_m,
        );
        self.count(scene, north_m, east_m, radius_m, way);
        let mut progress = Progress::Going;
        if self.turned_rad > FULL_TURN_RAD {
            if self.second {
                progress = Progress::Done;
            }
            *self = Self {
                second: true,
                height_m: self.height_m,
                ..Self::default()
            };
        }
        (aim, progress)
    }

    /// Adds what the track has turned the right way, once on the circle.
    fn count(&mut self, scene: &Scene<'_>, north_m: f64, east_m: f64, radius_m: f64, way: Side) {
        let sight = scene.sight;
        let (dn, de) = (sight.north_m - north_m, sight.east_m - east_m);
        let off_m = ((dn * dn + de * de).sqrt() - radius_m).abs();
        let turned = self
            .last_track_rad
            .map_or(0.0, |last_rad| wrap(sight.track_rad - last_rad));
        let joined = self.turned_rad > 0.0 || off_m < 0.35 * radius_m;
        if joined {
            self.turned_rad = (self.turned_rad + way.sign() * turned).max(0.0);
        }
        self.last_track_rad = Some(sight.track_rad);
    }
}
