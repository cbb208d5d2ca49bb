//! Panels: plates that join at their ends, mirrored, with built-in errors.

use glam::DVec3;
use larkfield_airframe::{Colour, Panel, Section, Side, SurfaceKind};
use larkfield_units::closest;

use crate::check::{Checker, FieldPath};

use super::as_built::seat;
use super::form::{AirframeForm, KindForm, PanelForm, SidesForm};
use super::outline::Cut;
use super::parts::{Sheet, colour, find_sheet};
use super::plate::{End, Plate, across};
use super::section::section;

/// Panels of the model and which of them each panel of the file became.
pub(super) struct Built {
    pub panels: Vec<Panel>,
    pub by_form: Vec<Sides>,
}

/// Model panels made from one panel of the file.
#[derive(Debug, Clone, Default)]
pub(super) struct Sides {
    pub left: Option<usize>,
    pub right: Option<usize>,
    pub centre: Option<usize>,
    pub steep: bool,
    pub span_m: f64,
    pub cuts: Vec<Cut>,
}

/// What a joined panel takes over from the one it joins.
pub(super) struct Parent {
    name: String,
    kind: KindForm,
    sides: SidesForm,
    pub tip_incidence_rad: f64,
    sheet: Option<usize>,
    section: Section,
    colours: (Colour, Colour),
    ends: Vec<End>,
    seated: bool,
}

pub(super) fn panels(check: &mut Checker, form: &AirframeForm, sheets: &[Sheet]) -> Built {
    let list = FieldPath::root().field("panels");
    let mut built = Built {
        panels: Vec::new(),
        by_form: Vec::new(),
    };
    if !check.count(&list, form.panels.len(), 1, 64, "panels") {
        return built;
    }
    let mut parents: Vec<Parent> = Vec::new();
    let mut seated = Vec::new();
    for (i, panel) in form.panels.iter().enumerate() {
        let field = list.item(i);
        check.name(&field.field("name"), &panel.name);
        if parents.iter().any(|p| p.name == panel.name) {
            check.refuse(
                &field.field("name"),
                format!("there is another panel `{}`", panel.name),
                "give every panel a name of its own",
            );
        }
        let parent = joined(check, &field, panel, &parents, form);
        let parent = one(check, &field, panel, sheets, parent, &mut built);
        seated.resize(built.panels.len(), parent.seated);
        parents.push(parent);
    }
    if !form.panels.iter().any(|p| p.kind == KindForm::Wing) {
        check.refuse(
            &list,
            "no panel is of the kind Wing",
            "give the main lifting surface `kind: Wing`",
        );
    }
    seat(check, form, &mut built.panels, &seated);
    unique_names(check, &list, form, &built);
    built
}

