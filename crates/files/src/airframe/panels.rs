//! Panels: plates that join at their ends, mirrored, with built-in errors.

use std::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::{
    Colour, EdgeShape, Fold, Panel, PolarRow, Section, Side, Station, SurfaceKind,
};
use larkfield_units::{Angle, Length, Ratio, closest};

use crate::check::{Checker, FieldPath};

use super::form::{
    AirframeForm, EdgesForm, KindForm, PanelForm, SectionForm, ShapeForm, SidesForm,
};
use super::outline::{Cut, cuts};
use super::parts::{Sheet, colour, find_sheet};

/// From this dihedral on a plate counts as upright, as a fin always does: its
/// normal points to starboard and it carries rudders, not elevators.
const STEEP_RAD: f64 = 60.0 * PI / 180.0;

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
#[derive(Clone)]
struct Parent {
    name: String,
    kind: KindForm,
    sides: SidesForm,
    tip_incidence_rad: f64,
    sheet: Option<usize>,
    section: Section,
    colours: (Colour, Colour),
    ends: Vec<End>,
    seated: bool,
}

/// Outer end of one side of a panel.
#[derive(Clone, Copy)]
struct End {
    side: Side,
    leading_edge_m: DVec3,
    error_rad: f64,
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
        let parent = one(
            check,
            &field,
            panel,
            sheets,
            &parents,
            form,
            &mut built,
            &mut seated,
        );
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

#[allow(clippy::too_many_arguments)] // one caller; the loop above in two halves
fn one(
    check: &mut Checker,
    field: &FieldPath,
    panel: &PanelForm,
    sheets: &[Sheet],
    parents: &[Parent],
    form: &AirframeForm,
    built: &mut Built,
    seated: &mut Vec<bool>,
) -> Parent {
    let parent = joined(check, field, panel, parents, form);
    let same_kind = parent.filter(|p| p.kind == panel.kind);
    let before = check.mistakes();
    let cut_list = shape(check, field, &panel.shape);
    let shape_is_good = check.mistakes() == before;
    let span_m = cut_list.last().map_or(0.0, |c| c.out_m);
    let upright = matches!(panel.kind, KindForm::Fin | KindForm::EndPlate);
    let dihedral_rad = match &panel.dihedral {
        Some(given) => check.quantity(&field.field("dihedral"), given, "-90 deg", "90 deg"),
        None if upright => PI / 2.0,
        None => 0.0,
    };
    let steep = panel.kind == KindForm::Fin || dihedral_rad.abs() >= STEEP_RAD;
    if panel.kind == KindForm::Fin && dihedral_rad.abs() < PI / 6.0 {
        check.refuse(
            &field.field("dihedral"),
            "a fin that lies flatter than 30 deg is no fin",
            "leave `dihedral` out for an upright fin, or write `kind: Tailplane`",
        );
    }
    let angle = |check: &mut Checker, name: &str, given| {
        check.quantity_or_zero::<Angle>(&field.field(name), given, "-30 deg", "30 deg")
    };
    let root_incidence_rad = match (&panel.incidence, same_kind) {
        (None, Some(p)) => p.tip_incidence_rad,
        (given, _) => angle(check, "incidence", given.as_ref()),
    };
    let twist_rad = angle(check, "twist", panel.twist.as_ref());
    let sides = sides_of(check, field, panel, parent);
    let errors = AsBuilt::read(check, field, panel, sides);

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
    let chord_m = cut_list.iter().fold(0.0_f64, |w, c| w.max(c.chord_m));
    if let Some(s) = sheet.and_then(|i| sheets.get(i))
        && shape_is_good
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
    let section = section(check, field, panel, parent, chord_m);
    let colours = colours(check, field, panel, parent);
    let seated_here = panel.kind == KindForm::Wing || parent.is_some_and(|p| p.seated);

    let mut made = Sides {
        steep,
        span_m,
        cuts: cut_list.clone(),
        ..Sides::default()
    };
    let mut ends = Vec::new();
    let wanted: &[Side] = match sides {
        SidesForm::Both => &[Side::Left, Side::Right],
        SidesForm::Left => &[Side::Left],
        SidesForm::Right => &[Side::Right],
        SidesForm::Centre => &[Side::Centre],
    };
    let own_root = own_root(check, field, panel);
    for &side in wanted {
        let across = match side {
            Side::Left => -1.0,
            Side::Right => 1.0,
            Side::Centre => 1.0,
        };
        let parent_end = parent.and_then(|p| p.ends.iter().find(|e| e.side == side));
        let root_m = match (parent_end, own_root) {
            (Some(end), _) => end.leading_edge_m,
            (None, Some((aft_m, out_m, up_m))) => DVec3::new(-aft_m, across * out_m, -up_m),
            (None, None) => DVec3::ZERO,
        };
        let carried_rad = same_kind.and(parent_end).map_or(0.0, |e| e.error_rad);
        let warp_rad = match side {
            Side::Left => errors.warp_left_rad,
            Side::Right => errors.warp_right_rad,
            Side::Centre => errors.warp_rad,
        };
        // The file turns leading edges toward the upper or inner face; on an
        // upright plate the model's normal points to starboard instead.
        let to_normal = match side {
            Side::Right if steep && dihedral_rad > 0.0 => -1.0,
            Side::Left if steep && dihedral_rad < 0.0 => -1.0,
            _ => 1.0,
        };
        let root_error_rad = carried_rad + errors.incidence_rad + errors.skew_rad;
        let outward = DVec3::new(
            0.0,
            across * clean(libm::cos(dihedral_rad)),
            -clean(libm::sin(dihedral_rad)),
        );
        let stations: Vec<Station> = cut_list
            .iter()
            .map(|c| {
                let t = if span_m > 0.0 { c.out_m / span_m } else { 0.0 };
                let file_angle = root_incidence_rad + twist_rad * t + root_error_rad + warp_rad * t;
                Station {
                    leading_edge_m: root_m + outward * c.out_m + DVec3::new(-c.aft_m, 0.0, 0.0),
                    chord_m: c.chord_m,
                    incidence_rad: to_normal * file_angle,
                }
            })
            .collect();
        if let Some(last) = stations.last() {
            ends.push(End {
                side,
                leading_edge_m: last.leading_edge_m,
                error_rad: root_error_rad + warp_rad,
            });
        }
        let index = built.panels.len();
        let (name, slot) = match side {
            Side::Left if sides == SidesForm::Both => {
                (format!("{}_left", panel.name), &mut made.left)
            }
            Side::Right if sides == SidesForm::Both => {
                (format!("{}_right", panel.name), &mut made.right)
            }
            Side::Left => (panel.name.clone(), &mut made.left),
            Side::Right => (panel.name.clone(), &mut made.right),
            Side::Centre => (panel.name.clone(), &mut made.centre),
        };
        *slot = Some(index);
        let material = sheet.and_then(|i| sheets.get(i));
        built.panels.push(Panel {
            name,
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
        seated.push(seated_here);
    }
    built.by_form.push(made);
    Parent {
        name: panel.name.clone(),
        kind: panel.kind,
        sides,
        tip_incidence_rad: root_incidence_rad + twist_rad,
        sheet,
        section,
        colours,
        ends,
        seated: seated_here,
    }
}

/// Takes the dust of rounding off the cosine of a right angle.
fn clean(value: f64) -> f64 {
    if value.abs() < 1e-15 { 0.0 } else { value }
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

fn shape(check: &mut Checker, field: &FieldPath, shape: &ShapeForm) -> Vec<Cut> {
    let field = field.field("shape");
    match shape {
        ShapeForm::Outline(corners) => cuts(check, &field, corners).unwrap_or_default(),
        ShapeForm::Straight {
            span,
            chord,
            tip_chord,
            taper,
            sweep,
            tip_aft,
        } => {
            let span_m = check.quantity(&field.field("span"), span, "5 mm", "3 m");
            let chord_m = check.quantity(&field.field("chord"), chord, "5 mm", "1 m");
            let tip_chord_m = match (tip_chord, taper) {
                (Some(given), None) => {
                    check.quantity(&field.field("tip_chord"), given, "2 mm", "1 m")
                }
                (None, Some(given)) => {
                    let ratio =
                        check.quantity::<Ratio>(&field.field("taper"), given, "2 %", "300 %");
                    chord_m * ratio
                }
                (None, None) => chord_m,
                (Some(_), Some(_)) => {
                    check.refuse(
                        &field.field("taper"),
                        "both `tip_chord` and `taper` are given",
                        "keep one of the two",
                    );
                    chord_m
                }
            };
            let tip_aft_m = match (tip_aft, sweep) {
                (Some(given), None) => {
                    check.quantity::<Length>(&field.field("tip_aft"), given, "-2 m", "2 m")
                }
                (None, given) => {
                    let angle = check.quantity_or_zero(
                        &field.field("sweep"),
                        given.as_ref(),
                        "-75 deg",
                        "75 deg",
                    );
                    span_m * libm::tan(angle)
                }
                (Some(_), Some(_)) => {
                    check.refuse(
                        &field.field("sweep"),
                        "both `tip_aft` and `sweep` are given",
                        "keep one of the two",
                    );
                    0.0
                }
            };
            vec![
                Cut {
                    out_m: 0.0,
                    aft_m: 0.0,
                    chord_m,
                },
                Cut {
                    out_m: span_m,
                    aft_m: tip_aft_m,
                    chord_m: tip_chord_m,
                },
            ]
        }
    }
}

/// Errors of the build, as angles of the leading edge.
struct AsBuilt {
    warp_left_rad: f64,
    warp_right_rad: f64,
    warp_rad: f64,
    incidence_rad: f64,
    skew_rad: f64,
}

impl AsBuilt {
    fn read(check: &mut Checker, field: &FieldPath, panel: &PanelForm, sides: SidesForm) -> Self {
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

fn section(
    check: &mut Checker,
    field: &FieldPath,
    panel: &PanelForm,
    parent: Option<&Parent>,
    chord_m: f64,
) -> Section {
    let field = field.field("section");
    let rounded = Section::FoamSheet {
        edges: EdgeShape::Rounded,
        fold: None,
    };
    match (&panel.section, parent) {
        (None, Some(p)) => p.section.clone(),
        (None, None) => {
            check.assume(
                &field,
                "FoamSheet(edges: Rounded)",
                "common practice, no source: edges are sanded round",
            );
            rounded
        }
        (Some(SectionForm::ThinIdeal), _) => Section::ThinIdeal,
        (Some(SectionForm::FoamSheet { edges, fold }), _) => {
            if edges.is_none() {
                check.assume(
                    &field.field("edges"),
                    "Rounded",
                    "common practice, no source: edges are sanded round",
                );
            }
            Section::FoamSheet {
                edges: match edges {
                    Some(EdgesForm::Square) => EdgeShape::Square,
                    Some(EdgesForm::Folded) => EdgeShape::Folded,
                    Some(EdgesForm::Rounded) | None => EdgeShape::Rounded,
                },
                fold: fold.as_ref().map(|f| {
                    let at = field.field("fold");
                    Fold {
                        chord_fraction: check.share(&at.field("at"), &f.at, chord_m, "2 %", "98 %"),
                        angle_rad: check.quantity(
                            &at.field("angle"),
                            &f.angle,
                            "-45 deg",
                            "45 deg",
                        ),
                    }
                }),
            }
        }
        (Some(SectionForm::Polar(rows)), _) => {
            if !check.count(&field, rows.len(), 2, 5000, "rows") {
                return rounded;
            }
            let mut table: Vec<PolarRow> = rows
                .iter()
                .enumerate()
                .map(|(i, row)| {
                    let at = field.item(i);
                    PolarRow {
                        reynolds: check.number(&at.field("reynolds"), row.reynolds, 1e3, 1e7),
                        alpha_rad: check.quantity(
                            &at.field("alpha"),
                            &row.alpha,
                            "-180 deg",
                            "180 deg",
                        ),
                        lift: check.number(&at.field("lift"), row.lift, -5.0, 5.0),
                        drag: check.number(&at.field("drag"), row.drag, 0.0, 5.0),
                        moment: check.number(&at.field("moment"), row.moment, -2.0, 2.0),
                    }
                })
                .collect();
            table.sort_by(|a, b| {
                (a.reynolds.total_cmp(&b.reynolds)).then(a.alpha_rad.total_cmp(&b.alpha_rad))
            });
            for pair in table.windows(2) {
                if let [a, b] = pair
                    && a.reynolds == b.reynolds
                    && a.alpha_rad == b.alpha_rad
                {
                    check.refuse(
                        &field,
                        format!(
                            "Reynolds number {} with angle {:.2} deg is given twice",
                            a.reynolds,
                            a.alpha_rad.to_degrees()
                        ),
                        "keep one row for each Reynolds number and angle",
                    );
                    break;
                }
            }
            for start in group_starts(&table) {
                let reynolds = table[start].reynolds;
                if table.iter().filter(|r| r.reynolds == reynolds).count() < 2 {
                    check.refuse(
                        &field,
                        format!("Reynolds number {reynolds} has a single row"),
                        "give at least two angles for each Reynolds number",
                    );
                }
            }
            Section::Polar(table)
        }
    }
}

fn group_starts(table: &[PolarRow]) -> Vec<usize> {
    (0..table.len())
        .filter(|&i| i == 0 || table[i].reynolds != table[i - 1].reynolds)
        .collect()
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

/// Turns the whole wing about the middle of its root, as it sits on the body.
fn seat(check: &mut Checker, form: &AirframeForm, panels: &mut [Panel], seated: &[bool]) {
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
