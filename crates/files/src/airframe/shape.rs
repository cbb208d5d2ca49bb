//! Plan form of one panel: a trapezium by numbers, or an outline.

use larkfield_units::{Length, Ratio};

use crate::check::{Checker, FieldPath};

use super::form::ShapeForm;
use super::outline::{Cut, cuts};

/// Cuts from root to tip; empty after a mistake in an outline.
pub(super) fn shape(check: &mut Checker, field: &FieldPath, shape: &ShapeForm) -> Vec<Cut> {
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