fn one(
    check: &mut Checker,
    field: &FieldPath,
    panel: &PanelForm,
    sheets: &[Sheet],
    parent: Option<&Parent>,
    built: &mut Built,
) -> Parent {
    let same_kind = parent.filter(|p| p.kind == panel.kind);
    let sides = sides_of(check, field, panel, parent);
    let plate = Plate::read(check, field, panel, sides, same_kind);
    let sheet = sheet_of(check, field, panel, sheets, parent, &plate);
    let section = section(
        check,
        &field.field("section"),
        panel.section.as_ref(),
        parent.map(|p| &p.section),
        plate.longest_chord_m(),
    );
    let colours = colours(check, field, panel, parent);
    let own_root = own_root(check, field, panel);
    let material = sheet.and_then(|i| sheets.get(i));

    let mut made = Sides {
        steep: plate.upright,
        span_m: plate.span_m(),
        cuts: plate.cuts.clone(),
        ..Sides::default()
    };
    let mut ends = Vec::new();
    let wanted: &[Side] = match sides {
        SidesForm::Both => &[Side::Left, Side::Right],
        SidesForm::Left => &[Side::Left],
        SidesForm::Right => &[Side::Right],
        SidesForm::Centre => &[Side::Centre],
    };
    for &side in wanted {
        let parent_end = parent.and_then(|p| p.ends.iter().find(|e| e.side == side));
        let root_m = match (parent_end, own_root) {
            (Some(end), _) => end.leading_edge_m,
            (None, Some((aft_m, out_m, up_m))) => DVec3::new(-aft_m, across(side) * out_m, -up_m),
            (None, None) => DVec3::ZERO,
        };
        let carried_rad = same_kind.and(parent_end).map_or(0.0, |e| e.error_rad);
        let (stations, end) = plate.stations(side, root_m, carried_rad);
        ends.extend(end);
        let index = built.panels.len();
        let suffix = match side {
            Side::Left if sides == SidesForm::Both => "_left",
            Side::Right if sides == SidesForm::Both => "_right",
            _ => "",
        };
        match side {
            Side::Left => made.left = Some(index),
            Side::Right => made.right = Some(index),
            Side::Centre => made.centre = Some(index),
        }
        built.panels.push(Panel {
            name: format!("{}{suffix}", panel.name),
            kind: kind(panel.kind),
            side,
            stations,
            thickness_m: material.map_or(0.0, |s| s.thickness_m),
            areal_density_kg_m2: material.map_or(0.0, |s| s.areal_density_kg_m2),
            section: section.clone(),
            material: material.map_or_else(String::new, |s| s.material.clone()),
            colour_top: colours.0,
            colour_bottom: colours.1,
        });
    }
    built.by_form.push(made);
    Parent {
        name: panel.name.clone(),
        kind: panel.kind,
        sides,
        tip_incidence_rad: plate.tip_incidence_rad(),
        sheet,
        section,
        colours,
        ends,
        seated: panel.kind == KindForm::Wing || parent.is_some_and(|p| p.seated),
    }
}

/// Index of the panel's sheet: its own, or that of the panel it joins.
fn sheet_of(
    check: &mut Checker,
    field: &FieldPath,
    panel: &PanelForm,
    sheets: &[Sheet],
    parent: Option<&Parent>,
    plate: &Plate,
) -> Option<usize> {
    let sheet = match (&panel.sheet, parent) {
        (Some(name), _) => find_sheet(check, &field.field("sheet"), sheets, name),
        (None, Some(p)) => p.sheet,
        // Whose sheet it would be is not known: that mistake is on record.
        (None, None) if panel.joins.is_some() => None,
        (None, None) => {
            check.refuse(
                &field.field("sheet"),
                "`sheet` is missing",
                "name one of the sheets listed in `sheets`",
            );
            None
        }
    };
    let chord_m = plate.longest_chord_m();
    if let Some(s) = sheet.and_then(|i| sheets.get(i))
        && plate.shape_is_good
        && s.thickness_m >= chord_m / 2.0
    {
        check.refuse(
            &field.field("shape"),
            format!(
                "the sheet is {:.1} mm thick but the longest chord is {:.1} mm",
                s.thickness_m * 1e3,
                chord_m * 1e3
            ),
            "check both: a plate is at least twice as long as it is thick",
        );
    }
    sheet
}

fn kind(kind: KindForm) -> SurfaceKind {
    match kind {
        KindForm::Wing => SurfaceKind::Wing,
        KindForm::Tailplane => SurfaceKind::Tailplane,
        KindForm::Fin => SurfaceKind::Fin,
        KindForm::EndPlate => SurfaceKind::EndPlate,
    }
}

fn joined<'a>(
    check: &mut Checker,
    field: &FieldPath,
    panel: &PanelForm,
    parents: &'a [Parent],
    form: &AirframeForm,
) -> Option<&'a Parent> {
    let name = panel.joins.as_ref()?;
    let field = field.field("joins");
    if let Some(parent) = parents.iter().find(|p| p.name == *name) {
        return Some(parent);
    }
    if form.panels.iter().any(|p| p.name == *name) {
        check.refuse(
            &field,
            format!("the panel `{name}` comes later in the list"),
            "list a panel before those that join its outer end",
        );
    } else {
        let names = || form.panels.iter().map(|p| p.name.as_str());
        let hint =
            closest(name, names()).map_or(String::new(), |n| format!("did you mean `{n}`? "));
        let all: Vec<&str> = names().take(20).collect();
        check.refuse(
            &field,
            format!("there is no panel `{name}`"),
            format!("{hint}panels here are {}", all.join(", ")),
        );
    }
    None
}

