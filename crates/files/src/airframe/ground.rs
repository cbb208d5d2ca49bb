//! Where the hand holds it, what touches the ground, what breaks.

use glam::DVec3;
use larkfield_airframe::{
    Body, BreakLimit, BreakPart, ContactKind, ContactPoint, GripPoint, Panel, Side, SurfaceKind,
};

use crate::check::{Checker, FieldPath};

use super::form::AirframeForm;
use super::parts::unique;
use super::touch as point;

/// Sliding friction on grass (common practice, no source: 0.3 to 0.6).
const SLIDING: f64 = 0.45;

pub(super) fn grip(check: &mut Checker, form: &AirframeForm, bodies: &[Body]) -> GripPoint {
    let field = FieldPath::root().field("grip");
    if let Some(place) = &form.grip {
        return GripPoint {
            position_m: check.place(&field, &place.aft, place.right.as_ref(), &place.up),
        };
    }
    // Under the wing at 80 mm behind its leading edge, at the bottom of the body.
    let position_m = DVec3::new(-0.08, 0.0, bottom_at(bodies, -0.08).unwrap_or(0.03));
    check.assume(
        &field,
        format!("(aft: \"80 mm\", up: \"{:.0} mm\")", -position_m.z * 1e3),
        "common practice, no source: held by the body below the balance point",
    );
    GripPoint { position_m }
}

/// Height of the lower wall at a place along the body, z down.
fn bottom_at(bodies: &[Body], x_m: f64) -> Option<f64> {
    let body = bodies.first()?;
    for pair in body.stations.windows(2) {
        if let [a, b] = pair
            && x_m <= a.x_m
            && x_m >= b.x_m
        {
            let t = (a.x_m - x_m) / (a.x_m - b.x_m);
            let low = |z: f64, h: f64| z + h / 2.0;
            let (za, zb) = (low(a.z_m, a.height_m), low(b.z_m, b.height_m));
            return Some(za + t * (zb - za));
        }
    }
    None
}

pub(super) fn contacts(
    check: &mut Checker,
    form: &AirframeForm,
    panels: &[Panel],
    bodies: &[Body],
    hub_m: Option<DVec3>,
) -> Vec<ContactPoint> {
    let list = FieldPath::root().field("contacts");
    let Some(forms) = &form.contacts else {
        let made = contacts_of_shape(panels, bodies, hub_m);
        let names: Vec<&str> = made.iter().map(|c| c.name.as_str()).collect();
        check.assume(
            &list,
            names.join(", "),
            "corners of the airframe, with sliding friction 0.45 (common practice, no source)",
        );
        return made;
    };
    if !check.count(&list, forms.len(), 1, 60, "contact points") {
        return Vec::new();
    }
    let mut contacts: Vec<ContactPoint> = Vec::new();
    for (i, contact) in forms.iter().enumerate() {
        let field = list.item(i);
        check.name(&field.field("name"), &contact.name);
        unique(
            check,
            &field,
            &contact.name,
            contacts.iter().map(|c| c.name.as_str()),
            "contact point",
        );
        contacts.push(point::contact(check, &field, contact));
    }
    contacts
}

