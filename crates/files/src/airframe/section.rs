//! How a panel's section behaves in the air.

use larkfield_airframe::{EdgeShape, Fold, PolarRow, Section};

use crate::check::{Checker, FieldPath};

use super::form::{EdgesForm, FoldForm, PolarRowForm, SectionForm};

const ROUNDED: Section = Section::FoamSheet {
    edges: EdgeShape::Rounded,
    fold: None,
};

/// The section of a panel whose longest chord is `chord_m`; left out, it is
/// that of the panel it joins.
pub(super) fn section(
    check: &mut Checker,
    field: &FieldPath,
    form: Option<&SectionForm>,
    joined: Option<&Section>,
    chord_m: f64,
) -> Section {
    match (form, joined) {
        (None, Some(section)) => section.clone(),
        (None, None) => {
            check.assume(
                field,
                "FoamSheet(edges: Rounded)",
                "common practice, no source: edges are sanded round",
            );
            ROUNDED
        }
        (Some(SectionForm::ThinIdeal), _) => Section::ThinIdeal,
        (
            Some(SectionForm::FoamSheet {
                edges: finish,
                fold,
            }),
            _,
        ) => Section::FoamSheet {
            edges: edges(check, &field.field("edges"), *finish),
            fold: fold
                .as_ref()
                .map(|form| read_fold(check, &field.field("fold"), form, chord_m)),
        },
        (Some(SectionForm::Polar(rows)), _) => polar(check, field, rows),
    }
}

fn edges(check: &mut Checker, field: &FieldPath, form: Option<EdgesForm>) -> EdgeShape {
    match form {
        Some(EdgesForm::Rounded) => EdgeShape::Rounded,
        Some(EdgesForm::Square) => EdgeShape::Square,
        Some(EdgesForm::Folded) => EdgeShape::Folded,
        None => {
            check.assume(
                field,
                "Rounded",
                "common practice, no source: edges are sanded round",
            );
            EdgeShape::Rounded
        }
    }
}

fn read_fold(check: &mut Checker, field: &FieldPath, form: &FoldForm, chord_m: f64) -> Fold {
    Fold {
        chord_fraction: check.share(&field.field("at"), &form.at, chord_m, "2 %", "98 %"),
        angle_rad: check.quantity(&field.field("angle"), &form.angle, "-45 deg", "45 deg"),
    }
}

fn polar(check: &mut Checker, field: &FieldPath, rows: &[PolarRowForm]) -> Section {
    if !check.count(field, rows.len(), 2, 5000, "rows") {
        return ROUNDED;
    }
    let mut table: Vec<PolarRow> = rows
        .iter()
        .enumerate()
        .map(|(i, row)| {
            let at = field.item(i);
            PolarRow {
                reynolds: check.number(&at.field("reynolds"), row.reynolds, 1e3, 1e7),
                alpha_rad: check.quantity(&at.field("alpha"), &row.alpha, "-180 deg", "180 deg"),
                lift: check.number(&at.field("lift"), row.lift, -5.0, 5.0),
                drag: check.number(&at.field("drag"), row.drag, 0.0, 5.0),
                moment: check.number(&at.field("moment"), row.moment, -2.0, 2.0),
            }
        })
        .collect();
    table.sort_by(|a, b| {
        (a.reynolds.total_cmp(&b.reynolds)).then(a.alpha_rad.total_cmp(&b.alpha_rad))
    });
    for block in table.chunk_by(|a, b| a.reynolds == b.reynolds) {
        let reynolds = block.first().map_or(f64::NAN, |row| row.reynolds);
        if block.len() < 2 {
            check.refuse(
                field,
                format!("Reynolds number {reynolds} has a single row"),
                "give at least two angles for each Reynolds number",
            );
        }
        let twice = block.windows(2).find(|p| p[0].alpha_rad == p[1].alpha_rad);
        if let Some(row) = twice.and_then(|pair| pair.first()) {
            check.refuse(
                field,
                format!(
                    "Reynolds number {reynolds} with angle {:.2} deg is given twice",
                    row.alpha_rad.to_degrees()
                ),
                "keep one row for each Reynolds number and angle",
            );
        }
    }
    Section::Polar(table)
}
