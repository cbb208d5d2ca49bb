//! One plate in space: plan form, dihedral, angles, errors of the build.

use std::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::{Side, Station};
use larkfield_units::Angle;

use crate::check::{Checker, FieldPath};

use super::as_built::AsBuilt;
use super::form::{KindForm, PanelForm, SidesForm};
use super::outline::Cut;
use super::panels::Parent;
use super::shape::shape;

/// From this dihedral on a plate counts as upright, as a fin always does: its
/// normal points to starboard and it carries rudders, not elevators.
const STEEP_RAD: f64 = 60.0 * PI / 180.0;

/// A panel before it is put on its sides.
pub(super) struct Plate {
    pub cuts: Vec<Cut>,
    pub upright: bool,
    pub shape_is_good: bool,
    dihedral_rad: f64,
    root_incidence_rad: f64,
    twist_rad: f64,
    errors: AsBuilt,
}

/// Outer end of one side of a panel.
#[derive(Debug, Clone, Copy)]
pub(super) struct End {
    pub side: Side,
    pub leading_edge_m: DVec3,
    /// Incidence at this end beyond what was designed.
    pub error_rad: f64,
}

/// Direction across the plane in which a side lies; a panel on the centre
/// line that leans does so to starboard.
pub(super) fn across(side: Side) -> f64 {
    match side {
        Side::Left => -1.0,
        Side::Right | Side::Centre => 1.0,
    }
}

impl Plate {
    /// Reads the angles of a panel; `inner` is the one of its kind it joins.
    pub(super) fn read(
        check: &mut Checker,
        field: &FieldPath,
        panel: &PanelForm,
        sides: SidesForm,
        inner: Option<&Parent>,
    ) -> Self {
        let before = check.mistakes();
        let cuts = shape(check, field, &panel.shape);
        let shape_is_good = check.mistakes() == before;
        let dihedral_rad = match (&panel.dihedral, panel.kind) {
            (Some(given), _) => {
                check.quantity(&field.field("dihedral"), given, "-90 deg", "90 deg")
            }
            (None, KindForm::Fin | KindForm::EndPlate) => PI / 2.0,
            (None, KindForm::Wing | KindForm::Tailplane) => 0.0,
        };
        let fin = panel.kind == KindForm::Fin;
        if fin && dihedral_rad.abs() < PI / 6.0 {
            check.refuse(
                &field.field("dihedral"),
                "a fin that lies flatter than 30 deg is no fin",
                "leave `dihedral` out for an upright fin, or write `kind: Tailplane`",
            );
        }
        let mut angle = |name: &str, given| {
            check.quantity_or_zero::<Angle>(&field.field(name), given, "-30 deg", "30 deg")
        };
        let root_incidence_rad = match (&panel.incidence, inner) {
            (None, Some(inner)) => inner.tip_incidence_rad,
            (given, _) => angle("incidence", given.as_ref()),
        };
        let twist_rad = angle("twist", panel.twist.as_ref());
        Self {
            cuts,
            upright: fin || dihedral_rad.abs() >= STEEP_RAD,
            shape_is_good,
            dihedral_rad,
            root_incidence_rad,
            twist_rad,
            errors: AsBuilt::read(check, field, panel, sides),
        }
    }

    pub(super) fn span_m(&self) -> f64 {
        self.cuts.last().map_or(0.0, |c| c.out_m)
    }

    pub(super) fn longest_chord_m(&self) -> f64 {
        self.cuts.iter().fold(0.0, |w, c| w.max(c.chord_m))
    }

    /// As designed.
    pub(super) fn tip_incidence_rad(&self) -> f64 {
        self.root_incidence_rad + self.twist_rad
    }

    /// Stations of one side, and its outer end. `carried_rad` is the error of
    /// the panel it continues.
    pub(super) fn stations(
        &self,
        side: Side,
        root_m: DVec3,
        carried_rad: f64,
    ) -> (Vec<Station>, Option<End>) {
        let warp_rad = match side {
            Side::Left => self.errors.warp_left_rad,
            Side::Right => self.errors.warp_right_rad,
            Side::Centre => self.errors.warp_rad,
        };
        let root_error_rad = carried_rad + self.errors.incidence_rad + self.errors.skew_rad;
        // The file turns leading edges toward the upper or inner face; on an
        // upright plate the model's normal points to starboard instead.
        let to_normal = match side {
            Side::Right if self.upright && self.dihedral_rad > 0.0 => -1.0,
            Side::Left if self.upright && self.dihedral_rad < 0.0 => -1.0,
            _ => 1.0,
        };
        let outward = DVec3::new(
            0.0,
            across(side) * clean(libm::cos(self.dihedral_rad)),
            -clean(libm::sin(self.dihedral_rad)),
        );
        let span_m = self.span_m();
        let stations: Vec<Station> = self
            .cuts
            .iter()
            .map(|c| {
                let t = if span_m > 0.0 { c.out_m / span_m } else { 0.0 };
                let from_file_rad =
                    self.root_incidence_rad + self.twist_rad * t + root_error_rad + warp_rad * t;
                Station {
                    leading_edge_m: root_m + outward * c.out_m - DVec3::X * c.aft_m,
                    chord_m: c.chord_m,
                    incidence_rad: to_normal * from_file_rad,
                }
            })
            .collect();
        let end = stations.last().map(|last| End {
            side,
            leading_edge_m: last.leading_edge_m,
            error_rad: root_error_rad + warp_rad,
        });
        (stations, end)
    }
}

/// Takes the dust of rounding off the cosine of a right angle.
fn clean(value: f64) -> f64 {
    if value.abs() < 1e-15 { 0.0 } else { value }
}
