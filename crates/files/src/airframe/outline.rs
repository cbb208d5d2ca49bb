//! From a drawn outline to stations along the span.

use larkfield_units::Length;

use crate::check::{Checker, FieldPath};
use crate::given::Given;

/// One cut through a panel, square to its root, in the panel's own plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cut {
    /// Distance from the root along the sheet.
    pub out_m: f64,
    /// Leading edge behind the leading edge of the root.
    pub aft_m: f64,
    pub chord_m: f64,
}

/// A tip that ends in a point is cut where the chord falls to this share of
/// the longest one; a triangle loses 0.04 % of its area.
const BLUNT_TIP: f64 = 0.02;
/// A step in the outline is spread over this distance.
const STEP_M: f64 = 0.0005;

/// Cuts through an outline given as (out, aft) corners in order around it.
/// `None` after a mistake, which is recorded.
pub(super) fn cuts(
    check: &mut Checker,
    field: &FieldPath,
    corners: &[(Given<Length>, Given<Length>)],
) -> Option<Vec<Cut>> {
    let before = check.mistakes();
    if !check.count(field, corners.len(), 3, 200, "corners") {
        return None;
    }
    let points: Vec<(f64, f64)> = corners
        .iter()
        .enumerate()
        .map(|(i, (out, aft))| {
            let corner = field.item(i);
            (
                check.quantity(&corner.member(0), out, "0 mm", "3 m"),
                check.quantity(&corner.member(1), aft, "-2 m", "2 m"),
            )
        })
        .collect();
    if check.mistakes() > before {
        return None;
    }
    let mut outs: Vec<f64> = points.iter().map(|p| p.0).collect();
    outs.sort_by(f64::total_cmp);
    outs.dedup();
    let span_m = outs.last().copied().unwrap_or(0.0);
    if outs.first() != Some(&0.0) || span_m < 0.005 {
        check.refuse(
            field,
            "the outline does not run from its root outward",
            "measure `out` from the root: the root edge has out \"0 mm\", the tip at least \"5 mm\"",
        );
        return None;
    }
    let mut strips = Vec::new();
    for pair in outs.windows(2) {
        let &[from, to] = pair else { continue };
        let Some(strip) = strip_between(&points, from, to) else {
            check.refuse(
                field,
                format!(
                    "between {:.1} mm and {:.1} mm out the outline crosses itself or has a hollow",
                    from * 1e3,
                    to * 1e3
                ),
                "list the corners once around; split a shape with a hollow into two panels",
            );
            return None;
        };
        strips.push(strip);
    }
    let mut list = join(&strips);
    blunt(&mut list);
    let widest = list.iter().fold(0.0_f64, |w, c| w.max(c.chord_m));
    if widest < 0.005 {
        check.refuse(
            field,
            "the outline is narrower than 5 mm everywhere",
            "give its corners as (out, aft) with the longest chord at least 5 mm",
        );
        return None;
    }
    Some(list)
}

/// The two cuts at the ends of a strip in which no corner lies; `None` unless
/// exactly two edges cross it and do not cross each other.
fn strip_between(points: &[(f64, f64)], from: f64, to: f64) -> Option<(Cut, Cut)> {
    let mut edges = Vec::new();
    for (i, &a) in points.iter().enumerate() {
        let b = points[(i + 1) % points.len()];
        let (a, b) = if a.0 <= b.0 { (a, b) } else { (b, a) };
        if a.0 <= from && b.0 >= to && b.0 > a.0 {
            let at = |out: f64| a.1 + (b.1 - a.1) * (out - a.0) / (b.0 - a.0);
            edges.push((at(from), at(to)));
        }
    }
    let &[first, second] = edges.as_slice() else {
        return None;
    };
    let middle = |e: (f64, f64)| e.0 + e.1;
    let (front, back) = if middle(first) <= middle(second) {
        (first, second)
    } else {
        (second, first)
    };
    let cut = |out_m: f64, aft_m: f64, back_m: f64| Cut {
        out_m,
        aft_m,
        chord_m: back_m - aft_m,
    };
    let (root, tip) = (cut(from, front.0, back.0), cut(to, front.1, back.1));
    // Rounding may leave a pointed end a hair below zero.
    (root.chord_m > -1e-9 && tip.chord_m > -1e-9).then_some((root, tip))
}

/// Strips side by side; where they do not meet, the step is spread out.
fn join(strips: &[(Cut, Cut)]) -> Vec<Cut> {
    let mut list: Vec<Cut> = Vec::new();
    for (root, tip) in strips {
        match list.last() {
            Some(last)
                if (last.aft_m - root.aft_m).abs() < 1e-9
                    && (last.chord_m - root.chord_m).abs() < 1e-9 => {}
            Some(_) => {
                let out_m = root.out_m + STEP_M.min((tip.out_m - root.out_m) / 2.0);
                list.push(Cut { out_m, ..*root });
            }
            None => list.push(*root),
        }
        list.push(*tip);
    }
    list
}

/// Cuts pointed ends so that every chord is positive.
fn blunt(list: &mut [Cut]) {
    let least = BLUNT_TIP * list.iter().fold(0.0_f64, |w, c| w.max(c.chord_m));
    let count = list.len();
    if count < 2 {
        return;
    }
    for (end, inner) in [(0, 1), (count - 1, count - 2)] {
        let (e, i) = (list[end], list[inner]);
        if e.chord_m < least && i.chord_m > least {
            let t = (least - e.chord_m) / (i.chord_m - e.chord_m);
            list[end] = Cut {
                out_m: e.out_m + t * (i.out_m - e.out_m),
                aft_m: e.aft_m + t * (i.aft_m - e.aft_m),
                chord_m: least,
            };
        }
    }
    // A waist between two corners is not a plate either.
    for cut in list.iter_mut() {
        cut.chord_m = cut.chord_m.max(least);
    }
}
