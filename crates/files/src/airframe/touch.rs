//! One point that touches the ground: wheel, skid or corner.

use larkfield_airframe::{BreakPart, ContactKind, ContactPoint, Leg};

use crate::check::{Checker, FieldPath};

use super::form::{ContactForm, ContactKindForm, LegForm, PartForm};

const GRAVITY_M_S2: f64 = 9.80665;

pub(super) fn contact(check: &mut Checker, field: &FieldPath, form: &ContactForm) -> ContactPoint {
    let wheel = form.kind == ContactKindForm::Wheel;
    let rolling = field.field("rolling_friction");
    let along = field.field("friction_along");
    let steering = field.field("steering");
    let radius = field.field("radius");
    if !wheel && form.rolling_friction.is_some() {
        check.refuse(
            &rolling,
            "only a wheel rolls",
            "leave this out, or give `kind: Wheel`",
        );
    }
    if form.friction_along.is_some() && form.kind != ContactKindForm::Skid {
        check.refuse(
            &along,
            "only a skid slides differently along and across",
            "leave this out; a wheel has `rolling_friction`",
        );
    }
    if !wheel && form.steering.is_some() {
        check.refuse(
            &steering,
            "only a wheel steers",
            "leave this out, or give `kind: Wheel`",
        );
    }
    if wheel && form.radius.is_none() {
        check.refuse(
            &radius,
            "`radius` is missing",
            "give the wheel's radius, as in \"20 mm\"",
        );
    }
    let friction = check.quantity_or(
        &field.field("friction"),
        form.friction.as_ref(),
        "0 %",
        "200 %",
        "0.45",
        "common practice, no source: belly on grass 0.3 to 0.6",
    );
    let friction_along = if wheel {
        check.quantity_or(
            &rolling,
            form.rolling_friction.as_ref(),
            "0 %",
            "100 %",
            "0.08",
            "common practice, no source: wheel on grass 0.05 to 0.10",
        )
    } else {
        form.friction_along.as_ref().map_or(friction, |given| {
            check.quantity(&along, given, "0 %", "200 %")
        })
    };
    ContactPoint {
        name: form.name.clone(),
        kind: match form.kind {
            ContactKindForm::Wheel => ContactKind::Wheel,
            ContactKindForm::Skid => ContactKind::Skid,
            ContactKindForm::HardPoint => ContactKind::HardPoint,
        },
        position_m: check.place(field, &form.aft, form.right.as_ref(), &form.up),
        radius_m: form.radius.as_ref().map_or(0.003, |given| {
            check.quantity(&radius, given, "0.5 mm", "200 mm")
        }),
        friction,
        friction_along,
        steering_rad: check.quantity_or_zero(
            &steering,
            form.steering.as_ref(),
            "-60 deg",
            "60 deg",
        ),
        leg: leg(check, &field.field("leg"), form.leg.as_ref(), wheel),
        part: part(form.part),
    }
}

/// A leg as somebody measures it: press with a load, see how far it gives way.
/// A wheel whose file says nothing hangs on steel wire of 2 mm, bent 100 mm
/// out: it gives way by F L^3 / (3 E I) with I = pi d^4 / 64 and E = 205 GPa
/// (handbook values, from memory), 9.4 mm for half the weight of a 0.9 kg plane.
fn leg(check: &mut Checker, group: &FieldPath, form: Option<&LegForm>, wheel: bool) -> Option<Leg> {
    let usual = LegForm::default();
    let form = match form {
        Some(form) => form,
        None if wheel => &usual,
        None => return None,
    };
    let load_n = check.quantity_or(
        &group.field("load"),
        form.load.as_ref(),
        "0.1 N",
        "100 N",
        "4.5 N",
        "half of 0.9 kg on each wheel",
    );
    let gives_m = check.quantity_or(
        &group.field("gives"),
        form.gives.as_ref(),
        "0.5 mm",
        "100 mm",
        "9.4 mm",
        "steel wire of 2 mm, 100 mm long: F L^3 / (3 E I), E = 205 GPa",
    );
    let damping = check.quantity_or(
        &group.field("damping"),
        form.damping.as_ref(),
        "0 %",
        "100 %",
        "25 %",
        "common practice, no source: wire gives back, foam tyres and grass swallow",
    );
    let travel_m = check.quantity_or(
        &group.field("travel"),
        form.travel.as_ref(),
        "1 mm",
        "100 mm",
        "25 mm",
        "common practice, no source: then the wire bends for good",
    );
    let stiffness_n_m = load_n / gives_m.max(1e-6);
    Some(Leg {
        stiffness_n_m,
        damping_n_s_m: damping_n_s_m(stiffness_n_m, load_n, damping),
        travel_m,
    })
}

/// Damping as a share of critical, 2 sqrt(k m), on the mass that the load is
/// the weight of.
fn damping_n_s_m(stiffness_n_m: f64, load_n: f64, share: f64) -> f64 {
    2.0 * share * (stiffness_n_m * load_n / GRAVITY_M_S2).sqrt()
}

/// The part that takes a blow.
pub(super) fn part(part: PartForm) -> BreakPart {
    match part {
        PartForm::Propeller => BreakPart::Propeller,
        PartForm::Nose => BreakPart::Nose,
        PartForm::WingLeft => BreakPart::WingLeft,
        PartForm::WingRight => BreakPart::WingRight,
        PartForm::Tail => BreakPart::Tail,
        PartForm::Gear => BreakPart::Gear,
        PartForm::Belly => BreakPart::Belly,
    }
}