/// Corners that meet the ground first when nothing is said about contacts.
fn contacts_of_shape(panels: &[Panel], bodies: &[Body], hub_m: Option<DVec3>) -> Vec<ContactPoint> {
    let point = |name: &str, position_m: DVec3, part: BreakPart| ContactPoint {
        name: name.to_owned(),
        kind: ContactKind::HardPoint,
        position_m,
        radius_m: 0.003,
        friction: SLIDING,
        friction_along: SLIDING,
        steering_rad: 0.0,
        leg: None,
        part,
    };
    let mut made = Vec::new();
    if let Some(hub) = hub_m {
        made.push(point("propeller_hub", hub, BreakPart::Propeller));
    }
    if let Some(body) = bodies.first() {
        let low = |s: &larkfield_airframe::BodyStation| {
            DVec3::new(s.x_m, body.y_m, s.z_m + s.height_m / 2.0)
        };
        if let Some(first) = body.stations.first() {
            made.push(point("nose", low(first), BreakPart::Nose));
        }
        if let Some(last) = body.stations.last() {
            made.push(point("tail", low(last), BreakPart::Tail));
        }
        let lowest = body
            .stations
            .iter()
            .max_by(|a, b| low(a).z.total_cmp(&low(b).z));
        if let Some(station) = lowest {
            made.push(point("belly", low(station), BreakPart::Belly));
        }
        if let Some(z_m) = bottom_at(bodies, -0.08) {
            made.push(point(
                "belly_under_wing",
                DVec3::new(-0.08, body.y_m, z_m),
                BreakPart::Belly,
            ));
        }
    }
    for (name, side, part) in [
        ("wing_tip_left", Side::Left, BreakPart::WingLeft),
        ("wing_tip_right", Side::Right, BreakPart::WingRight),
    ] {
        let tip = panels
            .iter()
            .filter(|p| p.kind == SurfaceKind::Wing && p.side == side)
            .filter_map(|p| p.stations.last())
            .max_by(|a, b| (a.leading_edge_m.y.abs()).total_cmp(&b.leading_edge_m.y.abs()));
        if let Some(tip) = tip {
            let middle = tip.leading_edge_m - DVec3::new(tip.chord_m / 2.0, 0.0, 0.0);
            made.push(point(name, middle, part));
        }
    }
    let fin_tip = panels
        .iter()
        .filter(|p| p.kind == SurfaceKind::Fin)
        .filter_map(|p| p.stations.last())
        .min_by(|a, b| a.leading_edge_m.z.total_cmp(&b.leading_edge_m.z));
    if let Some(tip) = fin_tip {
        let middle = tip.leading_edge_m - DVec3::new(tip.chord_m / 2.0, 0.0, 0.0);
        made.push(point("fin_tip", middle, BreakPart::Tail));
    }
    made
}

/// Limits that stand in when a file gives none. Each is a sum over material
/// data from memory; a file with its own sums does better.
const DEFAULT_LIMITS: [(BreakPart, f64, &str); 6] = [
    (
        BreakPart::Propeller,
        0.5,
        "nylon, bending strength about 80 MPa (from memory): blade section 15 mm x 2.5 mm at 50 mm from the blow holds 25 N, for 20 ms",
    ),
    (
        BreakPart::Nose,
        2.0,
        "extruded polystyrene, crushing at about 0.2 MPa (from memory): 500 mm2 of wall hold 100 N, for 20 ms",
    ),
    (
        BreakPart::WingLeft,
        0.6,
        "carbon tube 6 x 4 mm, about 900 MPa (from memory): 15 N m, 30 N at half a metre, for 20 ms",
    ),
    (
        BreakPart::WingRight,
        0.6,
        "carbon tube 6 x 4 mm, about 900 MPa (from memory): 15 N m, 30 N at half a metre, for 20 ms",
    ),
    (
        BreakPart::Tail,
        0.5,
        "extruded polystyrene, bending at about 0.4 MPa (from memory): box 40 x 40 x 6 mm holds 5 N m, 25 N at 0.2 m, for 20 ms",
    ),
    (
        BreakPart::Gear,
        1.5,
        "common practice, no source: wire legs bend before they pull out",
    ),
];

pub(super) fn break_limits(check: &mut Checker, form: &AirframeForm) -> Vec<BreakLimit> {
    let list = FieldPath::root().field("break_limits");
    let forms = form.break_limits.as_deref().unwrap_or(&[]);
    if !check.count(&list, forms.len(), 0, 7, "limits") {
        return Vec::new();
    }
    let mut limits: Vec<BreakLimit> = Vec::new();
    for (i, limit) in forms.iter().enumerate() {
        let field = list.item(i);
        let part = point::part(limit.part);
        if limits.iter().any(|l| l.part == part) {
            check.refuse(
                &field.field("part"),
                format!("{:?} has a limit already", limit.part),
                "give each part once",
            );
        }
        limits.push(BreakLimit {
            part,
            impulse_n_s: check.quantity(
                &field.field("impulse"),
                &limit.impulse,
                "0.001 N s",
                "1000 N s",
            ),
            reason: limit.reason.clone(),
        });
    }
    for (part, impulse_n_s, reason) in DEFAULT_LIMITS {
        if limits.iter().all(|l| l.part != part) {
            check.assume(&list, format!("{part:?} \"{impulse_n_s} N s\""), reason);
            limits.push(BreakLimit {
                part,
                impulse_n_s,
                reason: reason.to_owned(),
            });
        }
    }
    limits
}
