//! Sheets, bodies, components, measurements.

use glam::DVec3;
use larkfield_airframe::{Body, BodyStation, Colour, Component, ComponentKind, Measured};
use larkfield_units::closest;

use crate::check::{Checker, FieldPath};

use super::form::{AirframeForm, ComponentKindForm, MeasuredForm};

/// Unpainted foam.
pub(super) const WHITE: Colour = Colour {
    red: 240,
    green: 240,
    blue: 236,
};

/// A kind of sheet that panels and bodies are cut from.
#[derive(Debug, Clone)]
pub(super) struct Sheet {
    pub name: String,
    pub thickness_m: f64,
    pub areal_density_kg_m2: f64,
    pub material: String,
}

pub(super) fn sheets(check: &mut Checker, form: &AirframeForm) -> Vec<Sheet> {
    let list = FieldPath::root().field("sheets");
    if !check.count(&list, form.sheets.len(), 1, 50, "sheets") {
        return Vec::new();
    }
    let mut sheets: Vec<Sheet> = Vec::new();
    for (i, sheet) in form.sheets.iter().enumerate() {
        let field = list.item(i);
        check.name(&field.field("name"), &sheet.name);
        unique(
            check,
            &field,
            &sheet.name,
            sheets.iter().map(|s| s.name.as_str()),
            "sheet",
        );
        sheets.push(Sheet {
            name: sheet.name.clone(),
            thickness_m: check.quantity(
                &field.field("thickness"),
                &sheet.thickness,
                "0.3 mm",
                "60 mm",
            ),
            areal_density_kg_m2: check.quantity(
                &field.field("areal_density"),
                &sheet.areal_density,
                "10 g/m2",
                "10 kg/m2",
            ),
            material: if sheet.material.is_empty() {
                "foam sheet".to_owned()
            } else {
                sheet.material.clone()
            },
        });
    }
    sheets
}

/// Index of a sheet by name.
pub(super) fn find_sheet(
    check: &mut Checker,
    field: &FieldPath,
    sheets: &[Sheet],
    name: &str,
) -> Option<usize> {
    let found = sheets.iter().position(|s| s.name == name);
    if found.is_none() {
        let names = || sheets.iter().map(|s| s.name.as_str());
        let hint =
            closest(name, names()).map_or(String::new(), |n| format!("did you mean `{n}`? "));
        let all: Vec<&str> = names().take(20).collect();
        check.refuse(
            field,
            format!("there is no sheet `{name}`"),
            format!("{hint}sheets here are {}", all.join(", ")),
        );
    }
    found
}

/// Refuses a name that is taken.
pub(super) fn unique<'a>(
    check: &mut Checker,
    group: &FieldPath,
    name: &str,
    mut taken: impl Iterator<Item = &'a str>,
    what: &str,
) {
    if taken.any(|t| t == name) {
        check.refuse(
            &group.field("name"),
            format!("there is another {what} `{name}`"),
            format!("give every {what} a name of its own"),
        );
    }
}

/// `#rrggbb`, as in style sheets.
pub(super) fn colour(check: &mut Checker, field: &FieldPath, text: &str) -> Colour {
    let digits = text
        .strip_prefix('#')
        .filter(|d| d.len() == 6 && d.is_ascii());
    let part = |at: usize| digits.and_then(|d| u8::from_str_radix(d.get(at..at + 2)?, 16).ok());
    if let (Some(red), Some(green), Some(blue)) = (part(0), part(2), part(4)) {
        return Colour { red, green, blue };
    }
    check.refuse(
        field,
        "this is not a colour",
        "write six hexadecimal digits for red, green and blue, as in \"#e8b321\"",
    );
    WHITE
}

