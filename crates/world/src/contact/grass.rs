//! Long grass: what goes through it lays it down, and that takes work.
//!
//! A body of some width sweeps an area of grass each second. Laying the stems
//! of a square metre down takes a work that is a property of the ground; what
//! passes higher up bends the stems less, down to nothing at their tips. Work
//! for each area swept is a force for each width, whatever the speed, against
//! the motion of the body through the grass.

use glam::DVec3;
use larkfield_airframe::{Airframe, BreakPart, ContactKind, SurfaceKind};

use super::body::ContactBody;
use super::law::{Grip, Normal, Touch};
use super::shape::panel_part;
use super::touch::on_ground;
use crate::motion::Motion;

/// A wheel is about this much narrower than its diameter (common practice, no
/// source).
const WHEEL_WIDTH: f64 = 0.4;

/// Something with a width that grass has to give way to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrassProbe {
    /// Its middle from the centre of gravity, body axes.
    pub centre_m: DVec3,
    /// Its width across the flight direction.
    pub width_m: f64,
    /// The part it belongs to.
    pub part: BreakPart,
}

/// Wings and tailplanes by their leading edges, bodies by their widest station,
/// wheels; `cg_m` is the centre of gravity in airframe axes.
pub fn grass_probes(airframe: &Airframe, cg_m: DVec3) -> Vec<GrassProbe> {
    let mut probes = Vec::new();
    for panel in &airframe.panels {
        if panel.kind == SurfaceKind::Fin {
            continue;
        }
        for pair in panel.stations.windows(2) {
            let (inner, outer) = (pair[0].leading_edge_m, pair[1].leading_edge_m);
            let width_m = (outer.y - inner.y).abs() / 2.0;
            for share in [0.25, 0.75] {
                let centre_m = inner + (outer - inner) * share - cg_m;
                probes.push(GrassProbe {
                    centre_m,
                    width_m,
                    part: panel_part(panel),
                });
            }
        }
    }
    for body in &airframe.bodies {
        let widest = body
            .stations
            .iter()
            .max_by(|a, b| a.width_m.total_cmp(&b.width_m));
        if let Some(station) = widest {
            let centre_m = DVec3::new(station.x_m, body.y_m, station.z_m) - cg_m;
            probes.push(GrassProbe {
                centre_m,
                width_m: station.width_m,
                part: BreakPart::Belly,
            });
        }
    }
    for contact in &airframe.contacts {
        if contact.kind == ContactKind::Wheel {
            probes.push(GrassProbe {
                centre_m: contact.position_m - cg_m,
                width_m: 2.0 * WHEEL_WIDTH * contact.radius_m,
                part: contact.part,
            });
        }
    }
    probes
}

/// Adds the grass to the touches of a tick.
pub(super) fn gather(
    plane: &ContactBody,
    start: &Motion,
    up: DVec3,
    tick_s: f64,
    touches: &mut Vec<Touch>,
) {
    let ground = plane.ground_under(start, DVec3::ZERO);
    if ground.grass_work_j_m2 <= 0.0 || ground.grass_height_m <= 0.0 {
        return;
    }
    let along = if up.x.abs() < 0.7 { DVec3::X } else { DVec3::Z };
    for probe in plane.probes.iter() {
        let height_m = probe.centre_m.dot(up) - start.position_m.z;
        let depth = 1.0 - height_m.max(0.0) / ground.grass_height_m;
        if depth <= 0.0 || plane.gone.contains(&probe.part) {
            continue;
        }
        let most_n_s = ground.grass_work_j_m2 * probe.width_m * depth * tick_s;
        touches.push(Touch::new(
            None,
            probe.centre_m,
            (up, on_ground(along, up)),
            (Normal::None, Grip::Grass { most_n_s }),
            &plane.inverse,
        ));
    }
}
