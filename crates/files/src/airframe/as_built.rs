//! What came out crooked.

use glam::DVec3;
use larkfield_airframe::{Panel, SurfaceKind};
use larkfield_units::Angle;

use crate::check::{Checker, FieldPath};

use super::form::{AirframeForm, PanelForm, SidesForm};

/// Errors of the build, as angles of the leading edge.
pub(super) struct AsBuilt {
    pub warp_left_rad: f64,
    pub warp_right_rad: f64,
    pub warp_rad: f64,
    pub incidence_rad: f64,
    pub skew_rad: f64,
}

impl AsBuilt {
    pub(super) fn read(
        check: &mut Checker,
        field: &FieldPath,
        panel: &PanelForm,
        sides: SidesForm,
    ) -> Self {
        let group = field.field("as_built");
        let mut errors = Self {
            warp_left_rad: 0.0,
            warp_right_rad: 0.0,
            warp_rad: 0.0,
            incidence_rad: 0.0,
            skew_rad: 0.0,
        };
        let Some(form) = &panel.as_built else {
            return errors;
        };
        let has_left = matches!(sides, SidesForm::Both | SidesForm::Left);
        let has_right = matches!(sides, SidesForm::Both | SidesForm::Right);
        let centre = sides == SidesForm::Centre;
        for (name, given, fits, target) in [
            (
                "warp_left",
                &form.warp_left,
                has_left,
                &mut errors.warp_left_rad,
            ),
            (
                "warp_right",
                &form.warp_right,
                has_right,
                &mut errors.warp_right_rad,
            ),
            ("warp", &form.warp, centre, &mut errors.warp_rad),
            (
                "incidence_error",
                &form.incidence_error,
                true,
                &mut errors.incidence_rad,
            ),
            ("skew", &form.skew, centre, &mut errors.skew_rad),
        ] {
            let field = group.field(name);
            *target = check.quantity_or_zero(&field, given.as_ref(), "-30 deg", "30 deg");
            if given.is_some() && !fits {
                check.refuse(
                    &field,
                    format!("this panel is on {sides:?}, where `{name}` has no meaning"),
                    "use warp_left and warp_right for halves, warp and skew for a fin on the centre line",
                );
            }
        }
        errors
    }
}

/// Turns the whole wing about the middle of its root, as it sits on the body.
pub(super) fn seat(
    check: &mut Checker,
    form: &AirframeForm,
    panels: &mut [Panel],
    seated: &[bool],
) {
    let Some(seat) = &form.wing_seat else { return };
    let field = FieldPath::root().field("wing_seat");
    let mut angle = |name: &str, given| {
        check.quantity_or_zero::<Angle>(&field.field(name), given, "-20 deg", "20 deg")
    };
    let yaw_rad = angle("yaw", seat.yaw.as_ref());
    let roll_rad = angle("roll", seat.roll.as_ref());
    let Some(root) = panels.iter().find(|p| p.kind == SurfaceKind::Wing) else {
        return;
    };
    let Some(station) = root.stations.first() else {
        return;
    };
    let pivot = DVec3::new(
        station.leading_edge_m.x - station.chord_m / 2.0,
        0.0,
        station.leading_edge_m.z,
    );
    let (sy, cy) = (libm::sin(yaw_rad), libm::cos(yaw_rad));
    let (sr, cr) = (libm::sin(roll_rad), libm::cos(roll_rad));
    for (panel, _) in panels.iter_mut().zip(seated).filter(|(_, s)| **s) {
        for station in &mut panel.stations {
            let r = station.leading_edge_m - pivot;
            // Right-handed: roll about x lowers starboard, yaw about z swings
            // the starboard tip aft. The chord stays along x; for a few
            // degrees the skewed cut differs by 1 - cos(yaw).
            let rolled = DVec3::new(r.x, r.y * cr - r.z * sr, r.y * sr + r.z * cr);
            let turned = DVec3::new(
                rolled.x * cy - rolled.y * sy,
                rolled.x * sy + rolled.y * cy,
                rolled.z,
            );
            station.leading_edge_m = pivot + turned;
        }
    }
}