fn sides_of(
    check: &mut Checker,
    field: &FieldPath,
    panel: &PanelForm,
    parent: Option<&Parent>,
) -> SidesForm {
    let default = match (parent, panel.kind) {
        (Some(p), _) => p.sides,
        (None, KindForm::Fin) => SidesForm::Centre,
        (None, _) => SidesForm::Both,
    };
    let sides = panel.sides.unwrap_or(default);
    let field = field.field("sides");
    let lifting = matches!(panel.kind, KindForm::Wing | KindForm::Tailplane);
    if sides == SidesForm::Centre && lifting {
        check.refuse(
            &field,
            "a wing or tailplane cannot stand on the centre line alone",
            "write Both and give the span of one half, measured from the centre line",
        );
    }
    if let Some(p) = parent
        && p.sides != sides
        && !(p.sides == SidesForm::Both && matches!(sides, SidesForm::Left | SidesForm::Right))
    {
        check.refuse(
            &field,
            format!(
                "{sides:?} cannot join `{}`, which is on {:?}",
                p.name, p.sides
            ),
            "leave `sides` out to follow the panel that is joined",
        );
    }
    sides
}

/// Place of the root's leading edge as (aft, out, up).
fn own_root(check: &mut Checker, field: &FieldPath, panel: &PanelForm) -> Option<(f64, f64, f64)> {
    let root_field = field.field("root");
    match (&panel.root, &panel.joins) {
        (Some(_), Some(_)) => {
            check.refuse(
                &root_field,
                "both `root` and `joins` are given",
                "keep `joins` for a panel glued to the end of another, else `root`",
            );
            None
        }
        (None, None) => {
            check.refuse(
                &root_field,
                "neither `root` nor `joins` is given",
                "add `root: (aft: \"0 mm\", up: \"0 mm\")`, or `joins: \"name\"` for a panel glued to the end of another",
            );
            None
        }
        (None, Some(_)) => None,
        (Some(root), None) => Some((
            check.quantity(&root_field.field("aft"), &root.aft, "-3 m", "3 m"),
            check.quantity_or_zero(&root_field.field("out"), root.out.as_ref(), "0 mm", "3 m"),
            check.quantity(&root_field.field("up"), &root.up, "-1 m", "1 m"),
        )),
    }
}

fn colours(
    check: &mut Checker,
    field: &FieldPath,
    panel: &PanelForm,
    parent: Option<&Parent>,
) -> (Colour, Colour) {
    let field = field.field("colours");
    match (&panel.colours, parent) {
        (Some(form), _) => {
            let top = colour(check, &field.field("top"), &form.top);
            let bottom = form
                .bottom
                .as_ref()
                .map_or(top, |text| colour(check, &field.field("bottom"), text));
            (top, bottom)
        }
        (None, Some(p)) => p.colours,
        (None, None) => (super::parts::WHITE, super::parts::WHITE),
    }
}

fn unique_names(check: &mut Checker, list: &FieldPath, form: &AirframeForm, built: &Built) {
    for (i, sides) in built.by_form.iter().enumerate() {
        let name = &form.panels[i].name;
        if form.panels[..i].iter().any(|p| p.name == *name) {
            continue; // on record already
        }
        for index in [sides.left, sides.right, sides.centre]
            .into_iter()
            .flatten()
        {
            let name = &built.panels[index].name;
            if built.panels[..index].iter().any(|p| p.name == *name) {
                check.refuse(
                    &list.item(i).field("name"),
                    format!("this panel would be called `{name}` like another one"),
                    "a panel on Both sides gives a _left and a _right one; choose another name",
                );
            }
        }
    }
}