pub(super) fn bodies(check: &mut Checker, form: &AirframeForm, sheets: &[Sheet]) -> Vec<Body> {
    let list = FieldPath::root().field("bodies");
    if !check.count(&list, form.bodies.len(), 0, 20, "bodies") {
        return Vec::new();
    }
    let mut bodies: Vec<Body> = Vec::new();
    for (i, body) in form.bodies.iter().enumerate() {
        let field = list.item(i);
        check.name(&field.field("name"), &body.name);
        unique(
            check,
            &field,
            &body.name,
            bodies.iter().map(|b| b.name.as_str()),
            "body",
        );
        let sheet = find_sheet(check, &field.field("sheet"), sheets, &body.sheet)
            .and_then(|i| sheets.get(i));
        let y_m = check.quantity_or_zero(&field.field("right"), body.right.as_ref(), "-2 m", "2 m");
        let at = field.field("stations");
        if !check.count(&at, body.stations.len(), 2, 100, "stations") {
            continue;
        }
        let mut stations: Vec<BodyStation> = Vec::new();
        for (k, station) in body.stations.iter().enumerate() {
            let here = at.item(k);
            let made = BodyStation {
                x_m: -check.quantity(&here.field("aft"), &station.aft, "-3 m", "3 m"),
                z_m: -check.quantity(&here.field("up"), &station.up, "-1 m", "1 m"),
                width_m: check.quantity(&here.field("width"), &station.width, "1 mm", "500 mm"),
                height_m: check.quantity(&here.field("height"), &station.height, "1 mm", "500 mm"),
            };
            if let Some(last) = stations.last()
                && made.x_m >= last.x_m
            {
                check.refuse(
                    &here.field("aft"),
                    "this station is not behind the one before it",
                    "list the stations from nose to tail with growing `aft`",
                );
            }
            stations.push(made);
        }
        bodies.push(Body {
            name: body.name.clone(),
            y_m,
            stations,
            thickness_m: sheet.map_or(0.0, |s| s.thickness_m),
            areal_density_kg_m2: sheet.map_or(0.0, |s| s.areal_density_kg_m2),
            material: sheet.map_or_else(String::new, |s| s.material.clone()),
            colour: body
                .colour
                .as_ref()
                .map_or(WHITE, |text| colour(check, &field.field("colour"), text)),
        });
    }
    bodies
}

pub(super) fn components(check: &mut Checker, form: &AirframeForm) -> Vec<Component> {
    let list = FieldPath::root().field("components");
    if !check.count(&list, form.components.len(), 0, 200, "components") {
        return Vec::new();
    }
    let mut components: Vec<Component> = Vec::new();
    for (i, part) in form.components.iter().enumerate() {
        let field = list.item(i);
        check.name(&field.field("name"), &part.name);
        unique(
            check,
            &field,
            &part.name,
            components.iter().map(|c| c.name.as_str()),
            "component",
        );
        let size_m = part.size.as_ref().map_or(DVec3::ZERO, |size| {
            let at = field.field("size");
            DVec3::new(
                check.quantity(&at.field("length"), &size.length, "0 mm", "3 m"),
                check.quantity(&at.field("width"), &size.width, "0 mm", "4 m"),
                check.quantity(&at.field("height"), &size.height, "0 mm", "1 m"),
            )
        });
        components.push(Component {
            name: part.name.clone(),
            kind: kind(part.kind),
            mass_kg: check.quantity(&field.field("mass"), &part.mass, "0.01 g", "10 kg"),
            position_m: check.place(&field, &part.aft, part.right.as_ref(), &part.up),
            size_m,
        });
    }
    components
}

fn kind(kind: ComponentKindForm) -> ComponentKind {
    match kind {
        ComponentKindForm::Motor => ComponentKind::Motor,
        ComponentKindForm::Propeller => ComponentKind::Propeller,
        ComponentKindForm::Controller => ComponentKind::Controller,
        ComponentKindForm::Battery => ComponentKind::Battery,
        ComponentKindForm::Receiver => ComponentKind::Receiver,
        ComponentKindForm::Servo => ComponentKind::Servo,
        ComponentKindForm::Gear => ComponentKind::Gear,
        ComponentKindForm::GlueAndTape => ComponentKind::GlueAndTape,
        ComponentKindForm::Ballast => ComponentKind::Ballast,
        ComponentKindForm::Other => ComponentKind::Other,
    }
}

pub(super) fn measured(check: &mut Checker, form: Option<&MeasuredForm>) -> Measured {
    let field = FieldPath::root().field("measured");
    let Some(form) = form else {
        return Measured::default();
    };
    Measured {
        mass_kg: (form.mass.as_ref())
            .map(|g| check.quantity(&field.field("mass"), g, "5 g", "25 kg")),
        balance_x_m: (form.balance_aft.as_ref())
            .map(|g| -check.quantity(&field.field("balance_aft"), g, "-2 m", "2 m")),
        balance_y_m: (form.balance_right.as_ref())
            .map(|g| check.quantity(&field.field("balance_right"), g, "-1 m", "1 m")),
        static_thrust_n: (form.static_thrust.as_ref())
            .map(|g| check.quantity(&field.field("static_thrust"), g, "0.01 N", "200 N")),
        static_current_a: (form.static_current.as_ref())
            .map(|g| check.quantity(&field.field("static_current"), g, "0.01 A", "200 A")),
    }
}
