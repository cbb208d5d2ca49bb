//! The power train.

use glam::DVec3;
use larkfield_airframe::{
    Battery, BladeStation, Component, ComponentKind, Controller, Motor, Power, Propeller, Rotation,
};
use larkfield_units::{
    Charge, Current, Length, Mass, MomentOfInertia, Quantity, Resistance, to_text,
};

use crate::check::{Checker, FieldPath};

use super::form::{BatteryForm, ControllerForm, MotorForm, PowerForm, PropellerForm, RotationForm};

pub(super) fn power(
    check: &mut Checker,
    form: Option<&PowerForm>,
    components: &[Component],
) -> Option<Power> {
    let form = form?;
    let field = FieldPath::root().field("power");
    let hub = field.field("hub");
    let hub_m = check.place(&hub, &form.hub.aft, form.hub.right.as_ref(), &form.hub.up);
    let mut tilt = |name: &str, given| {
        check.quantity_or(
            &field.field(name),
            given,
            "-30 deg",
            "30 deg",
            "0 deg",
            "nothing given: the thrust line is taken to lie along the body",
        )
    };
    let down_rad = tilt("downthrust", form.downthrust.as_ref());
    let right_rad = tilt("right_thrust", form.right_thrust.as_ref());
    let thrust_direction = DVec3::new(
        libm::cos(down_rad) * libm::cos(right_rad),
        libm::cos(down_rad) * libm::sin(right_rad),
        libm::sin(down_rad),
    );
    let battery = battery(check, &field.field("battery"), &form.battery);
    Some(Power {
        motor: motor(check, &field.field("motor"), &form.motor, components),
        propeller: propeller(
            check,
            &field.field("propeller"),
            &form.propeller,
            components,
        ),
        controller: controller(check, &field.field("controller"), form.controller.as_ref()),
        battery,
        hub_m,
        thrust_direction,
        pusher: form.pusher,
    })
}

/// Records a default that was worked out, and returns its value.
fn assume<Q: Quantity>(check: &mut Checker, field: &FieldPath, value: f64, reason: &str) -> f64 {
    check.assume(field, to_text(Q::from_si(value)), reason);
    value
}

fn mass_of(components: &[Component], kind: ComponentKind) -> Option<f64> {
    let parts = components.iter().filter(|c| c.kind == kind);
    let mass_kg: f64 = parts.map(|c| c.mass_kg).sum();
    (mass_kg > 0.0).then_some(mass_kg)
}

fn motor(
    check: &mut Checker,
    field: &FieldPath,
    form: &MotorForm,
    components: &[Component],
) -> Motor {
    let mass_kg = mass_of(components, ComponentKind::Motor).unwrap_or(0.03);
    let rotor_inertia_kg_m2 = match &form.rotor_inertia {
        Some(given) => check.quantity(
            &field.field("rotor_inertia"),
            given,
            "0.01 g cm2",
            "100000 g cm2",
        ),
        None => {
            // Half the mass turns, as a ring at the radius that a solid of
            // density 4000 kg/m3 and equal diameter and length would have.
            let radius_m = libm::cbrt(mass_kg / (4000.0 * 2.0 * std::f64::consts::PI));
            let inertia = round3(0.5 * mass_kg * radius_m * radius_m);
            assume::<MomentOfInertia>(
                check,
                &field.field("rotor_inertia"),
                inertia,
                "common practice, no source: half the motor's mass at its radius",
            )
        }
    };
    Motor {
        speed_constant_rad_s_v: check.quantity(
            &field.field("speed_constant"),
            &form.speed_constant,
            "50 rpm/V",
            "20000 rpm/V",
        ),
        resistance_ohm: match &form.resistance {
            Some(given) => check.quantity(&field.field("resistance"), given, "1 mohm", "20 ohm"),
            None => assume::<Resistance>(
                check,
                &field.field("resistance"),
                // Copper for a given share of losses goes down with size.
                round3(0.1 * 0.03 / mass_kg),
                "common practice, no source: 0.1 ohm for a motor of 30 g, falling with its mass",
            ),
        },
        no_load_current_a: check.quantity_or(
            &field.field("no_load_current"),
            form.no_load_current.as_ref(),
            "0 A",
            "20 A",
            "0.7 A",
            "common practice, no source: small outrunner",
        ),
        current_limit_a: match &form.current_limit {
            Some(given) => check.quantity(&field.field("current_limit"), given, "0.1 A", "500 A"),
            None => assume::<Current>(
                check,
                &field.field("current_limit"),
                round3(400.0 * mass_kg),
                "common practice, no source: 12 A for a motor of 30 g",
            ),
        },
        rotor_inertia_kg_m2,
    }
}

fn propeller(
    check: &mut Checker,
    field: &FieldPath,
    form: &PropellerForm,
    components: &[Component],
) -> Propeller {
    let diameter_m =
        check.quantity::<Length>(&field.field("diameter"), &form.diameter, "40 mm", "1 m");
    let pitch_m = check.quantity::<Length>(&field.field("pitch"), &form.pitch, "0 mm", "1 m");
    if pitch_m > 2.0 * diameter_m {
        check.refuse(
            &field.field("pitch"),
            "the pitch is more than twice the diameter",
            "a propeller is named diameter x pitch, so \"8 x 4.5\" has diameter \"8 in\" and pitch \"4.5 in\"",
        );
    }
    let blades = form.blades.unwrap_or(2);
    if !(1..=12).contains(&blades) {
        check.refuse(
            &field.field("blades"),
            format!("{blades} blades"),
            "give a whole number from 1 to 12",
        );
    }
    let table = field.field("geometry");
    let radius_m = diameter_m / 2.0;
    let mut geometry: Vec<BladeStation> = Vec::new();
    if !form.geometry.is_empty() && check.count(&table, form.geometry.len(), 3, 200, "stations") {
        for (i, row) in form.geometry.iter().enumerate() {
            let at = table.item(i);
            let station = BladeStation {
                radius_fraction: check.share(
                    &at.field("radius"),
                    &row.radius,
                    radius_m,
                    "0 %",
                    "100 %",
                ),
                chord_fraction: check.share(
                    &at.field("chord"),
                    &row.chord,
                    radius_m,
                    "0.1 %",
                    "100 %",
                ),
                twist_rad: check.quantity(&at.field("twist"), &row.twist, "-45 deg", "90 deg"),
                zero_lift_rad: row
                    .zero_lift
                    .as_ref()
                    .map(|g| check.quantity(&at.field("zero_lift"), g, "-20 deg", "20 deg")),
            };
            if geometry
                .last()
                .is_some_and(|last| station.radius_fraction <= last.radius_fraction)
            {
                check.refuse(
                    &at.field("radius"),
                    "this station is not outside the one before it",
                    "list the stations from the hub to the tip",
                );
            }
            geometry.push(station);
        }
    }
    if form.brake.is_none() {
        check.assume(
            &field.field("brake"),
            "false",
            "common practice, no source: controllers come with the brake off",
        );
    }
    if form.rotation.is_none() {
        check.assume(
            &field.field("rotation"),
            "Clockwise",
            "common practice, no source: clockwise seen from behind",
        );
    }
    let mass_kg = mass_of(components, ComponentKind::Propeller).unwrap_or_else(|| {
        // Thin plastic propellers weigh about 7 g at 8 in, mass with the cube.
        let scale = diameter_m / 0.2032;
        assume::<Mass>(
            check,
            &FieldPath::root().field("components"),
            round3(0.007 * scale * scale * scale),
            "common practice, no source: no component of the kind Propeller, 7 g at 8 in and with the cube of the diameter (for spin inertia only)",
        )
    });
    Propeller {
        diameter_m,
        pitch_m,
        blades,
        geometry,
        brake: form.brake.unwrap_or(false),
        rotation: match form.rotation {
            Some(RotationForm::Anticlockwise) => Rotation::Anticlockwise,
            Some(RotationForm::Clockwise) | None => Rotation::Clockwise,
        },
        mounted_backward: form.mounted_backward,
        mass_kg,
    }
}

fn battery(check: &mut Checker, field: &FieldPath, form: &BatteryForm) -> Battery {
    if !(1..=14).contains(&form.cells) {
        check.refuse(
            &field.field("cells"),
            format!("{} cells", form.cells),
            "give the number of cells in series, from 1 to 14",
        );
    }
    let capacity_c =
        check.quantity::<Charge>(&field.field("capacity"), &form.capacity, "10 mAh", "50 Ah");
    let limit_field = field.field("current_limit");
    let rate_field = field.field("discharge_rate");
    let current_limit_a = match (&form.current_limit, &form.discharge_rate) {
        (Some(given), None) => check.quantity(&limit_field, given, "0.1 A", "1000 A"),
        (None, Some(given)) => capacity_c * check.quantity(&rate_field, given, "0.5 C", "200 C"),
        (Some(_), Some(_)) => {
            check.refuse(
                &rate_field,
                "both `current_limit` and `discharge_rate` are given",
                "keep one of the two",
            );
            0.0
        }
        (None, None) => assume::<Current>(
            check,
            &limit_field,
            round3(capacity_c * 12.5 / 3600.0),
            "common practice, no source: half of a label of 25 C",
        ),
    };
    let resistance_field = field.field("cell_resistance");
    Battery {
        cells: form.cells,
        capacity_c,
        cell_resistance_ohm: match &form.cell_resistance {
            Some(given) => check.quantity(&resistance_field, given, "0.1 mohm", "2 ohm"),
            None => assume::<Resistance>(
                check,
                &resistance_field,
                round3(0.012 * 4680.0 / capacity_c),
                "common practice, no source: 12 mohm at 1300 mAh, inverse to capacity",
            ),
        },
        current_limit_a,
        charge: check.quantity_or(
            &field.field("charge"),
            form.charge.as_ref(),
            "0 %",
            "100 %",
            "100 %",
            "nothing given: charged full",
        ),
    }
}

fn controller(check: &mut Checker, field: &FieldPath, form: Option<&ControllerForm>) -> Controller {
    Controller {
        current_limit_a: check.quantity_or(
            &field.field("current_limit"),
            form.and_then(|f| f.current_limit.as_ref()),
            "0.1 A",
            "500 A",
            "20 A",
            "common practice, no source: the usual size for planes of this class",
        ),
        response_s: check.quantity_or(
            &field.field("response"),
            form.and_then(|f| f.response.as_ref()),
            "1 ms",
            "2 s",
            "100 ms",
            "common practice, no source: soft ramp of a plane controller",
        ),
        cutoff_cell_v: check.quantity_or(
            &field.field("cutoff_cell"),
            form.and_then(|f| f.cutoff_cell.as_ref()),
            "2 V",
            "4 V",
            "3 V",
            "common practice, no source: 3.0 V a cell under load",
        ),
    }
}

/// Three significant digits: a default should look like one.
fn round3(value: f64) -> f64 {
    format!("{value:.2e}").parse().unwrap_or(value)
}
